"""``quincunx picture``: one view with a job or a thing and without it, as one picture to send to somebody."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import click

from quincunx.cli._called import id_of, pegs, things
from quincunx.cli._files import FILE, load
from quincunx.cli._say import say


@click.command("picture")
@click.argument("file", type=FILE)
@click.argument("what")
@click.option(
    "--from",
    "place",
    metavar="PLACE",
    help="Seen from this spot or peg (its id or name), a point of the plan in metres (3.5,12), or “near”: a few steps off.",
)
@click.option("--year", type=int, help="As it is in this year; else when it is new, and when it is grown.")
@click.option(
    "--when",
    "day",
    metavar="DAY",
    help="On this day of the year, as month-day (05-15), or in plain words: spring-morning, midsummer-noon, autumn-evening"
    " or midwinter-noon; else at the end of June (in the south, of December).",
)
@click.option(
    "--hour",
    help="Sun and shadows as at this hour by the clock (9, or 17:30); else 10 or 17, when the sun stands more to the side.",
)
@click.option("--choice", default="", help="On a place held open, this one of its shortlist (its id).")
@click.option(
    "--out",
    type=click.Path(dir_okay=False, path_type=Path),
    help="Where it is written, as .png or .svg; else beside FILE.",
)
def command(
    file: Path,
    what: str,
    place: str | None,
    year: int | None,
    day: str | None,
    hour: str | None,
    choice: str,
    out: Path | None,
) -> None:
    """Draw the view with WHAT and without it: a job or a thing of FILE, by its id or what it is called.

    The eye, the day and all else are the same.  The picture is written to a file, and goes nowhere by itself.
    """
    from quincunx.garden import timeline
    from quincunx.review import Review
    from quincunx.sheets import prepare
    from quincunx.sheets._both import both
    from quincunx.sheets._both_card import caption, card, png
    from quincunx.sheets._moments import asked, read_hour

    if out is not None and out.suffix.lower() not in (".png", ".svg"):
        raise click.BadParameter(f"{out.name} is no picture written here. End it in .png or .svg.", param_hint="--out")
    garden = load(file)
    what = id_of(what, {j.id: j.name for j in garden.jobs} | things(garden), "job and no thing")
    out = out or file.with_name(f"{file.stem}-{what}.png")
    if place is not None and place != "near" and "," not in place:
        spots = {s.id: s.name or s.id for s in garden.spots}
        place = id_of(place, spots | pegs(garden), "spot and no peg")
    of = prepare(garden, through=timeline(garden), judged=Review((), ()))
    when = asked(day or "", southern=of.timeline.southern, year=year)
    if hour:
        when = replace(when, hour=read_hour(hour))
    one = next(both(of, what, (place,) if place else (), choice, when))
    svg, high = card(of, one)
    out.write_bytes(png(svg, high) if out.suffix.lower() == ".png" else svg.encode())
    say(f"{out}: {one.name}. {caption(of, one)}; {', and '.join(row.words for row in one.rows)}.")
