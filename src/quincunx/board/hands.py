"""What a hand does at the sheet beyond drawing: mirror, set out in an array, go beside an edge, draw a dimension line.

Each is asked for a look first; the answer holds the edit, which the page then makes on the revision it shows.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from quincunx.board.ask import Ask
from quincunx.board.figures import figures_json
from quincunx.board.replies import Refused, number, point, text, whole
from quincunx.board.scenes import to_come
from quincunx.board.standing import Standing
from quincunx.board.tries import Try, day_in, stood_up
from quincunx.features import Feature
from quincunx.garden import plain
from quincunx.garden.edits import put
from quincunx.garden.hands import Array, Handed, array, bearing_of, beside, mirror
from quincunx.garden.marks import DimensionLine
from quincunx.garden.marks_drawn import BOUNDARY, dimension_drawn, held_at, hold_on
from quincunx.shapes import Figure
from quincunx.units.fields import Length

LAYOUTS = ("square", "triangular", "quincunx")
Answer = dict[str, Any]


def hand(ask: Ask) -> Answer:
    """Answer ``POST /api/hands/NAME``: the edit, its figures on the date shown, and what it comes to in words."""
    name = str(ask.path.get("name", ""))
    if name not in HANDS:
        raise Refused(404, "There is nothing like that.")
    return HANDS[name](ask.session.standing(), ask.body)


def _mirror(at: Standing, body: Mapping[str, Any]) -> Answer:
    start, end = point(body.get("start"), "start"), point(body.get("end"), "end")
    handed = mirror(at.garden, _ids(body), (start, bearing_of(start, end)), keep=bool(body.get("keep", True)))
    return _shown(at, body, handed)


def _array(at: Standing, body: Mapping[str, Any]) -> Answer:
    layout = body.get("layout", "square")
    if layout not in LAYOUTS:
        raise Refused(422, f"The layout is one of {', '.join(LAYOUTS)}.")
    apart = body.get("apart_m")
    how = Array(
        layout, whole(body.get("across", 3), "across"), whole(body.get("rows", 1), "rows"),
        number(body.get("spacing_m"), "spacing_m"), None if apart is None else number(apart, "apart_m"),
        number(body.get("along_deg", 90.0), "along_deg"),
    )  # fmt: skip
    return _shown(at, body, array(at.garden, _ids(body), how))


def _beside(at: Standing, body: Mapping[str, Any]) -> Answer:
    edge, kind = body.get("edge"), body.get("kind")
    since = body.get("since")
    handed = beside(
        at.garden, text(body, "id", 60), number(body.get("aside_m"), "aside_m"),
        kind=str(kind) if kind else None, edge=None if edge is None else whole(edge, "edge"),
        since=str(since) if since else None, from_edge=bool(body.get("from_edge")),
    )  # fmt: skip
    return _shown(at, body, handed)


def _dimension(at: Standing, body: Mapping[str, Any]) -> Answer:
    start, end = point(body.get("start"), "start"), point(body.get("end"), "end")
    bearing_of(start, end)
    aside = Length(number(body.get("aside_m", 0.5), "aside_m"))
    taken = {d.id for d in at.garden.dimensions}
    name = next(f"dimension-{n}" for n in range(1, len(taken) + 2) if f"dimension-{n}" not in taken)
    line = DimensionLine(id=name, start=hold_on(at.garden, start), end=hold_on(at.garden, end), aside=aside)
    drawn = dimension_drawn(held_at(at.garden, line.start), held_at(at.garden, line.end), float(aside), name)
    holds = [_held(at, h.on, h.by) for h in (line.start, line.end)]
    said = " and ".join(dict.fromkeys(h for h in holds if h))
    edit = put("dimensions", line, "Draw a dimension line")
    told = f"holds on to {said}" if said else "holds on to nothing: it stays where it is"
    if said and not all(holds):
        told += "; its other end holds on to nothing and stays where it is"
    return {"edit": plain(edit), "figures": figures_json(drawn, at.garden.style), "owners": [], "said": told}


def _held(at: Standing, on: str | None, by: str) -> str:
    if on is not None:
        return at.called.get(on, on)
    return "the boundary" if by.startswith(BOUNDARY) else ""


HANDS: dict[str, Callable[[Standing, Mapping[str, Any]], Answer]] = {
    "mirror": _mirror, "array": _array, "beside": _beside, "dimension": _dimension,
}  # fmt: skip


def _ids(body: Mapping[str, Any]) -> list[str]:
    ids = body.get("ids")
    if not isinstance(ids, list) or not all(isinstance(i, str) for i in ids) or len(ids) > 400:
        raise Refused(422, "ids is a list of things.")
    return ids


def _shown(at: Standing, body: Mapping[str, Any], handed: Handed) -> Answer:
    tried = Try(handed.features, day_in(body, at), "")
    then = stood_up(at, tried)
    figures = [x for f in handed.features for x in _figures(then, f, tried)]
    known = {f.id for f in at.garden.features}
    return {
        "edit": plain(handed.edit), "figures": figures_json(figures, at.garden.style), "said": handed.said,
        "owners": [f.id for f in handed.features if f.id in known],
    }  # fmt: skip


def _figures(then: Standing, feature: Feature, tried: Try) -> list[Figure]:
    stood = then.timeline.stood(feature, tried.on)
    return list((stood if stood.figures else to_come(then, feature, tried.on)).figures)
