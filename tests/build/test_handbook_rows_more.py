"""More rows of the check-value book: units and bedding, walls and weights, formulae, snow and wind tables, permits, digging.

Each says how its row is known.  Rows that stay without a check of the product, and why: Q7 (the tool states no compaction
or flatness of a finished base), Q9's 1 % for concrete (its 2 % beside a building is in sheets/test_finishes), Q10 (a rule
of thumb; waste is counted instead), Q25 to Q28 (nominal sizes and board feet are not used: sections are entered as they
measure), Q33 (geometry the product has no sum of), T21 (no Canadian path), T43 (public stairs), T56 and T57 (words of a
caution, in test_wind_and_safe_places).
"""

import pytest
from shapely import LineString, box

from quincunx.build import paving
from quincunx.build._data import layer_row
from quincunx.build.cutting import Stock, cut
from quincunx.build.floors import floor_take_off
from quincunx.build.frames import MIX_FT3, mix_bags
from quincunx.build.runs import bricks_per_m2
from quincunx.build.screening import Loads, screen
from quincunx.build.timber import moment_uniform, overhang_uniform, sag_uniform, section, shear_uniform
from quincunx.build.weather import OPEN_AIR_CT, PSF, bearing_of, net_uplift_us
from quincunx.build.wind import uplift_c_us
from quincunx.features._floors import FLOORS
from quincunx.garden.safety import NEAR_M
from quincunx.shapes import AreaWork, Layer, LineWork
from tests.build.published import FT, IN

LB_FT3 = 0.45359237 / FT**3


def test_pavings_own_layers_are_those_of_the_institute():
    """ICPI, Construction Tolerances and Recommendations (Q6; read): base 4 in, bedding 1 in, joint 1/16 to 3/16 in."""
    brick = FLOORS["brick"]
    assert brick.layers[2].thickness_m == pytest.approx(4 * IN, abs=2e-3)
    assert brick.layers[1].thickness_m == pytest.approx(IN, abs=1e-3)
    assert IN / 16 <= brick.joint_m <= 3 * IN / 16
    assert brick.layers[0].thickness_m >= 2.375 * IN  # 60 mm for walks


def test_a_unit_is_no_longer_than_four_times_its_thickness_on_walks():
    """ICPI, the same (Q8; read): length to thickness 4:1 at most where people walk; no cut piece under 3/8 in."""
    for name in ("brick", "setts"):
        floor = FLOORS[name]
        assert floor.unit_m is not None
        assert max(floor.unit_m) / floor.layers[0].thickness_m <= 4.0
    assert pytest.approx(3 / 8 * IN, abs=1e-4) == paving.SLIVER_M


def test_modular_brick_counts_by_its_nominal_face():
    """Nominal 8 x 2 2/3 in: 6.75 to the square foot, 675 to a hundred (Q11; read, arithmetic repeated)."""
    laid = paving.lay(box(0, 0, 8 * IN * 12, 8 / 3 * IN * 12), (8 * IN, 8 / 3 * IN), pattern="stack")
    assert laid.whole == 144
    assert laid.whole / (8 * 12 * 8 / 3 * 12 / 144) == pytest.approx(6.75)


def test_a_forty_pound_bag_is_not_the_misprinted_six_tenths():
    """One stored page gives 0.60 ft3 for the 40 lb bag (Q16; read): the others say 0.30."""
    assert mix_bags(0.60 * FT**3, 40 * 0.45359237) == 2


@pytest.mark.parametrize(
    ("material", "low", "high"), [("sand", 1450, 1600), ("gravel", 1500, 1700), ("concrete", 2400, 2400)]
)
def test_weights_of_loose_stuff(material, low, high):
    """EN 1991-1-1 Annex A and trade (Q24; from memory)."""
    assert low <= layer_row(material)["kg_m3"] <= high


def test_dry_mix_weighs_a_hundred_and_thirty_three_pounds_a_cubic_foot():
    """40 lb give 0.30 ft3 (Q14, read), so 133 lb/ft3 (Q19; read)."""
    for kg, ft3 in MIX_FT3.items():
        assert kg / 0.45359237 / ft3 == pytest.approx(133, abs=1.0)
    # Poured concrete: 144 lb/ft3 (Q23; from memory), within 5 % of the 2,400 kg/m3 counted.
    assert layer_row("concrete")["kg_m3"] / LB_FT3 == pytest.approx(144, rel=0.05)


def test_closed_and_open_runs_of_bricks_agree_with_the_face():
    """UK brick, 215 x 65 and a joint of 10 mm: 59.3 (Q12; geometry)."""
    assert bricks_per_m2(0.1025) == pytest.approx(59.3, abs=0.7)


def test_cantilever_and_point_load_against_a_beam_solver():
    """wL2/2 for a cantilever (T2; from memory): anastruct, a general-purpose solver, gives the same."""
    from anastruct.fem.system import SystemElements

    ss = SystemElements(EA=1e9, EI=5000.0)
    ss.add_element(location=[[0.0, 0.0], [1.2, 0.0]])
    ss.add_support_fixed(node_id=1)
    ss.q_load(element_id=1, q=-2.5)
    ss.solve()
    found = max(abs(m) for m in ss.get_element_results(1, verbose=True)["M"])
    assert overhang_uniform(2.5, 1.2) == pytest.approx(2.5 * 1.2**2 / 2)
    assert found == pytest.approx(overhang_uniform(2.5, 1.2), rel=1e-6)


def test_shear_of_a_rectangle_is_one_and_a_half_times_the_mean():
    """f_v = 1.5 V / (b d) (T3, NDS 3.4.2; from memory): by integrating V Q / (I b) over the depth."""
    b, d, v = 45.0, 145.0, shear_uniform(2.0, 3000.0)
    area, _, inertia = section(b, d)
    steps = 1000
    q = sum(b * (d / 2) / steps * ((n + 0.5) * (d / 2) / steps) for n in range(steps))
    assert v * q / (inertia * b) == pytest.approx(1.5 * v / area, rel=1e-6)
    assert moment_uniform(2.0, 3000.0) == pytest.approx(v * 3000.0 / 4)
    assert sag_uniform(2.0, 3000.0, 10_000.0, inertia) > 0


def test_open_air_roofs_take_the_coldest_thermal_factor():
    """ASCE 7 Table 7.3-2 (T18; from memory): unheated and open-air 1.2."""
    assert OPEN_AIR_CT == 1.2


@pytest.mark.parametrize(
    ("pitch", "rows"),
    [(7.5, ((-1.6, -1.0), (-0.9, -1.7))), (15, ((-1.2, -1.0), (-0.6, -1.6))), (22.5, ((-1.2, -1.2), (-0.8, -1.7))),
     (30, ((-0.7, -0.7), (-0.2, -1.1))), (37.5, ((-0.6, -0.6), (-0.3, -0.9))), (45, ((-0.5, -0.5), (-0.3, -0.7)))],
)  # fmt: skip
def test_obstructed_flow_lifts_by_the_strongest_of_both_cases(pitch, rows):
    """ASCE/SEI 7-10 fig. 27.4-5, obstructed (T27; read)."""
    assert net_uplift_us(pitch, blocked=True) == pytest.approx(max(-c for case in rows for c in case))


@pytest.mark.parametrize(("pitch", "strongest"), [(0, 1.1), (7.5, 1.4), (15, 1.9)])
def test_a_single_slope_lifts_no_less_than_its_figure(pitch, strongest):
    """ASCE 7-10 fig. 27.4-4, clear flow (T28; from memory): the screening takes that or the pitched roof's, the graver."""
    found = uplift_c_us(pitch, 1, blocked=False)
    assert found is not None
    assert found >= strongest


def test_loose_and_organic_ground_needs_an_engineer():
    """24 CFR 3285.202 (T33; read): 1,500 psf in lieu of a test; peat and loose fill none."""
    assert bearing_of("peat").kpa is None
    assert "engineer" in bearing_of("peat").words
    assert bearing_of("silt").kpa == pytest.approx(1500 * PSF)


@pytest.mark.parametrize(("high_ft", "beyond"), [(2.9, False), (3.2, True)])
def test_a_wall_that_holds_back_earth_counts_from_its_footing(high_ft, beyond):
    """IRC R105.2 and R404.4 (T47 read, T50 from memory): 4 ft from the bottom of a footing taken as 1 ft down."""
    found = screen([LineWork("w", LineString([(0, 0), (5, 0)]), high_ft * FT, 0.2, "retaining brick")], Loads("us"))
    wall = next(s for s in found if "holds back" in s.what)
    assert (wall.answer == "beyond") is beyond


def test_hand_digging_reaches_as_far_as_the_practice_says():
    """Common Ground Alliance practice (T55; from memory): hand-dig 18 to 24 in either side; the wider is taken."""
    assert 18 * IN <= NEAR_M <= 24 * IN + 1e-3


def test_settled_loose_stuff_is_bought_over_its_volume():
    """Crushed stone laid 4 in over 200 ft2: 2.47 yd3 in place (Q4; read), and more is bought for what compaction takes."""
    work = AreaWork("p", box(0, 0, 20 * FT, 10 * FT), (Layer("crushed stone", 4 * IN),), dug=False)
    (line,) = floor_take_off(work).lines
    assert line.net / 0.9144**3 == pytest.approx(2.47, abs=0.005)
    assert line.gross / line.net == pytest.approx(1.2)


@pytest.mark.parametrize(("wide", "long", "board"), [(3, 6, 12), (4, 8, 8)])
def test_beds_are_cut_from_the_boards_that_leave_nothing(wide: int, long: int, board: int) -> None:
    """Berle and Westerfield, Univ. of Georgia, Raised Garden Bed Dimensions (W23; read): 3 by 6 ft from 12 ft boards, 4 by 8
    from 8 ft; two courses of them leave no rest (a saw's cut left out), which of 10 ft boards is true for neither.
    """
    pieces = [(wide * FT, 4), (long * FT, 4)]
    left = {ft: cut(pieces, [Stock(ft * FT)], saw_m=0.0).left_m for ft in (board, 10)}
    assert left[board] == pytest.approx(0, abs=1e-3)
    assert left[10] > FT
