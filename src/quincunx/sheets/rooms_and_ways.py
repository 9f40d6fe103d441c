"""Rooms and ways: the rooms as they come out, their openings, the map of rooms, and who gets where."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from quincunx.intents._walking import leak_figures
from quincunx.shapes import Figure
from quincunx.sheets._feet import map_block, opening_figures, outlines, room_state
from quincunx.sheets._set import Set
from quincunx.sheets.book import Block, Page
from quincunx.sheets.plan import drawn_pages
from quincunx.units import capital
from quincunx.walk import OUTSIDE, Leak, leaks, rooms_of, walk_of
from quincunx.walk.roommap import RoomMap, room_map

ID = "rooms-and-ways"
WORDS = "Rooms and ways: the rooms, their openings, a small map of them, who gets in"
NEEDS = (
    "No room has been named yet. Touch a place on the plan, name it, and this page shows which rooms really are rooms."
)

WHO = ("person", "barrow", "wheelchair")
"""For whom the table says whether they get in."""
MAP_MM = 120.0


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:
    """Yield the plan of rooms in the last year, then the map of rooms with a table; nothing where no room is named."""
    scene = of.summer(of.timeline.years[-1])
    if not scene.rooms:
        return
    rooms = rooms_of(scene)
    found = {r.id: leaks(rooms, r) for r in scene.rooms if r.closed}
    year = of.timeline.years[-1]
    more: list[Figure] = [*outlines(rooms), *opening_figures(scene, of.words)]
    more += leak_figures([leak for some in found.values() for leak in some], of.words)
    yield from drawn_pages(of, [*scene.figures, *more], "Rooms and ways", f"as in late summer {year}", wanted)
    person = of.words.walker("person")
    if person is None:
        return
    chart = room_map(scene, person)
    blocks: list[Block] = [
        {"t": "text", "s": "Each box is a piece of ground with every opening shut; each line is an opening, with its clear width."},
        map_block(chart, of.words, of.paper.frame_mm[0], MAP_MM, of.garden.style),
        {"t": "heading", "s": "Room by room"},
        _table(of, chart, found),
        {"t": "text", "s": _round(chart, of)},
    ]  # fmt: skip
    yield Page("The map of rooms", tuple(blocks), of.paper.size_mm, f"as in late summer {year}")


def _table(of: Set, chart: RoomMap, found: dict[str, tuple[Leak, ...]]) -> Block:
    scene = chart.graph.walk.scene
    rooms, words = rooms_of(scene), of.words
    walks = [walk_of(scene, who, polite=True) for name in WHO if (who := words.walker(name)) is not None]
    rows: list[list[Any]] = []
    for room in scene.rooms:
        node = next((i for i, n in enumerate(chart.nodes) if room.id in n.rooms), None)
        doors = [] if node is None or chart.nodes[node].outside else chart.ways_of(node)
        ways = ", ".join(words.name(e.owner) for e in doors) or "-"
        state = capital(room_state(rooms, room, found.get(room.id, ()), words))
        rows.append(
            [
                {"s": room.name, "bold": True},
                state,
                ways,
                *("yes" if w.reaches(OUTSIDE, room.id) else "no" for w in walks),
            ]
        )
    names = [w.walker.name.removeprefix("a ") for w in walks]
    return {
        "t": "table",
        "head": ["room", "is it one?", "ways in", *names],
        "rows": rows,
        "widths": [1.1, 2.2, 2.0, *([0] * len(walks))],
        "align": ["left"] * (3 + len(walks)),
        "size": 9,
        "inset": 1.5,
    }


def _round(chart: RoomMap, of: Set) -> str:
    """Return how many ways round there are and which rooms are dead ends."""
    many = {0: "There is no way round: whoever goes in comes back the same way.", 1: "There is one way round."}
    loops = many.get(chart.loops, f"There are {chart.loops} ways round, by which one need not come back the same way.")
    ends = [of.words.name(r) for r in chart.dead_ends]
    if not ends:
        return loops
    verb = "has one way in only" if len(ends) == 1 else "have one way in only"
    return f"{loops} {capital(' and '.join([', '.join(ends[:-1]), ends[-1]] if len(ends) > 1 else ends))} {verb}."
