"""What an opening leaves free of a hedge, by when each of them comes, held against numbers counted by hand."""

from __future__ import annotations

from datetime import date

import pytest
from shapely import LineString, Point

from quincunx.scene import Timeline
from quincunx.scene.left_open import stretch_of
from quincunx.shapes import PlantWork
from quincunx.works import Entry, Job
from tests.scene.gardens import thing, timeline

HEDGE = thing("hedge", id="hedge", line=[[0, 5], [10, 5]], spacing=0.5, there_from=None)
"""Twenty plants, at 0.25, 0.75, ... 9.75 m."""
GATE = thing("gate", id="gate", at=[4, 5], width=1.0, along_deg=90, there_from=None)
"""It takes from 3.4 to 4.6 m with its posts of 0.1 m: 18 plants, or less 4 of 20 where it is cut later."""
GAP = thing("gap", id="gap", at=[4, 5], width=1.0, along_deg=90, there_from=None)
"""It takes from 3.5 to 4.5 m: 3.25 and 4.75 are just half a spacing off, so 18."""
PLANT = Job(id="plant", name="Plant", does=("hedge",), start="2027-11")


def hang(start: str, owner: str = "gate") -> Job:
    return Job(id="hang", name="Hang", does=(owner,), start=start)


def told(line: Timeline, *days: date) -> tuple[int, list[int]]:
    """Return how many are set, and how many stand on some days."""
    hedge = line.feature("hedge")
    assert hedge is not None
    (work,) = (w for w in line.as_made(hedge).work if isinstance(w, PlantWork))
    standing = [sum(p.count for p in line.at(day).plants if p.owner == "hedge") for day in days]
    alone = [sum(len(p.at) for p in line.plants_on(hedge, day)) for day in days]
    assert standing == alone
    return work.count, standing


SUMMERS = (date(2028, 8, 31), date(2029, 8, 31), date(2031, 8, 31))


@pytest.mark.parametrize(("opening", "left"), [(GATE, 18), (GAP, 18)])
def test_where_an_opening_is_there_by_then_nothing_is_planted(opening, left) -> None:
    line = timeline([HEDGE, opening], [PLANT, hang("2027-10", opening.id)])
    assert told(line, *SUMMERS) == (left, [left] * 3)


def test_what_is_made_with_the_hedge_is_there_by_then() -> None:
    both = Job(id="both", name="Both", does=("hedge", "gate"), start="2027-11")
    assert told(timeline([HEDGE, GATE], [both]), *SUMMERS) == (18, [18] * 3)


def test_what_stands_in_the_way_of_a_later_gate_is_dug_out_then() -> None:
    line = timeline([HEDGE, GATE], [PLANT, hang("2029-02")])
    assert told(line, *SUMMERS) == (20, [20, 16, 16])


def test_what_only_bears_the_name_of_a_thing_has_no_part_in_its_openings() -> None:
    line = timeline([HEDGE, GATE], [PLANT, hang("2029-02")])
    hedge = line.feature("hedge")
    assert hedge is not None
    assert len(line.ways_in(hedge)) == 1
    away = thing("hedge", id="hedge", line=[[0, 30], [8, 30]], spacing=0.5, there_from=None)
    assert line.ways_in(away) == ()
    assert len(line.ways_in(hedge)) == 1


def test_what_was_dug_out_does_not_grow_back() -> None:
    gate = thing("gate", id="gate", at=[4, 5], width=1.0, along_deg=90, there_from="2029-02", there_until="2030-02")
    assert told(timeline([HEDGE, gate], [PLANT]), *SUMMERS) == (20, [20, 16, 16])


def test_an_opening_gone_before_the_hedge_is_planted_takes_nothing() -> None:
    gate = thing("gate", id="gate", at=[4, 5], width=1.0, along_deg=90, there_from="start", there_until="2027-06")
    assert told(timeline([HEDGE, gate], [PLANT]), *SUMMERS) == (20, [20, 20, 20])


def test_a_hedge_planted_again_leaves_out_the_gate_that_has_come() -> None:
    journal = [
        Entry(id="e1", day="2029-06-01", what="lost", about="hedge"),
        Entry(id="e2", day="2029-11-20", what="replanted", about="hedge"),
    ]
    line = timeline([HEDGE, GATE], [PLANT, hang("2029-02")], journal)
    assert told(line, date(2028, 8, 31), date(2031, 8, 31))[1] == [20, 18]


def test_an_old_hedge_with_an_old_gap_has_none_in_it() -> None:
    old = thing("hedge", id="hedge", line=[[0, 5], [10, 5]], spacing=0.5, there_from="start")
    gap = thing("gap", id="gap", at=[4, 5], width=1.0, along_deg=90, there_from="start")
    line = timeline([old, gap])
    (plants,) = (p for p in line.at(SUMMERS[0]).plants if p.owner == "hedge")
    assert not [x for x, _ in plants.at if 3.25 + 1e-9 < x < 4.75 - 1e-9]


def test_a_gate_that_is_dragged_takes_its_plants_where_it_is_now() -> None:
    line = timeline([HEDGE, GATE], [PLANT, hang("2027-10")])
    line.at(SUMMERS[0])
    there = line.with_features([thing("gate", id="gate", at=[7, 5], width=1.0, along_deg=90, there_from=None)])
    (plants,) = (p for p in there.at(SUMMERS[0]).plants if p.owner == "hedge")
    xs = [x for x, _ in plants.at]
    assert not [x for x in xs if 6.4 < x < 7.6]
    assert [x for x in xs if 3.4 < x < 4.6]
    anew = timeline([HEDGE, thing("gate", id="gate", at=[7, 5], width=1.0, along_deg=90, there_from=None)],
                    [PLANT, hang("2027-10")])  # fmt: skip
    assert anew.at(SUMMERS[0]).plants == there.at(SUMMERS[0]).plants


def test_a_gate_across_a_hedge_or_beside_it_is_not_in_it() -> None:
    line = [(0.0, 5.0), (10.0, 5.0)]
    assert stretch_of(line, 0.3, LineString([(3.5, 5.2), (4.5, 5.2)])) == pytest.approx((3.5, 4.5))
    assert stretch_of(line, 0.3, LineString([(4, 4.9), (4, 5.4)])) is None
    assert stretch_of(line, 0.3, LineString([(3.5, 6.0), (4.5, 6.0)])) is None
    assert stretch_of(line, 0.3, LineString([(9.6, 5), (10.8, 5)])) is None


def test_a_row_on_wires_ends_its_wires_at_a_gap() -> None:
    from quincunx.shapes import FrameWork

    row = thing("row", id="row", line=[[0, 5], [10, 5]], spacing=0.5, wire_height=1.5, there_from=None)
    line = timeline([row, GAP], [Job(id="set", name="Set", does=("row", "gap"), start="2027-11")])
    stood = line.as_made(row)
    (frame,) = (w for w in stood.work if isinstance(w, FrameWork))
    wires = [(m.start[0], m.end[0]) for m in frame.members if m.name == "wire"]
    assert wires
    assert all(b <= 3.5 + 1e-9 or a >= 4.5 - 1e-9 for a, b in wires)
    assert {3.5, 4.5} <= {round(x, 6) for x, _ in frame.footings}


def test_an_opening_where_a_closed_line_begins_takes_no_more_than_its_own_width():
    ring = [(5.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0), (0.0, 0.0), (5.0, 0.0)]
    found = stretch_of(ring, 0.3, LineString([(4.3, 0.0), (5.2, 0.0)]))
    assert found == pytest.approx((39.3, 40.2), abs=1e-9)


@pytest.mark.parametrize("opened", ["left", "taken"])
@pytest.mark.parametrize("rows", [1, 2])
def test_an_opening_across_where_a_closed_line_begins_leaves_both_its_parts_free(opened, rows):
    """The same ring begun elsewhere has the opening in the middle of its line: as far from it stand its plants."""
    from quincunx.plants.rows import pieces_of, points_along

    seam = [(5.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0), (0.0, 0.0), (5.0, 0.0)]
    gate = LineString([(4.3, 0.0), (5.4, 0.0)])
    stretch = stretch_of(seam, 0.3, gate)
    assert stretch is not None
    keep = {"left_out": (stretch,)} if opened == "left" else {"taken_out": (stretch,)}
    places = points_along(seam, 0.5, rows=rows, apart_m=0.4, **keep)
    near = [p for p in places if abs(p[1]) < 0.3 and 4.3 - 0.25 + 1e-6 < p[0] < 5.4 + 0.25 - 1e-6]
    assert not near
    whole = points_along(seam, 0.5, rows=rows, apart_m=0.4)
    assert len(places) < len(whole)
    if opened == "left":
        turned = [(0.0, 10.0), (0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]
        found = stretch_of(turned, 0.3, gate)
        assert found == pytest.approx((14.3, 15.4))
        (piece,) = pieces_of(seam, (stretch,))
        assert LineString(piece).length == pytest.approx(40.0 - 1.1)
        assert piece[0] == pytest.approx((5.4, 0.0))
        assert piece[-1] == pytest.approx((4.3, 0.0))


def test_a_plant_across_the_seam_of_a_closed_line_is_dug_out_for_an_opening_beside_it():
    """A ring of 21.8 m: its last plant stands at 21.75 m, 7 cm from an opening that begins at 2 cm."""
    from quincunx.plants.rows import points_along

    ring = [(0.0, 0.0), (6.0, 0.0), (6.0, 4.9), (0.0, 4.9), (0.0, 0.0)]
    (gone,) = {points_along(ring, 0.5)[-1]} - set(points_along(ring, 0.5, taken_out=((0.02, 0.9),)))
    assert LineString(ring).project(Point(gone)) == pytest.approx(21.75)
    straight = [(0.0, 0.0), (21.8, 0.0)]
    assert points_along(straight, 0.5)[-1] in points_along(straight, 0.5, taken_out=((0.02, 0.9),))
