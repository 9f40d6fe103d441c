"""``quincunx level``: how the ground lies by its levels, and what making a place level takes."""

from __future__ import annotations

from pathlib import Path

import click

from quincunx.cli._files import FILE, load
from quincunx.cli._say import say
from quincunx.units import capital, own_marks


@click.command("level")
@click.argument("file", type=FILE)
@click.option("--keep", "keeps", is_flag=True, help="Let the plan's ground lie by the heights of the stakes.")
@click.option("--make", metavar="STAKES", help='Say what making a place level takes: "A B C D", in order round it.')
@click.option(
    "--at", metavar="HEIGHT", help="The height to make it level at; else where what is dug fills what is low."
)
def command(file: Path, make: str | None, at: str | None, *, keeps: bool) -> None:
    """Say how the ground of FILE lies: the level book with its proofs, heights that don't fit, and the falls.

    Readings are put in with quincunx measure: back A 1.425, between B 0.98, fore C 0.655 (a staff), or A B rises 0.12 by
    water level (or line level, A-frame).
    """
    from quincunx.review.from_stakes import heights_edit
    from quincunx.review.ground import book_words, fall_words, level_words, measure

    garden = load(file)
    m = measure(garden)
    if make is not None:
        _make(file, make.replace(",", " ").split(), at)
        return
    if keeps:
        from quincunx.cli._measure import commit

        edit = heights_edit(garden, m)
        if edit is None:
            say("The ground lies by the heights of the stakes already, or none has a height and a place.", err=True)
        else:
            commit(file, edit)
    if m.levels is None:
        rise = '4 3/4"' if m.style.system == "feet" else own_marks("0.12", m.style)
        say(f"No levels are read yet. Put them in with quincunx measure: A B rises {rise} by water level.")
        return
    for words in (*book_words(m), *level_words(m), *(f"{fall_words(m, f)}." for f in m.falls)):
        say(words)


def _make(file: Path, stakes: list[str], at: str | None) -> None:
    from quincunx.review.from_stakes import places
    from quincunx.review.ground import measure
    from quincunx.review.levelled import ground_of, levelled, levelled_words
    from quincunx.units import parse_length

    garden = load(file)
    m = measure(garden)
    lie = ground_of(garden, m)
    if lie is None:
        raise click.ClickException("Levels of three stakes or more are needed: how the ground lies isn't known yet.")
    through = places(m, stakes)
    try:
        found = levelled(
            lie, through, [s.upper() for s in stakes], None if at is None else parse_length(at, garden.style)
        )
    except ValueError as error:
        raise click.ClickException(f"{capital(str(error).rstrip('.'))}.") from None
    say("\n".join(levelled_words(found, garden.style)))
