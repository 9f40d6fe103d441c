"""``quincunx upkeep``: what keeps what is built, year by year."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from quincunx.cli._files import FILE, load, looks_like_json, saving
from quincunx.cli._say import hand_on, say, terminal
from quincunx.units import format_hours
from quincunx.units.words import counted

if TYPE_CHECKING:
    from quincunx.garden import Garden
    from quincunx.garden.upkeep import Due


@click.command("upkeep")
@click.argument("file", type=FILE)
@click.option("--take", is_flag=True, help="Write what falls within the plan into FILE as jobs, in one step.")
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of the table.")
def command(file: Path, take: bool, as_json: bool) -> None:
    """Say what staining, topping up, re-laying and renewing falls due in which year, with its sum and hours.

    Lives and intervals are common practice. Nothing is put into the plan unless you take it.
    """
    from quincunx.garden import timeline
    from quincunx.garden.upkeep import due, kept, yearly

    garden = load(file)
    through = timeline(garden)
    found, old = due(garden, through), kept(garden, through)[1]
    if as_json:
        hand_on(json.dumps([document(d) for d in found], ensure_ascii=False, indent=1))
    else:
        _table(garden, found)
        for words, hours in yearly(garden, through):
            say(f"Every year: {words[:1].lower()}{words[1:]}, {format_hours(hours, garden.style)} once all stands.")
        if old:
            say(f"Of no known age, so not in here: {', '.join(f.called for f in old)}.")
    if take:
        _take(file, found)


def document(due: Due) -> dict[str, Any]:
    """Return what falls due as JSON values; sums in minor units."""
    r = due.reckoned
    return {
        "id": due.id, "year": due.year, "words": due.words, "for": list(due.names), "sum": r.sum, "unpriced": list(r.unpriced),
        "hours": round(r.hours, 2), "months": list(due.months), "in_plan": due.in_plan, "taken": due.taken,
    }  # fmt: skip


def _table(garden: Garden, found: tuple[Due, ...]) -> None:
    from rich.table import Table

    from quincunx.units import format_money

    console = terminal()
    if not found:
        console.print("Nothing that is built in this plan needs keeping yet.")
        return
    table = Table(box=None, pad_edge=False, padding=(0, 1), header_style="bold")
    for head, right in (("Year", False), ("What", False), ("For", False), ("sum", True), ("hours", True), ("", False)):
        table.add_column(head, justify="right" if right else "left", overflow="fold")
    for d in found:
        r = d.reckoned
        money = format_money(r.sum, garden.style, whole=True) if r.sum else ""
        if r.unpriced:
            money = f"{money} + {len(r.unpriced)} without a price".removeprefix(" + ")
        state = "in the plan" if d.taken else "" if d.in_plan else "after the plan"
        table.add_row(str(d.year), d.words, ", ".join(d.names), money, f"{r.hours:.0f}", state)
    console.print(table)
    from quincunx.build.screening import DEFERS

    console.print(
        f"Lives and intervals are common practice, no source: weather, soil and care change them. {DEFERS}",
        style="bright_black",
    )


def _take(file: Path, found: tuple[Due, ...]) -> None:
    from quincunx.garden.upkeep import take

    if looks_like_json(file):
        raise click.ClickException(
            f"{file.name} is JSON and has no history. Make a garden file of it with `quincunx import`, then take the upkeep into that."
        )
    edit = take(list(found))
    if not edit.ops:
        sys.stderr.write("Nothing new falls within the plan.\n")
        return
    with saving(file) as store:
        store.commit(edit)
    sys.stderr.write(
        f"{counted(len(edit.ops), 'job of upkeep is', 'jobs of upkeep are')} now in the plan of {file}; undo takes them back.\n"
    )
