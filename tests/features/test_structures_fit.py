"""Posts, plates, rafters and slats really meet: heights and lengths worked out by hand beside those of the kinds."""

import math

import pytest
from hypothesis import given, settings, strategies as st
from shapely import LineString, Point

from quincunx.shapes import FrameWork
from tests.features.standing import make, stand


def frame(feature):
    return next(w for w in stand(feature).work if isinstance(w, FrameWork))


def named(work, name):
    return [m for m in work.members if m.name == name]


def length(m):
    return math.dist(m.start, m.end)


def test_the_summer_seats_gable_by_hand():
    # 2.6 x 1.9 m over the posts, 25 degrees, overhang 0.3: eaves 2.5 m apart, so half a run of 1.25 m.
    work = frame(
        make(
            "roofed-shelter", at=[0, 0], width=2.6, depth=1.9, facing_deg=0, roof="gable", pitch_deg=25, closed_sides=[]
        )
    )
    tan = math.tan(math.radians(25))
    rafters = named(work, "rafter")
    assert len(rafters) == 14  # 3.2 m of roof at most 0.6 m apart: 6 bays, 7 pairs
    assert {round(length(m), 3) for m in rafters} == {round(1.25 / math.cos(math.radians(25)), 3)}
    # Undersides start at the clear height at the eaves and meet at the ridge.
    assert {round(m.start[2], 6) for m in rafters} == {2.1}
    assert {round(m.end[2], 4) for m in rafters} == {round(2.1 + 1.25 * tan, 4)}
    # A plate's upper edge carries the rafters: its underside is a plate's depth lower, and there the posts end.
    over_post = 2.1 + (0.3 + 0.05) * tan
    assert {round(m.end[2], 6) for m in named(work, "post")} == {round(over_post - 0.145, 6)}
    plates = named(work, "plate")
    assert sorted(round(length(m) + m.more_m, 3) for m in plates) == [
        1.9,
        1.9,
        3.2,
        3.2,
    ]  # the long ones carry the verge
    assert all(m.start[2] == pytest.approx(over_post - 0.145) for m in plates)
    ties = named(work, "tie")
    assert len(ties) == 2
    assert all(m.start[2] == pytest.approx(over_post) for m in ties)
    assert [m.carries for m in sorted(plates, key=length)] == ["none", "none", "roof", "roof"]


def test_the_octagon_by_hand_in_feet():
    # 12 ft from flat to flat, 30 degrees, 1 ft of overhang: the eaves are 14 ft across, their half 7 ft.
    ft = 0.3048
    work = frame(
        make(
            "roofed-shelter", at=[0, 0], plan_shape="octagon", width=12 * ft, depth=12 * ft, roof="hip", pitch_deg=30,
            eaves_height=7.5 * ft, overhang=ft, post=5.5 / 12 * ft, closed_sides=[], drains_to=1, facing_deg=0,
        )
    )  # fmt: skip
    hips, posts = named(work, "hip"), named(work, "post")
    assert (len(hips), len(posts)) == (8, 8)
    corner = 7 * ft / math.cos(math.pi / 8)
    rise = 7 * ft * math.tan(math.radians(30))
    # Typed lengths lie on the millimetre grid.
    assert [length(m) for m in hips] == pytest.approx([math.hypot(corner, rise)] * 8, abs=2e-3)
    # As deep as the plates, 145 mm, and level with the upper edges of rafters of 120 mm.
    sunk = 0.145 * math.hypot(1, rise / corner) - 0.12 / math.cos(math.radians(30))
    assert [max(m.start[2], m.end[2]) for m in hips] == pytest.approx([7.5 * ft + rise - sunk] * 8, abs=2e-3)
    sides = [length(m) + m.more_m for m in named(work, "plate")]
    assert sides == pytest.approx([12 * ft * math.tan(math.pi / 8)] * 8, abs=1e-3)  # 4 ft 11 5/8 in
    # Each hip bears what lies nearest to it: all eight together the whole roof, and half of each side's load is theirs.
    assert sum(m.strip_m * math.dist(m.start[:2], m.end[:2]) for m in hips) == pytest.approx(
        work.roof.area_m2, rel=1e-3
    )


@settings(max_examples=30, deadline=None)
@given(
    st.sampled_from(
        [("rectangle", "gable"), ("rectangle", "hip"), ("square", "single"), ("hexagon", "hip"), ("octagon", "hip")]
    ),
    st.floats(1.8, 5.0),
    st.floats(1.5, 4.0),
    st.floats(5, 45),
    st.floats(0, 0.6),
)
def test_every_roof_rests_on_its_plates_and_posts(shape, width, depth, pitch, overhang):
    plan, roof = shape
    work = frame(
        make("roofed-shelter", at=[0, 0], plan_shape=plan, width=width, depth=depth, roof=roof, pitch_deg=pitch, overhang=overhang,
             closed_sides=[], drains_to=1)
    )  # fmt: skip
    tops = {(round(m.end[0], 4), round(m.end[1], 4)): m.end[2] for m in named(work, "post")}
    for plate in named(work, "plate"):
        line = LineString([plate.start[:2], plate.end[:2]])
        on = [at for at in tops if line.distance(Point(at)) < 2e-4]
        assert on
        for at in on:
            share = math.dist(plate.start[:2], at) / line.length
            assert tops[at] == pytest.approx(plate.start[2] + (plate.end[2] - plate.start[2]) * share, abs=1e-3)
    grade = math.tan(math.radians(pitch))
    for rafter in named(work, "rafter"):
        run = math.dist(rafter.start[:2], rafter.end[:2])
        assert rafter.end[2] - rafter.start[2] == pytest.approx(run * grade, abs=1e-6)
        assert rafter.more_m == pytest.approx(0.12 * grade)
        assert 0 <= (rafter.span_m or 0) <= run + 1e-9
    if roof == "gable":
        ridge = named(work, "ridge")
        assert len(ridge) == 1
        top = max(m.end[2] for m in named(work, "rafter")) + 0.12 * math.hypot(1, grade)
        assert top == pytest.approx(ridge[0].start[2] + ridge[0].section_m[1], abs=1e-6)
    assert all(j.count > 0 and j.how for j in work.joints)
    assert work.roof is not None
    assert work.roof.ridge_m >= work.roof.eaves_m


def test_slats_lie_on_their_rails_and_beams():
    arbour = frame(make("arbour", at=[0, 0], width=1.8, depth=0.9, clear_height=2.1))
    rail = named(arbour, "rail")
    assert {round(m.start[2] + m.section_m[1], 4) for m in rail} == {2.1}
    assert {round(m.start[2], 4) for m in named(arbour, "slat")} == {2.1}
    assert {round(m.end[2], 4) for m in named(arbour, "post")} == {round(2.1 - 0.095, 4)}
    assert sorted(round(length(m) + m.more_m, 3) for m in rail) == [0.9, 0.9, 1.8, 1.8]
    pergola = frame(make("pergola", line=[[0, 0], [0, 6]], width=2.4, clear_height=2.3))
    assert {round(m.start[2], 4) for m in named(pergola, "beam")} == {2.3}
    assert {round(m.start[2], 4) for m in named(pergola, "slat")} == {round(2.3 + 0.145, 4)}
    assert all(m.carries == "slats" for m in named(pergola, "beam"))


def test_what_is_closed_and_what_is_slippery_reaches_the_roof():
    open_, shut = (frame(make("roofed-shelter", closed_sides=s, covering="metal sheet")) for s in ([], [1, 2, 3]))
    assert (open_.roof.closed_sides, shut.roof.closed_sides) == (0.0, 0.75)
    assert open_.roof.slippery
    assert not frame(make("roofed-shelter", covering="shingles")).roof.slippery
