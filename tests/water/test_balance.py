"""Soil, made-up rain and the daily balances: compiled against plain, against hand sums, against worked tables."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings, strategies as st

from quincunx.site.climate import Climate
from quincunx.water import soil
from quincunx.water.balance import SOAKED, days_compiled, days_plainly, tank_days
from quincunx.water.drying import DAYS
from quincunx.water.spells import MONTH_OF, daily_rain, rainy_days

RAIN = (57.0, 43, 43, 45, 50, 52, 51, 58, 53, 65, 63, 60)
WET = (11.5, 9.3, 9.6, 9.3, 9.0, 9.1, 8.6, 9.2, 8.8, 10.6, 11.0, 11.0)


def test_loam_under_tomatoes():
    """TAW 120 mm, RAW 48 mm: loam 0.15, roots 0.8 m, p 0.40 (FAO-56, equations 82 and 83)."""
    taw = soil.in_reach_mm(0.15, 0.8)
    assert float(taw) == pytest.approx(120.0)
    assert float(soil.easy_mm(0.40, taw)) == pytest.approx(48.0)
    assert float(soil.easy_share(0.4, 5.0)) == pytest.approx(0.4)
    assert float(soil.easy_share(0.4, 2.0)) == pytest.approx(0.52)
    assert float(soil.easy_share(0.8, 0.0)) == 0.8


@pytest.mark.parametrize("texture", [None, *soil.HOLDS])
def test_every_texture_has_an_ordered_range(texture):
    low, mid, high = soil.holds(texture)
    assert 0 < low < mid < high < 0.6
    assert soil.holds(texture, stony=True)[1] < mid


def test_effective_rain():
    """P = 60 and 100 mm by three rules (project's reference 6.4; from memory): 26, 54.2, 26 and 55, 84.0, 56 mm."""
    rain = [60.0, 100.0]
    np.testing.assert_allclose(soil.fao_effective_mm(rain), [26.0, 55.0], atol=0.05)
    np.testing.assert_allclose(soil.usda_effective_mm(rain), [54.2, 84.0], atol=0.05)
    np.testing.assert_allclose(soil.dependable_mm(rain), [26.0, 56.0], atol=0.05)
    assert float(soil.fao_effective_mm(5.0)) == 0.0


def test_what_runs_off_in_a_storm():
    """50 mm: curve numbers 61, 74, 80, 98 give 1.7, 8.5, 13.8, 44.3 mm (USDA TR-55; worked in the reference)."""
    for number, want in ((61, 1.7), (74, 8.5), (80, 13.8), (98, 44.3)):
        assert float(soil.runs_off_mm(50.0, number)) == pytest.approx(want, abs=0.05)
    assert float(soil.runs_off_mm(2.0, 61)) == 0.0


def test_made_up_rain_keeps_the_months_and_the_rainy_days():
    climate = Climate(rain_mm=RAIN, rain_days=WET)
    rain = daily_rain(climate, 20)
    assert rain is not None
    months = np.tile(MONTH_OF, 20)
    got = [rain[months == m].sum() / 20 for m in range(12)]
    assert got == pytest.approx(RAIN)
    wet = (rain > 0).sum() / 20
    assert wet == pytest.approx(sum(WET), rel=0.1)
    # Rainy days come in runs: more of them follow a rainy one than a dry one.
    after = rain[1:] > 0
    assert after[rain[:-1] > 0].mean() > after[rain[:-1] == 0].mean() + 0.15
    assert daily_rain(climate, 20) is rain
    assert daily_rain(Climate(), 20) is None


def test_rainy_days_that_nobody_counted():
    found = rainy_days(Climate(rain_mm=(0.0, 3.0, 50.0, 100.0, 900.0, 50, 50, 50, 50, 50, 50, 50)))
    assert found is not None
    assert found[0] == 0.0
    assert 1 < found[1] < 3 < found[2] < found[3] < found[4] <= 0.9 * DAYS[4]


def test_a_month_without_a_shower_keeps_its_rain():
    rain = daily_rain(Climate(rain_mm=(0.5,) * 12, rain_days=(0.0,) * 12), 2)
    assert rain is not None
    assert rain.sum() == pytest.approx(12.0)


def one_bed(k=1.0, taw=100.0, p=0.5, rained=1.0, *, watered=True):
    season = np.full((12, 1), watered)
    return np.full((12, 1), k), season, np.array([taw]), np.array([p]), np.array([rained])


def dry_days(eto=5.0, days=40):
    return np.full(days, eto), np.zeros((days, 1)), np.zeros(days, np.int64)


def test_a_watered_bed_is_watered_when_half_is_gone():
    """5 mm a day, TAW 100, p 0.5: 50 mm are gone after ten days; on the eleventh it is watered."""
    given_mm, short = days_plainly(*dry_days(), *one_bed())
    days = np.flatnonzero(given_mm[:, 0, 0])
    assert days[0] == 10
    assert given_mm[10, 0, 0] == pytest.approx(55.0 - 5.0)
    # From 95 in 100 full it takes ten days each time.
    assert set(np.diff(days)) == {10}
    assert not short.any()


def test_one_that_is_not_watered_runs_short_and_slows_down():
    given_mm, short = days_plainly(*dry_days(days=120), *one_bed(watered=False))
    assert not given_mm.any()
    assert not short[:10].any()
    assert short[10:].all()


def test_rain_that_only_wets_leaves_does_not_count():
    eto, rain, months = dry_days(days=11)
    rain[3] = 0.9
    with_drizzle = days_plainly(eto, rain, months, *one_bed())[0].sum()
    assert with_drizzle == days_plainly(*dry_days(days=11), *one_bed())[0].sum()
    rain[3] = 20.0
    assert days_plainly(eto, rain, months, *one_bed())[0].sum() == 0.0
    assert days_plainly(eto, rain, months, *one_bed(rained=0.0))[0].sum() > 0.0


@settings(max_examples=15, deadline=None)
@given(st.integers(0, 10**6), st.integers(1, 6), st.integers(1, 4))
def test_compiled_equals_plain_to_the_last_bit(seed, beds, years):
    rng = np.random.default_rng(seed)
    eto, rain = rng.uniform(0, 8, 90), np.where(rng.random((90, years)) < 0.3, rng.exponential(8, (90, years)), 0.0)
    args = (
        eto, rain, rng.integers(0, 12, 90), rng.uniform(0.1, 1.3, (12, beds)), rng.random((12, beds)) < 0.7,
        rng.uniform(5, 200, beds), rng.uniform(0.2, 0.6, beds), (rng.random(beds) < 0.8).astype(float),
    )  # fmt: skip
    for mine, theirs in zip(days_compiled(*args), days_plainly(*args), strict=True):
        assert (mine == theirs).all()


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10**6))
def test_water_is_neither_made_nor_lost(seed):
    """What is given never exceeds what was used, and a bed needs no more when more rain falls on it all at once."""
    rng = np.random.default_rng(seed)
    eto, rain = rng.uniform(0, 6, 200), np.where(rng.random((200, 1)) < 0.2, rng.exponential(6, (200, 1)), 0.0)
    k, season, taw, p, rained = one_bed(rng.uniform(0.3, 1.1), rng.uniform(30, 150))
    given_mm, _ = days_plainly(eto, rain, np.zeros(200, np.int64), k, season, taw, p, rained)
    assert given_mm.sum() <= (eto * k[0, 0]).sum() + 1e-9
    assert given_mm.max(initial=0.0) <= SOAKED * taw[0] + 1e-9


def test_the_worked_tank():
    """Roof 20 m2, C 0.85, bed 20 m2, Kc 0.7, April to October, monthly steps: worked table of the reference, 6.5.

    Yearly demand 11.84 m3, inflow 7.00; 0.5 m3 supplies 6.74 (57 in 100), 1 m3 and more 7.00: a bigger tank is useless.
    """
    rain = np.array([6, 8, 15, 38, 77, 64, 71, 55, 28, 34, 9, 7.0])
    eto = np.array([47, 53, 89, 112, 145, 179, 202, 180, 142, 101, 64, 46.0])
    summer = np.array([4 <= m <= 10 for m in range(1, 13)])
    wanted = np.where(summer, np.maximum(0.7 * eto - soil.fao_effective_mm(rain), 0.0) * 20.0, 0.0)
    assert wanted.sum() / 1000 == pytest.approx(11.84, abs=0.005)
    for roof, holds, supplied in (
        (20.0, 500.0, 6.74),
        (20.0, 1000.0, 7.00),
        (20.0, 6000.0, 7.00),
        (60.0, 1000.0, 11.84),
    ):
        inflow = rain * roof * 0.85
        # Inflow before use: a month's inflow may be used in it however small the tank, so it is drawn from together.
        held, last = 0.0, 0.0
        for _ in range(5):
            last = 0.0
            for came, want in zip(inflow, wanted, strict=True):
                drawn = min(held + came, want)
                held = min(held + came - drawn, holds)
                last += drawn
        assert last / 1000 == pytest.approx(supplied, abs=0.01)
        daily_in, daily_out = np.tile(inflow / 30, (30, 1)).T.ravel(), np.tile(wanted / 30, (30, 1)).T.ravel()
        ours = tank_days(np.tile(daily_in, 5).tolist(), np.tile(daily_out, 5).tolist(), holds)
        assert ours.given[-360:].sum() / 1000 == pytest.approx(supplied, rel=0.02)


@given(st.lists(st.tuples(st.floats(0, 500), st.floats(0, 300)), max_size=60), st.floats(0, 1000), st.floats(0, 1000))
def test_a_tank_gives_back_what_ran_in(days, holds, start):
    inflow, wanted = [d[0] for d in days], [d[1] for d in days]
    found = tank_days(inflow, wanted, holds, start)
    end = found.held[-1] if days else min(start, holds)
    assert min(start, holds) + sum(inflow) == pytest.approx(found.given.sum() + found.spilled.sum() + end, abs=1e-6)
    assert (found.held <= holds + 1e-9).all()
    assert (found.held >= 0).all()
    assert all(g <= w for g, w in zip(found.given, wanted, strict=True))


@pytest.mark.parametrize(
    ("texture", "least", "most"),
    [
        ("sand", 0.05, 0.11), ("loamy sand", 0.06, 0.12), ("sandy loam", 0.11, 0.15), ("loam", 0.13, 0.18),
        ("silt loam", 0.13, 0.19), ("silt", 0.16, 0.20), ("silty clay loam", 0.13, 0.18), ("silty clay", 0.13, 0.19),
        ("clay", 0.12, 0.20), ("sandy clay loam", 0.125, 0.175),
    ],
)  # fmt: skip
def test_soils_hold_what_table_19_gives(texture, least, most):
    # FAO-56, Table 19 (from memory); sandy clay loam: USDA NRCS Wyoming, 1.5 to 2.1 in/ft (read).
    low, middle, high = soil.holds(texture)
    assert (low, high) == (least, most)
    assert middle == pytest.approx((least + most) / 2)
