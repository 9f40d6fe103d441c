"""``quincunx points``: a file of corners or points, looked at and taken into a garden."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from quincunx.cli._files import FILE, load
from quincunx.cli._say import say

if TYPE_CHECKING:
    from quincunx.review.points import Looked
    from quincunx.units import Style

WIDE, HIGH = 46, 17
"""Letters of the small picture across and down."""
MOST_BYTES, MOST_SHOWN = 16_000_000, 40


@click.command("points")
@click.argument("source", type=FILE)
@click.option("--into", type=FILE, help="The garden file that takes them, as one step that can be undone.")
@click.option(
    "--as",
    "become",
    default="boundary",
    show_default=True,
    help="What they become: boundary, stakes, spots, heights, or a kind such as house, path or tree.",
)
@click.option(
    "--unit", default="", help="m, cm, mm, ft, us-ft, in or deg (longitude and latitude), where SOURCE doesn't say."
)
@click.option("--first", type=click.Choice(["east", "north"]), help="Which of the two numbers comes first.")
@click.option("--part", type=click.IntRange(1), default=1, help="Which outline or line of SOURCE, if it holds several.")
@click.option("--through", default="", help='Only these points, in this order: "A B 7 4".')
@click.option(
    "--lay",
    type=click.Choice(["same", "names", "plan", "first"]),
    help="same: beside what was brought in before; names: by stakes and spots called the same; plan: the numbers are the"
    " plan's own; first: the first point is the datum stake.",
)
def command(
    source: Path, into: Path | None, become: str, unit: str, first: str | None, part: int, through: str, lay: str | None
) -> None:
    """Look at the corners or points in SOURCE, and take them into a garden.

    SOURCE is a table (CSV or TSV) of x, y and perhaps z and a name, its columns named or not; GeoJSON, WKT, GPX, KML, or
    a text DXF. A small picture shows which number runs east before anything is taken. Nothing is changed unless a garden
    is named with --into.
    """
    from quincunx.garden import Garden
    from quincunx.review.points import asked_of, look, part_words

    garden = Garden() if into is None else load(into)
    said = {"become": become, "unit": unit, "order": first, "group": part - 1, "only": through, "lay": lay}
    found = look(garden, text_of(source), asked_of(said), source.name)
    if len(found.brought.groups) > 1:
        for n, words in enumerate(part_words(found.brought), 1):
            say(f"{'→' if n == part else ' '} {n} {words}")
    _show(found, garden.style)
    if found.faults:
        raise click.ClickException("Nothing was taken. Mend this and try again:\n" + "\n".join(found.faults))
    if into is None:
        say("Name a garden with --into to take them.")
    elif found.edit is not None:
        from quincunx.cli._measure import commit

        commit(into, found.edit)


def text_of(source: Path) -> str:
    """Return the text of a file of points, whatever its letters are coded in; a sentence where it is too large."""
    if source.stat().st_size > MOST_BYTES:
        raise click.ClickException(f"{source.name} is too large: bring the corners alone, 16 MB at most.")
    data = source.read_bytes()
    for coding in ("utf-16",) if data[:2] in (b"\xff\xfe", b"\xfe\xff") else ("utf-8-sig", "cp1252"):
        try:
            return data.decode(coding)
        except UnicodeDecodeError:
            continue
    return data.decode("latin-1")


def corners_of(source: Path, given: Mapping[str, Any]) -> dict[str, Any] | None:
    """Show the corners in ``source`` and return them for a garden being begun; None, with the reasons, if they don't do."""
    from quincunx.garden import Garden
    from quincunx.garden.document import Writing
    from quincunx.review.points import asked_of, look
    from quincunx.site.place import Place

    garden = Garden(writing=Writing.model_validate(given["writing"]))
    if given.get("latitude_deg") is not None:
        place = Place(latitude_deg=given["latitude_deg"], longitude_deg=given.get("longitude_deg") or 0.0)
        garden = garden.changed(site=garden.site.changed(place=place))
    found = look(garden, text_of(source), asked_of({"lay": "first"}), source.name)
    _show(found, garden.style)
    if found.faults or found.round is None or found.laid is None:
        for fault in found.faults:
            say(f"  {fault}", err=True)
        return None
    return {"outline": found.round.corners, "datum": found.laid.datum}


def _show(found: Looked, style: Style) -> None:
    """Print what was understood, each point, and how they lie."""
    from quincunx.units import format_length

    for line in found.said:
        say(line)
    if found.laid is None:
        return
    shown = list(zip(found.laid.names, found.laid.at, found.laid.z, strict=True))[:MOST_SHOWN]
    words = [[format_length(v, style, kind="tape") for v in (*at, *(() if z is None else (z,)))] for _, at, z in shown]
    wide = max((len(w) for row in words for w in row), default=0)
    for (name, _, _), row in zip(shown, words, strict=True):
        said = (f"{w:>{wide}} {way}" for w, way in zip(row, ("east", "north", "up"), strict=False))
        click.echo(f"  {name:<8.8} {' '.join(said)}")
    if len(found.laid.at) > MOST_SHOWN:
        say(f"  … and {len(found.laid.at) - MOST_SHOWN} more")
    for line in picture(found.laid.at, found.laid.names, closed=found.closed) if len(found.laid.at) > 1 else ():
        click.echo(f"  {line}".rstrip())
    if found.brought.order is not None:
        say("North is up. The file says which number runs east; --first north takes them the other way round.")
        return
    first, second = ("east", "north") if found.laid.order == "east" else ("north", "east")
    other = "north" if first == "east" else "east"
    say(f"North is up. The first number runs {first}, the second {second}; --first {other} turns that round.")


def picture(at: tuple[tuple[float, float], ...], names: tuple[str, ...], *, closed: bool = False) -> list[str]:
    """Return a picture of points in letters, north up, each by the start of its name; sides dotted if ``closed``."""
    left, low = min(x for x, _ in at), min(y for _, y in at)
    wide, high = max(max(x for x, _ in at) - left, 1e-9), max(max(y for _, y in at) - low, 1e-9)
    # A letter is about twice as high as it is wide.
    scale = min((WIDE - 4) / wide, (HIGH - 1) * 2 / high)
    rows = [[" "] * WIDE for _ in range(round(high * scale / 2) + 1)]

    def place(x: float, y: float) -> tuple[int, int]:
        return len(rows) - 1 - round((y - low) * scale / 2), round((x - left) * scale)

    for (x, y), (u, v) in zip(at, (*at[1:], at[0]), strict=True) if closed else ():
        for k in range(1, WIDE):
            row, column = place(x + (u - x) * k / WIDE, y + (v - y) * k / WIDE)
            rows[row][column] = "."
    for (x, y), name in reversed(list(zip(at, names, strict=True))):
        row, column = place(x, y)
        for k, letter in enumerate(name[:3]):
            rows[row][column + k] = letter
    return ["".join(row) for row in rows]
