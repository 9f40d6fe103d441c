"""Which way north is: sights of the sun and of a compass, worked back from where the sun truly stood."""

from __future__ import annotations

import math
import re
from datetime import UTC, date, datetime
from typing import Any

import pytest

from quincunx.garden import Garden, apply, garden_from, timeline
from quincunx.review.true_north import NO_PLACE, Northward, needle_words, north_edit, northward
from quincunx.site import zone_of
from quincunx.site.sun import sun_position
from quincunx.survey import declination_deg

PLACE = {"name": "Ropewalk", "latitude_deg": 52.1, "longitude_deg": -2.3, "timezone": "Europe/London"}
TURN = 17.4  # up on this plan points 17.4 degrees east of true north
DAY, CLOCKS = "2027-06-05", ("10:15", "16:40")


def plan_point(true_bearing_deg: float, reach: float) -> list[float]:
    """A point seen from (0, 0) under a bearing from true north, on a plan that is turned."""
    turn = math.radians(true_bearing_deg - TURN)
    return [round(reach * math.sin(turn), 4), round(reach * math.cos(turn), 4)]


def shadow(clock: str) -> float:
    """Where the shadow of an upright stake points at a clock's time in that zone (summer time)."""
    hour, minute = map(int, clock.split(":"))
    garden = garden_from({"format": "quincunx/1", "name": "x", "site": {"place": PLACE}})
    assert garden.site.place is not None
    moment = datetime(2027, 6, 5, hour, minute, tzinfo=zone_of(garden.site.place))
    return float(sun_position(52.1, -2.3, [moment.astimezone(UTC)])[1][0]) + 180.0


def plot(**more: Any) -> Garden:
    points: dict[str, list[float]] = {
        "a": [0.0, 0.0],
        "p": plan_point(shadow(CLOCKS[0]), 1.3),
        "q": plan_point(shadow(CLOCKS[1]), 1.9),
        "n": plan_point(0.0, 0.9),
        "b": plan_point(80.0, 20.0),
    }
    stakes = [{"id": i, "name": i.upper(), "held": True, "x": x, "y": y} for i, (x, y) in points.items()]
    data = {"format": "quincunx/1", "name": "Plot", "site": {"place": PLACE}, "survey": {"stakes": stakes}, **more}
    return garden_from(data)


def test_two_shadows_by_the_clock_say_how_the_plan_is_turned_and_how_well_they_agree() -> None:
    found = northward(plot(), [f"A>P shadow {DAY} {CLOCKS[0]}", f"A>Q shadow {DAY} {CLOCKS[1]}"])
    assert found.turn_deg == pytest.approx(TURN, abs=0.02)
    assert found.agree
    assert found.words == "Up on the plan points 17.4° east of true north. Both sights lie within 0.1° of it."
    one = northward(plot(), [f"a p shadow {DAY} {CLOCKS[0]}"])
    assert "A second sight, some hours later" in one.words


def test_a_clock_an_hour_wrong_is_told() -> None:
    """Winter time where summer time holds: the two shadows no longer agree."""
    found = northward(plot(), [f"A>P shadow {DAY} 11:15", f"A>Q shadow {DAY} {CLOCKS[1]}"])
    assert not found.agree
    assert "take them again" in found.words
    assert north_edit(plot(), found) is None


def test_the_noon_line_and_a_compass_agree_with_the_sun() -> None:
    magnetic = (80.0 - declination_deg(52.1, -2.3, date(2027, 6, 5))) % 360
    found = northward(plot(), [f"A>N noon {DAY}", f"A>B compass {magnetic:.2f} {DAY}"])
    assert [round(s.turn_deg or 0.0, 1) for s in found.sights] == [TURN, TURN]


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("A>Z shadow 2027-06-05 10:00", "Z has no place yet"),
        ("A>P shadow 2027-06-05", "its time by the clock"),
        ("A>P shadow 2027-06-05 03:00", "too low for a shadow"),
        ("A>P shadow 2027-06-45 10:00", "There is no day 2027-06-45"),
        ("A>B compass 2027-06-05", "says its bearing"),
        ("A>B compass 80 2035-06-05", "magnetic model covers"),
        ("north is over there", "A sight is two stakes"),
    ],
)
def test_what_can_not_be_used_says_why(line: str, says: str) -> None:
    found = northward(plot(), [line])
    assert found.turn_deg is None
    assert says in found.sights[0].fault


def test_it_is_kept_in_one_edit_and_nothing_drawn_moves() -> None:
    before = plot()
    edit = north_edit(before, Northward((), 17.4, "", agree=True))
    assert edit is not None
    after = apply(before, edit)[0]
    assert after.site.place is not None
    assert after.site.place.north_offset_deg == pytest.approx(17.4)
    assert after.survey == before.survey
    assert timeline(after).frame.north_offset_deg == pytest.approx(17.4)


def test_without_a_place_it_asks_for_one() -> None:
    nowhere = plot(site={})
    assert northward(nowhere, ["A>P shadow 2027-06-05 10:15"]).words == NO_PLACE
    assert north_edit(nowhere, Northward((), 3.0, "", agree=True)) is None
    assert needle_words(None, date(2027, 6, 5)) == ""
    assert "of true north here in 2027" in needle_words(plot().site.place, date(2027, 6, 5))


def test_degrees_are_written_with_the_persons_own_decimal_mark() -> None:
    lines = [f"A>P shadow {DAY} {CLOCKS[0]}", f"A>Q shadow {DAY} {CLOCKS[1]}"]
    found = northward(plot(writing={"decimal_mark": ","}), lines)
    point = northward(plot(), lines)
    for said in (found.words, found.sights[0].words):
        assert re.search(r"\d,\d°", said)
        assert not re.search(r"\d\.\d", said)
    assert re.search(r"\d\.\d°", point.words)
