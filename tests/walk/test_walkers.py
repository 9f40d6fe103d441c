"""The walkers' figures against published widths, slopes and fence heights."""

import pytest
from shapely import Point, box

from quincunx.shapes import Height, Plane, Surface
from quincunx.walk.barriers import stops
from quincunx.walk.reach import Walk
from quincunx.walk.walkers import Walker, builtin, find_walker
from tests.walk.grounds import hedge, known, scene, wall
from tests.walk.published import UNITS, WIDTHS, table


def corridor(width_m: float, who: Walker) -> bool:
    """Return whether ``who`` gets along a corridor between two walls of that width."""
    here = scene(box(0, 0, 10, 10), solids=[wall("a", -5, 4, 5, 5), wall("b", 5 + width_m, 4, 15, 5)])
    free = Walk(here, who).free
    return bool(free.pieces_at(Point(5 + width_m / 2, 1)) & free.pieces_at(Point(5, 9)))


@pytest.mark.parametrize(
    ("who", "figure", "row"),
    [
        ("wheelchair", "easy_width", "W1"),
        ("wheelchair", "easy_width", "W6"),
        ("person", "easy_width", "W14"),
        ("two-abreast", "body_width", "W14b"),
        ("barrow", "easy_width", "W16"),
        ("mower", "easy_width", "W16"),
        ("cart", "easy_width", "W17"),
        ("child", "reach", "W21"),
        ("wheelchair", "turning", "W5"),
    ],
)
def test_widths_are_those_published(who, figure, row):
    assert float(getattr(known(who), figure)) == pytest.approx(WIDTHS[row], abs=0.001)


def test_two_abreast_are_at_ease_on_what_the_course_calls_the_least():
    assert float(known("two-abreast").easy_width) == pytest.approx(WIDTHS["W15"], abs=0.03)  # 5 ft as 1.5 m


def test_a_gate_for_a_machine_is_a_foot_wider_than_it():
    # W19 (M): a riding tractor is 5 to 6 ft wide and no walker here; the rule for its gate is kept for the small machine.
    machine = known("machine")
    assert float(machine.easy_width) - float(machine.body_width) == pytest.approx(WIDTHS["W19"], abs=0.01)


def test_a_hand_reaches_two_feet_into_a_bed():
    assert float(known("person").reach) == pytest.approx(WIDTHS["W20"], abs=0.01)


@pytest.mark.parametrize(("width_in", "passes"), [(36, True), (32.1, True), (31, False)])
def test_a_wheelchair_passes_an_accessible_route_and_not_less_than_its_door(width_in, passes):
    assert corridor(width_in * 0.0254, known("wheelchair")) == passes


@pytest.mark.parametrize(("slope", "passes"), [(1 / 12, True), (1 / 12 + 0.002, False), (1 / 8, False)])
def test_a_wheelchair_climbs_one_in_twelve(slope, passes):
    # W4: ramp 1:12.  A trail's steepest, W7, is 1:8 and is too steep for it.
    ramp = Surface("ramp", "", box(-5, 4, 15, 6), "concrete", Plane(0, 4, Height(0), 180.0, slope))
    free = Walk(scene(box(0, 0, 10, 10), surfaces=[ramp]), known("wheelchair")).free
    assert bool(free.pieces_at(Point(5, 1)) & free.pieces_at(Point(5, 9))) == passes


@pytest.mark.parametrize("row", table("fences.csv"), ids=lambda r: f"{r['walker']}-{r['what']}")
def test_fences_guards_and_meshes_are_those_published(row):
    who, value = known(row["walker"]), float(row["value"]) * UNITS[row["unit"]]
    if row["what"] == "guard":
        assert who.guard is not None
        assert float(who.guard) == pytest.approx(value, abs=0.001)
        return
    high, gap = (value, 0.0) if row["what"] == "fence" else (3.0, value)
    # A mesh of the published size holds; a hole 5 mm larger doesn't.  A fence of that height holds; 5 cm less doesn't.
    assert stops(who, wall("f", 0, 0, 1, 0.1, round(high + 0.002, 3), gap_m=max(gap - 0.001, 0.0)), 0.0, high + 0.002)
    if row["what"] == "fence":
        assert not stops(who, wall("f", 0, 0, 1, 0.1, high - 0.05), 0.0, high - 0.05)
    else:
        assert not stops(who, wall("f", 0, 0, 1, 0.1, high, gap_m=gap + 0.005), 0.0, high)


def test_snow_lifts_deer_over_a_fence_that_held_them():
    fence = wall("f", 0, 0, 1, 0.1, 2.44)
    assert stops(known("white-tail"), fence, 0.0, 2.44)
    assert not stops(known("white-tail"), fence, 0.0, 2.44, snow_m=0.3)
    assert stops(known("person"), fence, 0.0, 2.44, snow_m=0.3)


def test_every_figure_that_is_not_measured_says_where_it_comes_from():
    for who in builtin().values():
        said = {k.figure for k in who.known}
        assert {"body_width_m", "over_m", "headroom_m"} <= said, who.id
        assert all(k.source for k in who.known)


def test_animals_and_children_are_not_held_by_a_hedge_and_people_are():
    held = {w.id for w in builtin().values() if w.hedge_holds}
    assert held == {"person", "two-abreast", "barrow", "cart", "wheelchair", "mower", "machine"}


def test_a_garden_may_change_a_walker():
    mine = known("dog").changed(over=1.9)
    assert find_walker("dog", {"dog": mine}) is mine
    assert find_walker("dog") is not mine
    assert find_walker("dragon") is None


@pytest.mark.parametrize(
    ("who", "solid", "polite", "stopped"),
    [
        ("person", wall("w", 0, 0, 1, 1, 0.4), False, False),  # climbed over
        ("person", wall("w", 0, 0, 1, 1, 0.4), True, True),  # walked round
        ("person", wall("w", 0, 0, 1, 1, 0.15), True, False),  # stepped over
        ("person", wall("w", 0, 0, 1, 1, 1.8), False, True),
        ("person", wall("w", 0, 0, 1, 1, 3.0, base_m=2.1), False, False),  # walked under
        ("person", wall("w", 0, 0, 1, 1, 3.0, base_m=1.7), False, True),
        ("dog", wall("w", 0, 0, 1, 1, 1.8, base_m=0.2), False, False),  # crept under
        ("dog", wall("w", 0, 0, 1, 1, 1.8, base_m=0.1), False, True),
        ("person", hedge("h", 0, 0, 1, 1, 0.5, gap_m=0.5), False, False),  # pushed through while young
        ("person", hedge("h", 0, 0, 1, 1, 0.5, gap_m=0.5), True, True),
        ("person", hedge("h", 0, 0, 1, 1, 0.3, gap_m=0.08), False, False),  # too low to be a wall: a person could
        ("person", hedge("h", 0, 0, 1, 1, 0.3, gap_m=0.08), True, True),  # but people keep off it
        ("person", hedge("h", 0, 0, 1, 1, 0.5, gap_m=0.3), False, False),  # a hedge of whips is stepped over
        ("person", hedge("h", 0, 0, 1, 1, 0.9, gap_m=0.08), False, True),
        ("roe", hedge("h", 0, 0, 1, 1, 0.5, gap_m=0.08), False, False),
        ("roe", hedge("h", 0, 0, 1, 1, 1.8, gap_m=0.08), False, True),
        ("rabbit", wall("w", 0, 0, 1, 1, 1.8, gap_m=0.05), False, False),
        ("rabbit", wall("w", 0, 0, 1, 1, 1.8, gap_m=0.025), False, True),
    ],
)
def test_one_rule_for_all_walkers(who, solid, polite, stopped):
    assert stops(known(who), solid, solid.base.value_m, solid.top.value_m, polite=polite) == stopped
