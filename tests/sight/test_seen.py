"""How much of a target is seen: by similar triangles, by leaf, over the ground as it lies; and what would hide it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings, strategies as st
from shapely import LineString, box

from quincunx.scene import Room, Scene, Spot
from quincunx.shapes import Leaf, Opening, Solid, Surface
from quincunx.sight import (
    EYE_M,
    GROUND,
    Eye,
    Posture,
    Seen,
    Target,
    eye_at,
    eye_over,
    lowest,
    raised,
    screens,
    seen,
    target_of,
)
from tests.sight.gardens import LEVEL, hedge, ridge, scene, wall

EYE = (15.0, 2.0)
STATUE = wall(14, 20, 16, 20.4, 4.0, owner="statue")


def goal(of: Scene, eye: Eye, ref: str = "statue", height_m: float | None = None) -> Target:
    found = target_of(of, ref, eye, height_m)
    assert found is not None
    return found


def share(of: Scene, height_m: float = 1.6, *, month: int | None = None, shut: bool = False) -> Seen:
    eye = eye_over(of, EYE, height_m)
    return seen(of, eye, goal(of, eye), month, shut=shut)


def test_all_is_seen_where_nothing_stands_between():
    view = share(scene(STATUE))
    assert (view.share, view.height_share, view.width_share, view.hides) == (1.0, 1.0, 1.0, ())


@pytest.mark.parametrize("at_m", [3.0, 8.0, 14.0])
@pytest.mark.parametrize("high_m", [1.2, 1.9, 2.5])
def test_a_wall_hides_by_similar_triangles(at_m, high_m):
    # The line over the wall's top edge from an eye at 1.6 m meets the statue, 18.2 m off, at
    # 1.6 + (high - 1.6) * 18.2 / d, d to the near edge if the wall is higher than the eye, else to the far one.
    screen = wall(0, 2 + at_m, 30, 2 + at_m + 0.2, high_m)
    d = at_m if high_m > 1.6 else at_m + 0.2
    hidden_m = np.clip(1.6 + (high_m - 1.6) * 18.2 / d, 0, 4)
    rows = (np.arange(5) + 0.5) / 5 * 4
    view = share(scene(STATUE, screen))
    assert view.height_share == pytest.approx((rows > hidden_m).mean())
    assert view.width_share == (1.0 if hidden_m < rows[-1] else 0.0)


def test_a_narrow_thing_hides_its_width():
    # A post 0.5 m wide halfway hides a metre of the two metres' width behind it.
    post = wall(14.75, 10.85, 15.25, 11.35, 4.0, owner="post")
    view = share(scene(STATUE, post))
    assert view.share == pytest.approx(0.5, abs=0.12)
    assert view.hides[0][0] == "post"
    assert view.height_share == 1.0


def test_a_hedge_hides_less_when_bare():
    screen = hedge(0, 10, 30, 11, 8.0)
    summer, winter = share(scene(STATUE, screen, month=8)), share(scene(STATUE, screen, month=1))
    assert [summer.share, winter.share] == pytest.approx([0.05, 0.6])
    assert share(scene(STATUE, screen), month=1).share == pytest.approx(0.6)
    two = scene(STATUE, screen, hedge(0, 13, 30, 14, 8.0, owner="second"), month=1)
    assert share(two).share == pytest.approx(0.36)


def test_the_target_and_what_the_eye_is_inside_of_hide_nothing():
    house = wall(10, 0, 20, 3, 6.0, owner="house")
    assert share(scene(STATUE, house)).share == 1.0
    behind = replace(STATUE, footprint=box(14, 20.6, 16, 21))
    assert share(scene(STATUE, replace(behind, part="back"))).share == 1.0


def test_a_ridge_of_ground_hides_what_lies_behind_it():
    # Over a ridge 3 m high, 8 m ahead, an eye at 1.6 m sees the statue above 1.6 + 1.4 * 18.2 / 8 = 4.785 m: none of it;
    # over one of 1 m it sees all of it above 1.6 - 0.6 * 18.2 / 8 = 0.235 m.
    high, low = share(scene(STATUE, ground=ridge(3.0))), share(scene(STATUE, ground=ridge(1.0)))
    assert high.share == 0.0
    assert high.hides == ((GROUND, 1.0),)
    assert low.share == 1.0


def test_a_shut_gate_hides_and_an_open_one_does_not():
    fence = (wall(0, 10, 14, 10.1, 3.0), wall(16, 10, 30, 10.1, 3.0, owner="other"))
    way = Opening("gate", LineString([(14, 10.05), (16, 10.05)]), 2.0, leaf=Leaf(3.0))
    of = scene(STATUE, *fence, openings=(way,))
    assert share(of).share == pytest.approx(1.0)
    closed = share(of, shut=True)
    assert closed.share < 0.5
    assert closed.hides[0][0] == "gate"
    barred = replace(way, leaf=Leaf(3.0, 0.0, 0.1))
    assert share(scene(STATUE, *fence, openings=(barred,)), shut=True).share == pytest.approx(0.5, abs=0.2)


def test_eyes_are_as_high_as_their_spot_or_posture_says():
    of = scene(STATUE, spots=(Spot("window", "window", (5, 5), 4.5), Spot("gate", "gate", (6, 6))), ground=ridge(1.0))
    ground = of.ground_z_m(5, 5)
    cases: list[tuple[str, Posture | None, float]] = [
        ("window", None, ground + 4.5),
        ("window", "seated", ground + EYE_M["seated"]),
        ("gate", None, of.ground_z_m(6, 6) + EYE_M["standing"]),
        ("gate", "child", of.ground_z_m(6, 6) + EYE_M["child"]),
    ]
    for ref, posture, z in cases:
        eye = eye_at(of, ref, posture)
        assert eye is not None
        assert eye.ref == ref
        assert eye.z_m == pytest.approx(z)
    assert eye_at(of, "nobody") is None
    assert target_of(of, "nobody", eye_over(of, EYE, 1.6)) is None


def test_ground_is_looked_at_all_over_and_people_on_it_at_their_height():
    floor = Surface("terrace", "", box(5, 20, 25, 26), "stone")
    of = scene(
        wall(0, 15, 30, 15.2, 1.5), surfaces=(floor,), rooms=(Room("green", "green", (15, 23), box(6, 21, 24, 25)),)
    )
    eye = eye_over(of, EYE, 1.6)
    ground, heads = goal(of, eye, "terrace"), goal(of, eye, "terrace", 1.2)
    assert ground.flat
    assert 30 < len(ground.lines) < 80
    assert ground.lines[:, 2].max() < 0.1
    assert heads.lines[:, 2].min() == pytest.approx(1.2)
    # Behind the wall at 13.2 m a line over it falls 0.1 m in 13.2: it meets the ground 211 m on, but not heads at 1.2 m.
    assert seen(of, eye, ground).share == 0.0
    assert seen(of, eye, heads).share == 0.0
    above = eye_over(of, EYE, 6.0)  # at 6 m it falls 4.5 m in 13.2: the ground is met 4.4 m behind the wall
    assert 0.9 < seen(of, above, goal(of, above, "terrace")).share <= 1.0
    room = goal(of, eye, "green")
    assert room.lines[:, 2] == pytest.approx(1.2)


@settings(max_examples=25, deadline=None)
@given(
    eye=st.tuples(st.floats(5, 25), st.floats(1, 6)), up=st.floats(1.0, 5.0), high=st.floats(0.5, 3.0),
    pick=st.integers(0, 18),
)  # fmt: skip
def test_every_screen_proposed_hides_all_and_a_hand_lower_does_not(eye, up, high, pick):
    statue = wall(14, 20, 16, 20.4, high, owner="statue")
    of = scene(statue)
    at = eye_over(of, eye, up)
    view = seen(of, at, goal(of, at))
    found = screens(of, view)
    assert found
    screen = found[pick % len(found)]
    line = LineString([screen.start, screen.end])

    def with_screen(height_m: float):
        solid = replace(wall(0, 0, 1, 1, height_m, owner="screen"), footprint=line.buffer(0.02, cap_style="flat"))
        return seen(replace(of, solids=(statue, solid)), at, view.target)

    assert with_screen(screen.height_m + 0.08).share == 0.0
    if screen.height_m > 0.3:
        assert with_screen(screen.height_m - 0.15).share > 0.0


def test_the_lowest_screen_stands_by_the_target_when_the_eye_is_high():
    of = scene(STATUE)
    high = eye_over(of, EYE, 8.0)
    found = screens(of, seen(of, high, goal(of, high)))
    least = lowest(found)
    assert least is not None
    assert least.from_target_m == min(s.from_target_m for s in found)
    assert lowest(()) is None
    assert screens(of, share(scene(STATUE, wall(0, 10, 30, 10.2, 12)))) == ()


def test_how_high_a_hedge_must_grow_is_what_hides_when_it_has():
    young = hedge(5, 12, 25, 13, 1.0)
    of = scene(STATUE, young)
    view = share(of)
    need = raised(of, view, "hedge")
    assert need is not None
    # The highest row of points, 3.6 m, is met from 1.6 m at 18.2 m: over the near side at 10 m that line is 2.70 m high.
    assert need == pytest.approx(1.6 + 2.0 * 10 / 18.2, abs=0.01)
    grown = scene(STATUE, replace(young, top=replace(young.top, value_m=need + 0.01), opacity=(1.0,) * 12))
    assert share(grown).share == 0.0
    assert raised(of, view, "nobody") is None
    assert raised(scene(STATUE, hedge(5, 12, 14.5, 13, 1.0)), view, "hedge") is None  # it ends before the last line
    roof = Solid("roof", "", box(5, 12, 25, 13), young.top, replace(young.top, value_m=2.0))
    assert raised(scene(STATUE, roof), view, "roof") is None
    assert of.ground == LEVEL
