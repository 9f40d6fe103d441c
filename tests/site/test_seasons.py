"""What a climate means: chill and warmth from monthly normals against days and hours, and the words."""

from __future__ import annotations

import csv
import math
from pathlib import Path

import pytest
from hypothesis import given, settings, strategies as st

from quincunx.demos import demo_garden
from quincunx.site.climate import Climate, Frosts
from quincunx.site.seasons import COLD, DAYS_DIFFER, LENGTHS, TURNS, seasons, told


def normals(low: float, high: float) -> Climate:
    return Climate(t_min_c=(low,) * 12, t_max_c=(high,) * 12)


def test_a_climate_that_never_changes_by_hand():
    # Every hour lies between 2 and 6 degrees: all hours of November to March are chill, and no day is warm.
    found = seasons(normals(2.0, 6.0))
    assert found is not None
    assert found.chill_h == 24 * (30 + 31 + 31 + 28 + 31)
    assert found.warmth == 0.0
    # Days of 14 to 22: 8 degree days over 10 each, and no chill.
    warm = seasons(normals(14.0, 22.0))
    assert warm is not None
    assert warm.chill_h == 0.0
    assert warm.warmth == pytest.approx(8.0 * 365)


def test_half_of_the_hours_of_a_sine_lie_on_each_side_of_its_middle():
    # From -7.2 to 7.2 degrees half of the hours are above 0, and none above 7.22.
    found = seasons(normals(-7.2, 7.2))
    assert found is not None
    assert found.chill_h == pytest.approx(12 * 151, abs=151)


def test_the_south_has_its_winter_in_july():
    climate = demo_garden("ropewalk").site.climate
    north, south = seasons(climate), seasons(turned(climate), southern=True)
    assert north is not None
    assert south is not None
    assert south.chill_h == pytest.approx(north.chill_h, rel=0.03)
    assert [m for m, h in enumerate(south.chill_by_month_h, start=1) if h] == [5, 6, 7, 8, 9]
    assert [m for m, h in enumerate(north.chill_by_month_h, start=1) if h] == sorted(COLD)


def turned(climate: Climate) -> Climate:
    assert climate.t_min_c is not None
    assert climate.t_max_c is not None
    low, high = climate.t_min_c, climate.t_max_c
    return Climate(t_min_c=low[6:] + low[:6], t_max_c=high[6:] + high[:6])


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.floats(-20, 20), st.floats(0.5, 15)), min_size=12, max_size=12))
def test_bounds(pairs):
    climate = Climate(t_min_c=tuple(a for a, _ in pairs), t_max_c=tuple(a + d for a, d in pairs))
    found = seasons(climate)
    assert found is not None
    for month, length in enumerate(LENGTHS):
        assert 0 <= found.chill_by_month_h[month] <= 24 * length
        assert found.warmth_by_month[month] >= 0
    means = [(a + a + d) / 2 for a, d in pairs]
    warmest = max(means) + DAYS_DIFFER * (max(means) - min(means)) * TURNS[-1]
    assert found.warmth <= 365 * max(warmest - 10.0, 0.0) + 1e-6
    assert math.isfinite(found.warmth)


@pytest.mark.parametrize(("file", "chill", "warmth"), [("723170TYA.CSV", 1239, 2410), ("703165TY.csv", 2326, 133)])
def test_chill_and_warmth_of_months_against_a_year_of_hours(file, chill, warmth):
    # Greensboro NC (continental) and Sand Point AK (maritime), TMY3 hours shipped with pvlib: counted hour by hour, November
    # to March, 0 to 7.22 C; degree days over 10 C of each day's lowest and highest.
    import pvlib

    rows = list(csv.reader((Path(pvlib.__file__).parent / "data" / file).read_text().splitlines()))[1:]
    at = rows[0].index("Dry-bulb (C)")
    hours = [float(r[at]) for r in rows[1:]]
    days = [hours[24 * d : 24 * d + 24] for d in range(365)]
    firsts = [sum(LENGTHS[:m]) for m in range(12)]
    months = [days[first : first + length] for first, length in zip(firsts, LENGTHS, strict=True)]
    assert sum(0 <= t <= 7.22 for m in COLD for day in months[m - 1] for t in day) == chill
    assert sum(max((min(day) + max(day)) / 2 - 10, 0) for day in days) == pytest.approx(warmth, abs=1)
    low = tuple(sum(map(min, part)) / len(part) for part in months)
    high = tuple(sum(map(max, part)) / len(part) for part in months)
    found = seasons(Climate(t_min_c=low, t_max_c=high))
    assert found is not None
    assert found.chill_h == pytest.approx(chill, rel=0.11)
    assert found.warmth == pytest.approx(warmth, rel=0.08)


def test_words():
    said = told(demo_garden("ropewalk").site.climate)
    assert said[0] == "Each winter's lowest is -8 °C in the mean: zone 8b."
    assert (
        said[1]
        == "Frost comes after 7 May in spring, and before 26 October in autumn, in one year in ten: 172 days between."
    )
    assert "hours of chill" in said[2]
    assert said[3] == "640 mm of rain a year."
    feet = told(demo_garden("ropewalk").site.climate, feet=True)
    assert feet[0] == "Each winter's lowest is 18 °F in the mean: zone 8b."  # -8 x 1.8 + 32
    assert "32 to 45 °F" in feet[2]
    assert feet[3] == "25 in of rain a year."  # 640 / 25.4
    assert told(Climate()) == ()
    even = Climate(frosts=(Frosts(last_spring="04-20", first_autumn="10-20", chance=0.5),))
    assert "in 5 years in ten" in told(even)[0]
