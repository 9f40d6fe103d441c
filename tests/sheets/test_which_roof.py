"""The page that decides a roof: what it says against the table it stands on."""

from __future__ import annotations

import re

import pytest

from quincunx.sheets import pages_of
from quincunx.sheets._set import Set
from quincunx.sheets.which_roof import FOUND, HEAD, _sizes, answer, told, ways_of
from quincunx.water import Weather
from tests.sheets.test_sun_sheets import set_of

HELD = {
    "kind": "held", "id": "place", "name": "Place for a shelter", "outline": [[7.5, 6.5], [10.5, 6.5], [10.5, 9], [7.5, 9]],
    "greatest_height": 3.0, "decide_by": "2029-10",
    "shortlist": [
        {"id": "slats", "words": "open slats", "feature": {"kind": "arbour", "at": [9, 7.75], "width": 2.4, "depth": 1.8}},
        {"id": "roof", "words": "a solid roof", "feature": {
            "kind": "roofed-shelter", "at": [9, 7.75], "width": 2.4, "depth": 1.9, "plan_shape": "rectangle", "roof": "gable",
            "pitch_deg": 25, "facing_deg": 0}},
    ],
}  # fmt: skip
SEAT = {"id": "chair", "name": "Chair", "at": [9, 7.75], "height": 1.2}
RAIN = {"rain_mm": [50.0] * 12, "wind_m_s": [4.0] * 12, "wind_from_deg": [225.0] * 12}


@pytest.fixture(scope="module")
def of() -> Set:
    site = {"place": {"name": "Somewhere", "latitude_deg": 52.0, "longitude_deg": 0.0}, "climate": RAIN}
    return set_of(features=[HELD], spots=[SEAT], site=site, jobs=[], rooms=[], intents=[], plants=[])


@pytest.fixture(scope="module")
def ways(of):
    weather = Weather.of(of.timeline.frame.climate)
    return ways_of(of, "chair", (9.0, 7.75), "place", weather)[0]


def test_every_roof_of_the_issue_is_on_the_page(ways):
    """No roof, slats as drawn and as found, a climber, a solid roof, and it with one and two sides closed."""
    names = [w.sun.roof.id for w in ways]
    assert names[:3] == ["none", "slats", "roof"]
    assert sorted(w.closed for w in ways) == [0, 0, 0, 0, 0, 1, 2]
    assert names[-2:] == [FOUND, "best-climber"]


def test_sun_and_rain_go_the_way_they_must(ways):
    by = {(w.sun.roof.id, w.closed): w for w in ways}
    none, roof = by["none", 0], by["roof", 0]
    one, two = (next(w for w in ways if w.closed == n) for n in (1, 2))
    assert none.dry == 0.0
    assert none.sun.shade < 0.05
    assert roof.sun.shade > 0.95, "a solid roof over the seat"
    assert 0.2 < roof.dry <= one.dry <= two.dry
    assert none.sun.winter_h >= roof.sun.winter_h >= one.sun.winter_h - 1e-6 >= two.sun.winter_h - 2e-6
    assert by["slats", 0].dry == by[FOUND, 0].dry == 0.0, "slats keep no rain off"
    assert by[FOUND, 0].sun.shade >= by["slats", 0].sun.shade


def test_a_side_closed_takes_more_hours_and_what_is_not_drawn_has_none(ways):
    hours = [w.hours for w in ways if w.sun.roof.id.startswith("roof")]
    assert len(hours) == 3
    assert 0 < hours[0] < hours[1] < hours[2]
    assert [w.drawn for w in ways] == [False, True, True, True, True, False, False]
    assert all(not w.money and not w.sum for w in ways if not w.drawn)


def test_the_answer_says_the_figures_of_the_table(of, ways):
    (page,) = pages_of(of, ("roof",))
    table = next(b for b in page.blocks if b["t"] == "table")
    assert table["head"] == list(HEAD)
    assert len(table["rows"]) == len(ways)
    large = next(b["s"] for b in page.blocks if b["t"] == "large")
    assert large == answer(ways)
    roof = next(w for w in ways if w.sun.roof.id == "roof")
    assert f"{round(10 * roof.dry)} chances in 10" in large
    assert f"{roof.hours:.0f} h" in large
    said = " ".join(told(ways, of))
    assert len(re.findall(r"side(?:s)? closed", said)) == sum(w.closed > 0 for w in ways)
    assert any(b["t"] == "caution" and "wind from below" in b["s"] for b in page.blocks), "people may build on it"


def test_the_pictures_are_of_the_roofs_named(of):
    (page,) = pages_of(of, ("roof",))
    charts, maps = [b for b in page.blocks if b["t"] == "row"]
    named = [[c[1]["s"] for c in row["cells"]] for row in (charts, maps)]
    assert named[0] == named[1]
    assert named[0][0] == "no roof"
    count = [c[0]["svg"].count("stroke-dasharray") for c in maps["cells"]]
    assert count[1:] == [count[0] + 1] * (len(count) - 1), "the roof's outline is on all but the first"


def test_without_a_place_held_open_it_says_what_it_needs():
    (page,) = pages_of(set_of(spots=[SEAT], features=[], jobs=[], rooms=[], intents=[], plants=[]), ("roof",))
    assert "No place is held open" in page.blocks[0]["s"]


@pytest.mark.parametrize(("facing", "wide", "deep"), [(0, 4.0, 2.0), (90, 2.0, 4.0), (180, 4.0, 2.0), (270, 2.0, 4.0)])
def test_width_is_across_the_view(facing, wide, deep):
    from shapely import box

    found = _sizes(box(0, 0, 4, 2), facing)
    assert found[:2] == pytest.approx((wide, deep))
    assert found[2] == (2.0, 1.0)
