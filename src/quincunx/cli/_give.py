"""``quincunx give``: the garden as one page for somebody without the program."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from quincunx.cli._files import FILE, clean, keeping, load
from quincunx.cli._progress import progress
from quincunx.cli._say import say
from quincunx.units.dates import MONTHS

if TYPE_CHECKING:
    from quincunx.garden import Garden
    from quincunx.review.judging import Progress
    from quincunx.sheets.given import Given
    from quincunx.store import Store


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
@click.option(
    "--when-due", is_flag=True,
    help="Make the page of the year whose season has ended, once a year, beside FILE; nothing else. For a timetable (cron).",
)  # fmt: skip
def command(
    file: Path, out: Path | None, pictures: int, photos: str, year: int | None, only_tell: bool, when_due: bool
) -> None:
    """Write the garden in FILE as one page to give to somebody without the program.

    One HTML file: the plan year by year with a slider, photos beside what was planned, what the garden must do, and
    pictures. It asks nobody for anything and holds no sums of money and no place on the map. Photos are made smaller, and
    hold nothing but the picture.
    """
    if when_due:
        if out is not None or year is not None or only_tell:
            raise click.UsageError("--when-due takes no --out, --year or --tell: it makes the year's page beside FILE.")
        _when_due(file, pictures, photos)
        return
    from quincunx.board.clock import today
    from quincunx.cli._print import put_whole

    out = out or file.with_suffix(".html")
    garden = load(file)
    with progress() as tell, keeping(file) as keep:
        page = _page(garden, keep, tell, today(garden.site.place), pictures, photos, year)
        cleaned = [] if only_tell or keep is None else clean(keep)
    say(f"{out.name}: {page.words}")
    if only_tell:
        return
    for words in cleaned:
        say(words)
    out.parent.mkdir(parents=True, exist_ok=True)
    put_whole(out, page.html)
    say(f"Written: {out}")


def _when_due(file: Path, pictures: int, photos: str) -> None:
    """Make the page that is due, if one is, and say what was done or why nothing was."""
    from quincunx.board.clock import today
    from quincunx.garden import timeline
    from quincunx.sheets.year_page import WHERE, due_year, first_month, put_new, read_pages, written

    garden = load(file)
    with progress() as tell, keeping(file) as keep:
        if keep is None:
            raise click.ClickException(
                f"{file.name} is JSON and can't remember which page was made. Make a garden file of it: quincunx import."
            )
        pages, place = read_pages(keep.beside(WHERE)), garden.site.place
        year = due_year(garden, timeline(garden).years, today(place))
        if pages.unwanted:
            say("No page is made by itself for this garden: that was put off on the board.")
        elif year is None:
            month = MONTHS[first_month(place) - 1]
            say(f"No page is due. That of a year in which something was done is due from the first of {month}.")
        elif str(year) in pages.made:
            say(f"The page of {year} was made already: {pages.made[str(year)]}")
        else:
            page = _page(garden, keep, tell, today(place), pictures, photos, year)
            path = put_new(file, year, page.html)
            keep.change_beside(WHERE, lambda text: written(read_pages(text).with_made(year, path.name)))
            say(f"Written: {path}")


def _page(
    garden: Garden, keep: Store | None, tell: Progress, on: date, pictures: int, photos: str, year: int | None
) -> Given:
    from quincunx.cli._print import judged_by
    from quincunx.sheets import prepare
    from quincunx.sheets.given import given_page

    of = prepare(garden, judged=judged_by(garden, tell), tell=tell, keep=keep, pictures=keep.picture if keep else None)
    tell("Drawing", 0.5)
    return given_page(of, on, pictures, photos, year)
