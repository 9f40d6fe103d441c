"""``quincunx matters``: how much each job counts for, and comparing two of them."""

from __future__ import annotations

import json
from pathlib import Path

import click

from quincunx.cli._called import job_of
from quincunx.cli._files import FILE, load, looks_like_json, saving
from quincunx.cli._say import hand_on, say


@click.command("matters")
@click.argument("file", type=FILE)
@click.option("--more", metavar="JOB", help="This job matters more ...")
@click.option("--than", metavar="JOB", help="... than this one.")
@click.option("--by", type=click.Choice(("same", "rather", "much")), default="rather", help="How much more.")
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of the list.")
def command(file: Path, more: str | None, than: str | None, by: str, as_json: bool) -> None:
    """List how much each job in FILE matters, in points for each year it is there, and which two to compare next.

    A job counts by its word, or, once it has been compared with others, by that. --more and --than write one
    comparison into FILE, as one step that can be undone.
    """
    from quincunx.years.weighed import compare, next_pair, pairs_of, points_of

    garden = load(file)
    if (more is None) != (than is None):
        raise click.UsageError("Give both --more and --than: the job that matters more, and the one that matters less.")
    if more is not None and than is not None:
        known = {j.id: j.name for j in garden.jobs}
        more, than = job_of(garden, more), job_of(garden, than)
        if more == than:
            raise click.UsageError(f"Both are “{known[more]}”. Name two jobs, one that matters more than the other.")
        if looks_like_json(file):
            raise click.ClickException(
                f"{file.name} is JSON and has no history. Make a garden file of it with `quincunx import`, then compare in that."
            )

        with saving(file) as store:
            store.commit(compare(garden, more, than, by))
            garden = store.garden()
    points, names = points_of(garden), {j.id: j.name for j in garden.jobs}
    compared = {name for pair in pairs_of(garden) for name in pair[:2]}
    ranked = sorted(points, key=lambda name: (-points[name], names[name]))
    pair = next_pair(garden)
    if as_json:
        rows = [{"job": n, "points": points[n], "compared": n in compared} for n in ranked]
        hand_on(json.dumps({"jobs": rows, "next": pair}, ensure_ascii=False, indent=1))
        return
    if not ranked:
        from quincunx.years.everything import NO_JOBS

        say(NO_JOBS)
    for name in ranked:
        say(f"{points[name]:4d}  {names[name]}{'  (compared)' if name in compared else ''}")
    if pair is not None:
        say(f"Compare next: --more {pair[0]} --than {pair[1]}, or the other way round.")
