"""``quincunx raise``: where the plants of a planting could come from, and taking one of the ways."""

from __future__ import annotations

from pathlib import Path

import click

from quincunx.cli._called import id_of, things
from quincunx.cli._files import FILE, saving
from quincunx.cli._say import say


@click.command("raise")
@click.argument("file", type=FILE)
@click.argument("thing", required=False)
@click.option("--take", "way", help="Take this way over, by its word: small, own, nursery ... One edit, can be undone.")
def command(file: Path, thing: str | None, way: str | None) -> None:
    """Compare where the plants of THING in FILE, by its id or what it is called, could come from: other bought sizes, own cuttings, a nursery row.

    Each with its cost, its hours, when it stands and when it closes, bears or is grown. Without THING: lists what is to
    be planted.
    """
    from quincunx.cli._files import load
    from quincunx.garden import timeline
    from quincunx.garden.sources import compared, plantings_to_come, sources
    from quincunx.units import format_money
    from quincunx.units.dates import format_month, month_from_index

    garden = load(file)
    through = timeline(garden)
    coming = plantings_to_come(garden, through)
    if thing is None:
        say("To be planted: " + (", ".join(coming) or "nothing") + ".")
        return
    named = things(garden)
    thing = id_of(thing, named, else_=f"To be planted: {', '.join(coming) or 'nothing'}.")
    found = sources(garden, through, thing)
    if not found:
        raise click.ClickException(
            f"{named[thing]!r} is no planting to come that lasts more than a year. There are: {', '.join(coming) or 'none'}."
        )
    drawn, style = found[0], garden.style
    for one in found:
        cost = "no price" if one.sum is None else format_money(one.sum, style, whole=True)
        stands = format_month(month_from_index(one.planted))
        say(f"{one.id}: {one.words}; {cost}, {one.hours:.1f} h, stands from {stands}, {one.what} {one.reached.words}")
        if one is not drawn:
            say(f"    {compared(drawn, one, style)}" + (f"; {one.note}" if one.note else ""))
    if way is None:
        return
    taken = next((one for one in found if one.id == way and one.edit is not None), None)
    if taken is None or taken.edit is None:
        raise click.ClickException(f"There is no way {way!r}. There are: {', '.join(o.id for o in found[1:])}.")
    with saving(file) as store:
        store.commit(taken.edit)
    say(f"Taken: {taken.words}.")
