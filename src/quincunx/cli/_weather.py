"""``quincunx weather``: take a place's climate from a table of days (CSV) or a weather file of hours (EPW)."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from quincunx.cli._files import FILE, saving
from quincunx.cli._say import columns, say

if TYPE_CHECKING:
    from quincunx.site.weather_in import WeatherIn


NAME, CELL = 16, 7
"""Columns of a line's name and of each of its figures."""


@click.command("weather")
@click.argument("table", type=FILE, required=False)
@click.option("--of", type=FILE, help="Say what is known of this garden's climate, and what it means for planting.")
@click.option("--into", type=FILE, help="The garden file whose climate it becomes, as one edit that can be undone.")
@click.option("--southern", is_flag=True, help="The place lies in the southern half (else as the garden says).")
def command(table: Path | None, of: Path | None, into: Path | None, southern: bool) -> None:
    """Look at the weather in TABLE: monthly normals, frost dates with their chance, zone, chill, warmth, rain.

    TABLE is a CSV of days with the columns date, tmin, tmax and perhaps rain; or of twelve months with the columns month, low_c,
    high_c, rain_mm, rain_days, sun_h, wind_m_s, humidity (or low_f, high_f, rain_in, wind_mph), those that are known; or an EPW
    file of hours. Nothing is changed unless a garden is named with --into.
    """
    from quincunx.cli._files import load

    if of is not None:
        _known(of)
    if table is None:
        if of is None:
            raise click.UsageError("Name a TABLE to look at, or a garden with --of.")
        return
    garden = None if into is None else load(into)
    place = None if garden is None else garden.site.place
    feet = garden is not None and garden.style.system == "feet"
    read = look(table, southern=southern or (place is not None and place.latitude_deg < 0), feet=feet)
    for line in read.says:
        say(line)
    for name, values in read.climate.items():
        if isinstance(values, list) and len(values) == 12:
            _months(name, values)
    for fault in read.faults:
        say(fault, err=True)
    if not read.climate:
        raise click.ClickException("No climate comes of that.")
    if into is None or garden is None:
        say("Name a garden with --into to take it over.")
        return
    from quincunx.garden.taking import climate_edit

    with saving(into) as store:
        store.commit(climate_edit(garden, read, table.name))
    say(f"The climate of {into} is now that of {table.name}.")


def _months(name: str, values: list[float]) -> None:
    """Write twelve figures in one line, or in two where the terminal is narrow."""
    wide = columns()
    at_once = 12 if wide is None or wide >= NAME + 12 * CELL else 6
    for first in range(0, 12, at_once):
        head = f"  {name}" if first == 0 else ""
        click.echo(f"{head:<{NAME}}" + "".join(f"{v:{CELL}.1f}" for v in values[first : first + at_once]))


def _known(of: Path) -> None:
    from quincunx.cli._files import load
    from quincunx.site.seasons import told

    garden = load(of)
    place = garden.site.place
    southern = place is not None and place.latitude_deg < 0
    lines = told(garden.site.climate, southern=southern, feet=garden.style.system == "feet")
    for line in lines or ("Nothing is known of its climate yet.",):
        say(line)


def look(table: Path, *, southern: bool, feet: bool = False) -> WeatherIn:
    """Return what a table of days or a file of hours says."""
    from quincunx.site.weather_in import read_weather

    return read_weather(table.read_text(encoding="utf-8", errors="replace"), southern=southern, feet=feet)
