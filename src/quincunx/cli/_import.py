"""``quincunx import``: a garden file from JSON."""

from __future__ import annotations

from pathlib import Path

import click

from quincunx.cli._files import FILE, load_json, saving
from quincunx.cli._say import say
from quincunx.units.words import counted


@click.command("import")
@click.argument("source", type=FILE)
@click.argument("file", type=FILE)
@click.option(
    "--replace", is_flag=True, help="Put it into FILE if that is there already, as one edit that can be undone."
)
def command(source: Path, file: Path, replace: bool) -> None:
    """Make the garden file FILE from the JSON in SOURCE."""
    from quincunx.store import Store

    garden = load_json(source)
    if replace and file.exists():
        with saving(file) as store:
            store.replace(garden, f"Import {source.name}")
    else:
        Store.create(file, garden).close()
    say(
        f"{garden.name}: {counted(len(garden.features), 'thing')}, {counted(len(garden.intents), 'must')}, in {file}.",
        err=True,
    )
