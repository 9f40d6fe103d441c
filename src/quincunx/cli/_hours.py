"""``quincunx hours``: the hours that all that stands and grows takes to keep, beside what the plan sets aside."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from quincunx.cli._files import FILE, saving
from quincunx.cli._say import columns, say

if TYPE_CHECKING:
    from quincunx.garden import Garden
    from quincunx.garden.tending import Tending

WORDS, CELL = 45, 5
"""Columns for what is done, and for the hours of a month."""
LEAST_H = 0.05
"""Less than this is no number in the table [h]."""
WIDE = WORDS + 12 * CELL
"""A terminal narrower than this has the year in two halves."""


@click.command("hours")
@click.argument("file", type=FILE)
@click.option("--year", type=int, help="Show this year in full; the last one if left out.")
@click.option("--take", is_flag=True, help="Set these hours aside in the plan, as one edit that can be undone.")
def command(file: Path, year: int | None, take: bool) -> None:
    """Say how many hours the upkeep of the garden of FILE takes in each year and month, and what is left for works."""
    from quincunx.cli._files import load, now
    from quincunx.garden import timeline
    from quincunx.garden.tending import set_aside, tending

    garden = load(file)
    through = timeline(garden)
    found = tending(through, now(garden))
    shown = through.years[-1] if year is None else year
    if shown not in found:
        raise click.ClickException(
            f"{shown} is not in the plan, which runs from {through.years[0]} to {through.years[-1]}."
        )
    for one in found.values():
        say(_line(garden, one))
    _full(garden, found[shown])
    if take:
        with saving(file) as store:
            store.commit(set_aside(found))
        say(f"Set aside in {file}. Find the order of works again: it has other hours to go by.")


def _line(garden: Garden, one: Tending) -> str:
    from quincunx.garden.tending import too_much
    from quincunx.units import format_hours
    from quincunx.units.dates import MONTHS

    style, means = garden.style, garden.means
    given, typed = sum(means.given(one.year)), sum(means.upkeep(one.year))
    hours = format_hours(round(one.hours), style)
    text = f"{one.year}: {hours}; set aside {format_hours(round(typed), style)}"
    if given:
        text += f"; of {format_hours(round(given), style)} it leaves {format_hours(round(max(given - one.hours, 0.0)), style)}"
    over = too_much(garden, one)
    return text + (f"; more than there are in {', '.join(MONTHS[m - 1] for m in over)}" if over else "")


def _full(garden: Garden, one: Tending) -> None:
    rows = [
        *((line.words, line.months) for line in one.lines if line.hours >= LEAST_H),
        ("in all", one.months),
        ("there are", garden.means.given(one.year)),
    ]
    wide = columns() or WIDE
    for first, last in ((0, 12),) if wide >= WIDE else ((0, 6), (6, 12)):
        _table(one.year, rows, (first, last), min(WORDS, wide - CELL * (last - first) - 1), garden.style.decimal_mark)
    if one.without:
        say(f"Without {one.without}.")


def _table(
    year: int, rows: Sequence[tuple[str, Sequence[float]]], span: tuple[int, int], words: int, mark: str
) -> None:
    """Write some months of a year as a table, what its rows are called in so many columns, folded where that is narrow."""
    from quincunx.units.dates import MONTHS

    first, last = span
    click.echo(f"\n{year}, hours:".ljust(words + 1) + "".join(f"{m[:3]:>{CELL}}" for m in MONTHS[first:last]))
    for called, months in rows:
        *above, end = textwrap.wrap(called, words - 2, initial_indent="  ", subsequent_indent="    ") or [""]
        for line in above:
            click.echo(line)
        click.echo(f"{end:<{words}}" + "".join(_cell(h, mark) for h in months[first:last]))


def _cell(hours: float, mark: str) -> str:
    return f"{hours:{CELL}.1f}".replace(".", mark) if hours >= LEAST_H else ".".rjust(CELL)
