"""``quincunx give``: the garden as one page for somebody without the program."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import click

from quincunx.cli._files import FILE, keeping, load
from quincunx.cli._progress import progress


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
def command(file: Path, out: Path | None, pictures: int) -> None:
    """Write the garden in FILE as one page to give to somebody without the program.

    One HTML file: the plan year by year with a slider, what the garden must do, and pictures. It asks nobody for anything
    and holds no sums of money and no place on the map.
    """
    from quincunx.cli._print import judged_by, put_whole
    from quincunx.sheets import prepare
    from quincunx.sheets.given import given_page, told

    out = out or file.with_suffix(".html")
    garden = load(file)
    with progress() as tell, keeping(file) as keep:
        of = prepare(garden, judged=judged_by(garden, tell), tell=tell, keep=keep)
        tell("Drawing", 0.5)
        page = given_page(of, datetime.now().astimezone().date(), pictures)
    out.parent.mkdir(parents=True, exist_ok=True)
    put_whole(out, page)
    click.echo(f"{out}: {told(page, of)}")
