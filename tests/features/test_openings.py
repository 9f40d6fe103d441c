"""Gates, gaps and arches cut the wall they stand in; a finding is due where there is none."""

from __future__ import annotations

import math
from typing import Any, cast

import pytest
from hypothesis import given, strategies as st
from shapely import LineString

from quincunx.features.arch import Arch
from quincunx.scene import assemble
from quincunx.shapes import Cut, FrameWork, Narrow, Slats
from tests.features.standing import make, moment, scene_of, stand

WALLS: dict[str, dict[str, Any]] = {
    "wall": {"line": [[0, 0], [8, 0]], "height": 2.4, "thickness": 0.33},
    "hedge": {"line": [[0, 0], [8, 0]]},
    "fence": {"line": [[0, 0], [8, 0]], "height": 1.8},
    "trellis": {"line": [[0, 0], [8, 0]]},
}


def clear_m(scene, owner: str) -> float:
    """Length of the line y = 0 from x = 0 to 8 that nothing of ``owner`` stands on up to 1.5 m."""
    line = LineString([(0, 0), (8, 0)])
    for solid in scene.solids:
        if solid.owner == owner and solid.base.value_m < 1.5:
            line = line.difference(solid.footprint)
    return float(line.length)


@pytest.mark.parametrize("kind", ["gate", "gap", "arch"])
@pytest.mark.parametrize("wall", sorted(WALLS))
def test_an_opening_cuts_whatever_wall_it_stands_in(kind, wall):
    standing = make(wall, **WALLS[wall])
    opening = make(kind, at=[4, 0], along_deg=90, width=1.2)
    scene = scene_of(standing, opening, at=moment(age=9.0))
    assert scene.unmet == ()
    assert clear_m(scene, standing.id) == pytest.approx(1.2, abs=1e-6)
    assert scene.openings[0].width_m == 1.2


@pytest.mark.parametrize("kind", ["gate", "gap"])
def test_an_opening_in_no_wall_is_unmet(kind):
    opening = make(kind, at=[4, 3], along_deg=90)
    scene = scene_of(make("wall", **WALLS["wall"]), opening)
    assert [c.owner for c in scene.unmet] == [opening.id]
    assert clear_m(scene, "a-wall") == 0.0


def test_an_arch_may_stand_by_itself():
    scene = scene_of(make("arch", at=[4, 3]))
    assert scene.unmet == ()
    assert len(scene.solids) == 3


def test_an_opening_drawn_a_little_beside_the_wall_still_cuts_it():
    wall = make("wall", line=[[0, 0], [8, 0]], thickness=0.2)
    assert scene_of(wall, make("gate", at=[4, 0.19], along_deg=90)).unmet == ()
    assert len(scene_of(wall, make("gate", at=[4, 0.21], along_deg=90)).unmet) == 1


@given(turn=st.floats(0, 359), width=st.floats(0.3, 3.0))
def test_an_opening_cuts_its_width_whichever_way_the_wall_runs(turn, width):
    a = math.radians(turn)
    ends = [[-5 * math.sin(a), -5 * math.cos(a)], [5 * math.sin(a), 5 * math.cos(a)]]
    wall = make("wall", line=ends, thickness=0.2)
    gap = make("gap", at=[0, 0], along_deg=turn, width=width)
    wall_left = [s.footprint for s in scene_of(wall, gap).solids]
    through = LineString(ends)
    for shape in wall_left:
        through = through.difference(shape)
    # The wall's ends and the width lie on whole millimetres.
    assert through.length == pytest.approx(width, abs=0.002)


def test_an_arch_leaves_a_lintel_of_a_higher_wall():
    wall = make("wall", **WALLS["wall"])
    scene = scene_of(wall, make("arch", at=[4, 0], along_deg=90, width=1.2, headroom=2.1))
    over = [s for s in scene.solids if s.owner == wall.id and s.base.value_m > 0]
    assert [(s.base.value_m, s.top.value_m) for s in over] == [(2.1, 2.4)]
    assert over[0].footprint.area == pytest.approx(1.2 * 0.33)


def test_a_low_hedge_has_no_lintel():
    hedge = make("hedge", **WALLS["hedge"])
    scene = scene_of(hedge, make("arch", at=[4, 0], along_deg=90, headroom=2.1), at=moment(age=9))
    assert all(s.base.value_m == 0 for s in scene.solids if s.owner == hedge.id)


def test_the_sides_of_an_arch_stand_outside_its_clear_width():
    arch = cast("Arch", make("arch", at=[0, 0], along_deg=90, width=1.2, side=0.1, depth=0.5))
    left, right = arch.sides()
    assert left.bounds == pytest.approx((-0.7, -0.25, -0.6, 0.25))
    assert right.bounds == pytest.approx((0.6, -0.25, 0.7, 0.25))
    top = next(s for s in stand(arch).solids if s.part == "top")
    assert isinstance(top.form, Slats)
    assert top.base.value_m == float(arch.headroom)
    frame = stand(arch).work[0]
    assert isinstance(frame, FrameWork)
    assert len(frame.footings) == 4
    assert {round(abs(x), 3) for x, _ in frame.footings} == {0.65}


def test_a_gate_hung_in_an_arch_leaves_its_top():
    arch = make("arch", at=[4, 0], along_deg=90, width=1.2)
    gate = make("gate", at=[4, 0], along_deg=90, width=1.2)
    hedge = make("hedge", **WALLS["hedge"])
    scene = scene_of(arch, gate, hedge, at=moment(age=9))
    assert {s.part for s in scene.solids if s.owner == arch.id} == {"left", "right", "top"}


def test_a_climber_narrows_an_arch():
    arch, scene = make("arch", width=1.2, headroom=2.2), scene_of()
    stood = stand(arch)
    narrowed = assemble(scene, [stood, type(stood)(changes=(Narrow("a-rose", arch.id, 0.15, 0.2),))])
    assert narrowed.openings[0].width_m == pytest.approx(0.9)
    assert narrowed.openings[0].headroom_m == pytest.approx(2.0)
    assert narrowed.unmet == ()


def test_a_gap_is_never_shut():
    opening = stand(make("gap")).openings[0]
    assert opening.leaf is None
    assert opening.latch == "none"


def test_a_crawl_hole_cuts_no_higher_than_it_is():
    gap = make("gap", at=[4, 0], along_deg=90, width=0.4, headroom=0.5)
    scene = scene_of(make("wall", **WALLS["wall"]), gap)
    lintel = next(s for s in scene.solids if s.base.value_m > 0)
    assert lintel.base.value_m == 0.5
    assert scene.openings[0].headroom_m == 0.5


def test_one_gate_in_two_walls_that_meet_cuts_both():
    one, two = make("wall", id="w-one", line=[[0, 0], [4, 0]]), make("fence", id="w-two", line=[[4, 0], [8, 0]])
    scene = scene_of(one, two, make("gate", at=[4, 0], along_deg=90, width=1.0))
    cut = [c for c in stand(make("gate", at=[4, 0], along_deg=90, width=1.0)).changes if isinstance(c, Cut)]
    assert len(cut) == 1
    assert clear_m(scene, one.id) == pytest.approx(4.5)
    assert clear_m(scene, two.id) == pytest.approx(4.5)
