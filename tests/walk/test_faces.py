"""Steep faces, steps beside them, tree guards, and what the words pass over."""

import pytest
from shapely import Point, box

from quincunx.scene import Spot
from quincunx.shapes import Height, Risers, Slab, Solid, Surface
from quincunx.shapes.heights import Plane
from quincunx.site.ground import Ground
from quincunx.walk.crossings import crossings
from quincunx.walk.ground import FreeGround, free_ground, quarter_pieces
from quincunx.walk.links import convex_parts
from quincunx.walk.reach import Walk
from tests.walk.grounds import hedge, known, scene, wall

WORLD = box(0, 0, 10, 10)
PERSON, BARROW = known("person"), known("barrow")


def terrace(high_m: float) -> Ground:
    """Return ground with an upright face across y = 5: two break lines 10 cm apart."""
    far = [(x, y, z) for x in (-5.0, 15.0) for y, z in ((-5.0, 0.0), (15.0, high_m))]
    lines = [[(-5.0, 5.0, 0.0), (15.0, 5.0, 0.0)], [(-5.0, 5.1, high_m), (15.0, 5.1, high_m)]]
    return Ground.from_levels(far, lines)


def crosses(free: FreeGround) -> bool:
    return bool(free.pieces_at(Point(5, 1)) & free.pieces_at(Point(5, 9)))


@pytest.mark.parametrize(
    ("who", "high_m", "passes"),
    [(PERSON, 0.3, True), (PERSON, 0.5, False), (BARROW, 0.05, True), (BARROW, 0.2, False)],
)
def test_a_face_is_stepped_up_if_it_is_no_higher_than_a_step(who, high_m, passes):
    assert crosses(free_ground(scene(WORLD, ground=terrace(high_m)), who)) == passes


def test_steps_lead_up_a_face():
    steps = Surface("steps", "", box(4, 4, 5.2, 5.05), "flags", Risers(0.0, 4, 0.2, 0.35))
    here = scene(WORLD, surfaces=[steps], ground=terrace(0.8))
    assert crosses(free_ground(here, PERSON))
    assert not crosses(free_ground(here, BARROW))


def test_a_pitched_roof_is_walked_under_where_it_is_high_enough():
    # Falls south at 1 in 4 from 2.6 m at y = 6: 1.9 m clear (with 0.1 m of thickness) down to y = 3.6.
    plane = Plane(0, 6, Height(2.6), 180.0, 0.25)
    roof = Solid("roof", "", box(-5, 2, 15, 6), form=Slab(plane, 0.1), top=Height(2.6), base=Height(1.5))
    free = free_ground(scene(WORLD, solids=[roof]), PERSON)
    low = max(b.shape.bounds[3] for b in free.found)
    assert low == pytest.approx(3.6, abs=0.5)
    assert not crosses(free)


def test_a_guard_round_a_tree_is_one_piece_and_a_garden_wall_is_not():
    ring = Point(5, 5).buffer(0.3, quad_segs=16).difference(Point(5, 5).buffer(0.28, quad_segs=16))
    guard = Solid("guard", "", ring, top=Height(1.8))
    walled = box(1, 1, 9, 9).difference(box(1.2, 1.2, 8.8, 8.8))
    free = Walk(scene(WORLD, solids=[guard, Solid("wall", "", walled, top=Height(1.8))]), PERSON).free
    parts, owner = convex_parts(free.found)
    assert sum(free.found[i].owner == "guard" for i in owner) == 1
    assert sum(free.found[i].owner == "wall" for i in owner) > 1
    assert len(parts) == len(owner)
    assert free.piece_of((5, 5)) != free.piece_of((3, 3)) != free.piece_of((0, 0))


@pytest.mark.parametrize("radius_m", [0.1, 0.225, 0.6, 1.1])
def test_round_corners_are_drawn_within_five_millimetres(radius_m):
    from math import cos, pi

    assert radius_m * (1 - cos(pi / 4 / quarter_pieces(radius_m))) <= 0.005


def test_what_is_stepped_over_without_noticing_is_not_told():
    edging, low = wall("edging", -5, 2, 15, 2.05, 0.05), wall("low-wall", -5, 4, 15, 4.2, 0.4)
    young = hedge("young-hedge", -5, 6, 15, 6.4, 0.5, gap_m=0.6)
    spots = (Spot("a", "a", (5, 1)), Spot("b", "b", (5, 9)))
    walk = Walk(scene(WORLD, solids=[edging, low, young], spots=spots), PERSON)
    way = walk.way("a", "b")
    assert way is not None
    met = crossings(walk.scene, PERSON, way)
    assert [(c.owner, c.how) for c in met] == [("low-wall", "over"), ("young-hedge", "through")]
    assert [c.size_m for c in met] == pytest.approx([0.4, 0.6])
