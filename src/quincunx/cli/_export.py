"""``quincunx export``: the garden as JSON, or as it stands on a date as a glTF file."""

from __future__ import annotations

from calendar import monthrange
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from quincunx.cli._files import FILE, load

if TYPE_CHECKING:
    from quincunx.garden import Garden


@click.command("export")
@click.argument("file", type=FILE)
@click.option("--out", type=FILE, help="Where to write it; the screen if left out (JSON only).")
@click.option(
    "--format", "form", type=click.Choice(["json", "gltf"]), default="json", show_default=True,
    help="json: all of the garden; gltf: what stands on a date, as a .glb file that viewers of solid models open.",
)  # fmt: skip
@click.option("--on", metavar="YEAR-MONTH", help="The month that is shown (gltf); the plan's last summer if left out.")
def command(file: Path, out: Path | None, form: str, on: str | None) -> None:
    """Write the garden in FILE: as JSON in its normal form, or (gltf) as it stands in one month.

    History and pictures stay in the file.
    """
    garden = load(file)
    if form == "gltf":
        if out is None:
            raise click.UsageError("A glTF file is not text: say where to write it, such as --out garden.glb.")
        data = gltf(garden, on)
    else:
        from quincunx.garden import garden_text

        text = garden_text(garden)
        if out is None:
            click.echo(text, nl=False)
            return
        data = text.encode()
    part = out.with_name(f".{out.name}.part")
    try:
        part.write_bytes(data)
        part.replace(out)
    finally:
        part.unlink(missing_ok=True)
    click.echo(f"Wrote {out}.", err=True)


def gltf(garden: Garden, on: str | None) -> bytes:
    """Return what stands at the end of a month (``2031-06``; None: the plan's last summer) as a binary glTF file."""
    from quincunx import __version__
    from quincunx.garden import timeline
    from quincunx.grow.bloom import in_month
    from quincunx.model import glb_of

    through = timeline(garden)
    day = through.leaf_date(through.years[-1]) if on is None else _month_end(on)
    flowering = in_month(through, day.year, day.month, bloom=True)
    return glb_of(through.at(day), through.find, flowering, name=garden.name, made=f"Quincunx {__version__}")


def _month_end(text: str) -> date:
    year, _, month = text.partition("-")
    try:
        return date(int(year), int(month), monthrange(int(year), int(month))[1])
    except (ValueError, IndexError):
        raise click.UsageError(f"There is no month {text!r}. Write it as 2031-06.") from None
