"""What lies under the ground, and what stands there for a time only."""

from __future__ import annotations

from typing import cast

import pytest

from quincunx.features.drain import Drain
from quincunx.features.guard import Guard
from quincunx.features.smothered_ground import SMOTHERS, SmotheredGround
from quincunx.shapes import Cover, Guard as GuardChange, LineWork
from tests.features.standing import make, scene_of, stand

BELOW = ["buried-line", "duct", "drain"]


@pytest.mark.parametrize("kind", BELOW)
def test_what_lies_below_stops_nobody_and_is_drawn_dashed(kind):
    stood = stand(make(kind))
    assert stood.solids == ()
    assert stood.openings == ()
    assert stood.changes == ()
    dashed = [f for f in stood.figures if getattr(f, "dash", False)]
    assert dashed
    assert {f.role for f in dashed} == {"below"}


def test_a_line_there_already_is_no_work_and_a_new_one_is_a_trench():
    assert stand(make("buried-line", there_from="start")).work == ()
    (trench,) = stand(make("buried-line", there_from=None, depth=0.7, thickness=0.05)).work
    assert isinstance(trench, LineWork)
    assert trench.height_m == pytest.approx(0.75)


def test_a_line_of_unknown_depth_says_so():
    texts = [f.text for f in stand(make("buried-line", depth=None)).figures if hasattr(f, "text")]
    assert texts == ["water, depth not known"]


def test_how_well_the_place_of_a_line_is_known_is_drawn():
    sure, unsure = (len(stand(make("buried-line", sure_to=m)).figures) for m in (0.0, 1.0))
    assert unsure == sure + 1


@pytest.mark.parametrize(("sort", "surfaces"), [("channel", 1), ("french", 1), ("land", 0)])
def test_only_a_drain_at_the_surface_is_a_floor(sort, surfaces):
    stood = stand(make("drain", sort=sort))
    assert len(stood.surfaces) == surfaces
    assert all(s.run_off == 0 for s in stood.surfaces)


def test_how_far_a_drain_falls():
    drain = cast("Drain", make("drain", line=[[0, 0], [6, 0], [6, 2]], falls=0.0125))
    assert drain.fall_m() == pytest.approx(0.1)  # 8 m at 1 in 80: arithmetic


def test_a_guard_guards_what_it_names_and_what_stands_in_it():
    guard = make("guard", target="old-damson")
    assert guard.features_named() == ("old-damson",)
    (change,) = stand(guard).changes
    assert isinstance(change, GuardChange)
    # Roe and muntjac 1.2 m (forestry guards; from memory).
    assert (change.target, change.height_m) == ("old-damson", 1.2)
    assert scene_of(guard).guards == (change,)
    assert scene_of(guard).unmet == ()


def test_a_guard_round_a_row_is_as_long_as_the_row():
    guard = cast("Guard", make("guard", round=False, width=6.0, depth=0.8, facing_deg=180))
    assert guard.plan().bounds == pytest.approx((1.0, 8.6, 7.0, 9.4))


def test_a_round_guard_is_as_wide_as_said():
    west, _, east, _ = cast("Guard", make("guard", width=0.9)).plan().bounds
    assert east - west == pytest.approx(0.9)


@pytest.mark.parametrize(("made", "hole"), [("net", 0.015), ("fleece", 0.0)])
def test_a_net_covers(made, hole):
    (cover,) = stand(make("net", made=made)).changes
    assert isinstance(cover, Cover)
    assert cover.gap_m == hole
    assert cover.place.area == pytest.approx(3.6)


def test_a_cage_has_sides_that_a_gate_cuts():
    cage, gate = make("cage"), make("gate", at=[2, 0], along_deg=90, width=0.8)
    scene = scene_of(cage, gate)
    assert scene.unmet == ()
    before = stand(cage).solids[0].footprint.area
    assert sum(s.footprint.area for s in scene.solids) == pytest.approx(before - 0.8 * 0.04)


@pytest.mark.parametrize("cover", sorted(SMOTHERS))
def test_smothered_ground_is_not_planted_yet(cover):
    ground = cast("SmotheredGround", make("smothered-ground", cover=cover))
    surface = stand(ground).surfaces[0]
    assert not surface.planted
    assert surface.run_off == SMOTHERS[cover].run_off
    assert ground.months_needed() >= 6
