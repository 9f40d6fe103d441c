"""``quincunx give``: the garden as one page for somebody without the program."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import click

from quincunx.cli._files import FILE, clean, keeping, load
from quincunx.cli._progress import progress
from quincunx.cli._say import say


@click.command("give")
@click.argument("file", type=FILE)
@click.option(
    "--out", type=click.Path(dir_okay=False, path_type=Path), help="Where the page is written; else beside FILE."
)
@click.option(
    "--pictures",
    type=click.IntRange(0, 20),
    default=4,
    show_default=True,
    help="So many jobs are drawn with and without, the large works first.",
)
@click.option(
    "--photos",
    type=click.Choice(["pegs", "all", "none"]),
    default="pegs",
    show_default=True,
    help="Photos in it, beside what the plan shows: pegs: those of the same spots; all: those of the same spots, and those"
    " noted with jobs, things and places; none: none.",
)
@click.option("--year", type=int, help="Begin with what was done in this year of the plan, and open there.")
@click.option(
    "--tell", "only_tell", is_flag=True, help="Only say what it would hold and how large it is; write nothing."
)
def command(file: Path, out: Path | None, pictures: int, photos: str, year: int | None, only_tell: bool) -> None:
    """Write the garden in FILE as one page to give to somebody without the program.

    One HTML file: the plan year by year with a slider, photos beside what was planned, what the garden must do, and
    pictures. It asks nobody for anything and holds no sums of money and no place on the map. Photos are made smaller, and
    hold nothing but the picture.
    """
    from quincunx.cli._print import judged_by, put_whole
    from quincunx.sheets import prepare
    from quincunx.sheets.given import given_page

    out = out or file.with_suffix(".html")
    garden = load(file)
    with progress() as tell, keeping(file) as keep:
        of = prepare(
            garden, judged=judged_by(garden, tell), tell=tell, keep=keep, pictures=keep.picture if keep else None
        )
        tell("Drawing", 0.5)
        page = given_page(of, datetime.now().astimezone().date(), pictures, photos, year)
        cleaned = [] if only_tell or keep is None else clean(keep)
    say(f"{out.name}: {page.words}")
    if only_tell:
        return
    for words in cleaned:
        say(words)
    out.parent.mkdir(parents=True, exist_ok=True)
    put_whole(out, page.html)
    say(f"Written: {out}")
