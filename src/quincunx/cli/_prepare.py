"""``quincunx prepare``: what is to be planted into turf, and the jobs that make its ground ready first."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from quincunx.cli._called import id_of, things
from quincunx.cli._files import FILE, saving
from quincunx.cli._say import say
from quincunx.units import format_area

if TYPE_CHECKING:
    from quincunx.garden import Edit, Garden


@click.command("prepare")
@click.argument("file", type=FILE)
@click.argument("thing", required=False)
def command(file: Path, thing: str | None) -> None:
    """List the beds, rows and hedges of FILE that are to be planted into turf.

    With THING, one of them by its id or what it is called, put the jobs into the plan that smother the turf, improve the ground and let it
    settle before it is planted, as one edit that can be undone.
    """
    from quincunx.cli._files import load
    from quincunx.garden import timeline
    from quincunx.garden.preparing import prepare, unready

    garden = load(file)
    through = timeline(garden)
    found = unready(garden, through)
    if thing is None:
        for one in found:
            turf = format_area(one.turf_m2, garden.style)
            say(f"{', '.join(one.owners)}: {turf} of {format_area(one.ground.area, garden.style)} is turf")
        say("Name one to have its ground made ready first." if found else "Nothing is planted into turf.")
        return
    thing = id_of(thing, things(garden), else_=f"`quincunx prepare {file}` lists what is planted into turf.")
    one_of = next((one for one in found if thing in one.owners), None)
    if one_of is None:
        raise click.ClickException(f"{thing!r} is not planted into turf. `quincunx prepare {file}` lists what is.")
    edit = prepare(garden, through, one_of)
    with saving(file) as store:
        store.commit(edit)
    for said in jobs_of(garden, edit):
        say(said)


def jobs_of(garden: Garden, edit: Edit) -> list[str]:
    """Return a line for each job that an edit puts in or moves: its name, its month, its hours."""
    from quincunx.units import format_hours

    names = {job.id: job.name for job in garden.jobs}
    out = []
    for op in edit.ops:
        if op.part == "jobs" and op.value is not None:
            value = op.value
            hours = f", {format_hours(value['hours'], garden.style)}" if "hours" in value else ""
            start = value.get("start")
            out.append((str(start), f"{start or 'as planned'}: {value.get('name') or names[str(op.id)]}{hours}"))
    return [said for _, said in sorted(out)]
