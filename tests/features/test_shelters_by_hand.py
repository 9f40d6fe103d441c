"""Both demonstrations' shelters as a carpenter would check them with a pencil: does everything meet, reach and fit?

Only geometry is used here, never the kinds' own sums.  Rules beside the checks: International Residential Code 2018
R802.3 (a ridge is no less deep than the sawn ends of the rafters) and R802.7.1.1 (no notch deeper than a third where it
bears: from memory).
"""

import math
from itertools import pairwise

import pytest

from quincunx.build import reckon
from quincunx.demos import demo_garden
from quincunx.garden import timeline
from quincunx.garden.costing import works_of
from quincunx.shapes import AreaWork, FrameWork

FT = 0.3048
IN = FT / 12


def works(demo, place, option):
    garden = demo_garden(demo)
    held = next(f for f in garden.features if f.id == place).held_place()
    assert held is not None
    feature = next(f for id_, _, f in held.shortlist if id_ == option)
    return works_of(timeline(garden), feature)


def frame(found):
    return next(w for w in found if isinstance(w, FrameWork))


def named(work, name):
    return [m for m in work.members if m.name == name]


def length(m):
    return math.dist(m.start, m.end) + m.more_m


def on_line(p, m):
    """Return how far a point lies beside a piece in plan, and how far past its ends [m]."""
    (ax, ay), (bx, by) = m.start[:2], m.end[:2]
    run = math.dist((ax, ay), (bx, by))
    ux, uy = (bx - ax) / run, (by - ay) / run
    along = (p[0] - ax) * ux + (p[1] - ay) * uy
    return abs((p[0] - ax) * uy - (p[1] - ay) * ux), max(-along, along - run, 0.0)


@pytest.fixture(scope="module")
def seat():
    return works("ropewalk", "seat-shelter", "roof")


@pytest.fixture(scope="module")
def octagon():
    return works("kettle-hill", "octagon-place", "octagon")


def test_the_summer_seats_posts_stand_two_and_a_half_by_one_point_eight_apart_on_pads_that_clear(seat):
    # 2.6 x 1.9 m over posts of 100 mm: middles 2.5 x 1.8 m, diagonal 3.081 m.
    work = frame(seat)
    gaps = sorted(math.dist(a, b) for i, a in enumerate(work.footings) for b in work.footings[:i])
    assert gaps == pytest.approx([1.8, 1.8, 2.5, 2.5, 3.081, 3.081], abs=5e-4)
    assert work.pad_m == pytest.approx(0.4)
    assert gaps[0] - 0.4 > 1.0  # open ground between pads
    assert {m.start[:2] for m in named(work, "post")} == set(work.footings)


def test_the_summer_seats_rafters_all_rest_on_a_plate_the_outermost_too(seat):
    # The roof is 3.2 m long, the posts 2.6: plates as long as the posts would leave the outermost rafters in the air.
    work = frame(seat)
    plates = [m for m in named(work, "plate") if m.carries == "roof"]
    assert sorted(length(m) for m in plates) == pytest.approx([3.2, 3.2], abs=1e-3)
    for rafter in named(work, "rafter"):
        crossed = []
        for plate in plates:
            t = (plate.start[1] - rafter.start[1]) / (rafter.end[1] - rafter.start[1])
            if 0 <= t <= 1:
                at = (rafter.start[0] + (rafter.end[0] - rafter.start[0]) * t, plate.start[1])
                under = rafter.start[2] + (rafter.end[2] - rafter.start[2]) * t
                crossed.append((on_line(at, plate)[1], under - (plate.start[2] + plate.section_m[1])))
        assert len(crossed) == 1
        past, above = crossed[0]
        assert past < 1e-6
        assert above == pytest.approx(0.0, abs=1e-6)  # its underside lies on the plate's upper edge


def test_the_summer_seats_rafters_and_ridge_by_hand(seat):
    work = frame(seat)
    tan, cos = math.tan(math.radians(25)), math.cos(math.radians(25))
    # Half of 1.9 + 2 x 0.3 is 1.25 m; up the slope 1.379 m; a plumb cut of 120 mm stock takes 56 mm more.
    assert {round(length(m), 3) for m in named(work, "rafter")} == {round(1.25 / cos + 0.12 * tan, 3)} == {1.435}
    (ridge,) = named(work, "ridge")
    assert length(ridge) == pytest.approx(3.2)
    sawn = 0.12 / cos  # 132 mm
    assert ridge.section_m[1] >= sawn
    rafter_top = max(m.end[2] for m in named(work, "rafter")) + sawn
    assert ridge.start[2] + ridge.section_m[1] == pytest.approx(rafter_top)
    notch = 0.045 * math.sin(math.radians(25))  # the plate's width let into the slope
    assert notch < 0.12 / 3


def test_the_summer_seats_ties_lie_against_a_rafter_and_reach_both_plates(seat):
    work = frame(seat)
    at = sorted({round(m.start[0], 6) for m in named(work, "rafter")})
    assert max(b - a for a, b in pairwise(at)) <= 0.6 + 1e-9
    ties = named(work, "tie")
    assert len(ties) == 2
    for tie in ties:
        assert min(abs(tie.start[0] - x) for x in at) == pytest.approx(0.045, abs=1e-6)  # thickness of either
        assert length(tie) >= 1.8 + 0.045


def test_the_summer_seats_head_and_foot_room(seat):
    work = frame(seat)
    under = min(min(m.start[2], m.end[2]) for m in work.members if m.name not in ("post", "brace"))
    assert under >= 2.1  # a plate's underside: nobody bumps a head
    braces = named(work, "brace")
    # Two braces of 0.6 m leave 2.5 - 1.2 m of full height on the long side.
    assert {round(math.dist(m.start, m.end), 3) for m in braces} == {round(0.6 * math.sqrt(2), 3)}


def test_the_summer_seats_covering_is_two_rectangles(seat):
    slopes = [w for w in seat if isinstance(w, AreaWork)]
    true = 3.2 * 1.25 / math.cos(math.radians(25))
    assert [w.outline.area for w in slopes] == pytest.approx([true, true], abs=1e-4)
    shingles = [x for x in reckon(slopes).taken.lines if "shingle" in x.item]
    assert sum(x.net for x in shingles) >= 2 * true - 0.01


def test_the_octagons_sides_are_its_width_times_the_tangent_of_twenty_two_and_a_half(octagon):
    work = frame(octagon)
    side = 12 * FT * math.tan(math.radians(22.5))
    assert side / IN == pytest.approx(59.65, abs=0.01)  # 4 ft 11 5/8 in over the posts' outer faces
    assert [length(m) for m in named(work, "plate")] == pytest.approx([side] * 8, abs=2e-3)
    # Middles of posts of 5 1/2 in lie 2 3/4 in inside: 11 ft 6 1/2 in from flat to flat, 4 ft 9 3/8 in apart.
    middles = (12 * FT - 5.5 * IN) * math.tan(math.radians(22.5))
    feet = list(work.footings)
    near = [math.dist(a, b) for a, b in zip(feet, feet[1:] + feet[:1], strict=True)]
    assert near == pytest.approx([middles] * 8, abs=2e-3)
    far = max(math.dist(feet[0], p) for p in feet)
    assert far == pytest.approx((12 * FT - 5.5 * IN) / math.cos(math.radians(22.5)), abs=2e-3)
    assert min(near) - 16 * IN > 3 * FT  # pads of 16 in don't touch


def test_the_octagons_mitred_plates_are_long_enough_and_meet_over_the_posts(octagon):
    work = frame(octagon)
    # Along the outer face of a plate of 1 1/2 in, mitred at 67 1/2 degrees.
    needed = (12 * FT - 5.5 * IN + 1.5 * IN) * math.tan(math.radians(22.5))
    for plate in named(work, "plate"):
        assert length(plate) >= needed
        assert plate.start[:2] in [m.end[:2] for m in named(work, "post")]
        post = next(m for m in named(work, "post") if m.end[:2] == plate.start[:2])
        assert post.end[2] == pytest.approx(plate.start[2])
        assert plate.section_m[0] <= post.section_m[0]


def test_the_octagons_hips_run_from_corner_to_middle(octagon):
    work = frame(octagon)
    # Eaves 14 ft across: corner 7 / cos 22.5 = 7.577 ft from the middle, rise 7 tan 30 = 4.041 ft.
    out, rise = 7 * FT / math.cos(math.radians(22.5)), 7 * FT * math.tan(math.radians(30))
    hips = named(work, "hip")
    assert [math.dist(m.start, m.end) for m in hips] == pytest.approx([math.hypot(out, rise)] * 8, abs=2e-3)
    assert math.hypot(out, rise) / FT == pytest.approx(8.587, abs=1e-3)
    grade = rise / out
    for hip in hips:
        assert hip.section_m[1] / IN == pytest.approx(7.25, abs=0.02)
        assert hip.section_m[1] >= 5.5 * IN / math.cos(math.radians(30))  # 6.35 in: the sawn end of a jack
        assert hip.more_m == pytest.approx(hip.section_m[1] * grade, abs=1e-4)
        # Upper edges: the rafters' 5 1/2 in stood plumb is 6.35 in over the slope's underside.
        low = min(hip.start[2], hip.end[2])
        top = low + hip.section_m[1] * math.hypot(1, grade)
        assert top == pytest.approx(7.5 * FT + 5.5 * IN / math.cos(math.radians(30)), abs=2e-3)


def test_the_octagons_hips_are_notched_over_the_corner_by_less_than_a_third(octagon):
    work = frame(octagon)
    hip, plate = named(work, "hip")[0], named(work, "plate")[0]
    (low, high) = sorted((hip.start, hip.end), key=lambda p: p[2])
    grade = (high[2] - low[2]) / math.dist(low[:2], high[:2])
    # The corner of the plates' outer faces lies half a plate's width farther out than the post's middle.
    corner = (12 * FT - 5.5 * IN + 1.5 * IN) / 2 / math.cos(math.radians(22.5))
    from_low = math.dist(low[:2], high[:2]) - corner
    under = low[2] + from_low * grade
    deep = (plate.start[2] + plate.section_m[1] - under) / math.hypot(1, grade)
    assert 0 < deep < hip.section_m[1] / 3


def test_the_octagons_jacks_shorten_by_one_step(octagon):
    work = frame(octagon)
    rafters = named(work, "rafter")
    assert len(rafters) == 32  # four to a side: 5.8 ft at most 16 in apart is five bays, the outermost lie in the hips
    side = 14 * FT * math.tan(math.radians(22.5))
    step = (side - 1.5 * IN) / 5
    runs = [(0.75 * IN + k * step) / math.tan(math.radians(22.5)) for k in (1, 2)]
    cut = 5.5 * IN * math.tan(math.radians(30))
    wanted = [r / math.cos(math.radians(30)) + cut for r in runs]
    assert {round(length(m), 2) for m in rafters} == {round(w, 2) for w in wanted}
    assert max(runs) < 7 * FT  # none reaches the middle, where eight hips meet already
    assert step <= 16 * IN


def test_the_octagons_posts_leave_seven_and_a_half_feet_at_the_eaves_and_follow_the_ground(octagon):
    work = frame(octagon)
    # The slope has risen 1 ft of overhang and 2 3/4 in to the posts' middles by then; the plate takes 7 1/4 in of it.
    over = 7.5 * FT + (FT + 2.75 * IN) * math.tan(math.radians(30)) - 7.25 * IN
    tops = [m.end[2] for m in named(work, "post")]
    assert sum(tops) / 8 == pytest.approx(over, abs=0.01)  # level tops over falling ground: the mean is the middle's
    assert max(tops) - min(tops) < 0.15
    assert min(m.start[2] for m in named(work, "plate")) > 7.4 * FT


def test_the_octagons_roof_is_eight_triangles(octagon):
    slopes = [w.outline.area for w in octagon if isinstance(w, AreaWork)]
    side, up = 14 * FT * math.tan(math.radians(22.5)), 7 * FT / math.cos(math.radians(30))
    assert slopes == pytest.approx([side * up / 2] * 8, abs=2e-3)
    assert sum(slopes) / FT**2 == pytest.approx(187.5, abs=0.3)


def test_a_single_pitch_ties_each_rafter_down_twice():
    from tests.features.standing import make, stand

    found = stand(make("roofed-shelter", roof="single", closed_sides=[]))
    work = frame(found.work)
    tied = next(j for j in work.joints if j.words == "rafter on the plate")
    assert tied.count == 2 * len(named(work, "rafter"))
