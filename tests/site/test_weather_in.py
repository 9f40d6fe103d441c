"""A place's climate from days (CSV) and hours (EPW), by the command and into a garden."""

from __future__ import annotations

import csv
import math
from datetime import date, timedelta
from pathlib import Path

import pytest
from click.testing import CliRunner

from quincunx.cli._weather import command
from quincunx.demos import demo_garden
from quincunx.site.climate import Climate
from quincunx.site.frosts import Day, read_days
from quincunx.site.weather_in import EPW_MISSING, from_days, from_hours, is_epw, read_epw
from quincunx.store import Store


def cold(on: date) -> float:
    """Night minimum: coldest in mid-January, a little colder each year."""
    return 5.0 - 9.0 * math.cos(2 * math.pi * (on.timetuple().tm_yday - 15) / 365.25) - 0.2 * (on.year - 2000)


def days(years: int = 12) -> list[Day]:
    first, out = date(2000, 1, 1), list[Day]()
    while len(out) < 365.25 * years:
        on = first + timedelta(days=len(out))
        out.append(Day(on, cold(on), cold(on) + 8.0, 6.0 if on.day % 3 == 0 else 0.0))
    return out


def test_normals_frosts_zone_and_rain():
    found = from_days(days())
    climate = Climate.model_validate(found.climate)
    assert climate.t_min_c is not None
    assert climate.t_max_c is not None
    assert climate.t_min_c[0] == pytest.approx(5 - 9 - 1.1, abs=0.3)
    assert climate.t_max_c[6] - climate.t_min_c[6] == pytest.approx(8.0, abs=0.1)
    # Ten days in a month of 30 or 31 are multiples of three.
    assert climate.rain_days is not None
    assert climate.rain_mm is not None
    assert climate.rain_days[5] == pytest.approx(10.0, abs=0.05)
    assert climate.rain_mm[5] == pytest.approx(60.0, abs=0.3)
    frost = climate.frosts[0]
    assert frost.chance == 0.1
    # By hand: the last night at or below 0 deg C of each year, one in ten later; the years grow colder.
    last = sorted(
        max(d.on.timetuple().tm_yday for d in days() if d.on.year == y and d.low_c <= 0 and d.on.month < 7)
        for y in range(2000, 2012)
    )
    kept = date(2027, int(frost.last_spring[:2]), int(frost.last_spring[3:])).timetuple().tm_yday
    assert last[-3] - 1 <= kept <= last[-1] + 1
    assert climate.extreme_min_c is not None
    # 5 - 9 - 0.2 n in the winters of n = 1 to 11, some -5.1 deg C or 22.8 F: from 20 to 25 F is 9a.
    assert climate.extreme_min_c == pytest.approx(-5.1, abs=0.2)
    assert climate.zone == "9a"
    assert any("degree days" in line for line in found.says)
    told = next(line for line in found.says if line.startswith("The last frost of spring"))
    assert f"after {date(2027, 1, 1) + timedelta(days=kept - 1):%-d %B} in one of ten" in told
    assert found.faults == ()


def test_few_days_are_no_climate_and_few_years_are_said():
    assert from_days(days(12)[:100]).climate == {}
    assert "100 days" in from_days(days(12)[:100]).faults[-1]
    assert "is few" in from_days(days(1)).says[-1]
    warm = [Day(d.on, 10.0, 20.0) for d in days(2)]
    found = from_days(warm)
    assert "frosts" not in found.climate
    assert "No frost in these years." in found.says
    assert "The table has no rain." in found.says


HEAD = ["LOCATION,Test Field,-,XXX,made up,0,52.1,-1.4,0.0,100.0", *(f"HEAD {n}" for n in range(7))]


def epw(faulty: bool = False) -> str:
    lines = list(HEAD)
    for n in range(8760):
        on = date(2007, 1, 1) + timedelta(days=n // 24)
        t = 10.0 - 8.0 * math.cos(2 * math.pi * n / 8760) - 4.0 * math.cos(2 * math.pi * ((n % 24) - 3) / 24)
        cells = [
            str(on.year - n % 3),
            str(on.month),
            str(on.day),
            str(n % 24 + 1),
            "0",
            "?9",
            f"{t:.1f}",
            "5.0",
            "80",
            "101300",
        ]
        cells += ["0"] * 10 + ["225" if on.month < 7 else "999", "4.0"] + ["0"] * 13
        lines.append(",".join(cells))
    if faulty:
        lines[20] = "2007,1,1,oops"
    return "\n".join(lines)


def test_hours_give_normals_wind_damp_and_chill():
    hours, faults = read_epw(epw())
    assert len(hours) == 8760
    assert faults == ()
    found = from_hours(hours)
    climate = Climate.model_validate(found.climate)
    assert climate.t_min_c is not None
    assert climate.t_max_c is not None
    assert climate.t_max_c[0] - climate.t_min_c[0] == pytest.approx(8.0, abs=0.3)
    assert climate.rh_percent == (80.0,) * 12
    assert climate.wind_m_s == (4.0,) * 12
    assert climate.wind_from_deg is not None
    assert climate.wind_from_deg[0] == 225.0
    # By hand: hours of the five cold months from 0 to 7.22 deg C.
    chill = sum(0 <= h.temperature_c <= 7.22 for h in hours if h.on.month in (11, 12, 1, 2, 3))
    assert f"{chill} hours" in found.says[1]
    summer = from_hours(hours, southern=True)
    assert summer.says[1] != found.says[1]


def test_faults_of_an_hour_file_are_told():
    hours, faults = read_epw(epw(faulty=True))
    assert len(hours) == 8759
    assert faults[0].startswith("Line 21 can't be read")
    assert read_epw("date,tmin,tmax\n")[0] == []
    assert not is_epw("date,tmin")
    assert from_hours(hours[:500]).climate == {}


def table(tmp_path, text: str, name: str = "days.csv"):
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    return path


def csv_of(some: list[Day]) -> str:
    return "date,tmin,tmax,rain\n" + "\n".join(f"{d.on},{d.low_c:.1f},{d.high_c:.1f},{d.rain_mm}" for d in some)


def test_the_command_looks_first_and_takes_over_when_told(tmp_path):
    path = table(tmp_path, csv_of(days()) + "\nnonsense,1,2,3")
    seen = CliRunner().invoke(command, [str(path)])
    assert seen.exit_code == 0, seen.output
    assert "The last frost of spring" in seen.output
    assert "can't be read" in seen.output
    garden = tmp_path / "g.quincunx"
    Store.create(garden, demo_garden("ropewalk")).close()
    done = CliRunner().invoke(command, [str(path), "--into", str(garden)])
    assert done.exit_code == 0, done.output
    with Store.open(garden) as store:
        now = store.garden().site.climate
    assert now.rain_mm is not None
    assert now.rain_mm[5] == pytest.approx(60.0, abs=0.3)
    assert now.wind_m_s == demo_garden("ropewalk").site.climate.wind_m_s
    assert now.source == "from days.csv"


def test_the_command_refuses_what_is_no_weather(tmp_path):
    done = CliRunner().invoke(command, [str(table(tmp_path, "a,b\n1,2\n"))])
    assert done.exit_code == 1
    assert "No climate comes of that." in done.output
    hours = CliRunner().invoke(command, [str(table(tmp_path, epw(), "x.epw"))])
    assert hours.exit_code == 0, hours.output
    assert "Winter chill" in hours.output


def test_a_table_read_again_is_the_same():
    again = read_days(csv_of(days(2)))
    assert again.faults == ()
    assert [d.on for d in again.days] == [d.on for d in days(2)]


def test_fields_of_an_hour_are_the_published_ones():
    published = {int(r["field"]) - 1: r for r in rows_of_published("epw/fields.csv")}
    wanted = {6: "Dry Bulb Temperature", 8: "Relative Humidity", 20: "Wind Direction", 21: "Wind Speed"}
    assert {k: published[k]["name"] for k in EPW_MISSING} == wanted
    assert {k: float(published[k]["missing"]) for k in EPW_MISSING} == EPW_MISSING
    assert [published[k]["name"] for k in (1, 2, 3)] == ["Month", "Day", "Hour"]
    assert max(published) + 1 == 35


def rows_of_published(name: str) -> list[dict[str, str]]:
    text = (Path(__file__).parents[1] / "published" / name).read_text(encoding="utf-8")
    return list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))


def test_a_fault_in_a_file_of_hours_names_its_field():
    # Fields by the data dictionary of the EPW format: 7 the dry bulb, 9 the relative humidity, 35 in all.
    good = ["2005", "1", "1", "1", "60", "?9", "-2.0", "-6.0", "80", *["0"] * 11, "250", "3.1", *["0"] * 13]
    assert len(good) == 35
    cold, damp, missing = ([*good] for _ in range(3))
    cold[6], damp[8], missing[6] = "cold", "", "99.9"
    lines = ["LOCATION,Kettle Hill", *["HEAD"] * 7, *(",".join(c) for c in (good, cold, damp, good[:12], missing))]
    hours, faults = read_epw("\r\n".join(lines))
    assert len(hours) == 1
    assert faults == (
        "Line 10 can't be read: the temperature (field 7) is 'cold', and a number is expected.",
        "Line 11 can't be read: the humidity (field 9) is '', and a number is expected.",
        "Line 12 can't be read: it has 12 fields, and 35 are expected for an hour.",
        "Line 13 can't be read: its temperature is missing.",
    )
