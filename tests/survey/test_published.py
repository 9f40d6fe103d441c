"""Worked examples of measuring, from books and open teaching pages; each with how it is known."""

from __future__ import annotations

import csv
import math
from pathlib import Path
from types import MappingProxyType

import numpy as np
import pytest

from quincunx.survey import (
    Leg,
    NoFix,
    Staff,
    adjust_rises,
    angle_of_cut_deg,
    area_m2,
    chord_offset_m,
    class_tolerance_m,
    compass_rule,
    ellipse_by_string,
    ellipse_offset_m,
    level_distance_m,
    offset_of,
    radius_m,
    reduce_book,
    square_corner,
    two_directions,
    two_tape_sd_m,
    two_tapes,
    versed_sine_m,
    walk,
    worn_tape_m,
)
from quincunx.survey._gauge import Gauge, normals, relax
from quincunx.survey._model import DIST, Row, Rows, evaluate
from quincunx.survey._normal import inverse, solve
from quincunx.survey.accuracy import (
    pull_correction_m,
    sag_correction_m,
    slope_parts_m,
    warmth_correction_m,
    warmth_matters,
)
from quincunx.units.angle import parse_bearing
from quincunx.units.fields import Length
from quincunx.units.style import Style

PUBLISHED = Path(__file__).parents[1] / "published"


def table(folder: str, name: str) -> list[dict[str, str]]:
    lines = (PUBLISHED / folder / name).read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


@pytest.fixture(scope="module")
def loop() -> tuple[list[dict[str, str]], list[Leg]]:
    rows = table("mahun_traverse", "loop.csv")
    return rows, [Leg(parse_bearing(r["bearing"], Style()), float(r["length_ft"])) for r in rows]


class TestTraverse:
    """J. Mahun, Open Access Surveying Library, XI Traverse Computations (S1-S5: R+C; S4: D)."""

    def test_latitudes_and_departures_of_each_leg(self, loop):
        for row, leg in zip(*loop, strict=True):
            assert leg.latitude_m == pytest.approx(float(row["lat_ft"]), abs=0.0011)
            assert leg.departure_m == pytest.approx(float(row["dep_ft"]), abs=0.0011)

    def test_closure_before_adjustment(self, loop):
        found = compass_rule(loop[1])
        assert found.length_m == pytest.approx(1347.57, abs=1e-9)
        assert found.closure_m[1] == pytest.approx(0.083, abs=0.0011)
        assert found.closure_m[0] == pytest.approx(0.075, abs=0.0015)  # prints rounded sums; 0.074 unrounded
        assert found.miss_m == pytest.approx(0.111, abs=0.001)  # S4
        assert found.one_in == pytest.approx(12_100, rel=0.01)  # S4
        assert found.quality == "good"  # S10: 1:10 000 good for taping (R)

    def test_raw_and_adjusted_return_to_the_start(self, loop):  # S2
        start = (2000.0, 500.0)
        raw = walk(loop[1], start)[-1]
        assert raw == pytest.approx((2000.075, 500.083), abs=0.0015)
        assert compass_rule(loop[1], start).points[-1] == pytest.approx(start, abs=1e-9)

    def test_adjusted_legs(self, loop):  # S3, S4
        for row, leg in zip(loop[0], compass_rule(loop[1]).legs, strict=True):
            assert leg.latitude_m == pytest.approx(float(row["adjusted_lat_ft"]), abs=0.01)
            assert leg.departure_m == pytest.approx(float(row["adjusted_dep_ft"]), abs=0.01)
            if row["adjusted_length_ft"]:
                assert leg.length_m == pytest.approx(float(row["adjusted_length_ft"]), abs=0.01)
                want = parse_bearing(row["adjusted_bearing"], Style())
                assert leg.azimuth_deg == pytest.approx(want, abs=5 / 3600)

    def test_adjusted_coordinates_and_area(self, loop):  # S4 (D)
        points = compass_rule(loop[1], (2000.0, 500.0)).points
        wanted = [(1561.426, 323.614), (1488.321, 526.996), (1686.956, 719.336)]
        for point, want in zip(points[1:4], wanted, strict=True):
            assert point == pytest.approx(want, abs=0.001)
        assert area_m2(list(points[:4])) == pytest.approx(102_935.7, abs=0.1)
        # S5 (R+C): A to C from the same legs; the page prints 28.99 once, a slip
        assert points[2][1] - 500 == pytest.approx(26.99, abs=0.01)
        assert points[2][0] - 2000 == pytest.approx(-511.68, abs=0.01)

    def test_coordinates_from_latitudes_and_departures(self):
        """US Navy, NAVEDTRA 14071, ch. 7, figs 7-24 to 7-26 (S7: R+C; area D)."""
        lat, dep = (255.96, -153.53, -694.07, 591.64), (125.66, 590.65, -192.69, -523.62)
        points = walk([Leg.of(d, y) for d, y in zip(dep, lat, strict=True)], (0.0, 591.64))
        wanted = [(0, 591.64), (125.66, 847.60), (716.31, 694.07), (523.62, 0.0)]
        for point, want in zip(points, wanted, strict=False):
            assert point == pytest.approx(want, abs=1e-9)
        assert area_m2(list(points[:4])) == pytest.approx(323_953.7, abs=0.1)

    def test_latitude_by_table(self):
        """NAVEDTRA 14070, ch. 7: table 698.59, exact 698.63 (S8: R+C)."""
        assert Leg(15.5, 725.0).latitude_m == pytest.approx(698.63, abs=0.005)

    def test_correction_rule_sums_to_nothing(self, loop):
        """Mahun ch. E; NAVEDTRA 14071 p. 7-11 (S9: R): each correction is minus the sum times L over sum L."""
        raw, done = loop[1], compass_rule(loop[1])
        for before, after in zip(raw, done.legs, strict=True):
            share = before.length_m / done.length_m
            assert after.latitude_m - before.latitude_m == pytest.approx(-done.closure_m[1] * share, abs=1e-9)
        assert sum(leg.latitude_m for leg in done.legs) == pytest.approx(0.0, abs=1e-9)

    @pytest.mark.parametrize(("one_in", "name"), [(12_000, "good"), (6_000, "average"), (3_000, "poor")])
    def test_closure_classes(self, one_in, name):  # S10: R (university taping slides)
        legs = [Leg(0, 500.0), Leg(90, 500.0), Leg(180, 500.0), Leg(270, 500.0 + 2000.0 / one_in)]
        assert compass_rule(legs).quality == name


class TestIntersections:
    """C. Ghilani & P. Wolf, Elementary Surveying, ch. 11, as transcribed in a public source repository."""

    def test_two_distances(self):  # Example 11.4 (S11: R+C)
        a, b = (2851.28, 299.40), (3898.72, 2870.15)
        assert math.dist(a, b) == pytest.approx(2775.95, abs=0.01)
        left, right = two_tapes(a, 2000.0, b, 1500.0)
        assert right == pytest.approx((4464.85, 1481.09), abs=0.01)
        assert left == pytest.approx((2523.02, 2272.28), abs=0.01)

    def test_two_directions(self):  # Example 11.2 (S13: R)
        found = two_directions((1425.07, 1971.28), 76 + 4 / 60 + 24 / 3600, (7484.80, 5209.64), 141.5 + 16 / 3600)
        assert found == pytest.approx((8637.85, 3759.83), abs=0.01)

    def test_offset_from_a_line(self):  # Example 11.1 (S14: R+C)
        _, off = offset_of((1123.82, 509.41), (865.49, 416.73), (1557.41, 669.09))
        assert abs(off) == pytest.approx(1.45, abs=0.01)

    def test_what_must_fail(self):  # S15: R
        with pytest.raises(NoFix, match="same point"):
            two_tapes((1.0, 2.0), 500.0, (1.0, 2.0), 500.0)
        with pytest.raises(NoFix, match="don't meet"):
            two_tapes((4192.56, 6847.32), 500.0, (2398.13, 2251.76), 500.0)
        for other in (45.0, 225.0):
            with pytest.raises(NoFix, match="parallel"):
                two_directions((0.0, 0.0), 45.0, (5.0, 0.0), other)

    @pytest.mark.parametrize(("cut", "factor"), [(90, 1.41), (30, 2.83), (150, 2.83)])
    def test_error_grows_with_the_angle_of_cut(self, cut, factor):  # S18: D
        assert two_tape_sd_m(1.0, 1.0, cut) == pytest.approx(factor, abs=0.005)

    def test_angle_of_cut(self):  # D
        assert angle_of_cut_deg((0, 0), (3, 0), (0, 2)) == pytest.approx(90)
        assert angle_of_cut_deg((0, 0), (3, 0), (-1, 1)) == pytest.approx(135)


class TestLeastSquares:
    def test_three_equations(self):
        """Ghilani, Adjustment Computations, opening example of least squares (S19: R+C; attribution M)."""
        found = solve(np.array([[1.0, 1], [2, -1], [1, -1]]), np.array([3.0, 1.5, 0.2]), np.ones(3))
        assert found.x == pytest.approx([1.514285, 1.442857], abs=1e-6)
        assert found.residual == pytest.approx([-0.042857, 0.085714, -0.128571], abs=1e-6)
        assert found.s0 == pytest.approx(0.160356, abs=1e-6)
        assert found.redundancy.sum() == pytest.approx(found.dof)

    NET = (
        ("1", "bmx", "a", 5.10), ("2", "a", "bmy", 2.34), ("3", "bmy", "c", -1.25), ("4", "c", "bmx", -6.13),
        ("5", "a", "b", -0.68), ("6", "bmy", "b", -3.00), ("7", "b", "c", 1.70),
    )  # fmt: skip
    KNOWN = MappingProxyType({"bmx": 100.0, "bmy": 107.5})

    def test_level_net_equal_weights(self):
        """Ghilani, Adjustment Computations, 6th ed. 2018, ch. 12, fig. 12.2, pp. 225-228 (S20: R+C; sd worked)."""
        found = adjust_rises(self.KNOWN, [(*row, 1.0) for row in self.NET])
        assert [found.levels[k] for k in "abc"] == pytest.approx([105.141, 104.483, 106.188], abs=0.001)
        wanted = [0.041, 0.019, -0.062, -0.058, 0.022, -0.017, 0.005]
        assert list(found.residuals.values()) == pytest.approx(wanted, abs=0.001)
        assert found.s0 == pytest.approx(0.05012, abs=1e-5)
        # S25 (R): S_x = S0 sqrt(Q_xx)
        assert [found.s0 * found.sd[k] for k in "abc"] == pytest.approx([0.031, 0.033, 0.031], abs=0.0006)

    def test_level_net_weighted(self):  # S21: R+C, same source; lengths 4 3 2 3 2 2 2
        lengths = (4, 3, 2, 3, 2, 2, 2)
        found = adjust_rises(self.KNOWN, [(*r, math.sqrt(n)) for r, n in zip(self.NET, lengths, strict=True)])
        assert [found.levels[k] for k in "abc"] == pytest.approx([105.150, 104.489, 106.197], abs=0.001)
        wanted = [0.050, 0.010, -0.053, -0.067, 0.019, -0.011, 0.008]
        assert list(found.residuals.values()) == pytest.approx(wanted, abs=0.001)

    def test_two_unknown_levels(self):  # S23: R+C, same source, Problem 12.1
        known = {"bma": 100.0, "bmb": 101.60, "bmc": 108.05, "bmd": 106.07}
        rows = [("1", "bma", "y", 3.68), ("2", "bmb", "y", 2.06), ("3", "y", "x", 2.02), ("4", "bmc", "x", -2.37)]
        found = adjust_rises(known, [(*row, 1.0) for row in [*rows, ("5", "bmd", "x", -0.38)]])
        assert found.levels["x"] == pytest.approx(105.6863, abs=5e-5)
        assert found.levels["y"] == pytest.approx(103.6688, abs=5e-5)
        assert found.s0 == pytest.approx(0.0094, abs=5e-5)

    def test_plane_trilateration(self):
        """Inputs recalled as Ghilani, Adjustment Computations, Example 14.1; results worked, not the book's (S24: M+C)."""
        known = {1: (865.40, 4527.15), 2: (2432.55, 2047.25), 3: (2865.22, 27.15)}
        lengths = {1: 6049.00, 2: 4736.83, 3: 5446.49}
        rows = Rows.of([Row(DIST, (k, 0), v, 1.0, str(k), "") for k, v in lengths.items()])
        gauge = Gauge(4, known)
        xy, chi2 = relax(rows, gauge.settle(np.array([[6800.0, 3800.0], [0, 0], [0, 0], [0, 0]])), gauge)
        assert xy[0] == pytest.approx([6861.317, 3727.819], abs=0.001)
        assert -evaluate(rows, xy)[0] == pytest.approx([-0.037, 0.077, -0.047], abs=0.001)
        assert math.sqrt(chi2 / 1) == pytest.approx(0.098, abs=0.001)
        sd = math.sqrt(chi2) * np.sqrt(np.diag(inverse(normals(rows, xy, gauge)[2])))
        assert sd == pytest.approx([0.078, 0.154], abs=0.001)


class TestAreasAndLevels:
    @pytest.mark.parametrize(
        ("corners", "area"),
        [
            ([(3, 4), (5, 11), (12, 8), (9, 5), (5, 6)], 30.0),  # S26: inputs R, area D
            ([(1, 6), (3, 1), (7, 2), (4, 4), (8, 5)], 16.5),  # S27: M+C
        ],
    )
    def test_shoelace(self, corners, area):
        assert area_m2(corners) == pytest.approx(area, abs=1e-12)

    def test_acres(self):  # S28: R+C, mathforum.org/library/drmath/view/61158.html
        assert pytest.approx(14.340, abs=0.0005) == 624_630.88 / 43_560
        side_m = math.sqrt(624_630.88) * 0.3048
        found = area_m2([(0, 0), (side_m, 0), (side_m, side_m), (0, side_m)])
        assert found / (43_560 * 0.3048**2) == pytest.approx(14.340, abs=0.0005)

    def test_rise_and_fall(self):
        """Teaching page "Rise and fall method", question 1 (S29: R+C)."""
        rows = table("level_book", "rise_and_fall.csv")
        book = reduce_book(
            [
                Staff.model_validate(
                    {"id": f"r{i}", "sight": r["sight"], "stake": r["stake"], "reading": float(r["reading_m"])}
                )
                for i, r in enumerate(rows)
            ],
            100.0,
        )
        levels = [float(r["level_m"]) for r in rows if r["level_m"]]
        assert [line.level_m for line in book.lines] == pytest.approx(levels, abs=1e-9)
        assert (book.back_sum_m, book.fore_sum_m) == pytest.approx((2.870, 9.275))
        assert (book.rise_sum_m, book.fall_sum_m) == pytest.approx((1.100, 7.505))
        assert book.differences_m == pytest.approx((-6.405, -6.405, -6.405))
        assert book.agrees

    @pytest.mark.parametrize(
        ("level", "back", "fore", "found"),
        [
            (820.00, 8.42, 1.20, 827.22),  # S30: R+C (827.22 worked), lecture sheet "Differential leveling"
            (520.50, 4.25, 6.80, 517.95),  # S31: R+C, exam-review page
        ],
    )
    def test_one_set_up(self, level, back, fore, found):
        staffs = [
            Staff(id="1", sight="back", stake="bm", reading=Length(back, "t")),
            Staff(id="2", sight="fore", stake="x", reading=Length(fore, "t")),
        ]
        assert reduce_book(staffs, level).lines[-1].level_m == pytest.approx(found, abs=1e-9)

    def test_check_sums_of_a_short_book(self):  # S32: R; only sums are printed, so the check rule is what is tested
        assert pytest.approx(1.195) == 5.430 - 4.235
        assert pytest.approx(1.195) == 3.955 - 2.760
        staffs = [
            Staff(id="1", sight="back", stake="bm", reading=Length(5.430, "t")),
            Staff(id="2", sight="between", stake="p", reading=Length(5.430 - 3.955, "t")),
            Staff(id="3", sight="fore", stake="q", reading=Length(4.235, "t")),
        ]
        book = reduce_book(staffs, 0.0)
        assert (book.rise_sum_m, book.fall_sum_m) == pytest.approx((3.955, 2.760))
        assert book.differences_m == pytest.approx((1.195,) * 3)


class TestTapes:
    """University taping slides, slideplayer.com/amp/13085605 (S33-S37: R+C)."""

    def test_tape_of_wrong_length(self):
        assert worn_tape_m(500.00, 100.0, 100.02) == pytest.approx(500.10)
        lay_out = 500.00 * 100.0 / 100.02
        assert 500.00 - lay_out == pytest.approx(0.10, abs=0.001)

    def test_slope(self):
        level, rise = slope_parts_m(300.0, 5.0)
        assert (level, rise) == pytest.approx((298.86, 26.15), abs=0.01)
        assert level_distance_m(300.0, rise) == pytest.approx(level, abs=1e-9)
        assert rise**2 / 600.0 == pytest.approx(1.14, abs=0.01)

    def test_temperature(self):
        found = warmth_correction_m(368.50, 22.0, 68.0, 6.5e-6)
        assert found == pytest.approx(-0.11, abs=0.005)
        assert 368.50 + found == pytest.approx(368.39, abs=0.005)

    def test_metric_steel_and_when_it_matters(self):  # S39: R; expansion M
        assert warmth_correction_m(30.0, 0.0) == pytest.approx(-11.5e-6 * 30 * 20)
        assert warmth_matters(30.0, 0.0, 0.005)
        assert not warmth_matters(10.0, 15.0, 0.005)

    def test_sag(self):
        weight = 2.8 / 100

        def total(pull: float, spans: list[float]) -> float:
            return sum(sag_correction_m(span, weight, pull) for span in spans)

        assert total(12, [100] * 3 + [48.75]) == pytest.approx(-0.71, abs=0.01)
        assert total(18, [100] * 3 + [48.75]) == pytest.approx(-0.31, abs=0.01)
        assert total(12, [50] * 6 + [48.75]) == pytest.approx(-0.20, abs=0.01)

    def test_pull(self):
        assert pull_correction_m(100.0, 18.0, 12.0, 0.015, 29e6) == pytest.approx(0.0014, abs=0.00005)

    @pytest.mark.parametrize(
        ("tape_class", "length", "mm"),
        [("I", 10, 1.1), ("I", 30, 3.1), ("II", 10, 2.3), ("II", 30, 6.3), ("III", 10, 4.6), ("III", 30, 12.6)],
    )
    def test_class_tolerance(self, tape_class, length, mm):
        """EU 2014/32/EU annex X = UK SI 2016/1153 Sch. 1I ch. 1 (S40: R); values S41: D."""
        assert class_tolerance_m(tape_class, length) * 1000 == pytest.approx(mm)

    def test_class_tolerance_rounds_the_length_up(self):  # S40 and trap 2
        assert class_tolerance_m("II", 9.01) == class_tolerance_m("II", 10.0)
        assert class_tolerance_m("II", 10.01) * 1000 == pytest.approx(0.3 + 0.2 * 11)
        assert class_tolerance_m("III", 10.0, from_end_face=True) * 1000 == pytest.approx(4.9)
        with pytest.raises(ValueError, match="I, II or III"):
            class_tolerance_m("IV", 1.0)


class TestCurves:
    @pytest.mark.parametrize("triple", [(3, 4, 5), (6, 8, 10), (9, 12, 15), (12, 16, 20)])
    def test_three_four_five(self, triple):  # S43: D
        found = square_corner(max(triple[:2]), min(triple[:2]), unit_m=1.0)
        assert found.diagonal_m == pytest.approx(math.hypot(found.along_m, found.across_m), abs=1e-12)
        assert found.diagonal_m == pytest.approx(triple[2])

    def test_ellipse_by_string(self):
        """Foci, loop and half ordinates by geometry; perimeter by Ramanujan 1914 (S44: D)."""
        found = ellipse_by_string(5.0, 3.0)
        assert (found.focus_m, found.loop_m) == pytest.approx((4.0, 18.0))
        assert found.perimeter_m == pytest.approx(25.527, abs=0.0005)
        ordinates = [ellipse_offset_m(5.0, 3.0, x) for x in range(6)]
        assert ordinates == pytest.approx([3.0, 2.939, 2.750, 2.400, 1.800, 0.0], abs=0.0005)

    def test_arc_by_offsets(self):  # S45: inputs R, results D
        assert radius_m(80.0, 5.0) == pytest.approx(162.5)
        ordinates = [chord_offset_m(162.5, 80.0, x) for x in (0, 10, 20, 30, 40)]
        assert ordinates == pytest.approx([5.000, 4.692, 3.765, 2.207, 0.0], abs=0.0005)

    @pytest.mark.parametrize(
        ("degrees", "radius_ft"),
        [(2, 2865.0), (3, 1910.0), (4, 1433.0), (5, 1146.0), (6, 955.4), (7, 819.0), (8, 716.8), (10, 573.7)],
    )
    def test_radius_by_the_angle_over_a_chord_of_a_hundred_feet(self, degrees, radius_ft):
        """G. L. Vose, Handbook of Railroad Construction, 1857, article 58, table "Angle of deflection, Radius, in feet": R.

        Read in an open copy of the text; its line for 6 1/2 degrees, 822.0, is a misprint for 882.0 and is left out.
        The rise over the middle of the chord, of which the book has none, is half the chord times the tangent of a
        quarter of the angle.  Whole feet from 2 to 5 degrees, tenths beyond; 5 degrees is a quarter of a foot out.
        """
        foot = 0.3048
        rise = 50 * foot * math.tan(math.radians(degrees / 4))
        within = 0.5 if degrees <= 5 else 0.05
        assert radius_m(100 * foot, rise) / foot == pytest.approx(radius_ft, abs=within)
        assert versed_sine_m(radius_ft * foot, 100 * foot) == pytest.approx(rise, rel=5e-4)

    def test_height_above_chord_is_not_the_drop_from_the_crown(self):  # S47: D, trap 3
        r, x = 162.5, 20.0
        drop = r - math.sqrt(r * r - x * x)
        assert chord_offset_m(r, 80.0, x) + drop == pytest.approx(versed_sine_m(r, 80.0))
        assert chord_offset_m(r, 80.0, x) != pytest.approx(drop, abs=0.5)
