"""Where feet will go, in words and as drawn: shared by the must, the sheet and the board."""

from __future__ import annotations

from quincunx.intents._base import Words
from quincunx.intents._walking import why_not
from quincunx.scene import Scene
from quincunx.shapes import XY, Figure, PathFigure, TextFigure
from quincunx.units import capital
from quincunx.walk.desire import BARE_PASSES, Feet, Trodden, width_for
from quincunx.walk.reach import walk_of

MARKED_M = 1.0
"""Lines shorter than this carry no number on the plan [m]."""


def way_figures(found: Feet) -> tuple[Figure, ...]:
    """Return the way of each trip as it is drawn: a thin broken line."""
    return tuple(
        PathFigure(way.points, "note", trip.id, weight="thin", dash=True)
        for trip, way in found.ways
        if way is not None and len(way.points) > 1
    )


def trodden_figures(found: Feet, words: Words) -> tuple[Figure, ...]:
    """Return the lines trodden: thick where the grass goes, numbered as they are listed."""
    del words
    out: list[Figure] = []
    for k, piece in enumerate(found.trodden, start=1):
        weight = "thick" if piece.passes >= BARE_PASSES else "normal"
        out.append(PathFigure(piece.line, "evidence", weight=weight))  # type: ignore[arg-type]
        if piece.length_m >= MARKED_M:
            out.append(TextFigure(middle_of(piece.line), str(k), "evidence", size="normal"))
    return tuple(out)


def middle_of(line: tuple[XY, ...]) -> XY:
    """Return the point half way along a line [m]."""
    from shapely import LineString

    at = LineString(line).interpolate(0.5, normalized=True)
    return (at.x, at.y)


def trodden_words(piece: Trodden, found: Feet, words: Words) -> str:
    """Return what happens on a line trodden, and on which walk, as part of a sentence."""
    over = words.both(piece.owners[:2]) if piece.owners else "open ground"
    verb = "a corner is cut over" if piece.leaves_path else "walked over"
    ends = {"bare": "trodden bare, mud when it is wet", "seen": "a line shows", "hardly": "hardly seen"}
    trips = [f"{words.name(t.start)} to {words.name(t.end)}" for t, _ in found.ways if t.id in piece.trips]
    more = f" and {len(trips) - 1} more" if len(trips) > 1 else ""
    return f"{trips[0]}{more}: {verb} {over}, {ends[piece.state]}" if trips else f"{verb} {over}, {ends[piece.state]}"


def no_ways(found: Feet, scene: Scene, words: Words) -> tuple[str, ...]:
    """Return a sentence for each walk for which there is no way: who doesn't get where, and why."""
    out = []
    for trip, way in found.ways:
        who = words.walker(trip.walker)
        if way is not None or who is None:
            continue
        walk = walk_of(scene, who, polite=True)
        gone = [ref for ref in (trip.start, trip.end) if walk.place(ref) is None]
        why = (
            f"{words.both(tuple(gone))} does not stand then" if gone else why_not(walk, trip.start, trip.end, words)[0]
        )
        out.append(
            f"{words.name(trip.start)} to {words.name(trip.end)}: {who.name} {who.says('does', 'do')} not get there, as {why}."
        )
    return tuple(capital(line) for line in out)


def advice(found: Feet, scene: Scene, words: Words) -> tuple[str, ...]:
    """Return a sentence for each line that wants a path, those trodden most first: how long, how wide, for whom."""
    out = []
    for k, piece in enumerate(found.trodden, start=1):
        if piece.passes < BARE_PASSES:
            continue
        walkers = [w for name in piece.walkers if (w := words.walker(name)) is not None]
        wide = width_for(scene, piece.line, walkers)
        whom = " and ".join(w.name for w in walkers[:2])
        what = "Take the path round this way, or pave it" if piece.leaves_path else "Make a path of it"
        text = f"{k}: {what}, {words.distance(piece.length_m)} long and {words.length(wide)} wide for {whom}."
        out.append(capital(text))
    return tuple(out)
