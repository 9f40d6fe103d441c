"""Open roofs in the wind by both codes, and steps, drops, water, glass and permits, against published rows."""

import math

import pytest
from hypothesis import given, strategies as st
from shapely import LineString, box

from quincunx.build import Ground
from quincunx.build.screening import Loads, screen
from quincunx.build.weather import MPH, PSF, bearing_of
from quincunx.build.wind import DUO_EU, MONO_EU, on_open_roof, peak_pressure_eu, uplift_c_eu, uplift_c_us
from quincunx.shapes import AreaWork, DropWork, FlightWork, FrameWork, Layer, LineWork, Member, Roof, WaterWork
from tests.build.published import FT, IN

US = Loads("us", 40 * PSF, "ASCE 7-16", 51.4, Ground(1.2), bearing_of("sandy loam"))
EU = Loads("europe", 0.6, "EN 1991-1-3:2003", 24.0, Ground(0.45), bearing_of("clay loam"))


def test_a_flat_free_roof_as_in_the_handbook():
    """EN 1991-1-4:2005 Table 7.6, slope 0: least -0.5 with nothing below, -1.3 blocked (check-value book T30)."""
    assert uplift_c_eu(0.0, 1, blocked=False) == 0.5
    assert uplift_c_eu(0.0, 1, blocked=True) == 1.3


@pytest.mark.parametrize(
    ("slope", "empty", "blocked"),
    [(5, 0.6, 1.3), (10, 0.7, 1.3), (15, 0.8, 1.3), (20, 0.9, 1.4), (25, 1.0, 1.3), (30, 1.0, 1.3)],
)
def test_two_slopes_as_transcribed(slope, empty, blocked):
    """EN 1991-1-4:2005+A1:2010 Table 7.7, overall c_f, least values (read in a public transcription of the table)."""
    assert uplift_c_eu(slope, 2, blocked=False) == empty
    assert uplift_c_eu(slope, 2, blocked=True) == max(empty, blocked)


@given(st.floats(0, 30), st.sampled_from([1, 2]), st.booleans())
def test_between_slopes_the_graver_neighbour_counts(slope, falls, blocked):
    table = MONO_EU if falls == 1 else DUO_EU
    c = uplift_c_eu(slope, falls, blocked=blocked)
    assert c is not None
    near = min(table, key=lambda s: abs(s - slope))
    assert c >= min(-table[near][0], 0.5)
    assert c <= max(-x for row in table.values() for x in row)
    if blocked:
        assert c >= (uplift_c_eu(slope, falls, blocked=False) or 0)


def test_steeper_than_the_tables_nobody_can_tell():
    assert uplift_c_eu(31, 2, blocked=False) is None
    assert uplift_c_us(16, 1, blocked=False) is None
    assert uplift_c_us(22.5, 2, blocked=False) == 0.8  # ASCE 7-10 fig. 27.4-5, case B leeward


def test_peak_pressure_by_hand():
    """EN 1991-1-4 eq. 4.8 at 10 m, 24 m/s, terrain II: k_r 0.19, c_r 1.007, I_v 0.189, q_p 0.845 kN/m2 (arithmetic)."""
    mean = 0.19 * math.log(10 / 0.05) * 24
    turbulence = 1 / math.log(10 / 0.05)
    assert peak_pressure_eu(24, 10) == pytest.approx((1 + 7 * turbulence) * 0.625 * mean**2 / 1000, rel=1e-12)
    assert peak_pressure_eu(24, 10) == pytest.approx(0.845, abs=0.005)
    assert peak_pressure_eu(24, 0.5) == peak_pressure_eu(24, 2.0)


def test_uplift_of_the_us_example():
    """q 24.46 psf, G 0.85, pitched 7.5 degrees, clear flow: 24.95 psf on the leeward half (check-value book T29)."""
    wind = on_open_roof(115 * MPH, 1.0, 7.5, 4.0, 2, 0.0, blocked=False, us=True)
    assert wind is not None
    assert wind.lift / PSF == pytest.approx(24.95, abs=0.02)


def shelter(area=6.0, pitch=20.0, falls=2, closed=0.0, pad=0.4, high=2.6):
    posts = tuple(
        Member("post", (x, y, 0), (x, y, 2.1), (0.1, 0.1), "timber", "post") for x in (0, 2.5) for y in (0, 2)
    )
    roof = Roof(area, pitch, 0.25, 0.0, closed, 2.1, high, falls)
    return FrameWork("hut", posts, ((0, 0), (2.5, 0), (0, 2), (2.5, 2)), roof=roof, pad_m=pad)


def told(work, loads, what):
    return next(s for s in screen([work], loads) if what in s.what)


@pytest.mark.parametrize("loads", [US, EU], ids=["us", "europe"])
def test_larger_pads_hold_what_small_ones_do_not(loads):
    small, large = (told(shelter(pad=p), loads, "uplift") for p in (0.2, 1.2))
    assert small.answer == "beyond"
    assert large.answer == "within"
    assert small.used > large.used > 0
    aside = [told(shelter(pad=p, closed=0.25), loads, "sliding").used for p in (0.2, 0.6, 1.2)]
    assert aside == sorted(aside, reverse=True)
    assert aside[0] > aside[-1]


def test_sliding_by_hand():
    """Friction 0.25 and 100 psf a foot beside the pads (IBC 2012 Table 1806.2), 0.9 G against 1.5 W; no soil known: friction only."""
    q = peak_pressure_eu(24.0, 2.6)
    aside = 1.5 * (q * 0.9 * 6.0 * math.tan(math.radians(20)) / 2 + q * 1.3 * 2.5 * 2.1)
    timber = 4 * 2.1 * 0.01 * 500 * 9.80665 / 1000
    weight = timber + 6.0 * 0.25 / math.cos(math.radians(20)) + 4 * 0.16 * 0.45 * 23.5
    lift = 1.5 * q * 0.9 * 6.0
    soil = 4 * (100 * PSF / FT) * 0.45**2 / 2 * 0.4
    found = told(shelter(closed=0.25), EU, "sliding")
    assert found.used == pytest.approx(aside / (0.25 * max(0.9 * weight - lift, 0) + 0.9 * soil), rel=1e-9)
    nothing = Loads("europe", 0.6, "EN", 24.0, Ground(0.45))
    assert "nothing is known" in told(shelter(closed=0.25), nothing, "sliding").because
    assert (told(shelter(closed=0.25, pad=0.9), nothing, "sliding").used or 0) > (
        told(shelter(closed=0.25, pad=0.9), EU, "sliding").used or 0
    )


def test_eurocode_uplift_by_hand():
    """0.9 G against 1.5 W (EN 1990 Table A1.2(A)): c_f 0.9 at 20 degrees, 6 m2, 24 m/s, ridge 2.6 m."""
    found = told(shelter(), EU, "uplift")
    lift = 1.5 * 0.9 * 6.0 * peak_pressure_eu(24.0, 2.6)
    timber = 4 * 2.1 * 0.01 * 500 * 9.80665 / 1000
    held = 0.9 * (timber + 6.0 * 0.25 / math.cos(math.radians(20)) + 4 * 0.16 * 0.45 * 23.5)
    assert found.used == pytest.approx(lift / held, rel=1e-9)
    assert "EN 1991-1-4" in found.source


def test_a_closed_hut_and_a_steep_roof_cannot_be_told():
    assert told(shelter(closed=1.0), EU, "uplift").answer == "unknown"
    assert told(shelter(pitch=45.0), EU, "uplift").answer == "unknown"
    assert "steeper" in told(shelter(pitch=45.0), EU, "sliding").because


@pytest.mark.parametrize(("area_ft2", "answer"), [(180, "within"), (201, "beyond")])
def test_roofs_that_ask_for_a_permit(area_ft2, answer):
    """Up to 200 ft2 without a permit; 120 in some towns (IRC R105.2; check-value book T49)."""
    found = told(shelter(area=area_ft2 * FT**2), US, "permit")
    assert found.answer == answer
    assert "120 ft2" in found.because


@pytest.mark.parametrize(
    ("rise_in", "tread_in", "answer"),
    [(7.75, 10, "within"), (7.8, 10, "beyond"), (7, 9.9, "beyond"), (6, 14, "within")],
)
def test_us_steps(rise_in, tread_in, answer):
    """Risers up to 7 3/4 in, treads from 10 in (IRC R311.7; check-value book T41)."""
    assert told(FlightWork("s", 3, rise_in * IN, tread_in * IN, 1.0), US, "steps of").answer == answer


@pytest.mark.parametrize(
    ("rise", "going", "answer"),
    [(0.15, 0.33, "within"), (0.23, 0.25, "beyond"), (0.2, 0.2, "beyond"), (0.1, 0.6, "within")],
)
def test_other_steps(rise, going, answer):
    """550 to 700 mm (Approved Document K, from memory; T46 says 2R + T 630 mm for 150 and 330)."""
    assert told(FlightWork("s", 3, rise, going, 1.0), EU, "steps of").answer == answer


def test_handrail_and_drop_beside_a_flight():
    many = screen([FlightWork("s", 6, 0.15, 0.33, 1.0)], EU)
    assert {s.what for s in many} >= {"handrail at the steps", "drop beside the steps"}
    assert len(screen([FlightWork("s", 3, 0.15, 0.33, 1.0)], EU)) == 1


@pytest.mark.parametrize(
    ("drop", "guard", "gap", "answer"),
    [
        (29, 0, 0, "within"),
        (31, 0, 0, "beyond"),
        (31, 36, 3.9, "within"),
        (31, 35, 3.9, "beyond"),
        (31, 36, 4.5, "beyond"),
    ],
)
def test_us_guards(drop, guard, gap, answer):
    """Guards where the drop is 30 in, 36 in high, no 4 in sphere (IRC R312; check-value book T41, T42)."""
    assert told(DropWork("d", "the deck", drop * IN, guard * IN, gap * IN), US, "drop").answer == answer


@given(st.floats(0, 3), st.floats(0, 1.5), st.floats(0, 0.3), st.sampled_from([US, EU]))
def test_a_higher_guard_with_smaller_holes_never_gets_worse(drop, guard, gap, loads):
    rank = {"within": 0, "unknown": 1, "beyond": 2}
    now = told(DropWork("d", "it", drop, guard, gap), loads, "drop")
    better = told(DropWork("d", "it", drop, guard + 0.2, gap / 2), loads, "drop")
    assert rank[better.answer] <= rank[now.answer]


@pytest.mark.parametrize(
    ("area", "up", "house", "answer"),
    [(199, 29, False, "within"), (201, 29, False, "beyond"), (100, 31, False, "beyond"), (100, 20, True, "beyond")],
)
def test_decks_that_ask_for_a_permit(area, up, house, answer):
    """Decks up to 200 ft2, 30 in above grade, not attached (IRC R105.2; check-value book T49)."""
    work = DropWork("d", "the deck", up * IN, area_m2=area * FT**2, touches_house=house)
    assert told(work, US, "permit").answer == answer


@pytest.mark.parametrize(("deep_in", "answer"), [(2, "unknown"), (24, "unknown"), (25, "beyond")])
def test_no_water_is_ever_called_within(deep_in, answer):
    """Barriers for water deeper than 24 in; small children drown in inches (check-value book T51, T52)."""
    found = told(WaterWork("p", deep_in * IN), US, "water")
    assert found.answer == answer
    assert "drown" in found.because or "barrier" in found.because


def test_glass_is_named_wherever_it_is():
    roof = AreaWork("g", box(0, 0, 2, 2), (Layer("glass", 0.004),), dug=False)
    side = LineWork("g", LineString([(0, 0), (2, 0)]), 1.6, 0.004, "glass")
    for work in (roof, side):
        assert told(work, EU, "glass").answer == "unknown"
    assert not any(
        "glass" in s.what for s in screen([LineWork("w", LineString([(0, 0), (2, 0)]), 1.0, 0.2, "brick")], EU)
    )
