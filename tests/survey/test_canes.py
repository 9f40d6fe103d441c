"""Canes and strings show a thing at its true size, on the slope too; nearer ones hide as much from where one stands."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given, strategies as st
from shapely import Point, box

from quincunx.demos import demo_garden
from quincunx.garden import timeline
from quincunx.shapes import Crown, Height, Plane, Slab, Solid
from quincunx.sheets._canes import coming, trial
from quincunx.survey.canes import APART_M, LONG_M, MOST, Cane, canes, nearer


def flat(_x: float, _y: float) -> float:
    return 0.0


def slope(x: float, y: float) -> float:
    """Falls one in ten to the south and one in forty to the east."""
    return 0.1 * y - 0.025 * x


def test_a_hedge_on_a_slope_has_its_string_at_its_height_above_the_ground_at_every_cane() -> None:
    hedge = Solid("hedge", "", box(0, 0, 0.6, 10), top=Height(1.8))
    found = canes([hedge], slope)
    assert len(found) >= math.ceil(10 / APART_M)
    assert all(c.string_m == pytest.approx(1.8, abs=1e-9) for c in found)
    ends = sorted(c.at[1] for c in found)
    assert (ends[0], ends[-1]) == pytest.approx((0, 10), abs=0.01)
    assert all(b - a <= APART_M + 0.01 for a, b in itertools.pairwise(ends))


def test_a_wall_with_a_level_top_has_strings_that_grow_as_the_ground_falls() -> None:
    """Level top 3.0 m over the datum, ground from 0 to 1.0 m: strings 3.0 to 2.0 m (worked by hand)."""
    wall = Solid("wall", "", box(0, 0, 0.3, 10), top=Height(3.0, "site"))
    found = canes([wall], lambda _x, y: 0.1 * y)
    for c in found:
        assert c.string_m == pytest.approx(3.0 - 0.1 * c.at[1], abs=0.01)


def test_a_lean_to_roof_has_its_string_on_its_slope_and_an_underside() -> None:
    """A roof 3 m deep falling 1 in 6 to the south from 2.8 m: 2.8 m at the back, 2.3 m at the eaves (by hand)."""
    roof = Solid("roof", "", box(0, 0, 4, 3), form=Slab(Plane(0, 3, Height(2.8), 180.0, 1 / 6), 0.05), base=Height(2.2))
    found = canes([roof], flat)
    by_side = {round(c.at[1]): c for c in found}
    assert by_side[3].string_m == pytest.approx(2.8, abs=1e-6)
    assert by_side[0].string_m == pytest.approx(2.3, abs=1e-6)
    assert by_side[0].under_m is None  # it is 5 cm below the string


@pytest.mark.parametrize(("outline", "rim"), [("ellipsoid", 3.0), ("dome", 2.0), ("cone", 2.0)])
def test_a_round_head_is_whole_in_the_middle_and_at_its_widest_at_the_rim(outline: str, rim: float) -> None:
    tree = Solid("tree", "", Point(5, 5).buffer(2, quad_segs=64), Height(2), Height(4), Crown(outline))  # type: ignore[arg-type]
    middle, *sides = canes([tree], flat)
    assert middle.string_m == pytest.approx(4.0, abs=1e-6)
    assert len(sides) == 4
    assert all(c.string_m == pytest.approx(rim, abs=0.05) for c in sides)


def test_what_is_low_or_nothing_has_no_canes_and_a_long_row_no_more_than_anyone_carries() -> None:
    assert canes([], flat) == ()
    assert canes([Solid("kerb", "", box(0, 0, 5, 0.2), top=Height(0.1))], flat) == ()
    long = Solid("hedge", "", box(0, 0, 90, 0.6), top=Height(2))
    assert len(canes([long], flat)) == MOST
    row = [Solid("row", str(k), Point(3 * k, 0).buffer(1), Height(0.5), Height(3), Crown()) for k in range(5)]
    assert [c.at[0] for c in canes(row, flat)] == pytest.approx([0, 3, 6, 9, 12], abs=0.01)


@given(
    far=st.floats(4, 40),
    top=st.floats(2.5, 9),
    eye=st.floats(0.9, 1.8),
    turn=st.floats(0, 360),
    fall=st.floats(-0.1, 0.1),
)
def test_a_nearer_string_lies_on_the_line_from_the_eye_to_the_top(
    far: float, top: float, eye: float, turn: float, fall: float
) -> None:
    """Similar triangles: eye, nearer string and top lie on one line (Euclid, Elements, book VI, proposition 4)."""

    def ground(x: float, y: float) -> float:
        return fall * x + 0.02 * y

    at = (far * math.sin(math.radians(turn)), far * math.cos(math.radians(turn)))
    near = nearer(Cane(at, top), (0.0, 0.0), eye, ground)
    if near is None:
        return
    level, high = ground(0, 0) + eye, ground(*at) + top
    seen = (ground(*near.at) + near.string_m - level) / near.from_eye_m
    assert seen == pytest.approx((high - level) / far, abs=1e-9)
    assert near.string_m <= LONG_M + 1e-9
    assert math.dist((0, 0), near.at) == pytest.approx(near.from_eye_m)


def test_what_a_cane_can_show_needs_no_other() -> None:
    assert nearer(Cane((5, 0), 2.0), (0, 0), 1.6, flat) is None


@pytest.mark.parametrize("demo", ["ropewalk", "kettle-hill"])
def test_strings_equal_the_tops_of_what_stands_at_every_cane_of_the_demos(demo: str) -> None:
    """To 1 cm, on the lying ground, for what has an even top: the string is the top of the solid that stands there."""
    garden = demo_garden(demo)
    through = timeline(garden)
    scene = through.at(through.leaf_date(through.years[-1]))
    tried = 0
    for owner in coming(through, garden.features):
        even = [s for s in scene.solids if s.owner == owner]
        if any(isinstance(s.form, (Crown, Slab)) for s in even):
            continue
        for c in trial(scene, owner).canes:
            under = [s for s in even if s.footprint.distance(Point(c.at)) < 0.4]
            tops = [s.top.above_ground_m(scene.ground_z_m(*c.at)) for s in under]
            assert min(abs(c.string_m - t) for t in tops) < 0.01, (owner, c)
            tried += 1
    assert tried >= 8
