"""``quincunx weather``: take a place's climate from a table of days (CSV) or a weather file of hours (EPW)."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from quincunx.cli._files import FILE

if TYPE_CHECKING:
    from quincunx.garden import Edit, Garden
    from quincunx.site.weather_in import WeatherIn


@click.command("weather")
@click.argument("table", type=FILE)
@click.option("--into", type=FILE, help="The garden file whose climate it becomes, as one edit that can be undone.")
@click.option("--southern", is_flag=True, help="The place lies in the southern half (else as the garden says).")
def command(table: Path, into: Path | None, southern: bool) -> None:
    """Look at the weather in TABLE: monthly normals, frost dates with their chance, zone, chill, warmth, rain.

    TABLE is a CSV of days with the columns date, tmin, tmax and perhaps rain, or an EPW file of hours. Nothing is changed
    unless a garden is named with --into.
    """
    from quincunx.cli._files import load

    garden = None if into is None else load(into)
    place = None if garden is None else garden.site.place
    read = look(table, southern=southern or (place is not None and place.latitude_deg < 0))
    for line in read.says:
        click.echo(line)
    for name, values in read.climate.items():
        if isinstance(values, list) and len(values) == 12:
            click.echo(f"  {name:<14}" + "".join(f"{v:7.1f}" for v in values))
    for fault in read.faults:
        click.echo(fault, err=True)
    if not read.climate:
        raise click.ClickException("No climate comes of that.")
    if into is None or garden is None:
        click.echo("Name a garden with --into to take it over.")
        return
    from quincunx.store import Store

    with Store.open(into) as store:
        store.commit(taken(garden, read, table.name))
    click.echo(f"The climate of {into} is now that of {table.name}.")


def look(table: Path, *, southern: bool) -> WeatherIn:
    """Return what a table of days or a file of hours says."""
    from quincunx.site.frosts import read_days
    from quincunx.site.weather_in import from_days, from_hours, is_epw, read_epw

    text = table.read_text(encoding="utf-8", errors="replace")
    if is_epw(text):
        hours, faults = read_epw(text)
        return from_hours(hours, faults, southern=southern)
    read = read_days(text)
    return from_days(read.days, read.faults, southern=southern)


def taken(garden: Garden, read: WeatherIn, name: str) -> Edit:
    """Return the edit that puts what was read into the site's climate; what it doesn't say stays."""
    from quincunx.garden import plain
    from quincunx.garden.edits import change

    now: dict[str, Any] = plain(garden.site.climate)
    return change(
        "site", None, {"climate": {**now, **read.climate, "source": f"from {name}"[:300]}}, f"Climate from {name}"[:200]
    )
