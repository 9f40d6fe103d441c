"""Fences, trellises, raised beds, edgings, stones and logs."""

from __future__ import annotations

import itertools
import math
from typing import cast

import pytest
from shapely import LineString, Point, box

from quincunx.features.boulder import Boulder
from quincunx.features.fence import BUILDS, Fence
from quincunx.features.raised_bed import RaisedBed
from quincunx.features.trellis import Trellis
from quincunx.shapes import FrameWork, LineWork
from tests.features.standing import make, moment, scene_of, stand


def fence(**fields: object) -> Fence:
    return cast("Fence", make("fence", **fields))


@pytest.mark.parametrize("height", [1.5, 1.8, 2.44])
def test_a_fence_is_as_high_as_it_is_built(height):
    # Roe and muntjac 1.5 m, red and fallow 1.8 m (treeterms.co.uk: read); white-tailed deer 8 ft (ask.extension.org
    # 668208: read).
    # 668208: read).
    stood = stand(fence(height=height, under=0.05))
    assert stood.solids[0].top.value_m == height
    assert stood.solids[0].base.value_m == 0.05


@pytest.mark.parametrize("sort", sorted(BUILDS))
def test_each_sort_of_fence_has_its_holes_unless_told(sort):
    usual, told = stand(fence(sort=sort)), stand(fence(sort=sort, hole=0.03))
    assert usual.solids[0].gap_m == BUILDS[sort].hole_m
    assert told.solids[0].gap_m == 0.03


def test_solid_boards_hide_and_mesh_does_not():
    boards, mesh = (stand(fence(sort=s)).solids[0] for s in ("boards", "mesh"))
    assert boards.opacity[0] == 1.0
    assert mesh.opacity[0] < 0.2
    assert mesh.transmittance[0] == pytest.approx(1 - mesh.opacity[0])


def test_a_very_low_fence_keeps_something_above_its_clearance():
    low = stand(fence(height=0.2, under=0.6)).solids[0]
    assert low.base.value_m < low.top.value_m


def test_posts_stand_at_ends_and_corners_no_further_apart_than_said():
    run = fence(line=[[0, 0], [5, 0], [5, 3.7]], post_spacing=1.8)
    posts = run.posts()
    # 5 m takes 3 bays of 1.667 m, 3.7 m takes 3 of 1.233 m: worked here.
    assert len(posts) == 7
    assert {(0, 0), (5, 0), (5, 3.7)} <= set(posts)
    assert max(math.dist(a, b) for a, b in itertools.pairwise(posts)) <= 1.8


@pytest.mark.parametrize("rounding", [0.0, 1.0])
@pytest.mark.parametrize("closed", [False, True])
def test_posts_stand_in_the_fence(closed, rounding):
    run = fence(line=[[0, 0], [5, 0], [5, 4]], closed=closed, rounding=rounding, post_spacing=1.5)
    shape = run.along(0.02)
    assert len(set(run.posts())) == len(run.posts())
    for post in run.posts():
        assert shape.distance(Point(post)) < 0.03
    frame = next(w for w in stand(run).work if isinstance(w, FrameWork))
    assert len(frame.members) == len(frame.footings) == len(run.posts())
    assert {m.start[2] for m in frame.members} == {-0.6}


def test_a_closed_fence_closes():
    ring = stand(fence(line=[[0, 0], [4, 0], [4, 4], [0, 4]], closed=True)).solids[0].footprint
    assert len(ring.interiors) == 1
    assert ring.area == pytest.approx(16 * 0.02, rel=0.001)


def test_a_rounded_fence_runs_round_its_corner():
    sharp, soft = (LineString(fence(line=[[0, 0], [4, 0], [4, 4]], rounding=r).course()) for r in (0.0, 1.0))
    # Each quarter circle of radius r saves (2 - pi / 2) r: geometry.
    assert sharp.length - soft.length == pytest.approx(2 - math.pi / 2, abs=0.001)


def test_how_much_a_trellis_hides():
    trellis = cast("Trellis", make("trellis", hole=0.15, lath=0.05))
    # Holes of 0.15 in a pitch of 0.20 leave (3/4)^2 open: geometry.
    assert trellis.opacity() == pytest.approx(1 - 9 / 16)
    assert stand(trellis).solids[0].gap_m == 0.15


def test_a_trellis_on_a_wall_has_no_posts():
    works = stand(make("trellis", on_wall=True)).work
    assert [type(w) for w in works] == [LineWork]
    assert any(isinstance(w, FrameWork) for w in stand(make("trellis", on_wall=False)).work)


def test_a_raised_bed_is_a_rim_with_planted_soil_inside():
    bed = cast("RaisedBed", make("raised-bed", outline=[[0, 0], [2, 0], [2, 1], [0, 1]], height=0.4, thickness=0.05))
    stood = stand(bed)
    rim, soil = stood.solids[0], stood.surfaces[0]
    assert rim.footprint.area == pytest.approx(2 * 1 - 1.9 * 0.9)
    assert soil.area.equals(box(0.05, 0.05, 1.95, 0.95))
    assert soil.planted
    assert rim.top.value_m == 0.4
    assert 0 < getattr(soil.lie, "value_m", -1) < 0.4


def test_a_raised_bed_too_narrow_for_soil_is_all_rim():
    stood = stand(make("raised-bed", outline=[[0, 0], [2, 0], [2, 0.2], [0, 0.2]], made="stone"))
    assert stood.surfaces == ()
    assert stood.solids[0].footprint.area == pytest.approx(0.4)


def test_what_grows_in_a_raised_bed_stands_on_its_soil():
    stood = stand(make("raised-bed", plant="lavandula-angustifolia", height=0.5), moment(age=3))
    cover = next(s for s in stood.solids if s.grown)
    assert cover.base.value_m == pytest.approx(0.45)
    assert stood.plants[0].count == len(stood.plants[0].at) > 3


def test_an_edging_is_stepped_over():
    assert stand(make("edging", made="steel")).solids[0].top.value_m < 0.1
    ring = (
        stand(make("edging", line=[[0, 0], [3, 0], [3, 3]], rounding=0, closed=True, made="setts")).solids[0].footprint
    )
    assert len(ring.interiors) == 1


def test_a_boulder_lies_within_its_size():
    stone = cast("Boulder", make("boulder", at=[0, 0], facing_deg=180, width=1.2, depth=0.8))
    west, south, east, north = stone.plan().bounds
    assert 1.0 < east - west <= 1.2
    assert 0.7 < north - south <= 0.8
    # Half an ellipsoid of 1.2 x 0.8 x 0.5 m is about 0.25 m3 to the ground: some 500 to 1000 kg with what is sunk.
    assert 500 < stone.changed(height=0.5).weight_kg() < 1000


def test_a_log_lies_as_high_as_it_is_thick_less_what_is_sunk():
    stood = stand(make("log", thickness=0.35, sunk=0.1))
    assert stood.solids[0].top.value_m == pytest.approx(0.25)
    assert stood.work == ()
    assert len(stand(make("log", found=False)).work) == 1


def test_a_fence_is_cut_by_a_gate_and_by_nothing_beside_it():
    run = fence(line=[[0, 0], [6, 0]])
    gate = make("gate", at=[3, 0], along_deg=90, width=0.9)
    stone = make("boulder", at=[3, 0.5], width=0.4, depth=0.4)
    scene = scene_of(run, gate, stone)
    assert sum(s.footprint.length / 2 for s in scene.solids if s.owner == run.id) == pytest.approx(5.1 + 2 * 0.02)
    assert [s.footprint for s in scene.solids if s.owner == stone.id] == [stand(stone).solids[0].footprint]
