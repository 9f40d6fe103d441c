"""Slats in closed form, against rays through their section and published profile angles."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings, strategies as st

from quincunx.light import profile_angle_deg, slats_light
from quincunx.shapes import Slats


def towards(elevation_deg, azimuth_deg):
    e, a = np.radians([elevation_deg, azimuth_deg])
    return np.array([[np.sin(a) * np.cos(e), np.cos(a) * np.cos(e), np.sin(e)]])


def by_rays(slats, sun, count=4000):
    """Cast rays through the sections of many slats, as rectangles cut by half planes, and count those that get by."""
    right = np.radians(slats.direction_deg + 90)
    across, up = float(sun[0, 0] * np.sin(right) + sun[0, 1] * np.cos(right)), float(sun[0, 2])
    pitch = slats.gap_m + slats.thickness_m
    start = (np.arange(count) + 0.5) / count * pitch
    lean = np.radians(slats.tilt_deg)
    deep, thick = np.array([np.sin(lean), np.cos(lean)]), np.array([np.cos(lean), -np.sin(lean)])
    reach = int(np.ceil((slats.depth_m + slats.thickness_m) * (1 + abs(across) / up) / pitch)) + 2
    free = np.ones(count, bool)
    for k in range(-reach, reach + 1):
        near, far = np.full(count, -np.inf), np.full(count, np.inf)
        for axis, half in ((deep, slats.depth_m / 2), (thick, slats.thickness_m / 2)):
            run = axis @ (across, up)
            at = (start - k * pitch) * axis[0]
            if abs(run) < 1e-12:
                far = np.where(np.abs(at) < half, far, -np.inf)
                continue
            ends = np.sort(np.stack([(-half - at) / run, (half - at) / run]), axis=0)
            near, far = np.maximum(near, ends[0]), np.minimum(far, ends[1])
        free &= near >= far
    return free.mean()


def test_cut_off_where_the_tangent_is_depth_over_gap():
    # L25 (D): d 140 mm, g 140 mm: 45 degrees.
    slats = Slats(90, 0.14, 0.14, 0, 0.02)
    assert slats_light(slats, towards(45, 180))[0] == pytest.approx(0, abs=1e-12)
    assert slats_light(slats, towards(46, 180))[0] > 0.01
    assert slats_light(slats, towards(44, 180))[0] == 0


def test_along_the_slats_only_their_thickness_counts():
    slats = Slats(90, 0.14, 0.06, 0, 0.02)
    assert slats_light(slats, towards(20, 90))[0] == pytest.approx(0.75)
    assert slats_light(slats, towards(90, 0))[0] == pytest.approx(0.75)


def test_leaning_slats_open_to_one_side():
    # Clockwise seen along the direction: slats running east lean south, and let the northern sky through.
    slats = Slats(90, 0.14, 0.1, 30, 0.02)
    assert slats_light(slats, towards(60, 180))[0] > slats_light(slats, towards(60, 0))[0]
    assert slats_light(slats, towards(60, 180))[0] == pytest.approx(1 - (0.02 / np.cos(np.radians(30))) / 0.12)


def test_the_way_they_run_may_be_told_from_either_end():
    sun = towards(35, 130)
    assert slats_light(Slats(20, 0.1, 0.1), sun) == pytest.approx(slats_light(Slats(200, 0.1, 0.1), sun))
    assert slats_light(Slats(20, 0.1, 0.1, 25), sun) == pytest.approx(slats_light(Slats(200, 0.1, 0.1, -25), sun))


@settings(max_examples=60, deadline=None)
@given(
    st.floats(0, 359), st.floats(0.02, 0.3), st.floats(0.02, 0.4), st.floats(-80, 80), st.floats(0.005, 0.08),
    st.floats(5, 89), st.floats(0, 359),
)  # fmt: skip
def test_closed_form_equals_rays(direction, depth, gap, tilt, thick, elevation, azimuth):
    slats, sun = Slats(direction, depth, gap, tilt, thick), towards(elevation, azimuth)
    shadow = 1 - slats_light(slats, sun)[0]
    # Slats that lean so far that their sections overlap throw overlapping shadows only beyond full shade.
    assert 1 - by_rays(slats, sun) == pytest.approx(shadow, abs=2e-3)


def test_profile_angles():
    # L19: Duffie and Beckman, Example 1.6.3: altitude 19.7, sun 66.8 W of S, face 25 W of S: 25.7 (25.6 unrounded).
    assert profile_angle_deg(19.7, 180 + 66.8, 180 + 25) == pytest.approx(25.65, abs=0.1)
    # L23: only in front of the face; straight on it is the altitude.
    assert profile_angle_deg(30, 180, 180) == pytest.approx(30)
    assert profile_angle_deg(30, 0, 180) is None
    # L24, L27: a 2 ft overhang, altitude 75: the shadow on the wall drops 2 tan 75 = 7.46 ft (a page gives 0.5).
    angle_deg = profile_angle_deg(75, 180, 180)
    assert angle_deg is not None
    assert 2 * np.tan(np.radians(angle_deg)) == pytest.approx(7.46, abs=0.01)
