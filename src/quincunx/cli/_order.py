"""``quincunx order``: the years found, not drawn."""

from __future__ import annotations

import importlib
import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from quincunx.cli._files import FILE, keeping, load, now, this_month
from quincunx.cli._months import keep_edit, month_of
from quincunx.cli._progress import progress
from quincunx.cli._say import hand_on, say, terminal
from quincunx.units import capital

if TYPE_CHECKING:
    from quincunx.garden import Garden
    from quincunx.years.order import Order
    from quincunx.years.problem import Problem


@click.command("order")
@click.argument("file", type=FILE)
@click.option(
    "--seconds", type=click.FloatRange(0.1, 600), default=10.0, show_default=True, help="Search no longer than this."
)
@click.option(
    "--what-if",
    "asked",
    metavar="QUESTION",
    help="Lay beside it the plan with money=+20%, hours=+2, prices=+20%, first=JOB or skip=2029.",
)
@click.option(
    "--safe",
    type=click.FloatRange(1, 9.9),
    metavar="TENTHS",
    help="Say how likely the plan holds, and plan so that the money is enough in TENTHS chances in 10.",
)
@click.option(
    "--everything",
    is_flag=True,
    help="Say whether all jobs can be had within the years and, if not, what would let them be had.",
)
@click.option("--keep", is_flag=True, help="Write the months found into FILE, as one step that can be undone.")
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of the table.")
def command(
    file: Path, seconds: float, asked: str | None, safe: float | None, everything: bool, keep: bool, as_json: bool
) -> None:
    """Find the order of works that is worth most for the money and hours in FILE.

    Shows when each job is done and what holds it there; nothing is changed unless --keep is given. With --what-if
    it shows two plans side by side: the best as things are, and the best if they were otherwise. With --safe it says
    how likely the money and the hours of each year are enough, and finds a plan that is safer. With --everything it
    says which wishes clash and the cheapest ways out: more money in which year, more hours, or what to do without.
    """
    if everything:
        if asked is not None or safe is not None or keep:
            raise click.UsageError("--everything is a question by itself. Leave the other options out.")
        importlib.import_module("quincunx.cli._everything").show(file, as_json=as_json)
        return
    if safe is not None:
        if asked is not None:
            raise click.UsageError("--what-if and --safe are two questions. Ask one at a time.")
        importlib.import_module("quincunx.cli._safe").show(file, safe, keep=keep, as_json=as_json)
        return
    if asked is not None:
        if keep:
            raise click.UsageError(
                "--keep writes the plan as things are; a what-if is only looked at. Leave one of them out."
            )
        importlib.import_module("quincunx.cli._whatif").show(file, asked, seconds, as_json=as_json)
        return
    from quincunx.garden import timeline
    from quincunx.garden.too_late import stands_at, too_late
    from quincunx.intents import Words
    from quincunx.years.explained import Writer, written
    from quincunx.years.faults import require_sense
    from quincunx.years.from_garden import edit_of, problem_of
    from quincunx.years.gone_by import only_ahead
    from quincunx.years.kept import keep_order
    from quincunx.years.order import order
    from quincunx.years.overspent import owed

    garden = load(file)
    through = timeline(garden)
    problem = only_ahead(problem_of(garden, through), now(garden))
    require_sense(problem, Writer(garden.style))
    if not problem.projects and not as_json:
        from quincunx.years.everything import NO_JOBS

        say(NO_JOBS)
        return
    with progress() as tell, keeping(file) as where:
        found = order(
            problem,
            seconds=seconds,
            start_from=written(garden, problem),
            on_progress=lambda o: tell(f"Best so far from {o.rule or 'the lists'}", 1 - min(o.gap, 1.0)),
        )
        keep_order(where, problem, found)
    late = [
        one.sentence
        for one in too_late(garden, through, Words.of(through, garden.style), stands_at(garden, now(garden)))
    ]
    bills = owed(problem, Writer(garden.style))
    if as_json:
        told = {"too_late": late, "owed": list(bills.values())}
        hand_on(json.dumps(document(problem, found) | told, ensure_ascii=False, indent=1))
    else:
        _table(garden, problem, found)
        for sentence in (*late, *bills.values()):
            say(f"! {sentence}")
    if keep and found.starts is not None:
        keep_edit(file, edit_of(garden, problem, found.starts))


def document(problem: Problem, found: Order) -> dict[str, Any]:
    """Return the order as JSON values."""
    return {
        "how_sure": found.how_sure, "proven": found.proven, "better_by_at_most": None if found.starts is None else round(found.gap, 6),
        "worth": found.worth, "solver": found.solver,
        "jobs": [
            {"id": p.id, "name": p.name, "start": month_of(problem, (found.starts or {}).get(p.id)), "months": p.duration_months, "large": p.large}
            for p in problem.projects
        ],
    }  # fmt: skip


def _table(garden: Garden, problem: Problem, found: Order) -> None:
    from rich.table import Table
    from rich.text import Text

    from quincunx.garden import apply
    from quincunx.units import format_money
    from quincunx.years.explained import written
    from quincunx.years.from_garden import edit_of
    from quincunx.years.gone_by import gone_by
    from quincunx.years.neighbour import neighbour
    from quincunx.years.why import why

    console = terminal()
    console.print(Text(found.how_sure, style="bold"))
    if found.starts is None:
        _conflict(garden, problem)
        return
    held = why(problem, found.starts, money=lambda sum_: format_money(sum_, garden.style, whole=True))
    table = Table(box=None, pad_edge=False, padding=(0, 1), header_style="bold")
    table.add_column("When", no_wrap=True)
    table.add_column("What", ratio=2)
    table.add_column("Why then", ratio=3)
    order = sorted(problem.projects, key=lambda p: (found.starts or {}).get(p.id, 10**6))
    for project in order:
        start = found.starts.get(project.id)
        when = problem.month_words(start) if start is not None else "not in the plan"
        table.add_row(
            when,
            project.name + (" (large)" if project.large else ""),
            _capital(held[project.id].reason) if project.id in held else "",
        )
    console.print(table)
    year, month = map(int, this_month(garden).split("-"))
    day = (year, month)
    if gone := gone_by(problem, found.starts, day):
        console.print(Text(f"! {gone} `quincunx replan` does that."))
    elif gone := gone_by(problem, written(garden, problem), day):
        console.print(Text(f"! Of the plan as written, not of this order: {gone} `quincunx replan` does that."))
    planned, _ = apply(garden, edit_of(garden, problem, found.starts))
    for sentence in neighbour(planned, problem, now(garden)):
        console.print(Text(sentence))


def _capital(words: str) -> str:
    return f"{capital(words)}."


def _conflict(garden: Garden, problem: Problem) -> None:
    from quincunx.units import format_money
    from quincunx.years.conflict import conflict
    from quincunx.years.overspent import overspent

    def money(sum_: int) -> str:
        return format_money(sum_, garden.style, whole=True)

    if told := overspent(problem, money):
        say(told)
    found = conflict(problem, money=money)
    if found is not None:
        say(found.sentence)
