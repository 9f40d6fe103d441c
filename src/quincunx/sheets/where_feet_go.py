"""Where feet will go: the ways walked every week, where people will leave the path, and which ways want paving."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from quincunx.intents._treading import advice, no_ways, trodden_figures, trodden_words, way_figures
from quincunx.sheets._set import Set
from quincunx.sheets.book import Block, Page
from quincunx.sheets.plan import drawn_pages
from quincunx.units import capital, write_count, write_plain
from quincunx.walk.desire import BARE_PASSES, SEEN_PASSES, Feet, feet
from quincunx.walk.going import walking_seconds

ID = "where-feet-go"
WORDS = "Where feet will go: ways walked every week, corners cut, what to pave and how wide"
NEEDS = "No walks have been written down. Say who goes where how often, and this page shows where the ground will be trodden."
MOST = 16


def has_pages(of: Set) -> bool:
    """Return whether any walk is written down."""
    return bool(of.garden.trips)


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:
    """Yield the plan with the lines trodden, then the walks and the lines in words; nothing without walks."""
    if not of.garden.trips:
        return
    year = of.timeline.years[-1]
    scene = of.summer(year)
    found = feet(scene, of.garden.trips, of.words.walker)
    drawn = [*scene.figures, *way_figures(found), *trodden_figures(found, of.words)]
    note = f"as in late summer {year}"
    yield from drawn_pages(of, drawn, "Where feet will go", note, wanted)
    blocks: list[Block] = [
        {"t": "text", "s": f"People keep to a path unless it is about a quarter longer than cutting across. Walked over {SEEN_PASSES:.0f} "
         f"times a year a line shows in grass; over {write_count(BARE_PASSES, of.garden.style)} times the grass goes (both common"
         " practice, without a source)."},
        {"t": "heading", "s": "Walks"},
        _walks(of, found),
        *({"t": "text", "s": line} for line in no_ways(found, scene, of.words)),
        {"t": "heading", "s": "Lines trodden off the paths"},
    ]  # fmt: skip
    blocks.append(_lines(of, found) if found.trodden else {"t": "text", "s": "None: every walk keeps to made ground."})
    blocks += [{"t": "text", "s": line} for line in advice(found, scene, of.words)[:6]]
    yield Page("Walks and lines", tuple(blocks), of.paper.size_mm, note)


def _walks(of: Set, found: Feet) -> Block:
    scene, words = of.summer(of.timeline.years[-1]), of.words
    rows: list[list[Any]] = []
    for trip, way in found.ways:
        who = words.walker(trip.walker)
        far = "no way" if way is None else words.distance(way.length_m)
        took = "" if way is None or who is None else words.minutes(walking_seconds(scene, who, way))
        name = who.name if who else trip.walker
        rows.append(
            [
                f"{words.name(trip.start)} to {words.name(trip.end)}",
                name,
                write_plain(trip.a_week, of.garden.style),
                far,
                took,
            ]
        )
    head = ["from and to", "who", "a week", "far", "takes"]
    return _table(head, rows, [2.6, 1.6, 0.7, 0.9, 1.2])


def _lines(of: Set, found: Feet) -> Block:
    rows: list[list[Any]] = []
    for k, piece in enumerate(found.trodden[:MOST], start=1):
        said = capital(trodden_words(piece, found, of.words))
        rows.append(
            [
                {"s": str(k), "bold": True},
                said,
                of.words.distance(piece.length_m),
                write_count(piece.passes, of.garden.style),
            ]
        )
    return _table(["", "where", "long", "times a year"], rows, [0, 3.6, 0.8, 1.0])


def _table(head: list[str], rows: Sequence[list[Any]], widths: list[float]) -> Block:
    return {
        "t": "table", "head": head, "rows": list(rows), "widths": widths, "align": ["left"] * len(head), "size": 9,
        "inset": 1.4,
    }  # fmt: skip
