"""Where the garden lies, and which town that is."""

from __future__ import annotations

import subprocess
import sys
from datetime import date
from importlib.resources import files
from zoneinfo import ZoneInfo

import pytest
from hypothesis import example, given, settings, strategies as st
from pydantic import ValidationError

from quincunx.site.country import region_of
from quincunx.site.place import Place, zone_of
from quincunx.site.towns import find_town, fold, towns

ROPEWALK = Place(name="Ropewalk Cottage", latitude_deg=52.1, longitude_deg=-2.3, altitude_m=40.0)
KETTLE_HILL = Place(name="Kettle Hill", latitude_deg=42.4, longitude_deg=-72.5)
SOUTHERN = Place(latitude_deg=-33.9, longitude_deg=18.4)


def test_a_year_is_judged_at_the_end_of_its_summer_and_in_the_winter_after():
    assert ROPEWALK.season_dates(2027) == (date(2027, 8, 31), date(2028, 1, 15))
    assert SOUTHERN.season_dates(2027) == (date(2027, 2, 28), date(2027, 7, 15))
    assert SOUTHERN.leaf_date(2028) == date(2028, 2, 29)
    assert [p.hemisphere for p in (ROPEWALK, SOUTHERN, Place(latitude_deg=0, longitude_deg=0))] == [
        "north",
        "south",
        "north",
    ]


def test_the_zone_is_found_from_the_place():
    assert zone_of(ROPEWALK) == ZoneInfo("Europe/London")
    assert zone_of(KETTLE_HILL) == ZoneInfo("America/New_York")
    assert zone_of(ROPEWALK.changed(timezone="Europe/Dublin")) == ZoneInfo("Europe/Dublin")


@pytest.mark.parametrize("zone", ["Europe/Lodnon", "", "../etc/passwd", "GMT+1h"])
def test_an_unknown_zone_is_refused(zone):
    with pytest.raises(ValidationError, match="expected one such as Europe/London"):
        ROPEWALK.changed(timezone=zone)


@pytest.mark.parametrize(
    ("field", "value"),
    [("latitude_deg", 91), ("longitude_deg", -181), ("latitude_deg", float("nan")), ("country", "UK!")],
)
def test_a_place_is_on_the_globe(field, value):
    with pytest.raises(ValidationError):
        ROPEWALK.changed(**{field: value})


def test_whose_rules_are_near():
    assert (region_of(ROPEWALK), region_of(KETTLE_HILL), region_of(SOUTHERN)) == ("europe", "us", "other")
    assert region_of(Place(latitude_deg=43.7, longitude_deg=-79.4)) == "other"
    assert region_of(ROPEWALK.changed(country="US")) == "us"
    assert region_of(ROPEWALK.changed(codes="other")) == "other"


@given(st.floats(-180, 179.99), st.floats(0, 359.99))
def test_the_plans_own_north_turns_there_and_back(offset, bearing):
    place = ROPEWALK.changed(north_offset_deg=offset)
    back = place.true_bearing(place.plan_bearing(bearing))
    assert abs((back - bearing + 180) % 360 - 180) < 1e-9


def test_up_on_the_plan_pointing_east_puts_north_to_the_left():
    turned = ROPEWALK.changed(north_offset_deg=90.0)
    assert turned.plan_bearing(0.0) == 270.0
    assert turned.true_bearing(0.0) == 90.0


def test_place_loads_no_heavy_library():
    code = (
        "import sys, quincunx.site.place, quincunx.site.climate; "
        "heavy = {'numpy', 'tzfpy', 'shapely'} & set(sys.modules); sys.exit(repr(heavy) if heavy else 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.stderr == ""


def test_the_towns_say_where_they_are_from():
    data = files("quincunx.site").joinpath("data/towns.csv")
    text = data.read_text("utf-8")
    assert len(text.encode()) < 150_000
    assert "GeoNames" in text
    assert "CC BY 4.0" in text
    assert len(towns()) > 3000
    assert len({(t.label, t.latitude_deg, t.longitude_deg) for t in towns()}) == len(towns())
    for town in towns():
        Place(
            name=town.name,
            country=town.country,
            latitude_deg=town.latitude_deg,
            longitude_deg=town.longitude_deg,
            altitude_m=town.altitude_m,
        )


def test_the_towns_lie_in_their_own_countries():
    # tzfpy (boundaries of the world's time zones) knows each town's zone; the rules guessed from it must be those of
    # the country the list names.  Zones named Europe/ also hold neighbours of its members: there it goes wrong.
    wrong = []
    for town in towns():
        place = Place(name=town.name, latitude_deg=town.latitude_deg, longitude_deg=town.longitude_deg)
        apart = town.country in {"AL", "BA", "BY", "MD", "ME", "RU", "UA", "XK"}
        if not apart and region_of(place) != region_of(place.changed(country=town.country)):
            wrong.append(town.label)
    assert wrong == []


@pytest.mark.parametrize(
    ("text", "label"),
    [
        ("Hereford", "Hereford, GB"),
        ("worc", "Worcester, MA, US"),
        ("worcester, uk", "Worcester, GB"),
        ("Springfield, IL", "Springfield, IL, US"),
        ("springfield, ma, us", "Springfield, MA, US"),
        ("koln", "Köln, DE"),
        ("Cologne", "Köln, DE"),
        ("saint etienne", "Saint-Étienne, FR"),
        ("Cheltnham", "Cheltenham, GB"),
        ("ZÜRICH", "Zürich, CH"),
        ("Perth, Australia", "Perth, WA, AU"),
        ("london", "London, GB"),
        ("London, Canada", "London, ON, CA"),
        ("Tokio", "Tokyo, JP"),
    ],
)
def test_a_town_is_found(text, label):
    assert find_town(text)[0].label == label


def test_the_list_is_no_longer_than_asked_and_empty_if_nothing_is_near():
    assert len(find_town("san", 5)) == 5
    assert find_town("Qqqqzzz") == []
    assert find_town("") == find_town(" , GB") == []
    assert find_town("Hereford, JP") == []


def test_whole_names_come_before_beginnings_and_larger_before_smaller():
    found = find_town("Portland", 4)
    assert [t.label for t in found[:2]] == ["Portland, OR, US", "Portland, ME, US"]
    assert find_town("york", 3)[0].name == "York"


def test_altitudes_are_in_metres():
    # Denver calls itself the mile-high city: 1609 m (from memory).
    assert find_town("Denver")[0].altitude_m == pytest.approx(1609, abs=30)


@example("𝛢")
@given(st.text(max_size=40))
def test_folding_is_done_once_and_for_all(text):
    assert fold(fold(text)) == fold(text)


@given(st.text(max_size=12))
@settings(max_examples=30, deadline=None)
def test_no_text_breaks_the_search(text):
    assert len(find_town(text, 3)) <= 3
