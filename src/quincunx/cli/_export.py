"""``quincunx export``: the garden as JSON."""

from __future__ import annotations

from pathlib import Path

import click

from quincunx.cli._files import FILE, load


@click.command("export")
@click.argument("file", type=FILE)
@click.option("--out", type=FILE, help="Where to write it; the screen if left out.")
def command(file: Path, out: Path | None) -> None:
    """Write the garden in FILE as JSON, in its normal form.

    History and pictures stay in the file.
    """
    from quincunx.garden import garden_text

    text = garden_text(load(file))
    if out is None:
        click.echo(text, nl=False)
        return
    part = out.with_name(f".{out.name}.part")
    try:
        part.write_text(text, encoding="utf-8")
        part.replace(out)
    finally:
        part.unlink(missing_ok=True)
    click.echo(f"Wrote {out}.", err=True)
