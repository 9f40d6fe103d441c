"""``quincunx export``: the garden as JSON, or as it stands on a date as a solid model (glTF) or a map (GeoJSON)."""

from __future__ import annotations

from calendar import monthrange
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from quincunx.cli._files import FILE, load
from quincunx.cli._say import hand_on, say

if TYPE_CHECKING:
    from quincunx.garden import Garden
    from quincunx.scene import Timeline


@click.command("export")
@click.argument("file", type=FILE)
@click.option("--out", type=FILE, help="Where to write it; the screen if left out (not gltf).")
@click.option(
    "--format", "form", type=click.Choice(["json", "gltf", "geojson"]), default="json", show_default=True,
    help="json: all of the garden; gltf: what stands on a date, as a .glb file that viewers of solid models open; "
    "geojson: the same in plan, for programs that draw maps.",
)  # fmt: skip
@click.option(
    "--on", metavar="YEAR-MONTH", help="The month that is shown (not json); the plan's last summer if left out."
)
@click.option(
    "--at", type=float, nargs=2, metavar="LATITUDE LONGITUDE",
    help="Where the plan's origin lies (geojson), if you know it better than by the town.",
)  # fmt: skip
def command(file: Path, out: Path | None, form: str, on: str | None, at: tuple[float, float] | None) -> None:
    """Write the garden in FILE: as JSON in its normal form, or (gltf, geojson) as it stands in one month.

    History and pictures stay in the file.
    """
    garden = load(file)
    if form == "gltf":
        if out is None:
            raise click.UsageError("A glTF file is not text: say where to write it, such as --out garden.glb.")
        data = gltf(garden, on)
    else:
        from quincunx.garden import garden_text

        text = garden_text(garden) if form == "json" else geojson(garden, on, at)
        if out is None:
            hand_on(text, end="")
            return
        data = text.encode()
    part = out.with_name(f".{out.name}.part")
    try:
        part.write_bytes(data)
        part.replace(out)
    finally:
        part.unlink(missing_ok=True)
    say(f"Wrote {out}.", err=True)


def gltf(garden: Garden, on: str | None) -> bytes:
    """Return what stands at the end of a month (``2031-06``; None: the plan's last summer) as a binary glTF file."""
    from quincunx import __version__
    from quincunx.garden import timeline
    from quincunx.grow.bloom import in_month
    from quincunx.model import glb_of

    through = timeline(garden)
    day = _day(through, on)
    flowering = in_month(through, day.year, day.month, bloom=True)
    return glb_of(through.at(day), through.find, flowering, name=garden.name, made=f"Quincunx {__version__}")


def geojson(garden: Garden, on: str | None, at: tuple[float, float] | None) -> str:
    """Return what stands at the end of a month as GeoJSON, its origin ``at`` a latitude and longitude [deg] if known."""
    from quincunx.garden import timeline
    from quincunx.garden.on_earth import geojson as written

    through = timeline(garden)
    return written(garden, through.at(_day(through, on)), at)


def _day(through: Timeline, on: str | None) -> date:
    return through.leaf_date(through.years[-1]) if on is None else _month_end(on)


def _month_end(text: str) -> date:
    year, _, month = text.partition("-")
    try:
        return date(int(year), int(month), monthrange(int(year), int(month))[1])
    except (ValueError, IndexError):
        raise click.UsageError(f"There is no month {text!r}. Write it as 2031-06.") from None
