"""What the program says of measured ground: places, what doesn't fit, what to do, and the edits it makes of readings."""

from __future__ import annotations

import json
import math

import pytest

from quincunx.demos import demo_garden
from quincunx.garden import Garden, GardenError, apply, garden_from
from quincunx.review.ground import measure
from quincunx.review.ground_drawn import ground_figures, ring_points, ring_times
from quincunx.review.ground_edits import boundary_edit, with_readings
from quincunx.review.ground_report import ground_report
from quincunx.shapes import AreaFigure, PathFigure
from quincunx.survey import Ellipse


def garden(units: str = "metric", **more: object) -> Garden:
    return garden_from({"format": "quincunx/1", "name": "Plot", "writing": {"units": units}, **more})


def test_kettle_hill_has_one_swapped_reading_and_says_what_to_do() -> None:
    report = ground_report(demo_garden("kettle-hill"))
    (bad,) = report["suspects"]
    assert bad["meant"]["kind"] == "swapped"
    assert bad["meant"]["text"].startswith("76'")
    assert "tape it again" in bad["words"]
    assert [r["fits"] for r in report["readings"]].count(False) == 1
    assert report["words"].endswith("1 reading doesn’t fit.")
    assert not report["questions"]
    assert not report["swings"]


def test_stakes_are_where_the_plan_draws_those_corners() -> None:
    # The demonstration's readings were made from these corners of its own plan, with hands' errors added.
    drawn = {"b": (44.988, 0), "c": (44.988, 44.988), "e": (21.336, 25.603), "f": (33.528, 25.603)}
    stakes = {s["id"]: s for s in ground_report(demo_garden("kettle-hill"))["stakes"]}
    for stake, at in drawn.items():
        assert math.dist(stakes[stake]["at"], at) < stakes[stake]["sure_m"]
        assert stakes[stake]["sure"].startswith("sure to within ")
    assert stakes["a"]["sure"].startswith("held")


def test_the_level_book_closes_on_the_known_corner() -> None:
    levels = ground_report(demo_garden("ropewalk"))["levels"]
    assert levels["agrees"] is True
    assert abs(levels["closing_m"]) < 0.005
    falls = {(f["start"], f["end"]): f for f in levels["falls"]}
    assert falls["e", "a"]["words"].startswith("E to A falls 1.43 m in ")
    assert falls["e", "a"]["drop_m"] == pytest.approx(1.433, abs=0.004)


def test_the_report_is_json_and_the_same_twice() -> None:
    texts = [json.dumps(ground_report(demo_garden(n)), allow_nan=False) for n in ("ropewalk", "ropewalk")]
    assert texts[0] == texts[1]
    json.dumps(ground_report(garden()), allow_nan=False)


def test_nothing_measured_says_how_to_begin() -> None:
    report = ground_report(garden())
    assert (report["measured"], report["stakes"], report["levels"]) == (False, [], None)
    assert report["words"].startswith("Nothing is measured yet.")


def test_a_stake_that_can_swing_is_named_with_its_tape() -> None:
    edit, problems = with_readings(garden(), "A B 10\nB C 8")
    assert edit is not None
    assert not problems
    after, _ = apply(garden(), edit)
    report = ground_report(after)
    assert [s["stake"] for s in report["swings"]] == ["c"]
    assert report["swings"][0]["words"] == "Stake C can still swing: tape C to A."


def test_readings_are_added_as_one_edit_that_can_be_undone() -> None:
    before = demo_garden("ropewalk")
    edit, problems = with_readings(before, "D G 18.36\nno reading\nGate2 A 12.20  # by the gate\n")
    assert edit is not None
    assert [p.line for p in problems] == [2]
    after, inverse = apply(before, edit)
    assert [s.name for s in after.survey.stakes[-1:]] == ["Gate2"]
    assert [r.id for r in after.survey.readings[-2:]] == ["r26", "r27"]
    assert after.survey.readings[-1].note == "by the gate"
    assert apply(after, inverse)[0] == before
    assert with_readings(before, "nothing here") == (None, with_readings(before, "nothing here")[1])


def test_the_boundary_is_taken_from_stakes_in_their_order() -> None:
    before = demo_garden("kettle-hill")
    edit = boundary_edit(before, ["A", "b", "C", "D"])
    after, inverse = apply(before, edit)
    assert [tuple(map(float, p)) for p in after.boundary][1] == pytest.approx((44.985, 0), abs=0.002)
    assert apply(after, inverse)[0] == before
    with pytest.raises(GardenError, match=r"No stake is called 'Q'\. Stakes are: A, B"):
        boundary_edit(before, ["A", "B", "Q"])
    with pytest.raises(GardenError, match="three stakes or more; got 2"):
        boundary_edit(before, ["A", "B"])


def test_rings_are_drawn_large_enough_to_see_and_say_how_large() -> None:
    m = measure(demo_garden("ropewalk"))
    times, extent = ring_times(m), 36.0
    worst = max(p.sure_m for p in m.searched.adjusted.positions.values())
    assert 0.02 * extent < times * worst < 0.07 * extent
    figures = ground_figures(m)
    assert sum(isinstance(f, AreaFigure) and f.owner.startswith("ring/") for f in figures) == 7
    assert any(isinstance(f, PathFigure) and f.owner == "next" for f in figures)


def test_a_ring_has_the_half_axes_and_bearing_it_should() -> None:
    ring = ring_points((5.0, 5.0), Ellipse(0.2, 0.1, 30.0), 10.0)
    far = max(ring, key=lambda p: math.dist(p, (5, 5)))
    near = min(ring, key=lambda p: math.dist(p, (5, 5)))
    assert math.dist(far, (5, 5)) == pytest.approx(2.0)
    assert math.dist(near, (5, 5)) == pytest.approx(1.0)
    assert math.degrees(math.atan2(far[0] - 5, far[1] - 5)) % 180 == pytest.approx(30.0)
