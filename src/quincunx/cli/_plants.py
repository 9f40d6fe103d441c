"""``quincunx plants``: look something up in the plant list; take the person's own plants in from a table."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from quincunx.cli._files import FILE, opened, saving
from quincunx.cli._say import say
from quincunx.units import Style, own_marks, own_units

if TYPE_CHECKING:
    from quincunx.plants.catalogue import Plant
    from quincunx.plants.table_in import Read

MOST_SHOWN = 40


@click.command("plants")
@click.argument("words", nargs=-1)
@click.option("--table", type=FILE, help="A CSV table of your own plants; shows what can be read and what can't.")
@click.option("--into", type=FILE, help="The garden file to put them into, as one edit that can be undone.")
@click.option("--of", "of", type=FILE, help="A garden file, to look among its own plants too.")
def command(words: tuple[str, ...], table: Path | None, into: Path | None, of: Path | None) -> None:
    """Find plants by WORDS: names, or needs and uses in your own words: bees, windbreak, privacy, shade, clay, deer-proof.

    Case and plurals don't matter, and a word misspelt is taken for the nearest there is, which is said.

    With --of, a garden's own plants are found too, each in the place of the one of the list it is called as.

    With --table, look at a table of your own plants first; with --into as well, take in those that can be read.
    """
    if table is not None:
        _table(table, into)
        return
    from quincunx.plants.finding import find

    own, style = ({}, Style()) if of is None else _own(of)
    found = find(" ".join(words), own or None)
    for sentence in found.said:
        say(sentence)
    for plant in found.plants[:MOST_SHOWN]:
        say(_line(plant, style))
    if len(found.plants) > MOST_SHOWN:
        say(f"And {len(found.plants) - MOST_SHOWN} more. Say more words.")
    for sentence in found.how:
        say(sentence)


def _own(of: Path) -> tuple[dict[str, Plant], Style]:
    """Return a garden's own plants, and how its person writes."""
    with opened(of) as store:
        garden = store.garden()
    return {plant.id: plant for plant in garden.plants}, garden.style


def _line(plant: Plant, style: Style) -> str:
    parts = [own_units(f"{plant.height_m:g} m high, {plant.spread_m:g} m wide", style)]
    if plant.zone_min is not None:
        parts.append(f"zone {plant.zone_min} and warmer")
    if plant.first_crop_years:
        parts.append(own_marks(f"first crop after {_span(plant.first_crop_years)}", style))
    if plant.deer:
        parts.append({"A": "deer rarely", "B": "deer seldom", "C": "deer sometimes", "D": "deer often"}[plant.deer])
    if plant.poison_words:
        parts.append(plant.poison_words)
    botanical = f" ({plant.botanical})" if plant.botanical else ""
    return f"{plant.id}: {plant.name}{botanical}; {'; '.join(parts)}"


def _span(years: tuple[float, float]) -> str:
    low, high = years
    return f"{low:g} to {high:g} years" if high > low else f"{low:g} year{'s' * (low != 1)}"


def _table(table: Path, into: Path | None) -> None:
    from quincunx.plants.table_in import read_plants

    read = read_plants(table.read_text(encoding="utf-8", errors="replace"))
    for plant in read.plants:
        say(f"  {_line(plant, Style())}")
    for fault in read.faults:
        where = f"line {fault.line}" + (f", {fault.column}" if fault.column else "")
        say(f"! {where}: {fault.sentence}")
    if read.unknown:
        say(f"Columns that mean nothing here: {', '.join(read.unknown)}.")
    say(f"{len(read.plants)} can be read, {_counted(len(read.faults), 'fault')}.")
    if into is not None:
        _put(read, into, table.name)


def _put(read: Read, into: Path, name: str) -> None:
    from quincunx.garden import Edit, put

    if not read.plants:
        raise click.ClickException("There is nothing to take in.")
    with saving(into) as store:
        ops = tuple(op for plant in read.plants for op in put("plants", plant).ops)
        store.commit(Edit(label=f"Own plants from {name}"[:200], ops=ops))
    say(f"{_counted(len(read.plants), 'plant')} {'is' if len(read.plants) == 1 else 'are'} now in {into}.")


def _counted(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"
