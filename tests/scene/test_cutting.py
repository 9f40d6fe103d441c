"""Changes: what a cut leaves, what narrows and shuts, what meets nothing."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given, strategies as st
from shapely import LineString, box, union_all

from quincunx.scene import Scene, Stood, assemble, cut_solids
from quincunx.shapes import (
    Change,
    Cover,
    Crown,
    Cut,
    Guard,
    Height,
    Narrow,
    Opening,
    Plane,
    Shut,
    Slab,
    Slats,
    Solid,
    Surface,
)
from quincunx.site.ground import Ground

ON = date(2030, 8, 31)
FIELD = box(-10, -10, 20, 10)
FLAT = Ground.flat()
WALL = Solid("wall", "", box(0, -0.1, 10, 0.1), top=Height(2.4))
HOLE = box(4, -0.6, 5, 0.6)
DOOR = Opening("door", LineString([(4, 0), (5, 0)]), 1.0, 2.0)


def put_up(*stood: Stood) -> Scene:
    return assemble(Scene(ON, FIELD, FLAT), stood)


def cut_one(solid: Solid, cut: Cut, ground: Ground = FLAT) -> tuple[list[Solid], list[Change]]:
    return cut_solids([solid], [cut], ground)


def test_a_cut_leaves_both_ends():
    left, unmet = cut_one(WALL, Cut("gate", HOLE))
    assert unmet == []
    assert [s.footprint.bounds for s in left] == [(0, -0.1, 4, 0.1), (5, -0.1, 10, 0.1)]
    assert len({s.name for s in left}) == 2
    assert {s.owner for s in left} == {"wall"}
    assert all(s.top == WALL.top for s in left)


def test_a_cut_up_to_a_height_leaves_a_lintel():
    left, _ = cut_one(WALL, Cut("arch", HOLE, 2.1))
    (lintel,) = (s for s in left if s.base.value_m > 0)
    assert (lintel.base.value_m, lintel.top.value_m) == (2.1, 2.4)
    assert lintel.footprint.equals(box(4, -0.1, 5, 0.1))
    assert len({s.name for s in left}) == 3


@pytest.mark.parametrize("top_m", [1.2, 2.1])
def test_there_is_no_lintel_over_what_is_lower(top_m):
    low = Solid("wall", "", WALL.footprint, top=Height(top_m))
    assert len(cut_one(low, Cut("arch", HOLE, 2.1))[0]) == 2


def test_headroom_counts_from_the_ground_not_from_the_foot_of_a_fence():
    raised = Solid("fence", "", WALL.footprint, Height(0.2), Height(2.4))
    (lintel,) = (s for s in cut_one(raised, Cut("arch", HOLE, 2.1))[0] if s.base.value_m > 1)
    assert lintel.base.value_m == 2.1


def test_headroom_counts_from_the_ground_under_a_wall_of_level_top():
    hill = Ground.from_levels([(0, -5, 0), (10, -5, 1), (10, 5, 1), (0, 5, 0)])
    level = Solid("wall", "", WALL.footprint, top=Height(2.6, "site"))
    # The ground lies at 0.45 in the middle of the cut: 2.6 - 0.45 = 2.15 m of wall, less 2.1 m of headroom.
    (lintel,) = (s for s in cut_one(level, Cut("arch", HOLE, 2.1), hill)[0] if s.base.value_m > 0)
    assert lintel.base == Height(2.1)
    assert lintel.top == level.top
    assert len(cut_one(level, Cut("arch", HOLE, 2.2), hill)[0]) == 2


def test_what_begins_above_the_headroom_is_left_whole():
    beam = Solid("beam", "", WALL.footprint, Height(2.2), Height(2.4))
    left, unmet = cut_one(beam, Cut("arch", HOLE, 2.1))
    assert left == [beam]
    assert len(unmet) == 1


@pytest.mark.parametrize("form", [Crown(), Slab(Plane(0, 0, Height(2), 0, 0.1)), Slats(0, 0.1, 0.1)])
def test_crowns_and_roofs_are_not_cut(form):
    over = Solid("other", "", WALL.footprint, top=Height(3), form=form)
    left, unmet = cut_one(over, Cut("gate", HOLE))
    assert left == [over]
    assert len(unmet) == 1


def test_nobody_cuts_his_own():
    own = Solid("gate", "post", WALL.footprint)
    assert cut_one(own, Cut("gate", HOLE))[0] == [own]


def test_what_only_touches_is_not_met():
    beside = Solid("wall", "", box(5, -0.1, 10, 0.1))
    assert len(cut_one(beside, Cut("gate", HOLE))[1]) == 1


def test_a_cut_takes_only_what_its_line_runs_in():
    tree = Solid("tree", "stem", box(4.4, 0.3, 4.6, 0.5))
    line = LineString([(4, 0), (5, 0)])
    left, unmet = cut_solids([tree, WALL], [Cut("gate", HOLE, through=line)], FLAT)
    assert unmet == []
    assert [s.name for s in left] == ["tree/stem", "wall", "wall/~gate1"]
    assert len(cut_solids([tree], [Cut("gate", HOLE, through=line)], FLAT)[1]) == 1


def test_a_cut_for_retaining_walls_takes_no_other():
    held = Solid("edge", "", WALL.footprint, retains=True)
    steps = Cut("steps", HOLE, needed=False, only="retaining")
    assert len(cut_one(held, steps)[0]) == 2
    assert cut_one(WALL, steps) == ([WALL], [])


def test_a_cut_that_is_not_needed_is_never_unmet():
    assert put_up(Stood(changes=(Cut("arch", HOLE, needed=False),))).unmet == ()
    assert len(put_up(Stood(changes=(Cut("arch", HOLE),))).unmet) == 1


def test_a_cut_of_all_leaves_nothing():
    assert cut_one(WALL, Cut("gate", box(-1, -1, 11, 1))) == ([], [])


def test_a_climber_narrows_and_never_below_nothing():
    scene = put_up(Stood(openings=(DOOR,)), Stood(changes=(Narrow("rose", "door", 0.2, 0.3),)))
    assert (scene.openings[0].width_m, scene.openings[0].headroom_m) == pytest.approx((0.6, 1.7))
    closed = put_up(Stood(openings=(DOOR,)), Stood(changes=(Narrow("rose", "door", 0.9, 3.0),)))
    assert (closed.openings[0].width_m, closed.openings[0].headroom_m) == (0.0, 0.0)


def test_two_climbers_narrow_twice():
    changes = (Narrow("ivy", "door", 0.1, 0.0), Narrow("rose", "door", 0.2, 0.1))
    assert put_up(Stood(openings=(DOOR,), changes=changes)).openings[0].width_m == pytest.approx(0.4)


def test_an_opening_without_a_top_gets_none_by_a_climber():
    sky = Opening("door", DOOR.clear, 1.0)
    assert put_up(Stood(openings=(sky,), changes=(Narrow("rose", "door", 0.1, 0.5),))).openings[0].headroom_m is None


def test_a_gate_shut_for_good_is_more_than_locked():
    scene = put_up(Stood(openings=(DOOR,), changes=(Shut("hurdle", "door"),)))
    assert scene.openings[0].latch == "shut"


def test_a_house_with_two_doors_keeps_both():
    back = Opening("door", LineString([(7, 0), (7.8, 0)]), 0.8, 2.0)
    scene = put_up(Stood(openings=(DOOR, back), changes=(Narrow("rose", "door", 0.1, 0.0),)))
    assert [o.width_m for o in scene.openings] == pytest.approx([0.8, 0.6])


@pytest.mark.parametrize("change", [Shut("hurdle", "no-door"), Narrow("rose", "no-door", 0.1, 0.1)])
def test_a_change_to_nothing_is_unmet(change):
    assert put_up(Stood(openings=(DOOR,), changes=(change,))).unmet == (change,)


def test_covers_and_guards_are_kept_for_the_engines():
    cover, guard = Cover("net", HOLE, 0.02), Guard("tube", 1.2, 0.03, "tree")
    scene = put_up(Stood(changes=(guard, cover)))
    assert (scene.covers, scene.guards, scene.unmet) == ((cover,), (guard,), ())


def test_what_a_feature_takes():
    floor = Surface("wall", "plinth", box(0, 0, 10, 1), "stone")
    scene = put_up(Stood((WALL,), (floor,)), Stood(openings=(DOOR,)))
    area = scene.area_of("wall")
    assert area is not None
    assert area.equals(union_all([WALL.footprint, floor.area]))
    assert scene.stands("door")
    assert not scene.stands("nobody")
    assert scene.area_of("nobody") is None


spans = st.tuples(st.integers(0, 100), st.integers(1, 40))


@given(
    st.lists(spans, min_size=1, max_size=4),
    st.lists(st.tuples(spans, st.sampled_from([None, 0.5, 1.0, 3.0])), max_size=4),
)
def test_no_cut_adds_or_loses_anything(walls, cuts):
    """What stands after is what stood, less the places of the cuts below their height."""
    solids = [Solid(f"w{i}", "", box(a, 0, a + n, 1), top=Height(2.0)) for i, (a, n) in enumerate(walls)]
    made = [Cut(f"c{i}", box(a, -1, a + n, 2), up_to) for i, ((a, n), up_to) in enumerate(cuts)]
    left, unmet = cut_solids(solids, made, FLAT)
    for i in range(len(solids)):
        mine = [s for s in left if s.owner == f"w{i}"]
        low = union_all([s.footprint for s in mine if s.base.value_m < 0.25])
        want = solids[i].footprint.difference(union_all([c.place for c in made]))
        assert low.symmetric_difference(want).area < 1e-9
        assert union_all([s.footprint for s in mine]).difference(solids[i].footprint).area < 1e-9
        assert all(s.footprint.is_valid and s.base.value_m < s.top.value_m for s in mine)
    for cut in made:
        met = any(s.footprint.intersection(cut.place).area > 0 for s in solids)
        assert (cut in unmet) <= (not met or len(made) > 1)


def test_steps_and_ramps_through_a_terrace_edge_are_openings_of_it():
    edge = Solid("edge", "", box(0, 4, 10, 4.4), top=Height(0.6), retains=True)
    flight = Cut(
        "steps", box(4, 3, 5.2, 5), needed=False, only="retaining", way=LineString([(4.6, 3), (4.6, 5)]), step_m=0.15
    )
    scene = put_up(Stood((edge,), changes=(flight,)))
    (opening,) = [o for o in scene.openings if o.owner == "steps"]
    assert opening.clear.length == opening.width_m == pytest.approx(1.2)
    assert [y for _, y in opening.clear.coords] == pytest.approx([4.2, 4.2])
    assert (opening.step_m, opening.leaf, opening.headroom_m) == (0.15, None, None)


@pytest.mark.parametrize("flight", [
    Cut("steps", box(4, 13, 5.2, 15), needed=False, only="retaining", way=LineString([(4.6, 13), (4.6, 15)])),
    Cut("gate", box(4, 3, 5.2, 5)),
])  # fmt: skip
def test_steps_on_open_ground_and_gates_make_no_opening_of_their_own(flight):
    edge = Solid("edge", "", box(0, 4, 10, 4.4), top=Height(0.6), retains=True)
    assert put_up(Stood((edge,), changes=(flight,))).openings == ()
