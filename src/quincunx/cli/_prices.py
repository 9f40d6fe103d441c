"""``quincunx prices``: a price list read into a garden, or written out to be filled in."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from quincunx.cli._files import FILE, load, looks_like_json, saving
from quincunx.cli._say import say
from quincunx.units.words import counted


@click.command("prices")
@click.argument("file", type=FILE)
@click.argument("price_list", type=FILE, required=False, metavar="[CSV]")
@click.option(
    "--write", "out", type=FILE, help="Write the list of all that the jobs need into this CSV, to be filled in."
)
@click.option("--dearer", metavar="WHAT", help="Raise or lower what bears these names: --dearer 'timber, posts +30%'.")
def command(file: Path, price_list: Path | None, out: Path | None, dearer: str | None) -> None:
    """Read the price list CSV into the garden FILE, as one step that can be undone.

    The CSV has a head line: item, words, unit, price, and as wanted at least, at most, length, holds, supplier, seen,
    found, currency, free from, width (of a sheet), at hand (how many), also in (other lengths it is sold in, a | between
    them). --write makes one that names every item the jobs need. --dearer changes what costs more or less than was
    planned: the costs of the jobs not yet done that name it, and its lines in the price list.
    """
    from quincunx.garden.price_list import prices_edit, read_price_list

    if sum(given is not None for given in (price_list, out, dearer)) != 1:
        raise click.UsageError(
            "Give either a CSV to read, --write with a CSV to make, or --dearer with what costs more."
        )
    garden = load(file)
    if out is not None:
        _write(garden, out)
        return
    if looks_like_json(file):
        raise click.ClickException(
            f"{file.name} is JSON and has no history. Make a garden file of it with `quincunx import`, then read the prices into that."
        )

    if dearer is not None:
        from quincunx.garden.dearer import dearer as touched

        found = touched(garden, dearer)
        with saving(file) as store:
            store.commit(found.edit)
        say(found.sentence(garden.style))
        return
    if price_list is None:
        return
    prices = read_price_list(price_list.read_text(encoding="utf-8-sig"), garden.style)
    with saving(file) as store:
        store.commit(prices_edit(garden, prices))
    sys.stderr.write(f"{counted(len(prices), 'price')} read into {file}; undo takes them back.\n")


def _write(garden: object, out: Path) -> None:
    from quincunx.build.prices import units_asked
    from quincunx.garden import Garden, timeline
    from quincunx.garden.costing import costed
    from quincunx.garden.price_list import write_price_list

    if not isinstance(garden, Garden):
        return
    needed: dict[str, tuple[str, str, str, str]] = {}
    for c in costed(garden, timeline(garden)):
        for b in c.reckoned.bill:
            needed.setdefault(b.item, (b.item, b.words, units_asked(b.unit, garden.style)[0], b.shop))
    out.write_text(write_price_list(needed.values(), garden), encoding="utf-8")
    click.echo(out)
