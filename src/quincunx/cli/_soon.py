"""``quincunx soon``: this month and the next, and what can be done in the wet."""

from __future__ import annotations

import json
from pathlib import Path

import click

from quincunx.cli._files import FILE, load, this_month
from quincunx.cli._say import hand_on, say


@click.command("soon")
@click.argument("file", type=FILE)
@click.option("--month", metavar="MONTH", help="Look from this month on, such as 2028-06; else from the present one.")
@click.option("--wet", "is_wet", is_flag=True, help="Say what can be done on a wet weekend too.")
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of the list.")
def command(file: Path, month: str | None, is_wet: bool, as_json: bool) -> None:
    """List what to order, begin and go on with in MONTH (the present one if none is given) and the next, from FILE.

    What was to be ordered or begun before and was not comes first, and is said to be late.
    """
    from quincunx.garden import timeline
    from quincunx.garden.too_late import too_late
    from quincunx.intents import Words
    from quincunx.units import parse_month
    from quincunx.units.dates import format_month, month_from_index, month_index
    from quincunx.years.soon import MONTHS_SHOWN, soon, wet

    garden = load(file)
    through, first = timeline(garden), month_index(this_month(garden) if month is None else parse_month(month))
    tasks = soon(garden, through, first)
    rain = wet(garden, through, tasks) if is_wet else ()
    late = [one.sentence for one in too_late(garden, through, Words.of(through, garden.style), first)]
    if as_json:
        rows = [
            {
                "month": month_from_index(t.month),
                "kind": t.kind,
                "job": t.job,
                "words": t.words,
                "late": t.late,
                "things": t.things,
            }
            for t in tasks
        ]
        said = [{"job": w.job, "possible": w.possible, "words": w.words} for w in rain]
        hand_on(
            json.dumps(
                {"tasks": rows, "too_late": late} | ({"wet": said} if is_wet else {}), ensure_ascii=False, indent=1
            )
        )
        return
    for at in range(first, first + MONTHS_SHOWN):
        say(format_month(month_from_index(at)))
        now = [t for t in tasks if t.month == at]
        for task in now:
            say(f"  {'!' if task.late else '·'} {task.words}")
            for thing in task.things:
                say(f"      {thing}")
        if not now:
            say("  Nothing but upkeep.")
    for sentence in late:
        say(f"! {sentence}")
    if is_wet:
        say("If the weekend is wet")
        for row in rain:
            say(f"  {'✓' if row.possible else '✗'} {row.words}")
        say("  ✓ Write the orders above; look over tools, strings and stakes.")
