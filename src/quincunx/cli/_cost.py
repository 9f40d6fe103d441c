"""``quincunx cost``: what each job comes to, from its parts."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from quincunx.cli._called import id_of, job_of, things
from quincunx.cli._files import FILE, load, looks_like_json, saving
from quincunx.cli._progress import progress
from quincunx.cli._say import hand_on, say, terminal
from quincunx.units.words import counted

if TYPE_CHECKING:
    from rich.console import Console

    from quincunx.build.sheet_lists import SheetList
    from quincunx.garden import Garden
    from quincunx.garden.costing import Costed


@click.command("cost")
@click.argument("file", type=FILE)
@click.option("--job", "job_id", help="Only this job, by its id or name: its bill, its cutting list, its hours.")
@click.option(
    "--take", is_flag=True, help="With --job: write what it comes to into FILE, as one step that can be undone."
)
@click.option(
    "--take-hours",
    is_flag=True,
    help="With --job: write only its counted hours into FILE, as one step that can be undone.",
)
@click.option(
    "--compare",
    "thing",
    help="Weigh up one thing, by its id or what it is called: made otherwise, bought as a kit, or built by others.",
)
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of the table.")
def command(file: Path, job_id: str | None, take: bool, take_hours: bool, thing: str | None, as_json: bool) -> None:
    """Work out what each job in FILE comes to: parts, cuts, money, hours, weight, beside what was typed.

    Money is by the garden's own price list; what it doesn't price is named and left out.
    """
    from quincunx.garden import timeline
    from quincunx.garden.costing import costed

    garden = load(file)
    if thing is not None:
        compare(garden, thing, as_json=as_json)
        return
    jobs = [j for j in garden.jobs if job_id in (None, j.id)]
    if not garden.jobs:
        raise click.ClickException(
            "No job is written yet, so there is nothing to work out. On the board: Make it a job."
        )
    if not jobs:
        jobs = [j for j in garden.jobs if j.id == job_of(garden, job_id or "")]
    if (take or take_hours) and job_id is None:
        raise click.UsageError(
            f"--take{'' if take else '-hours'} needs --job: say which job's {'sums and ' if take else ''}hours go into the plan."
        )
    with progress() as tell:
        tell("Counting parts and cuts", 0.2)
        found = costed(garden, timeline(garden), jobs)
    if as_json:
        hand_on(json.dumps([document(c) for c in found], ensure_ascii=False, indent=1))
    elif job_id is None:
        _table(garden, found)
    else:
        _one(garden, found[0])
    if take or take_hours:
        _take(file, found[0], money=take)
    elif job_id is not None and not as_json:
        _apart(garden, found)


def compare(garden: Garden, thing: str, *, as_json: bool) -> None:
    """Write what a thing comes to made otherwise."""
    from quincunx.garden import timeline
    from quincunx.garden.comparing import weighed, worth_weighing
    from quincunx.sheets.weighed import rows_of

    there, named = sorted(f.id for f in garden.features if worth_weighing(f)), things(garden)
    thing = id_of(thing, named, else_=f"There is something to weigh up about: {', '.join(there) or 'nothing yet'}.")
    if thing not in there:
        raise click.ClickException(
            f"There is nothing to weigh up about {thing!r}. There is about: {', '.join(there) or 'nothing yet'}."
        )
    found = weighed(garden, timeline(garden), thing)
    if as_json:
        hand_on(json.dumps([
            {"id": w.id, "words": w.words, "sum": w.reckoned.sum, "unpriced": list(w.reckoned.unpriced),
             "hours": round(w.reckoned.hours, 2), "hired_hours": round(w.reckoned.hired_hours, 2), "life_years": w.lasting.life,
             "life_by": w.lasting.by, "upkeep_hours_a_year": round(w.upkeep_hours, 3), "upkeep_sum_a_year": w.upkeep_sum,
             "upkeep_unpriced": list(w.upkeep_unpriced), "sum_a_year_of_life": w.a_year, "kg": round(w.reckoned.kg),
             "barrow_loads": w.reckoned.loads, "looked_up": dict(zip(("within", "beyond", "unknown"), w.told, strict=True))}
            for w in found
        ], ensure_ascii=False, indent=1))  # fmt: skip
        return
    from rich.table import Table

    from quincunx.build.screening import DEFERS
    from quincunx.sheets._building import COUNTED

    console = terminal()
    table = Table(box=None, pad_edge=False, padding=(0, 1), header_style="bold")
    head, rows, notes = rows_of(found, garden.style)
    for n, words in enumerate(head):
        table.add_column(words, justify="left" if n == 0 else "right", overflow="fold")
    for row in rows:
        table.add_row(*row)
    console.print(table)
    for note in (*notes, f"{COUNTED} {DEFERS}"):
        console.print(note, style="bright_black")


def document(found: Costed) -> dict[str, Any]:
    """Return what a job comes to as JSON values; sums in minor units."""
    r = found.reckoned
    return {
        "job": found.job.id, "name": found.job.name, "typed_sum": found.typed_sum, "in_plan": found.job.cost, "cost_written": bool(found.job.costs),
        "others_pay": found.job.whole_cost - found.job.cost, "typed_hours": found.job.hours,
        "sum": r.sum, "low": r.low, "high": r.high, "unpriced": list(r.unpriced), "hours": round(r.hours, 2),
        "hours_range": [round(h, 2) for h in r.hours_range], "kg": round(r.kg), "barrow_loads": r.loads, "demo_prices": r.demo,
        "notes": list(r.notes),
        "bill": [
            {"item": b.item, "words": b.words, "lies_there": round(b.net, 4), "needed": round(b.gross, 4), "unit": b.unit,
             "count": round(b.count, 2), "sold_by": b.sold_by, "sum": b.sum, "supplier": b.shop, "how": b.how}
            for b in r.bill
        ],
        "cutting": [
            {"item": c.item, "proven_least": c.proven, "worse_by_at_most": round(c.gap, 4), "assumed_lengths": c.assumed_stock,
             "boards": [{"length_m": b.length_m, "count": b.count, "left_m": round(b.left_m, 4),
                         "cuts": [{"name": c.pieces[i].name, "length_m": round(c.pieces[i].length_m, 4), "count": n} for i, n in b.cuts]}
                        for b in c.boards],
             "left_over_first": [{"length_m": round(b.left.length_m, 4), "from": b.left.source, "count": b.count, "left_m": round(b.left_m, 4),
                                  "cuts": [{"name": c.pieces[i].name, "length_m": round(c.pieces[i].length_m, 4), "count": n} for i, n in b.cuts]}
                                 for b in c.before],
             "too_long": [{"name": p.name, "length_m": round(p.length_m, 4), "count": p.count} for p in c.misfits]}
            for c in r.cuts
        ],
        "sheets": [
            {"item": s.item, "proven_least": s.proven, "worse_by_at_most": round(s.gap, 4), "assumed_sizes": s.assumed_stock,
             "ordered_to_size": s.ordered,
             "plates": [{"name": p.name, "wide_m": round(p.wide_m, 4), "long_m": round(p.long_m, 4), "count": p.count} for p in s.plates],
             "sheets": [{"wide_m": w.wide_m, "long_m": w.long_m, "count": w.count,
                         "plates": [{"plate": x.plate, "x_m": x.x_m, "y_m": x.y_m, "wide_m": x.wide_m, "long_m": x.long_m} for x in w.plates],
                         "cuts": [{"along": c.along, "measure_m": c.measure_m, "from": list(c.start), "to": list(c.end)} for c in w.cuts],
                         "left": [list(x) for x in w.left]} for w in s.sheets],
             "too_large": [{"name": p.name, "wide_m": round(p.wide_m, 4), "long_m": round(p.long_m, 4), "count": p.count} for p in s.misfits]}
            for s in r.sheets
        ],
        "options": [{"id": o.id, "words": o.words, "sum": o.reckoned.sum, "hours": round(o.reckoned.hours, 2), "unpriced": list(o.reckoned.unpriced)}
                    for o in found.options],
    }  # fmt: skip


HEADS = ("in the plan", "worked out", "typed h", "worked out h", "weight")
NAME = 24
"""The least room for the name of a job [columns]."""


def _table(garden: Garden, found: tuple[Costed, ...]) -> None:
    from rich.table import Table

    from quincunx.garden.shared import shared
    from quincunx.garden.uncosted import uncosted_words

    console = terminal()
    rows = [_row(garden, c) for c in found]
    room = sum(max(len(text) for text in column) + 2 for column in zip(HEADS, *(r[1:] for r in rows), strict=True))
    if NAME + room > console.width:
        _lines(rows)
    else:
        table = Table(box=None, pad_edge=False, padding=(0, 1), header_style="bold")
        table.add_column("Job", ratio=1, min_width=NAME)
        for head in HEADS:
            table.add_column(head, justify="right", no_wrap=True)
        for row in rows:
            table.add_row(*row)
        console.print(table)
    if unsaid := uncosted_words(garden):
        console.print(unsaid)
    asked = {c.job.id for c in found}
    for one in shared(garden):
        if one.job.id in asked:
            console.print(one.words(garden.style))
    _apart(garden, found)
    if any(c.reckoned.demo for c in found):
        console.print("The prices of this demonstration are invented.", style="bright_black")
    console.print(
        "Quantities are counted on the plan; whether anything carries, your local code and a licensed person decide.",
        style="bright_black",
    )


def _apart(garden: Garden, found: tuple[Costed, ...]) -> None:
    """Say for which jobs far more hours are counted than the plan has, and how those are taken."""
    from quincunx.garden.hours_apart import BOTH_STAND, apart_words

    said = [(c.job, words) for c in found if (words := apart_words(garden, c))]
    for job, words in said:
        say(f"{job.name}: {words}")
    if said:
        say(f"{BOTH_STAND} `quincunx cost FILE --job JOB --take-hours` plans with the counted ones.")


def _row(garden: Garden, c: Costed) -> tuple[str, ...]:
    """Return a job with its sums, hours and weight, as typed and as worked out."""
    from quincunx.garden.shared import in_plan
    from quincunx.units import format_mass, format_money, own_marks

    r = c.reckoned
    return (
        c.job.name + (f" ({len(r.unpriced)} without a price)" if r.unpriced else ""),
        in_plan(c.job, garden.style),
        format_money(r.sum, garden.style, whole=True) if r.sum else "-",
        own_marks(f"{c.job.hours:g}", garden.style),
        f"{r.hours:.0f}",
        format_mass(r.kg, garden.style),
    )


def _lines(rows: list[tuple[str, ...]]) -> None:
    """Write each job in two lines, where a table would lose its last columns."""
    for name, typed, worked, hours, worked_hours, weight in rows:
        say(name)
        say(f"  in the plan {typed}, {hours} h; worked out {worked}, {worked_hours} h; {weight}")


def _one(garden: Garden, found: Costed) -> None:
    from rich.table import Table
    from rich.text import Text

    from quincunx.garden.shared import told
    from quincunx.sheets._building import amount_of, amount_words, called, first_words, kept_lengths, too_long
    from quincunx.units import format_length, format_mass, format_money, own_units, section_words
    from quincunx.units.sides import up

    console, r = terminal(), found.reckoned
    console.print(Text(found.job.name, style="bold"))
    if theirs := told(garden, [found.job]):
        console.print(theirs)
    table = Table(box=None, pad_edge=False, padding=(0, 1), header_style="bold")
    for head, right in (("What", False), ("Lies there", True), ("To buy", True), ("Sum", True), ("Where", False)):
        table.add_column(head, justify="right" if right else "left")
    for b in r.bill:
        sum_ = "no price" if b.sum is None else format_money(b.sum, garden.style)
        lies = amount_of(b.net, b.unit, garden.style)
        table.add_row(called(b, garden.style), lies, amount_words(b, garden.style), sum_, b.shop)
    console.print(table)
    for c in r.cuts:
        least = "least possible" if c.proven else f"at most {up(100 * c.gap):.0f} in 100 over the least"
        console.print(
            Text(f"\nSawing {c.words} {section_words(c.pieces[0].section_m, garden.style)} ({least})", style="bold")
        )
        for words in first_words(c, garden.style):
            console.print(f"  {words}")
        for old in c.before:
            cuts = ", ".join(
                f"{n} {c.pieces[k].name} {format_length(c.pieces[k].length_m, garden.style, kind='tape')}"
                for k, n in old.cuts
            )
            console.print(f"  {old.count} × {format_length(old.left.length_m, garden.style)}, left over: {cuts}")
        for board in c.boards:
            sawn = [(n, c.pieces[k]) for k, n in board.cuts]
            cuts = ", ".join(f"{n} {p.name} {format_length(p.length_m, garden.style, kind='tape')}" for n, p in sawn)
            whole, left = format_length(board.length_m, garden.style), format_length(board.left_m, garden.style)
            console.print(f"  {board.count} × {whole}: {cuts}; {left} left")
        if kept := kept_lengths(c, garden.style):
            console.print(f"  worth keeping: {kept}")
        for p in c.misfits:
            console.print(f"  {too_long(p, garden.style)}")
    for s in r.sheets:
        _sheets(console, s, garden)
    total = format_money(r.sum, garden.style)
    none = f" ({counted(len(r.unpriced), 'thing has', 'things have')} none)" if r.unpriced else ""
    console.print(
        f"\n{total} for what has a price{none}, "
        f"{r.hours:.0f} hours ({r.hours_range[0]:.0f} to {r.hours_range[1]:.0f}), {format_mass(r.kg, garden.style)}, {r.loads} barrow loads."
    )
    for note in (*r.notes, "Quantities only: whether it carries, your local code and a licensed person decide."):
        console.print(f"· {own_units(note, garden.style)}", style="bright_black")


def _sheets(console: Console, sheet: SheetList, garden: Garden) -> None:
    """Write how the plates of one item are cut from their sheets."""
    from rich.text import Text

    from quincunx.sheets._sheet_cuts import how_sure, kept_words, plates_words, size_words

    style = garden.style
    if sheet.ordered:
        console.print(Text(f"\n{sheet.words}, ordered cut to size: {plates_words(sheet, style)}", style="bold"))
        return
    console.print(Text(f"\nCutting {sheet.words} ({how_sure(sheet)})", style="bold"))
    from quincunx.sheets._sheet_cuts import first_words as sheets_first

    for words in sheets_first(sheet, style):
        console.print(f"  {words}")
    for w in (*(sawn for _, sawn in sheet.before), *sheet.sheets):
        held = {i: sum(x.plate == i for x in w.plates) for i in range(len(sheet.plates))}
        plates = [(n, sheet.plates[i]) for i, n in held.items() if n]
        words = ", ".join(f"{n} {p.name} {size_words(p.wide_m, p.long_m, style)}" for n, p in plates)
        console.print(f"  {w.count} × {size_words(w.wide_m, w.long_m, style)}: {words}; {counted(len(w.cuts), 'cut')}")
    if kept := kept_words(sheet, style):
        console.print(f"  worth keeping: {kept}")
    for p in sheet.misfits:
        console.print(f"  {p.count} × {size_words(p.wide_m, p.long_m, style)} is larger than any sheet")


def _take(file: Path, found: Costed, *, money: bool) -> None:
    from quincunx.garden.costing import take_edit
    from quincunx.garden.hours_apart import take_hours

    if looks_like_json(file):
        what = "sums" if money else "hours"
        raise click.ClickException(
            f"{file.name} is JSON and has no history. Make a garden file of it with `quincunx import`, then take the {what} into that."
        )
    with saving(file) as store:
        store.commit(take_edit(found) if money else take_hours(found))
    what = "worked-out sums and hours" if money else "counted hours"
    sys.stderr.write(f"“{found.job.name}” now has its {what} in {file}; undo takes them back.\n")
