"""Floors, beds, water and level changes."""

from __future__ import annotations

import math
from datetime import date
from typing import cast

import pytest
from pydantic import ValidationError
from shapely import LineString, Point, box

from quincunx.features._floors import FLOORS, Finish, Lies, depth_m, floor_work
from quincunx.features.pond import Pond
from quincunx.features.terrace_edge import TerraceEdge
from quincunx.shapes import AreaWork, Plane
from quincunx.site.ground import Ground
from quincunx.units.fields import Length
from tests.features.standing import make, moment, points, scene_of, stand

SQUARE = [[0, 0], [4, 0], [4, 4], [0, 4]]


def shown_at(scene, x: float, y: float) -> str:
    """The owner of the surface that shows at a point."""
    return str(max((s for s in scene.surfaces if s.area.covers(Point(x, y))), key=lambda s: s.layer).owner)


def test_laid_floors_show_over_sown_ground():
    lawn = make("lawn", outline=[[-9, -9], [9, -9], [9, 9], [-9, 9]], rounding=0)
    order = ["meadow", "smothered-ground", "bed", "mulch", "gravel", "paving", "pond"]
    laid = [make(kind, outline=SQUARE, rounding=0) for kind in order]
    for lower, upper in zip([lawn, *laid], laid, strict=False):
        assert shown_at(scene_of(lower, upper), 2, 2) == upper.id
        assert shown_at(scene_of(upper, lower), 2, 2) == upper.id


def test_the_order_of_layers_is_the_stated_one():
    assert list(Lies) == sorted(Lies)
    assert (Lies.LAWN, Lies.BED, Lies.PATH) == (0, 12, 20)


@pytest.mark.parametrize("kind", ["lawn", "meadow"])
def test_grass_is_firmest_in_summer_on_both_halves_of_the_world(kind):
    north, south = (stand(make(kind), moment(southern=s)).surfaces[0].firmness for s in (False, True))
    assert north[6] > north[0]
    assert south == north[6:] + north[:6]
    assert south[0] > south[6]


def test_turf_is_a_layer_and_seed_has_no_thickness():
    turf, seed = (cast("AreaWork", stand(make("lawn", made_by=by)).work[0]) for by in ("turf", "seed"))
    assert turf.layers[0].thickness_m > 0
    assert seed.layers[0].thickness_m == 0


def test_a_bed_is_planted_ground_with_or_without_a_cover():
    bare = stand(make("bed", plant=None))
    assert bare.surfaces[0].planted
    assert not bare.solids
    assert not bare.plants
    covered = stand(make("bed"))
    assert covered.surfaces[0].planted
    assert covered.solids[0].reluctant


def test_the_cover_of_a_bed_grows_and_closes():
    young, old = (stand(make("bed"), moment(age=age)).solids[0] for age in (0.0, 6.0))
    assert young.top.value_m < old.top.value_m
    assert young.gap_m > old.gap_m == 0
    assert young.opacity[5] < old.opacity[5]


def test_a_bed_there_at_the_start_is_as_old_as_said():
    old = stand(make("bed", there_from="start", age_at_start=5.0), moment(age=1.0))
    same = stand(make("bed"), moment(age=6.0))
    assert old.solids[0].top == same.solids[0].top


def test_the_plants_of_a_bed_stand_apart_and_inside():
    bed = make("bed", outline=[[0, 0], [5, 0], [5, 2], [0, 2]], spacing=0.5)
    at = stand(bed).plants[0].at
    # Staggered at 0.5 m, half of that clear at the edges: 4.5 m takes 10 to a row, 1.5 m takes 4 rows 0.433 m apart,
    # every second one with one less (worked here).
    assert len(at) == 10 + 9 + 10 + 9
    assert all(box(0, 0, 5, 2).covers(Point(p)) for p in at)
    assert min(math.dist(a, b) for i, a in enumerate(at) for b in at[:i]) >= 0.5 - 1e-9


def test_a_tiny_bed_holds_one_plant():
    assert stand(make("bed", outline=[[0, 0], [0.2, 0], [0.2, 0.2]])).plants[0].count == 1


def test_a_vast_bed_still_stands():
    bed = make("bed", outline=[[0, 0], [400, 0], [400, 400], [0, 400]], spacing=0.05)
    assert 1000 < stand(bed).plants[0].count <= 7000


def test_mulch_over_a_bed_keeps_feet_off_unless_nothing_stands_in_it():
    assert stand(make("mulch")).surfaces[0].planted
    assert not stand(make("mulch", planted=False)).surfaces[0].planted


def test_paving_is_finished_again_on_the_level_and_depth_of_the_start():
    paving = make("paving")
    assert paving.finish_ids() == ("first-gravel", "brick")
    first, second = (stand(paving, moment(stage=stage)) for stage in (0, 1))
    assert [s.surfaces[0].material for s in (first, second)] == ["gravel", "brick"]
    deep = [sum(layer.thickness_m for layer in cast("AreaWork", s.work[0]).layers) for s in (first, second)]
    # Gravel 50 + 100 mm; brick 65 + 25 + 100 mm: the first digs 190 mm and fills 40 (worked here).
    assert deep[0] == pytest.approx(0.19)
    # The brick lies on the stone that is there: it digs nothing and brings brick and sand, 65 + 25 mm.
    assert deep[1] == pytest.approx(0.09)
    assert [cast("AreaWork", s.work[0]).dug for s in (first, second)] == [True, False]
    work = cast("AreaWork", second.work[0])
    assert (work.pattern, work.unit_m) == ("herringbone", (0.2, 0.1))


def test_paving_at_a_level_falls_the_way_it_is_told():
    lie = stand(make("paving", outline=SQUARE, level=0.15, falls=0.0125, falls_deg=90)).surfaces[0].lie
    assert isinstance(lie, Plane)
    assert (lie.x_m, lie.y_m, lie.at.value_m, lie.fall_deg, lie.grade) == (2.0, 2.0, 0.15, 90.0, 0.0125)


def test_paving_that_is_turned_falls_the_same_way_over_itself():
    paving = make("paving", level=0.1, falls_deg=200)
    turned = paving.changed(**paving.moved(0, 0, 200, (0, 0)))
    lie = stand(turned).surfaces[0].lie
    assert isinstance(lie, Plane)
    assert lie.fall_deg == 40.0


@pytest.mark.parametrize("floor", sorted(FLOORS))
def test_every_floor_has_its_layers_and_takes_another_bedding(floor):
    finish = Finish(floor=floor)
    assert depth_m(finish) == pytest.approx(sum(layer.thickness_m for layer in FLOORS[floor].layers))
    other = Finish(floor=floor, base="concrete").layers()
    assert len(other) == len(finish.layers())
    assert depth_m(Finish(floor=floor, dig=Length(0.3))) == 0.3
    assert floor_work("x", box(0, 0, 1, 1), finish, [finish]).layers == finish.layers()


def test_units_of_a_size_of_their_own():
    assert Finish(floor="flags", unit_long=Length(0.9)).unit_m() == (0.9, 0.6)
    assert Finish(floor="gravel").unit_m() is None


def test_a_pond_is_shallow_at_its_margin_and_deep_within():
    scene = scene_of(make("pond", outline=SQUARE, rounding=0, margin=0.5, margin_depth=0.2, depth=0.9, edge_width=0.3))
    depth = {
        (x, y): max((s for s in scene.surfaces if s.area.covers(Point(x, y))), key=lambda s: s.layer).water_depth_m
        for x, y in [(2, 2), (0.25, 2), (-0.15, 2)]
    }
    assert depth == {(2, 2): 0.9, (0.25, 2): 0.2, (-0.15, 2): 0.0}


def test_what_a_pond_holds():
    pond = cast("Pond", make("pond", outline=SQUARE, rounding=0, margin=0.5, margin_depth=0.2, depth=0.9))
    # 3 x 3 m at 0.9 m and a border of 16 - 9 m2 at 0.2 m: geometry.
    assert pond.volume_m3() == pytest.approx(9 * 0.9 + 7 * 0.2)


def test_a_pond_that_is_all_margin_or_all_deep_or_without_an_edge():
    parts = [s.part for s in stand(make("pond", outline=SQUARE, margin=3)).surfaces]
    assert parts == ["margin", "edge"]
    assert [s.part for s in stand(make("pond", margin=0, edge_width=0)).surfaces] == ["deep"]


def test_the_margin_of_a_puddle_is_no_deeper_than_its_middle():
    assert {s.water_depth_m for s in stand(make("pond", depth=0.1)).surfaces if s.part != "edge"} == {0.1}


@pytest.mark.parametrize("high_left", [True, False])
def test_a_terrace_edge_stands_on_its_lower_side(high_left):
    edge = cast("TerraceEdge", make("terrace-edge", line=[[0, 0], [6, 0]], high_left=high_left, thickness=0.4))
    solid = stand(edge).solids[0]
    south = box(0, -0.4, 6, 0)
    assert solid.footprint.symmetric_difference(south if high_left else box(0, 0, 6, 0.4)).area < 1e-9
    assert solid.top.value_m == float(edge.retained)
    assert solid.retains


def test_a_terrace_edge_breaks_the_ground():
    edge = cast("TerraceEdge", make("terrace-edge", line=[[0, 0], [6, 0]], retained=0.6, thickness=0.4))
    (change,) = edge.level_changes()
    assert change.upper == ((0, 0), (6, 0))
    assert [p == pytest.approx(q) for p, q in zip(change.lower, [(0, -0.4), (6, -0.4)], strict=True)] == [True, True]
    # Given to the ground as two break lines it drops there by what is retained.
    breaks = [[(x, y, 0.6) for x, y in change.upper], [(x, y, 0.0) for x, y in change.lower]]
    ground = Ground.from_levels([(0, 5, 0.6), (6, 5, 0.6), (0, -5, 0), (6, -5, 0)], breaks)
    assert float(ground.height(3, 0.01)) == pytest.approx(0.6)
    assert float(ground.height(3, -0.41)) == pytest.approx(0.0)


def test_a_bank_can_be_walked_and_a_wall_cannot():
    bank = stand(make("terrace-edge", made="grass bank", thickness=1.5))
    assert bank.solids == ()
    assert sum(s.area.area for s in bank.surfaces) == pytest.approx(
        1.5 * LineString(((0, 0), (6, 0), (8, 2))).length, rel=0.1
    )


def test_the_strokes_of_a_terrace_edge_point_down():
    for high_left, sign in ((True, -1), (False, 1)):
        strokes = stand(make("terrace-edge", line=[[0, 0], [6, 0]], high_left=high_left)).figures[2:]
        assert len(strokes) == 10
        ends = [points(s) for s in strokes]
        assert all(sign * (end[1] - start[1]) > 0.2 for start, end in ends)


@pytest.mark.parametrize(
    ("outline", "words"),
    [
        ([[0, 0], [4, 4], [4, 0], [0, 4]], "crosses"),
        ([[0, 0], [2, 0], [4, 0]], "outline"),
        ([[1, 1], [1, 1], [1, 1]], "outline"),
    ],
)
def test_an_outline_that_encloses_nothing_or_crosses_itself_is_refused(outline, words):
    with pytest.raises(ValidationError, match=words):
        make("lawn", outline=outline)


def test_a_line_that_goes_nowhere_is_refused():
    with pytest.raises(ValidationError, match="put its ends at different places"):
        make("path", line=[[1, 1], [1, 1]])


def test_a_heap_takes_its_place_only_while_it_lasts():
    assert make("material-heap").there_until == "2028-07"
    loose, stack = stand(make("material-heap", of="soil")), stand(make("material-heap", of="bricks"))
    assert [s.top.value_m for s in stack.solids] == [0.9]
    assert [s.top.value_m for s in loose.solids] == [0.45, 0.9]
    assert loose.solids[1].footprint.area < loose.solids[0].footprint.area


def test_the_top_of_a_cage_comes_off_in_winter_wherever_winter_is():
    cage = make("cage")
    covered = {
        southern: [m for m in range(1, 13) if stand(cage, moment(date(2030, m, 1), southern=southern)).changes]
        for southern in (False, True)
    }
    assert covered == {False: [4, 5, 6, 7, 8, 9, 10], True: [1, 2, 3, 4, 10, 11, 12]}
    assert all(stand(make("cage", top_off_in_winter=False), moment(date(2030, m, 1))).changes for m in (1, 7))
