"""Ways fit for wheels: the rules are those published, and ways made to measure keep or break them by a hair."""

import math
from itertools import pairwise

import pytest
from hypothesis import given, settings, strategies as st
from shapely import box

from quincunx.shapes import Height, Plane, Risers, Surface
from quincunx.site.ground import Ground
from quincunx.walk.going import Going, Stretch
from quincunx.walk.reach import walk_of
from quincunx.walk.ways import Way
from quincunx.walk.wheel_rules import RULES, Lack, RuleName, lacks, slope_lacks
from tests.walk.grounds import known, scene, wall
from tests.walk.published import WIDTHS

FT, IN = 0.3048, 0.0254


def profile(*parts: tuple[float, float]) -> Going:
    """Return a way of (slope, length [m]) pieces."""
    out, x = [], 0.0
    for slope, length in parts:
        out.append(Stretch((x, 0), (x + length, 0), length, slope * length, 0.0, 0.0, "w", "stone", 1.0, made=True))
        x += length
    return Going(tuple(out))


def asked(found: tuple[Lack, ...]) -> list[str]:
    return [lack.asks for lack in found]


@pytest.mark.parametrize(
    ("rule", "figure", "row"),
    [
        ("walk", "width_m", "W1"),
        ("walk", "narrow_m", "W1b"),
        ("walk", "narrow_long_m", "W1c"),
        ("walk", "passing_m", "W2"),
        ("walk", "passing_every_m", "W2b"),
        ("walk", "cross_hard", "W3b"),
        ("walk", "run_rise_m", "W4b"),
        ("trail", "width_m", "W6"),
        ("trail", "passing_m", "W2"),
        ("trail", "passing_every_m", "W6b"),
        ("trail", "cross_hard", "W8"),
        ("trail", "cross_loose", "W8b"),
        ("trail", "steep_share", "W7g"),
        ("trail", "steep", "W7b"),
    ],
)
def test_the_figures_of_the_rules_are_those_published(rule: RuleName, figure, row):
    assert getattr(RULES[rule], figure) == pytest.approx(WIDTHS[row], abs=1e-6)


def test_the_slopes_of_the_rules_are_those_published():
    trail, walk, route = (RULES[r].slopes for r in ("trail", "walk", "route"))
    assert [g for g, _ in trail] == pytest.approx([WIDTHS[r] for r in ("W7a", "W7b", "W7d", "W7")])
    assert [m for _, m in trail] == pytest.approx([WIDTHS[r] for r in ("W7c", "W7e", "W7f")] + [0])
    assert [g for g, _ in walk] == pytest.approx([WIDTHS["W3"], WIDTHS["W4"]])
    assert route[-1][0] == pytest.approx(WIDTHS["W9"])


@pytest.mark.parametrize(
    ("parts", "fits"),
    [
        # ABA outdoor developed areas 1017.7.1: 1:20 any length, to 1:12 200 ft, to 1:10 30 ft, to 1:8 10 ft.
        ([(1 / 20, 900 * FT)], True),
        ([(1 / 19, 200 * FT), (0, 5), (0.01, 800 * FT)], True),
        ([(1 / 19, 201 * FT), (0, 5), (0.01, 800 * FT)], False),
        ([(1 / 12, 200 * FT), (0, 2), (1 / 12, 200 * FT), (0, 2)], True),
        ([(1 / 10, 30 * FT), (0, 100 * FT)], True),
        ([(1 / 10, 31 * FT), (0, 100 * FT)], False),
        ([(1 / 8, 10 * FT), (0, 100 * FT)], True),
        ([(1 / 8, 10.2 * FT), (0, 100 * FT)], False),
        ([(1 / 7.9, 1 * FT), (0, 100 * FT)], False),
        # No more than 30 per cent of the length over 1:12.
        ([(1 / 10, 29 * FT), (0, 2), (1 / 10, 29 * FT), (0, 120 * FT)], False),
        ([(1 / 10, 29 * FT), (0, 2), (1 / 10, 29 * FT), (0, 140 * FT)], True),
    ],
)
def test_a_trail_may_be_so_steep_for_so_long(parts, fits):
    assert (slope_lacks(profile(*parts), RULES["trail"]) == ()) == fits


def test_a_ramp_climbs_thirty_inches_between_landings():
    # 2010 ADA Standards 405.2 and 405.6: 1:12, 30 in a run; 405.7 landings of 60 in.
    walk = RULES["walk"]
    assert slope_lacks(profile((1 / 12, 30 * FT)), walk) == ()
    (high,) = slope_lacks(profile((1 / 12, 31 * FT)), walk)
    assert (high.asks, round(high.found, 4)) == ("rise", round(31 / 12 * FT, 4))
    assert slope_lacks(profile((1 / 12, 30 * FT), (0, WIDTHS["W4d"]), (1 / 12, 30 * FT)), walk) == ()
    assert asked(slope_lacks(profile((1 / 12, 30 * FT), (0, 50 * IN), (1 / 12, 30 * FT)), walk)) == ["rise"]
    assert slope_lacks(profile((1 / 16, 40 * FT)), walk) == ()  # gentler may be longer: the rise is what counts
    assert asked(slope_lacks(profile((1 / 11, 3)), walk)) == ["slope"]


@given(st.lists(st.tuples(st.floats(0, 0.124), st.floats(0.1, 80)), min_size=1, max_size=8))
@settings(max_examples=80, deadline=None)
def test_a_gentler_way_never_lacks_more(parts):
    rule = RULES["trail"]
    if slope_lacks(profile(*parts), rule) == ():
        assert slope_lacks(profile(*((g * 0.9, m) for g, m in parts)), rule) == ()
    backwards = profile(*((-g, m) for g, m in reversed(parts)))
    assert (slope_lacks(backwards, rule) == ()) == (slope_lacks(profile(*parts), rule) == ())


def corridor(width_m: float, *, narrow_m: float | None = None, narrow_long_m: float = 0.0, long_m: float = 20.0):
    """Return a walk along a corridor of a width, with one narrow place in its middle, and the way through it."""
    half = width_m / 2
    solids = [wall("left", -1, -2, 0, long_m + 2), wall("right", width_m, -2, width_m + 1, long_m + 2)]
    if narrow_m is not None:
        y0, y1, push = (long_m - narrow_long_m) / 2, (long_m + narrow_long_m) / 2, (width_m - narrow_m) / 2
        solids += [wall("post-a", -0.5, y0, push, y1), wall("post-b", width_m - push, y0, width_m + 0.5, y1)]
    here = scene(box(-1, -2, width_m + 1, long_m + 2), solids=solids)
    return walk_of(here, known("wheelchair"), polite=True), Way(((half, 0.0), (half, long_m)), long_m)


@pytest.mark.parametrize(
    ("width_in", "narrow_in", "long_in", "fits"),
    [
        (36.1, None, 0, True),
        (35, None, 0, False),
        (48, 32.1, 20, True),  # 403.5.1: 32 in for no more than 24 in
        (48, 32.1, 60, False),
    ],
)
def test_width_and_narrow_places(width_in, narrow_in, long_in, fits):
    narrow = None if narrow_in is None else narrow_in * IN
    walk, way = corridor(width_in * IN, narrow_m=narrow, narrow_long_m=long_in * IN)
    found = lacks(walk, way, RULES["walk"])
    assert (asked(found) == []) == fits
    if not fits:
        assert asked(found) == ["width"]
        assert found[0].owner in {"left", "right", "post-a", "post-b"}


def test_passing_places():
    # 403.5.3: narrower than 60 in, a place of 60 by 60 in every 200 ft; 1017.4 the same every 1000 ft on a trail.
    walk, way = corridor(1.0, long_m=190 * FT)
    assert lacks(walk, way, RULES["walk"]) == ()
    walk, way = corridor(1.0, long_m=210 * FT)
    (lack,) = lacks(walk, way, RULES["walk"])
    assert (lack.asks, round(lack.found, 2)) == ("passing", round(210 * FT, 2))
    assert lacks(walk, way, RULES["trail"]) == ()
    walk, way = corridor(1.6, long_m=210 * FT)
    assert lacks(walk, way, RULES["walk"]) == ()


@pytest.mark.parametrize(
    ("firm", "slope", "fits"),
    [(1.0, 1 / 49, True), (1.0, 1 / 40, False), (0.7, 1 / 40, True), (0.7, 1 / 19, False)],
)
def test_hard_floors_may_fall_less_across_than_loose_ones(firm, slope, fits):
    # W8, trail cross slope 1017.7.2: 1:48 hard, 1:20 loose where it must drain.
    path = Surface("path", "", box(0, 0, 20, 4), "floor", Plane(0, 0, Height(0), 180.0, slope), (firm,) * 12)
    walk = walk_of(scene(box(0, 0, 20, 4), surfaces=[path]), known("wheelchair"), polite=True)
    found = lacks(walk, Way(((2, 2), (18, 2)), 16.0), RULES["trail"])
    assert (asked(found) == []) == fits
    if not fits:
        assert asked(found) == ["cross"]


def test_steps_are_told_with_their_number_and_place():
    flight = Surface("flight", "", box(0, 2, 4, 3.2), "stone", Risers(0.0, 4, 0.15, 0.3))
    here = scene(box(0, 0, 4, 10), surfaces=[flight])
    found = lacks(walk_of(here, known("wheelchair")), Way(((2, 1), (2, 9)), 8.0), RULES["route"])
    step = next(lack for lack in found if lack.asks == "step")
    assert (step.found, step.owner) == (4, "flight")


def test_hills_are_judged_as_they_lie():
    ground = Ground.from_levels([(x, y, y / 15) for x in (-5.0, 25.0) for y in (-5.0, 60.0)])
    walk = walk_of(scene(box(0, 0, 20, 50), ground=ground), known("wheelchair"))
    up, along = Way(((10, 1), (10, 31)), 30.0), Way(((1, 10), (19, 10)), 18.0)
    assert asked(lacks(walk, up, RULES["trail"])) == []
    assert asked(lacks(walk, up, RULES["walk"])) == ["rise"]
    assert asked(lacks(walk, along, RULES["trail"])) == ["cross"]


def test_rules_get_laxer_from_walk_to_trail():
    order = [RULES[r] for r in ("walk", "route", "trail")]
    for strict, lax in pairwise(order):
        assert strict.slopes[-1][0] < lax.slopes[-1][0]
        assert strict.passing_every_m <= lax.passing_every_m
        assert strict.cross_loose <= lax.cross_loose
        assert math.isclose(strict.width_m, lax.width_m)
        assert lax.source
