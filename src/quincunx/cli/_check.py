"""``quincunx check``: what the garden must do, judged in every year."""

from __future__ import annotations

import json
import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from quincunx.cli._files import FILE, load, now
from quincunx.cli._progress import progress
from quincunx.cli._say import hand_on, terminal

if TYPE_CHECKING:
    from rich.console import Console

    from quincunx.review import Review
    from quincunx.shapes import Verdict

ROOM_FOR_WORDS = 34
"""With fewer letters than this left beside the years, musts are listed instead of tabled."""
MARKS = {"holds": ("✓", "green"), "fails": ("✗", "red"), "unknown": ("?", "yellow"), "not_due": ("·", "bright_black")}
"""Sign and colour of each answer; the sign alone tells it."""


@click.command("check")
@click.argument("file", type=FILE)
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of the table.")
@click.option("--year", type=int, help="Only this year of the plan.")
@click.option("--date", "day", type=click.DateTime(["%Y-%m-%d"]), help="Say what stands on this day as well.")
@click.option("--how", is_flag=True, help="Say of all that is noticed where it is known from.")
@click.option("--anew", is_flag=True, help="Judge everything anew, whatever was judged in earlier runs.")
@click.pass_context
def command(ctx: click.Context, file: Path, as_json: bool, year: int | None, day: Any, how: bool, anew: bool) -> None:  # fmt: skip
    """Judge what the garden in FILE must do, in every year of its plan.

    Leaves with 1 only if a must fails.
    """
    from quincunx.garden import timeline
    from quincunx.review import Verdicts, review

    garden = load(file)
    through = timeline(garden)
    years = [year] if year is not None else list(through.years)
    if year is not None and year not in through.years:
        first, last = through.years[0], through.years[-1]
        raise click.ClickException(f"{year} is not in the plan, which runs from {first} to {last}.")
    with progress() as tell:
        known = Verdicts() if anew else Verdicts.of_user()
        result = review(garden, through, years, tell, known, now(garden))
        known.close()
    if as_json:
        hand_on(json.dumps(document(result), ensure_ascii=False, indent=1))
    else:
        _table(garden.name, result, years, how=how)
        if day is not None:
            _standing(through.at(day.date()), day.date())
    ctx.exit(1 if result.fails else 0)


def document(result: Review) -> dict[str, Any]:
    """Return the review as JSON values: ``{"intents": [...], "findings": [...]}``."""
    return {
        "intents": [
            {"id": m.id, "kind": m.kind, "text": m.text, "from_year": m.from_year, "muted": m.muted,
             "verdicts": [_verdict(v) for v in m.verdicts]}
            for m in result.musts
        ],
        "findings": [
            {"id": f.id, "severity": f.severity.value, "words": f.words, "remedy": f.remedy, "source": f.source,
             "about": list(f.about), "at": None if f.at is None else list(f.at), "year": f.year}
            for f in result.findings
        ],
    }  # fmt: skip


def _verdict(v: Verdict) -> dict[str, Any]:
    return {
        "year": v.year, "state": v.state.value, "measured": _number(v.measured), "target": _number(v.target), "unit": v.unit,
        "margin": _number(v.margin), "range": None if v.range is None else list(v.range), "because": v.because,
    }  # fmt: skip


def _number(value: float | None) -> float | None:
    return None if value is None else round(value, 6)


def show(file: Path) -> None:
    """Judge the garden in ``file`` and print the table of all its years."""
    from quincunx.garden import timeline
    from quincunx.review import Verdicts, review

    garden = load(file)
    known = Verdicts.of_user()
    with progress() as tell:
        result = review(garden, progress=tell, known=known, today=now(garden))
    known.close()
    _table(garden.name, result, list(timeline(garden).years))


def _table(name: str, result: Review, years: list[int], *, how: bool = False) -> None:
    from rich.text import Text

    console = terminal()
    column = 6 if len(years) <= 6 else 5
    if console.width - column * len(years) < ROOM_FOR_WORDS:
        _list(console, name, result)
    else:
        _grid(console, name, result, years)
    console.print(Text("✓ holds   ✗ fails   ? can't tell   · not due yet", style="bright_black"))
    for must in result.musts:
        failed = [v for v in must.verdicts if v.state.value == "fails"]
        if failed and not must.muted:
            span = _years_text([v.year for v in failed])
            console.print(
                Text.assemble("\n", ("✗ ", "red"), (f"{must.text} ", "bold"), f"({span})\n  {failed[-1].because}")
            )
    for must in result.musts:
        open_ = [v for v in must.verdicts if v.state.value == "unknown"]
        if open_ and not must.muted:
            span, why = _years_text([v.year for v in open_]), open_[-1].because
            console.print(Text.assemble("\n", ("? ", "yellow"), (f"{must.text} ", "bold"), f"({span})\n  {why}"))
    if result.findings:
        console.print(Text("\nNoticed", style="bold"))
        for finding in result.findings:
            sign, colour = _SEVERITY[finding.severity.value]
            console.print(Text.assemble((f"{sign} ", colour), finding.words, (f" {finding.remedy}", "bright_black")))
            if how and finding.source:
                console.print(Text(f"    known from: {finding.source}", style="bright_black"))


def _grid(console: Console, name: str, result: Review, years: list[int]) -> None:
    """Print musts down and years across."""
    from rich.table import Table
    from rich.text import Text

    table = Table(box=None, pad_edge=False, padding=(0, 1), show_edge=False, header_style="bold")
    table.add_column(f"What {name} must do", ratio=1, overflow="fold")
    for y in years:
        table.add_column(_short_year(y, years), justify="center", no_wrap=True)
    for must in result.musts:
        words = Text(must.text, style="bright_black" if must.muted else "")
        table.add_row(words, *(Text(*_mark(v.state.value)) for v in must.verdicts))
    console.print(table)


def _list(console: Console, name: str, result: Review) -> None:
    """Print each must with its years below it, where the terminal is too narrow for a table."""
    from rich.text import Text

    console.print(Text(f"What {name} must do", style="bold"))
    for must in result.musts:
        console.print(Text(must.text, style="bright_black" if must.muted else ""))
        row = Text("  ")
        for v in must.verdicts:
            row.append(f"’{v.year % 100:02d}").append(*_mark(v.state.value)).append("  ")
        console.print(row)


_SEVERITY = {"danger": ("‼", "bold red"), "fault": ("!", "red"), "care": ("-", "yellow"), "hint": ("·", "bright_black")}


def _mark(state: str) -> tuple[str, str]:
    return MARKS[state]


def _short_year(year: int, years: list[int]) -> str:
    return f"{year}" if len(years) <= 6 else f"’{year % 100:02d}"


def _years_text(years: list[int]) -> str:
    if len(years) > 1 and years == list(range(years[0], years[-1] + 1)):
        return f"{years[0]} to {years[-1]}"
    return ", ".join(str(y) for y in years)


def _standing(scene: Any, day: date) -> None:
    owners = sorted({scene.name_of(s.owner) for group in (scene.solids, scene.surfaces, scene.openings) for s in group})
    sys.stdout.write(f"\nStanding on {day.isoformat()}: {', '.join(owners) or 'nothing yet'}.\n")
