"""From plan to stakes and back: setting out closes, levels, north, earth, underlay, as built, quick entry, words."""

from __future__ import annotations

import math
from datetime import UTC, date, datetime, timedelta, timezone

import numpy as np
import pytest
from hypothesis import given, settings, strategies as st

from quincunx import survey as facade
from quincunx.survey import (
    BadLine,
    Control,
    Distance,
    Marks,
    North,
    Rise,
    Shadow,
    Staff,
    Stake,
    Survey,
    Target,
    adjust,
    balanced_level_m,
    circle_points,
    compare_lengths,
    compare_points,
    contours,
    controls_of,
    cut_and_fill,
    declination_deg,
    fall,
    fit_plan_to_built,
    fit_underlay,
    levels_of,
    marks_for,
    north_from_compass,
    north_from_noon_line,
    north_from_shadows,
    parse_line,
    parse_lines,
    points_along,
    post_grid,
    profile,
    reduce_book,
    refix,
    set_out,
    square_corner,
    steps_for,
    words,
    write_line,
)
from quincunx.survey.accuracy import HANDLING, bearing_sd_deg, bearing_step_deg
from quincunx.survey.setout import crosses
from quincunx.survey.underlay import odd_one
from quincunx.units.fields import Length
from quincunx.units.style import Style
from tests.survey.made import SQUARE, survey, tapes

NAMES = {s: s.upper() for s in "abcdef"}
CONTROLS = tuple(Control(s, xy, (4e-6, 1e-6, 6e-6)) for s, xy in sorted((SQUARE | {"e": (15.0, 6.0)}).items()))
POSTS = [Target(f"p{i}", xy) for i, xy in enumerate(circle_points((4.0, 6.0), 1.8, 6))]


def measured_again(out, *, marked: bool) -> Survey:
    """Tape every tie and check as set out, with the controls held."""
    readings, stakes = (
        [],
        {c.id: Stake(id=c.id, name=c.id, held=True, x=Length(c.xy[0], ""), y=Length(c.xy[1], "")) for c in CONTROLS},
    )
    for p in out.points:
        stakes[p.id] = Stake(id=p.id, name=p.id)
        for t in [*p.ties, p.check]:
            length = t.mark_m if marked else t.exact_m
            readings.append(
                Distance(id=f"{p.id}-{t.stake}", start=t.stake, end=p.id, length=Length(length, f"{length:.9f}"))
            )
    return Survey(stakes=tuple(stakes.values()), readings=tuple(readings))


class TestSetOut:
    def test_setting_out_and_measuring_again_closes(self):
        """Bar: plan to unrounded ties to adjustment to plan within 1 mm without noise."""
        out = set_out(POSTS, CONTROLS)
        again = adjust(measured_again(out, marked=False))
        off = [math.dist(t.xy, (again.positions[t.id].x_m, again.positions[t.id].y_m)) for t in POSTS]
        print(f"closure {max(off) * 1000:.4f} mm")
        assert max(off) < 0.001

    @pytest.mark.parametrize("system", ["metric", "feet"])
    def test_rounded_ties_stay_within_the_expected_error(self, system):
        """Bar: with ties at the tape's marks the predicted error covers the misfit."""
        out = set_out(POSTS, CONTROLS, marks=marks_for(system))
        again = adjust(measured_again(out, marked=True))
        for p in out.points:
            found = again.positions[p.id]
            assert p.moved_m <= p.sure_m
            assert math.dist(p.xy, (found.x_m, found.y_m)) <= p.sure_m
            for tie in p.ties:
                step = marks_for(system).step_m
                assert abs(tie.mark_m - tie.exact_m) <= step / 2 + 1e-12
                assert tie.mark_m / step == pytest.approx(round(tie.mark_m / step), abs=1e-6)

    def test_expected_error_matches_monte_carlo(self):
        """The ellipse holds tape, marks and the controls' own error: within 10 % of 4,000 trials."""
        p = set_out([POSTS[0]], CONTROLS).points[0]
        rng = np.random.default_rng(3)
        from quincunx.survey.accuracy import tape_sd_m
        from quincunx.survey.fixes import two_tapes

        at = {c.id: c for c in CONTROLS}
        spread = []
        for _ in range(4000):
            ends = []
            for t in p.ties:
                xx, xy, yy = at[t.stake].covariance
                shift = rng.multivariate_normal([0, 0], [[xx, xy], [xy, yy]])
                tape = t.exact_m + rng.normal(0, tape_sd_m(t.exact_m)) + rng.uniform(-0.0025, 0.0025)
                ends.append(((at[t.stake].xy[0] + shift[0], at[t.stake].xy[1] + shift[1]), tape))
            both = two_tapes(ends[0][0], ends[0][1], ends[1][0], ends[1][1])
            spread.append(min(both, key=lambda q: math.dist(q, p.xy)))
        values = np.linalg.eigvalsh(np.cov(np.array(spread).T))
        assert math.sqrt(values[1]) == pytest.approx(p.ellipse.major_m, rel=0.10)
        assert math.sqrt(values[0]) == pytest.approx(p.ellipse.minor_m, rel=0.10)

    def test_cut_is_within_the_usual_limits(self):  # S16: R (60-120 is best); S17: M (30-150 are the outer limits)
        for p in set_out(POSTS, CONTROLS).points:
            assert 30.0 <= p.cut_deg <= 150.0

    def test_lines_do_not_cross_what_stands_there(self):
        shed = [(2.0, 2.0), (6.0, 2.0), (6.0, 4.0), (2.0, 4.0)]
        target = Target("p", (4.0, 6.0))
        free, blocked = set_out([target], CONTROLS), set_out([target], CONTROLS, obstacles=[shed])
        at = {c.id: c.xy for c in CONTROLS}
        used = {t.stake for t in [*blocked.points[0].ties, blocked.points[0].check] if t is not None}
        assert not any(crosses(at[s], target.xy, shed) for s in used)
        assert crosses(at["a"], target.xy, shed)
        assert blocked.points[0].sure_m >= free.points[0].sure_m

    def test_touching_an_edge_is_no_crossing(self):
        box = [(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)]
        assert not crosses((-1.0, 0.0), (5.0, 0.0), box)
        assert not crosses((-1.0, 1.0), (1.0, -1.0), box)
        assert crosses((-1.0, 2.0), (5.0, 2.0), box)
        assert crosses((1.0, 1.0), (9.0, 1.0), box)

    def test_unreachable_points_are_named(self):
        out = set_out([Target("far", (90.0, 90.0))], CONTROLS)
        assert [i for i, _ in out.unreachable] == ["far"]
        assert not out.points

    def test_points_already_set_help_others_and_come_first(self):
        line = [Target(f"t{k}", (4.0, 6.0 + 8.0 * k)) for k in range(4)]
        out = set_out([*line, Target("s", (9.0, 20.0)), Target("u", (-2.0, 20.0))], CONTROLS, longest_m=16.0)
        order = [p.id for p in out.points]
        for p in out.points:
            for t in p.ties:
                assert t.stake in {c.id for c in CONTROLS} or order.index(t.stake) < order.index(p.id)

    def test_diagonals_prove_the_points(self):
        out = set_out(POSTS, CONTROLS)
        assert all(3.0 < d.exact_m <= 3.6 + 1e-9 for d in out.diagonals)
        assert {i for d in out.diagonals for i in (d.start, d.end)} == {t.id for t in POSTS}

    def test_a_lost_stake_is_fixed_again(self):
        found = adjust(
            survey(SQUARE | {"e": (4.0, 5.0)}, tapes(SQUARE | {"e": (4.0, 5.0)}, "ab bc cd da ac bd ae be ce de"))
        )
        lost = refix("c", found)
        assert lost is not None
        assert "c" not in {t.stake for t in lost.ties}
        with pytest.raises(ValueError, match="no place"):
            refix("x", found)
        assert len(controls_of(found, ["a", "b"])) == 2


class TestShapes:
    def test_square_in_feet(self):
        found = square_corner(4.0, 3.0, unit_m=0.3048)
        assert math.hypot(found.along_m, found.across_m) == pytest.approx(found.diagonal_m)
        assert found.along_m <= 4.0
        with pytest.raises(ValueError, match="no square fits"):
            square_corner(0.5, 0.5)

    def test_points_along_a_bent_path(self):
        found = points_along([(0, 0), (3, 0), (3, 4)], 2.0)
        assert found == [(0, 0), (2, 0), (3, 1), (3, 3), (3, 4)]

    def test_post_grid_runs_along_and_to_the_right(self):
        assert post_grid((1.0, 1.0), 0.0, [0.0, 2.0], [0.0, 3.0]) == [(1, 1), (1, 3), (4, 1), (4, 3)]

    def test_profile_with_falls_and_base(self):
        found = profile([0.0, 5.0], [0.10, 0.05], 0.0, 0.02, 0.15)
        assert [p.finished_m for p in found] == pytest.approx([0.0, -0.10])
        assert [p.dig_m for p in found] == pytest.approx([0.25, 0.30])


class TestLevels:
    def test_closing_error_is_spread_over_the_changes(self):
        sights = [
            ("back", "bm", 1.0),
            ("between", "p", 1.5),
            ("fore", "q", 1.2),
            ("back", "q", 1.0),
            ("fore", "bm", 0.79),
        ]
        book = reduce_book(
            [
                Staff.model_validate({"id": f"s{i}", "sight": s, "stake": k, "reading": v})
                for i, (s, k, v) in enumerate(sights)
            ],
            10.0,
            10.0,
        )
        assert book.closing_m == pytest.approx(0.01)
        assert [line.adjusted_m for line in book.lines] == pytest.approx([10.0, 9.495, 9.795, 10.0])

    def test_a_book_out_of_order_is_refused(self):
        with pytest.raises(ValueError, match="begins with a back sight"):
            reduce_book([Staff(id="a", sight="fore", stake="p", reading=Length(1.0))] * 2, 0.0)

    def test_levels_of_a_survey(self):
        stakes = (Stake(id="a", name="A", level=Length(2.0)), Stake(id="b", name="B"), Stake(id="c", name="C"))
        rises = [("a", "b", 0.30), ("b", "c", 0.20), ("c", "a", -0.503)]
        readings = tuple(Rise(id=f"r{i}", start=p, end=q, rise=Length(h)) for i, (p, q, h) in enumerate(rises))
        found = levels_of(Survey(stakes=stakes, readings=readings))
        assert found.levels["b"] == pytest.approx(2.301, abs=1e-6)
        assert found.levels["c"] == pytest.approx(2.502, abs=1e-6)
        assert not found.loose

    def test_falls_and_steps(self):
        assert fall(2.0, 1.8, 10.0) == pytest.approx(0.02)
        flight = steps_for(0.60)
        assert flight.count == 4
        assert flight.rise_m == pytest.approx(0.15)
        assert 0.60 <= flight.stride_m <= 0.66
        assert flight.run_m == pytest.approx(3 * flight.tread_m)


class TestEarth:
    TILT = (((0, 0, 0.0), (10, 0, 1.0), (10, 6, 1.0)), ((0, 0, 0.0), (10, 6, 1.0), (0, 6, 0.0)))

    def test_even_slope_balances_at_its_middle(self):  # D: a wedge of 5 m x 0.5 m / 2 over 6 m each side
        assert balanced_level_m(self.TILT) == pytest.approx(0.5)
        found = cut_and_fill(self.TILT, 0.5)
        assert (found.cut_m3, found.fill_m3) == pytest.approx((7.5, 7.5))
        assert (found.area_cut_m2, found.area_fill_m2) == pytest.approx((30.0, 30.0))
        assert found.surplus_m3 == pytest.approx(0.0)

    @given(st.floats(-0.5, 1.5))
    def test_cut_less_fill_is_mean_height_times_area(self, level):
        assert cut_and_fill(self.TILT, level).surplus_m3 == pytest.approx((0.5 - level) * 60.0, abs=1e-9)

    def test_contours_lie_at_their_level(self):
        for level, pieces in contours(self.TILT, 0.25).items():
            for piece in pieces:
                assert all(x / 10 == pytest.approx(level) for x, _ in piece)
        assert sorted(contours(self.TILT, 0.25)) == [0.25, 0.5, 0.75, 1.0]


class TestNorth:
    def shadow(self, at: datetime, turn: float, error: float = 0.0) -> Shadow:
        from quincunx.site.sun import sun_position

        up, azimuth = sun_position(52.1, 1.2, [at])
        length = 1.5 / math.tan(math.radians(float(up[0])))
        plan = math.radians(float(azimuth[0]) + 180.0 - turn + error)
        return Shadow((2.0, 3.0), (2.0 + length * math.sin(plan), 3.0 + length * math.cos(plan)), at)

    def test_two_shadows_are_averaged(self):
        times = [datetime(2027, 6, 5, h, tzinfo=UTC) for h in (9, 15)]
        found = north_from_shadows(52.1, 1.2, [self.shadow(times[0], 31.0, 0.6), self.shadow(times[1], 31.0, -0.6)])
        assert found.turn_deg == pytest.approx(31.0, abs=0.01)
        assert found.sd_deg == pytest.approx(0.6, abs=0.02)
        assert found.agree

    def test_summer_time_is_no_other_time(self):
        utc = datetime(2027, 6, 5, 9, tzinfo=UTC)
        local = utc.astimezone(timezone(timedelta(hours=1)))
        one = north_from_shadows(52.1, 1.2, [self.shadow(utc, 10.0)])
        two = self.shadow(utc, 10.0)
        assert north_from_shadows(52.1, 1.2, [Shadow(two.foot, two.tip, local)]) == one

    def test_noon_line_needs_no_watch(self):
        # The shortest shadow lies on the meridian: due north at 52 N, due south at 35 S.
        north = north_from_noon_line(52.1, 1.2, (0, 0), (0, 1), date(2027, 6, 5))
        south = north_from_noon_line(-35.0, 149.0, (0, 0), (0, -1), date(2027, 6, 5))
        assert (north.turn_deg, south.turn_deg) == pytest.approx((0.0, 0.0))

    def test_what_is_refused(self):
        with pytest.raises(ValueError, match="no zone"):
            north_from_shadows(52.1, 1.2, [Shadow((0, 0), (0, 1), datetime(2027, 6, 5, 9))])  # noqa: DTZ001
        with pytest.raises(ValueError, match="too low"):
            north_from_shadows(52.1, 1.2, [Shadow((0, 0), (0, 1), datetime(2027, 12, 21, 8, 30, tzinfo=UTC))])

    def test_compass_and_declination(self):
        found = north_from_compass([((0, 0), (0, 1), 350.0), ((0, 0), (1, 0), 80.0)], 4.0)
        assert found.turn_deg == pytest.approx(-6.0)
        # World Magnetic Model 2025 test values, NOAA, first rows: 2025.0, 0 km, 80 N 0 E: 1.28 E; 0 N 120 E: -0.16
        # (from memory).
        assert declination_deg(80.0, 0.0, date(2025, 1, 1)) == pytest.approx(1.28, abs=0.01)
        assert declination_deg(0.0, 120.0, date(2025, 1, 1)) == pytest.approx(-0.16, abs=0.01)
        with pytest.raises(ValueError, match="2010 to 2029"):
            declination_deg(52.0, 0.0, date(2031, 1, 1))

    def test_words(self):
        assert words.north(North(1.0, None, (1.0,))).startswith("North rests on one reading")
        assert "within 1.2 degrees" in words.north(North(1.0, 0.6, (0.4, 1.6)))
        assert "differ" in words.north(North(1.0, 6.0, (-5.0, 7.0)))


class TestUnderlay:
    def test_turned_and_scaled_picture(self):
        picture = [(0.0, 0.0), (1000.0, 0.0), (1000.0, 800.0), (0.0, 800.0)]
        turn, scale = math.radians(20.0), 0.02
        ground = [
            (
                5 + scale * (u * math.cos(turn) - v * math.sin(turn)),
                40 - scale * (u * math.sin(turn) + v * math.cos(turn)),
            )
            for u, v in picture
        ]
        found = fit_underlay(picture, ground)
        assert found.rms_m == pytest.approx(0.0, abs=1e-9)
        assert found.metres_per_pixel == pytest.approx(0.02)
        assert found.ground(500.0, 400.0)[0] == pytest.approx(np.mean([x for x, _ in ground]))
        ground[2] = (ground[2][0] + 1.0, ground[2][1])
        wrong = fit_underlay(picture, ground)
        assert wrong.worst == 2
        assert wrong.rms_m > 0.2

    @pytest.mark.parametrize("wrong", range(4))
    def test_one_wrong_point_of_four_is_the_odd_one(self, wrong):
        picture = [(90.0, 260.0), (310.0, 261.0), (309.0, 40.0), (91.0, 41.0)]
        ground = [(0.2 * u, -0.2 * v) for u, v in picture]
        picture[wrong] = (picture[wrong][0], picture[wrong][1] + 30.0)
        odd = odd_one(picture, ground)
        assert odd is not None
        assert odd[0] == wrong
        assert odd[1] == pytest.approx(6.0)  # 30 px of 0.2 m
        assert odd_one(picture[:3], ground[:3]) is None
        ground[0], ground[2] = ground[2], ground[0]
        assert odd_one(picture, ground) is None

    def test_stretched_picture(self):
        picture = [(0.0, 0.0), (10.0, 0.0), (10.0, 8.0), (0.0, 8.0)]
        ground = [(u * 0.10, -v * 0.12) for u, v in picture]
        assert fit_underlay(picture, ground).rms_m > 0.01
        found = fit_underlay(picture, ground, stretch=True)
        assert found.rms_m == pytest.approx(0.0, abs=1e-9)
        assert found.stretched == pytest.approx(1.2)
        assert found.checked
        assert not fit_underlay(picture[:3], ground[:3], stretch=True).checked

    def test_what_is_refused(self):
        with pytest.raises(ValueError, match="three or more"):
            fit_underlay([(0, 0), (1, 1)], [(0, 0), (1, 1)])
        with pytest.raises(ValueError, match="not in a row"):
            fit_underlay([(0, 0), (1, 1), (2, 2)], [(0, 0), (1, 1), (2, 2)], stretch=True)


class TestAsBuilt:
    def test_a_diagonal_35_mm_long(self):
        plan = {"a": (0.0, 0.0), "c": (3.0, 4.0)}
        (found,) = compare_lengths(plan, [("a", "c", 5.035)], 0.02)
        assert found.state == "outside"
        assert words.deviation(found, NAMES, Style()) == "A to C is 35 mm too long: more than the 20 mm allowed."
        (fine,) = compare_lengths(plan, [("a", "c", 5.001)], 0.02)
        assert fine.state == "within"
        with pytest.raises(ValueError, match="not in the plan"):
            compare_lengths(plan, [("a", "x", 5.0)], 0.02)

    @pytest.mark.parametrize(
        ("off_m", "state"),
        [(0.0, "within"), (0.015, "within"), (0.03, "unsure"), (0.055, "unsure"), (0.065, "outside")],
    )
    def test_a_long_length_is_outside_only_beyond_what_the_tape_may_be_off_too(self, off_m, state):
        """A tape of unknown class over 30 m may itself be 38 mm off (95 in 100): 20 mm allowed and 38 make 58."""
        (found,) = compare_lengths({"a": (0.0, 0.0), "b": (30.0, 0.0)}, [("a", "b", 30.0 + off_m)], 0.02)
        assert found.tape_m == pytest.approx(0.0382, abs=1e-3)
        assert found.state == state

    def test_points_against_tolerance(self):
        found = adjust(survey(SQUARE, tapes(SQUARE, "ab bc cd da ac bd"), toward="b", azimuth_deg=0.0))
        at = {s: (p.x_m, p.y_m) for s, p in found.positions.items()}
        plan = at | {"b": (at["b"][0] + 0.2, at["b"][1])}
        states = {s.point: s.state for s in compare_points(plan, found, 0.05)}
        assert states == {"a": "within", "b": "outside", "c": "within", "d": "within"}

    def test_plan_moved_onto_what_was_built(self):
        plan = {"a": (0.0, 0.0), "b": (4.0, 0.0), "c": (4.0, 3.0), "seat": (2.0, 1.0)}
        turn = math.radians(2.0)
        built = {
            k: (1 + x * math.cos(turn) + y * math.sin(turn), 2 + y * math.cos(turn) - x * math.sin(turn))
            for k, (x, y) in plan.items()
        }
        found = fit_plan_to_built(plan, {k: built[k] for k in "abc"})
        assert found.turn_deg == pytest.approx(2.0)
        assert max(found.remains_m.values()) < 1e-9
        assert found.places["seat"] == pytest.approx(built["seat"])


LINES = [
    "A B 12.34", "A-B 12' 4 3/8\"", "A>B x 3.2 L 1.15 tree", "A B C square", "A B C D straight", "A B 34 paces",
    "A>B 134.5 deg", "A>B 134.5 deg true", "A B 12.34 falls 0.45", "A B rises 0.12", "A B falls 0.12",
    "A wall C-D 4.5", "A>B wall C-D 4.5", "A>B sees C left", "back A 1.425", "A B 12.34 [old-tape] # wet",
    "A>B S68°05'35\"W true", "A>B N12°30'E", "A B rises 0.12 by water level", "A B 12.34 falls 0.45 by line level",
    "A B falls 0.12 by an A-frame",
]  # fmt: skip


class TestEntry:
    @pytest.mark.parametrize("line", LINES)
    def test_written_and_read_again(self, line):
        reading = parse_line(line, Style())
        assert parse_line(write_line(reading, Style()), Style()) == reading

    def test_the_length_keeps_what_was_typed(self):
        reading = parse_line("A-B 12' 4 3/8\"", Style(system="feet"))
        assert isinstance(reading, Distance)
        assert float(reading.length) == pytest.approx((12 * 12 + 4.375) * 0.0254)
        assert reading.length.typed == "12' 4 3/8\""

    def test_triangle_and_bad_lines(self):
        readings, problems = parse_lines("A B C: 12.3; 9.1; 8.0\n\n# a note\nfoo\nA A 3", Style())
        assert [(r.id, r.start, r.end) for r in readings if isinstance(r, Distance)] == [
            ("r1", "a", "b"), ("r2", "b", "c"), ("r3", "c", "a"),
        ]  # fmt: skip
        assert [p.line for p in problems][:2] == [4, 5]
        assert "two stakes and a length" in problems[0].because
        assert "two different stakes" in problems[1].because

    def test_a_leg_is_a_bearing_and_a_tape(self):
        readings, problems = parse_lines("A>B 134 deg 12.34\nB>C S10°15'E 12.3", Style(), 7)
        assert not problems
        assert [(r.id, r.type) for r in readings] == [
            ("r7", "bearing"), ("r8", "distance"), ("r9", "bearing"), ("r10", "distance"),
        ]  # fmt: skip
        feet, _ = parse_lines("A>B 134 deg 12' 4\"", Style(system="feet"))
        assert feet[0] == parse_line("A>B 134 deg", Style(), "r1")
        assert float(feet[1].length) == pytest.approx(148 * 0.0254)  # type: ignore[union-attr]

    def test_a_bearing_keeps_how_it_was_written(self):
        reading = parse_line("A>B S68°05'35\"W true", Style())
        assert write_line(reading, Style()) == "a>b S68°05'35\"W true"
        old = reading.changed(typed="")  # of a file written before
        assert write_line(old, Style()) == "a>b 248°05'35\" true"

    def test_a_compass_names_no_tape(self):
        bearing, tape = parse_lines("A>B 134.5 deg 12.34 by compass", Style())[0]
        assert (bearing.instrument, tape.instrument) == ("compass", None)
        assert parse_lines("A>B 134.5 deg 12.34 by tape", Style())[0][1].instrument == "tape"

    @pytest.mark.parametrize("line", ["", "A", "12.3", "A B", "A B deg", "A>B 400 deg", "A B C: 1; 2"])
    def test_what_is_no_reading(self, line):
        with pytest.raises(BadLine):
            parse_line(line, Style())

    @settings(max_examples=60)
    @given(st.text(max_size=40))
    def test_no_text_breaks_it_and_no_line_is_passed_over(self, text):
        lines = [line for line in text.splitlines() if line.split("#")[0].strip()]
        readings, problems = parse_lines(text, Style())
        assert [p.text for p in problems if p.text not in lines] == []
        assert len(problems) <= len(lines) <= len(readings) + len(problems)


class TestBearings:
    """How finely a bearing is written says how good it is (common practice, no source)."""

    @pytest.mark.parametrize(
        ("typed", "step"),
        [
            ("", 1.0), ("134 deg", 1.0), ("134°", 1.0), ("134.5 deg", 0.5), ("134,0 deg", 0.5), ("134.2 deg", 0.1),
            ("134.25 deg", 0.01), ("N12°30'E", 0.25), ("N12°45′E", 0.25), ("N12°31'E", 1 / 60), ("248°05'35\"", 1 / 3600),
            ("S68°05’35”W", 1 / 3600),
        ],
    )  # fmt: skip
    def test_step(self, typed, step):
        assert bearing_step_deg(typed) == pytest.approx(step)

    def test_finer_writing_is_never_worse(self):
        sds = [bearing_sd_deg(t, magnetic=False) for t in ("134 deg", "134.5 deg", "N12°31'E", "248°05'35\"")]
        assert sds == sorted(sds, reverse=True)
        assert sds[0] == 1.0
        assert sds[-1] < 0.02

    def test_a_needle_is_never_finer_than_itself(self):
        assert bearing_sd_deg("248°05'35\"") == HANDLING.needle_deg
        assert bearing_sd_deg("248°05'35\"", "compass") == HANDLING.half_degree_deg
        assert bearing_sd_deg("248°05'35\"", "theodolite") == HANDLING.second_deg
        assert bearing_sd_deg("248 deg", "theodolite") == HANDLING.compass_deg

    @pytest.mark.parametrize(
        ("read", "likely", "slip"),
        [
            (117.0, 170.6, "Swapped digits?"), (34.0, 214.5, "other end"), (130.0, 140.2, "Tens of degrees"),
            (40.0, 320.0, "other way round"), (40.0, 75.0, ""), (40.0, 41.0, ""),
        ],
    )  # fmt: skip
    def test_the_usual_slips(self, read, likely, slip):
        said = words.bearing_slip(read, likely, 0.5)
        assert slip in said
        assert bool(said) == bool(slip)

    def test_small_angles_are_said_as_people_say_them(self):
        said = [words.angle(d) for d in (2.3, 0.06, 0.02, 12 / 3600, 0.0)]
        assert said == ["2.3°", "0.1°", "1' of a degree", '12" of a degree', '1" of a degree']

    def test_the_plan_is_surer_with_finer_bearings(self):
        def sure(first: str, then: str) -> float:
            lines = f"A>B {first} true 50\nB>C {then} true 50"
            readings, _ = parse_lines(lines, Style())
            stakes = tuple(Stake(id=i, name=i) for i in "abc")
            return adjust(Survey(stakes=stakes, readings=readings, datum="a")).positions["c"].sure_m

        pairs = (("0 deg", "90 deg"), ("0.5 deg", "90.5 deg"), ("N0°00'30\"E", "S89°59'30\"E"))
        coarse, half, fine = (sure(*pair) for pair in pairs)
        assert coarse > half > fine


class TestWords:
    def test_sentences(self):
        found = adjust(survey(SQUARE, tapes(SQUARE, "ab bc cd da ac", sd=0.01)))
        assert words.sure(found.positions["d"], Style()).startswith("sure to within ")
        nexts = facade.next_tapes(found)
        assert words.next_tape(nexts[0], NAMES, Style()).startswith("Next, tape B to D (about ")
        loose = adjust(survey(SQUARE, tapes(SQUARE, "ab bc ac cd")))
        assert words.swing(loose.swings[0], NAMES).startswith("stake D can still swing: tape D to ")
        question = adjust(survey(SQUARE, tapes(SQUARE, "ab bc cd da ac bd"))).questions[0]
        assert words.mirror(question, NAMES).endswith("on your left or on your right?")

    def test_setting_out_in_feet(self):
        out = set_out(POSTS, CONTROLS, marks=marks_for("feet"))
        text = words.placed(out.points[0], NAMES, Style(system="feet"))
        assert " from " in text
        assert "Check: " in text
        assert "'" in text
        assert words.diagonal(out.diagonals[0], NAMES, Style(system="feet")).startswith(out.diagonals[0].start)
        assert Marks(0.01).sd_m == pytest.approx(0.01 / math.sqrt(12))


def test_facade_names_all_and_loads_lazily():
    import subprocess
    import sys

    for name in facade.__all__:
        assert getattr(facade, name) is not None
    code = "import sys; from quincunx.survey import Survey, parse_line; sys.exit('numpy' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
    with pytest.raises(AttributeError):
        _ = facade.nothing


def test_paces_that_could_be_a_thousand_are_asked_about():
    with pytest.raises(ValueError, match=r"1\.234 paces.*1234 paces"):
        parse_line("A B 1,234 paces", Style())
    paced = parse_line("A B 34,5 paces", Style())
    assert isinstance(paced, facade.Paced)
    assert paced.paces == 34.5
