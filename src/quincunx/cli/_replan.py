"""``quincunx replan``: the plan made again from today, with the least change."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from quincunx.cli._files import FILE, load, this_month
from quincunx.cli._months import keep_edit
from quincunx.cli._progress import progress
from quincunx.cli._say import hand_on, say, terminal
from quincunx.cli._whatif import print_musts

if TYPE_CHECKING:
    from quincunx.review.changed import MustChange
    from quincunx.units import Style
    from quincunx.years.real import Again
    from quincunx.years.two_ways import Way


@click.command("replan")
@click.argument("file", type=FILE)
@click.option(
    "--today", metavar="MONTH", help="Plan from the beginning of this month, such as 2028-06; else of the present one."
)
@click.option(
    "--seconds", type=click.FloatRange(0.1, 600), default=10.0, show_default=True, help="Search no longer than this."
)
@click.option("--pace", is_flag=True, help="Take the hours still to come at the pace of what is done.")
@click.option(
    "--as-planned",
    is_flag=True,
    help="Take what the journal says nothing of as done as planned; --keep writes it down.",
)
@click.option("--wider", is_flag=True, help="Move all that pays, not as little as is worth it.")
@click.option("--keep", is_flag=True, help="Write the new months into FILE, as one step that can be undone.")
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of the table.")
def command(
    file: Path, today: str | None, seconds: float, pace: bool, as_planned: bool, wider: bool, keep: bool, as_json: bool
) -> None:
    """Plan the rest of FILE again from TODAY (the present month if none is given), moving as little as is worth it.

    What was done, spent and worked is read from the journal. Shows what changed and why, and which musts are
    answered otherwise; nothing is changed unless --keep is given. Where moving more would bring more use, both ways
    are told with what each gives up; --wider shows (and keeps) the other one.
    """
    from quincunx.garden import apply
    from quincunx.review import Verdicts, judge
    from quincunx.review.changed import musts_changed
    from quincunx.units import parse_month
    from quincunx.years.real import again, pace_of
    from quincunx.years.two_ways import GIVE_LITTLE, GIVE_PAYS, two_ways
    from quincunx.years.unsaid import unsaid

    garden = load(file)
    month = this_month(garden) if today is None else parse_month(today)
    silent = unsaid(garden, month)
    if silent is not None and as_planned:
        garden = apply(garden, silent.edit)[0]
    with progress() as tell:
        tell("Planning again", 0.1)
        at_pace = pace_of(garden, month) if pace else 1.0
        little, pays = (again(garden, month, give=g, seconds=seconds, pace=at_pace) for g in (GIVE_LITTLE, GIVE_PAYS))
        ways = two_ways(little, pays)
        found = pays if wider and ways is not None else little
        tell("Judging both", 0.6)
        known = Verdicts.of_user()
        other = apply(garden, found.edit)[0] if found.edit.ops else garden
        musts = musts_changed(judge(garden, known=known), judge(other, known=known)) if found.edit.ops else ()
        known.close()
    if silent is not None and not as_planned:
        say(f"{silent.sentence} If they went as planned, ask again with --as-planned.\n", err=True)
    if as_json:
        told = [{"name": way.name, "words": way.words} for way in ways or ()]
        hand_on(json.dumps(document(found, musts) | {"ways": told}, ensure_ascii=False, indent=1))
    else:
        _show(found, garden.style, musts)
        _ways(ways, garden.style, wider=wider)
    if keep and silent is not None and as_planned:
        keep_edit(file, silent.edit, "new line of the journal", "new lines of the journal")
    if keep and found.found.starts is not None:
        keep_edit(file, found.edit)


def _ways(ways: tuple[Way, Way] | None, style: Style, *, wider: bool) -> None:
    """Tell both ways to go on, and which one is shown above."""
    if ways is None:
        if wider:
            say("Moving more than that would bring no more use.")
        return
    from quincunx.units import own_shares

    for way, shown in zip(ways, (not wider, wider), strict=True):
        asks = "shown above" if shown else "ask with --wider" if not wider else "ask without --wider"
        say(f"{way.name} ({asks}): {own_shares(way.words, style)}")


def document(found: Again, musts: tuple[MustChange, ...]) -> dict[str, Any]:
    """Return the new plan as JSON values."""
    return {
        "in_words": found.words, "possible": found.found.starts is not None, "in_hand": found.today.balance,
        "given_up": round(found.found.given_up, 6), "notes": list(found.today.notes),
        "changes": [{"id": r.project, "name": r.name, "was": r.was, "now": r.now, "why": r.why} for r in found.rows],
        "musts": [{"id": m.id, "text": m.text, "years": [[y, a.value, b.value] for y, a, b in m.years]} for m in musts],
    }  # fmt: skip


def _show(found: Again, style: Style, musts: tuple[MustChange, ...]) -> None:
    from rich.table import Table
    from rich.text import Text

    from quincunx.units import own_shares

    console = terminal()
    for note in found.today.notes:
        console.print(Text(note))
    console.print(Text(f"\n{own_shares(found.words, style)}", style="bold"))
    if not found.rows:
        return
    table = Table(box=None, pad_edge=False, padding=(0, 1), header_style="bold")
    table.add_column("What changed", ratio=2)
    table.add_column("was", no_wrap=True)
    table.add_column("is now", no_wrap=True)
    table.add_column("Why", ratio=3)
    for row in found.rows:
        table.add_row(Text(row.name), row.was or "not in the plan", row.now, Text(row.why))
    console.print(table)
    print_musts(musts)
