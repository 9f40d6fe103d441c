"""Rows of the check-value book that no other file here asserts: volumes, breakage, pads, frost, factors, overhangs.

Elsewhere: Q1 to Q5 in test_paving; Q12, Q14, Q15, Q17, Q18, Q20, Q29 in test_take_off; Q30 to Q32 in test_cutting; T1,
T4 to T15, T17, T19, T20, T23 to T26, T31, T36, T38, T39 in test_timber; T29, T30, T41, T42, T46, T49, T51, T52 in
test_wind_and_safe_places; T47, T48 in test_screening; T44, T45 in features/test_steps.  Q6, Q8,
Q11, Q16, Q19, Q23, Q24, T2, T3, T18, T27, T28, T33, T50, T55 and what has no check in test_handbook_rows_more; Q9 in
sheets/test_finishes; T53, T54 with the must that a drive looks out.
"""

import math

import pytest
from shapely import LineString, box

from quincunx.build import Ground
from quincunx.build.floors import floor_take_off
from quincunx.build.runs import bricks_per_m2, run_take_off
from quincunx.build.screening import Loads, screen
from quincunx.build.timber import GAMMA_G, GAMMA_M, GAMMA_Q, K_DEF, K_MOD
from quincunx.build.weather import PSF, bearing_of
from quincunx.build.wind import FRICTION, LATERAL_KPA_M
from quincunx.shapes import AreaWork, FrameWork, Layer, LineWork, Member
from tests.build.published import FT, IN, YD3

KN_LBF = 0.0044482216


def yards(ft2: float, deep_in: float) -> float:
    work = AreaWork("b", box(0, 0, ft2 * FT, FT), (Layer("topsoil", deep_in * IN),), dug=False)
    return floor_take_off(work).lines[0].net / YD3


@pytest.mark.parametrize(("deep_in", "published"), [(2, 6.17), (3, 9.26), (4, 12.3), (5, 15.4), (6, 18.5)])
def test_cubic_yards_on_a_thousand_square_feet(deep_in, published):
    """Turf supplier's table, ecoturfco.com/MulchCalculator.html (Q22; read, arithmetic repeated)."""
    assert yards(1000, deep_in) == pytest.approx(published, abs=0.05)


def test_three_inches_on_324_square_feet_are_three_yards():
    """From the supplier's table that 1 yd3 covers 108 ft2 at 3 in (Q20, Q21)."""
    assert yards(324, 3) == pytest.approx(3.00, abs=0.005)


def test_five_in_a_hundred_bricks_break():
    """Griffith, Carpentry; Building Trades Pocketbook: 5 % (Q13; read)."""
    wall = run_take_off(LineWork("w", LineString([(0, 0), (10, 0)]), 1.0, 0.1025, "brick"))
    bricks = next(x for x in wall.lines if x.item == "wall-brick")
    assert bricks.net == math.ceil(10 * bricks_per_m2(0.1025))
    assert bricks.gross == math.ceil(bricks.net * 1.05 - 1e-6)


def test_a_pad_for_three_thousand_pounds():
    """3,000 lb on 1,500 psf: 2.0 ft2, 19.2 in across or 17 in square (T34; arithmetic)."""
    kpa = bearing_of("clay").kpa
    assert kpa is not None
    area_ft2 = 3000 * KN_LBF / kpa / FT**2
    assert area_ft2 == pytest.approx(2.0, abs=0.005)
    assert math.sqrt(area_ft2) * 12 == pytest.approx(17.0, abs=0.05)
    across_in = math.sqrt(4 * area_ft2 / math.pi) * 12  # 19.15, and a pad is rounded up
    assert math.ceil(across_in * 10) / 10 == pytest.approx(19.2)


def test_footings_go_twelve_inches_down_and_below_the_frost():
    """IRC R403.1.4 (T35): 12 in, read in a public copy (tests/published/codes/figures.csv)."""
    assert Ground(0.1).footing_depth_m == pytest.approx(12 * IN)
    assert Ground(1.2).footing_depth_m == 1.2


def test_friction_and_soil_beside_a_footing_are_the_tables_least():
    """IBC 2012 Table 1806.2 (T32; read): friction 0.25 for sand, silty and clayey sand; 100 psf a foot for clay and silt."""
    assert FRICTION == 0.25
    assert pytest.approx(100) == LATERAL_KPA_M * FT / PSF


def test_eurocode_factors():
    """EN 1995-1-1 Tables 3.1, 2.3, 3.2 (T37; from memory, 0.8 medium, 1.3 and 0.6 read); EN 1990 Table A1.2(B) (T40; read)."""
    assert list(K_MOD[1].values()) == list(K_MOD[2].values()) == [0.6, 0.7, 0.8, 0.9, 1.1]
    assert list(K_MOD[3].values()) == [0.5, 0.55, 0.65, 0.7, 0.9]
    assert K_DEF == {1: 0.6, 2: 0.8, 3: 2.0}
    assert (GAMMA_M, GAMMA_G, GAMMA_Q) == (1.3, 1.35, 1.5)


@pytest.mark.parametrize(("past", "beyond"), [(0.49, False), (0.51, True)])
def test_joists_reach_a_quarter_of_their_span_at_most(past, beyond):
    """AWC DCA 6, Table 2, note 3 (T16; read)."""
    joist = Member(
        "joist",
        (0, 0, 0.5),
        (0, 2.5, 0.5),
        (0.045, 0.2),
        "timber",
        carries="floor",
        strip_m=0.4,
        span_m=2.0,
        past_m=past,
    )
    found = next(s for s in screen([FrameWork("d", (joist,))], Loads("us")) if s.what.startswith("joist"))
    assert (found.answer == "beyond") is beyond
