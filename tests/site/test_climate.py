"""Climate, soil and horizon as they are stored."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, strategies as st
from pydantic import ValidationError

from quincunx.site.climate import Climate, Frosts, Horizon, SnowLoad, Soil, usda_zone


@pytest.mark.parametrize(
    ("extreme_c", "zone"),
    [
        # Computed from daily lowest temperatures shipped with the AquaCrop package: Champion, Nebraska, 36 winters,
        # mean extreme -27.28 C (-17.1 F); Brussels 1976-2005 -8.60 C (16.5 F); Cambridge 1991-2021 -4.81 C (23.3 F).
        (-27.28, "5a"),
        (-8.60, "8b"),
        (-4.81, "9a"),
        # Half-zone 3a -40 to -35 F through 7a 0 to 5 F: read in a university extension guide's front matter.
        (-40.0, "3a"),
        (-37.3, "3a"),
        (-37.2, "3b"),
        (-17.7, "7a"),
        (-15.1, "7a"),
        (-60.0, "1a"),
        (25.0, "13b"),
    ],
)
def test_hardiness_zones(extreme_c, zone):
    assert usda_zone(extreme_c) == zone
    assert Climate(extreme_min_c=extreme_c).zone == zone


@given(st.floats(-70, 30), st.floats(0, 30))
def test_a_warmer_winter_is_never_a_colder_zone(extreme_c, warmer):
    def order(zone: str) -> tuple[int, str]:
        return int(zone[:-1]), zone[-1]

    assert order(usda_zone(extreme_c)) <= order(usda_zone(extreme_c + warmer))


def test_nothing_is_compulsory():
    climate = Climate()
    assert climate.zone is None
    assert climate.sunshine_shares(52.1) is None
    assert Soil().texture is None


def test_months_are_twelve_and_low_is_below_high():
    with pytest.raises(ValidationError, match="12"):
        Climate(rain_mm=(50.0,) * 11)
    with pytest.raises(ValidationError, match="month 3"):
        Climate(t_min_c=(0.0,) * 12, t_max_c=(8.0, 8.0, -1.0, *(8.0,) * 9))
    with pytest.raises(ValidationError):
        Climate(rain_mm=(-1.0,) * 12)
    with pytest.raises(ValidationError):
        Climate(wind_from_deg=(360.0,) * 12)


def test_sunshine_hours_become_shares_of_daylight():
    climate = Climate(sunshine_h=(60.0,) * 12)
    shares = climate.sunshine_shares(52.1)
    assert shares is not None
    # Daylight at 52 N is about 8.3 h a day in January (257 h) and 16.6 in June (498 h).
    assert shares[0] == pytest.approx(60 / 257, rel=0.02)
    assert shares[5] == pytest.approx(60 / 498, rel=0.02)
    assert Climate(sunshine_h=(60.0,) * 12, sunshine_share=(0.3,) * 12).sunshine_shares(52.1) == (0.3,) * 12
    assert Climate(sunshine_h=(60.0,) * 12).sunshine_shares(80.0)[0] == 0.0  # type: ignore[index]


def test_days_free_of_frost_in_both_halves_of_the_world():
    # Champion: last frost 10 May, first 28 September (means of 37 years, computed from the same data): 141 days.
    assert Frosts(last_spring="05-10", first_autumn="09-28").free_days() == 141
    assert Frosts(last_spring="09-20", first_autumn="04-25").free_days() == 217


@pytest.mark.parametrize("day", ["02-29", "04-31", "13-01", "5-10", "may"])
def test_a_frost_day_is_one_that_every_year_has(day):
    with pytest.raises(ValidationError):
        Frosts(last_spring=day, first_autumn="09-28")


def test_a_snow_load_names_its_edition():
    with pytest.raises(ValidationError):
        SnowLoad.model_validate({"ground_kn_m2": 1.0})
    assert SnowLoad(ground_kn_m2=1.0, edition="EN 1991-1-3:2003").ground_kn_m2 == 1.0


def test_a_climate_comes_back_from_json_the_same():
    climate = Climate(
        source="invented",
        t_min_c=(-1.0,) * 12,
        rain_mm=(60.0,) * 12,
        frosts=(Frosts(last_spring="04-20", first_autumn="10-25", chance=0.1),),
        extreme_min_c=-8.0,
        frost_depth_m=0.45,
        snow_load=SnowLoad(ground_kn_m2=0.5, edition="EN 1991-1-3:2003"),
    )
    assert Climate.model_validate_json(climate.model_dump_json()) == climate
    schema = Climate.model_json_schema()
    assert schema["additionalProperties"] is False
    assert all("title" in prop for prop in schema["properties"].values())


def test_the_skyline_runs_straight_between_bearings_and_around_north():
    horizon = Horizon(angles=((90.0, 10.0), (180.0, 0.0), (350.0, 6.0)))
    assert horizon.angle_deg([90, 135, 180, 350]) == pytest.approx([10, 5, 0, 6])
    assert float(horizon.angle_deg(40.0)) == pytest.approx(8.0)  # half way from 350 round to 90
    assert float(horizon.angle_deg(-320.0)) == float(horizon.angle_deg(400.0)) == pytest.approx(8.0)
    assert np.all(Horizon().angle_deg([0, 90]) == 0)
    assert float(Horizon(angles=((45.0, 3.0),)).angle_deg(300)) == 3.0


@pytest.mark.parametrize("angles", [((10, 1), (10, 2)), ((20, 1), (10, 2)), ((360, 1),), ((0, 95),)])
def test_a_skyline_is_in_order(angles):
    with pytest.raises(ValidationError, match="expected"):
        Horizon.model_validate({"angles": angles})


def test_soil_is_one_of_the_triangles_classes():
    assert Soil(texture="silty clay loam", ph=7.2).ph == 7.2
    with pytest.raises(ValidationError):
        Soil.model_validate({"texture": "mud"})
