"""Reference evapotranspiration against the worked examples of FAO-56, every intermediate; and a place's twelve months."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, strategies as st

from quincunx.plants.catalogue import find_plant
from quincunx.site.climate import Climate
from quincunx.water import reference as fao
from quincunx.water.drying import DAYS, MIDDLES, drying
from quincunx.water.falling import wind_at_m_s
from quincunx.water.thirst import MIXED_K

PUBLISHED = Path(__file__).parents[1] / "published" / "fao56"


def rows(name: str) -> list[dict[str, str]]:
    lines = (PUBLISHED / name).read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def example_8() -> dict[str, float]:
    # 20 degrees south, 3 September.
    return {"ra": float(fao.beyond_air(-20.0, 246))}


def example_9() -> dict[str, float]:
    return {"daylight": float(fao.daylight_h(-20.0, 246))}


def example_17() -> dict[str, float]:
    # Bangkok in April: 13 degrees 44 minutes north, 2 m; months' means of 29.2 before and 30.2 deg C.
    north, low, high, ea, wind = 13 + 44 / 60, 25.6, 34.8, 2.85, 2.0
    ra, day = fao.beyond_air(north, 105), fao.daylight_h(north, 105)
    rs, rso = fao.sunlight(ra, 8.5 / day), fao.clear_sunlight(ra, 2.0)
    rn, es = fao.net_radiation(low, high, ea, rs, rso), fao.mean_saturation_kpa(low, high)
    g = fao.into_the_soil(29.2, 30.2, known=True)
    return {
        "ra": ra, "daylight": day, "rs": rs, "rso": rso, "rn": rn, "g": g, "es": es,
        "delta": fao.slope_kpa_c(30.2), "gamma": fao.psychrometric(2.0),
        "eto": fao.penman_monteith(30.2, rn, g, wind, es, ea, 2.0),
    }  # fmt: skip


def example_18() -> dict[str, float]:
    # Uccle on 6 July: 50 degrees 48 minutes north, 100 m; wind of 10 km/h at 10 m.
    north, low, high = 50.8, 12.3, 21.5
    ra, day, wind = fao.beyond_air(north, 187), fao.daylight_h(north, 187), wind_at_m_s(10 / 3.6)
    rs, rso = fao.sunlight(ra, 9.25 / day), fao.clear_sunlight(ra, 100.0)
    ea, es = fao.vapour_kpa(low, high, 63.0, 84.0), fao.mean_saturation_kpa(low, high)
    rn = fao.net_radiation(low, high, ea, rs, rso)
    eto = fao.penman_monteith(16.9, rn, 0.0, wind, es, ea, 100.0)
    return {
        "ra": ra, "daylight": day, "rs": rs, "rso": rso, "rn": rn, "es": es, "ea": ea, "wind": wind, "eto": eto,
    }  # fmt: skip


def example_20() -> dict[str, float]:
    # Near Lyon in July: 45 degrees 43 minutes north, 200 m; only temperatures are known.
    north, low, high = 45 + 43 / 60, 14.8, 26.6
    ra = fao.beyond_air(north, 196)
    rs, ea, es = fao.sunlight_by_span(ra, low, high), fao.saturation_kpa(low), fao.mean_saturation_kpa(low, high)
    rn = fao.net_radiation(low, high, ea, rs, fao.clear_sunlight(ra, 200.0))
    return {
        "rs": rs, "eto": fao.penman_monteith(20.7, rn, 0.0, fao.CALM_M_S, es, ea, 200.0),
        "hargreaves": fao.hargreaves(low, high, ra),
    }  # fmt: skip


EXAMPLES = {"8": example_8, "9": example_9, "17": example_17, "18": example_18, "20": example_20}


@pytest.mark.parametrize("row", rows("examples.csv"), ids=lambda r: f"{r['example']}-{r['figure']}")
def test_the_worked_examples(row):
    """FAO-56, examples 8, 9 (chapter 3), 17, 18, 20 (chapter 4)."""
    found = EXAMPLES[row["example"]]()[row["figure"]]
    # Printed figures come of rounded intermediates: half of the last digit, and a hair for that.
    assert float(found) == pytest.approx(float(row["printed"]), abs=float(row["within"]) + 1e-3)


@pytest.mark.parametrize("row", rows("ra.csv"), ids=lambda r: r["lat"])
def test_sunlight_above_the_air(row):
    want = [float(row[f"m{m}"]) for m in range(1, 13)]
    np.testing.assert_allclose(fao.beyond_air(float(row["lat"]), MIDDLES), want, atol=0.06)


def test_daylight_of_the_middles_of_months():
    """FAO-56, equation 34, at 50 degrees north, worked in the project's reference (June on the 11th)."""
    want = [8.3, 9.8, 11.6, 13.5, 15.2, 16.1, 15.7, 14.2, 12.3, 10.4, 8.8, 7.9]
    np.testing.assert_allclose(fao.daylight_h(50.0, MIDDLES), want, atol=0.15)


@given(st.floats(-89.0, 89.0), st.integers(1, 365))
def test_the_sun_never_shines_less_than_nothing_nor_longer_than_a_day(latitude, day):
    assert float(fao.beyond_air(latitude, day)) >= -1e-9
    assert 0.0 <= float(fao.daylight_h(latitude, day)) <= 24.0


LOW, HIGH = (1.0, 1, 2, 4, 7, 10, 12, 12, 10, 7, 4, 2), (7.0, 8, 11, 14, 17, 20, 22, 22, 19, 15, 10, 8)


def test_with_temperatures_alone_it_is_hargreaves():
    found = drying(Climate(t_min_c=LOW, t_max_c=HIGH), 52.0)
    assert found is not None
    assert "Hargreaves" in found.method
    july = 0.0023 * (17.0 + 17.8) * 10.0**0.5 * 0.408 * float(fao.beyond_air(52.0, 198))
    assert found.mm_a_day[6] == pytest.approx(july)


def test_with_wind_it_is_penman_and_monteith_and_says_what_is_assumed():
    windy = Climate(t_min_c=LOW, t_max_c=HIGH, wind_m_s=(4.0,) * 12)
    found = drying(windy, 52.0, 80.0)
    assert found is not None
    assert "Penman" in found.method
    assert len(found.assumed) == 2
    full = windy.changed(rh_percent=(75.0,) * 12, sunshine_share=(0.4,) * 12)
    known = drying(full, 52.0, 80.0)
    assert known is not None
    assert known.assumed == ()
    assert sum(known.by_month_mm) == pytest.approx(sum(m * d for m, d in zip(known.mm_a_day, DAYS, strict=True)))
    # Calm air dries less.
    calm = drying(windy.changed(wind_m_s=(1.0,) * 12), 52.0, 80.0)
    assert calm is not None
    assert calm.mm_a_day[6] < found.mm_a_day[6]


def test_hours_of_sunshine_say_the_same_as_its_share():
    share = Climate(t_min_c=LOW, t_max_c=HIGH, sunshine_share=(0.4,) * 12)
    hours = tuple(0.4 * d * n for d, n in zip(DAYS, fao.daylight_h(52.0, MIDDLES), strict=True))
    both = [drying(c, 52.0) for c in (share, Climate(t_min_c=LOW, t_max_c=HIGH, sunshine_h=hours))]
    assert both[0] is not None
    assert both[1] is not None
    assert both[0].mm_a_day == pytest.approx(both[1].mm_a_day)


def test_nothing_is_made_up_without_temperatures():
    assert drying(Climate(rain_mm=(50.0,) * 12), 52.0) is None


def test_the_south_has_its_summer_in_january():
    north = drying(Climate(t_min_c=LOW, t_max_c=HIGH), 40.0)
    south = drying(Climate(t_min_c=LOW[6:] + LOW[:6], t_max_c=HIGH[6:] + HIGH[:6]), -40.0)
    assert north is not None
    assert south is not None
    assert max(south.mm_a_day) == max(south.mm_a_day[0], south.mm_a_day[11])
    assert sum(south.by_month_mm) == pytest.approx(sum(north.by_month_mm), rel=0.05)


def test_heat_into_the_soil_between_two_months_as_in_example_13():
    # FAO-56, example 13: Algiers, March 14.1, April 16.1, May 18.8 deg C: G of April 0.33 MJ/m2/d, equation 43 (from memory).
    assert float(fao.into_the_soil(14.1, 18.8)) == pytest.approx(0.33, abs=0.005)


@pytest.mark.parametrize("row", rows("crops.csv"), ids=lambda r: r["plants"].split()[0])
def test_crops_use_water_and_root_as_in_tables_12_and_22(row):
    for plant_id in row["plants"].split():
        plant = find_plant(plant_id)
        assert plant is not None
        assert plant.kc == tuple(map(float, row["kc"].split()))
        if row["roots_m"] != "-":
            assert plant.root_depth_m == tuple(map(float, row["roots_m"].split()))


def test_a_bed_of_this_and_that_uses_water_as_small_vegetables_do():
    # FAO-56, Table 12, small vegetables: 0.7, 1.05, 0.95 (carrots, cabbage and the like).
    assert MIXED_K == (0.7, 1.05, 0.95)
    carrots = find_plant("daucus-carota-subsp-sativus")
    assert carrots is not None
    assert carrots.kc == MIXED_K
