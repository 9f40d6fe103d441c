"""The sheet: the garden as it stands on a date, what can be dragged in it and what a drag snaps to."""

from __future__ import annotations

import math
from calendar import monthrange
from collections.abc import Iterable
from datetime import date
from itertools import pairwise
from typing import Any

from quincunx.board.ask import Ask
from quincunx.board.figures import figures_json, ghost, outline_of, xy
from quincunx.board.replies import Refused, encoded
from quincunx.board.standing import Standing
from quincunx.board.underlay import under_sheet
from quincunx.features import Feature
from quincunx.garden.marks_drawn import dimension_figures
from quincunx.review.happened import happened, happened_figures
from quincunx.scene import Stood
from quincunx.shapes import Figure, Handle
from quincunx.units.fields import Length

MARGIN = 0.04
"""Room round the ground on the sheet, as a share of its greater side."""
CORNERS_MOST = 24
"""An outline with more corners than this is round: it gives no corners to snap to."""


def scene(ask: Ask) -> bytes:
    """Answer ``GET /api/scene``: ``year`` with ``month`` (its last day), or ``day`` (2029-08-31)."""
    on = day_of(ask)
    at = ask.session.standing()
    key = ("scene", *at.stamp, on)
    known = ask.session.drawn.get(key)
    if known is None:
        with ask.session.turns.ahead():
            known = ask.session.drawn.put(key, encoded(scene_json(at, on)))
    return known


def day_of(ask: Ask) -> date:
    """Return the date a request asks for; :class:`Refused` if there is no such date."""
    day = ask.query.get("day")
    try:
        if day:
            return date.fromisoformat(day)
        year, month = ask.whole("year"), ask.whole("month", 8)
        return date(year, month, monthrange(year, month)[1])
    except ValueError:
        raise Refused(422, "There is no such day. Give year and month, or day as 2029-08-31.") from None


def scene_json(at: Standing, on: date) -> dict[str, Any]:
    """Return the sheet on a date."""
    now, frame, style = at.timeline.at(on), at.timeline.frame, at.garden.style
    built = set(at.built)
    stood = {f.id: at.timeline.stood(f, on) for f in at.garden.features}
    later = {f.id: to_come(at, f, on) for f in at.garden.features if not stood[f.id].figures}
    features = [_feature(f, later.get(f.id, stood[f.id]), at, on, built) for f in at.garden.features]
    ghosts = [g for f in at.garden.features if f.id in later for g in _ghosts(at, f, later[f.id], on)]
    ring = [(float(x), float(y)) for x, y in frame.boundary.exterior.coords[:-1]]
    return {
        "year": on.year, "month": on.month, "date": on.isoformat(), "key": now.key, "bounds": bounds(at), "north_deg": 0,
        "boundary": xy(ring) if at.garden.boundary else [],
        "figures": figures_json([*now.figures, *_own(at, on.year)], style),
        "ghosts": figures_json(ghosts, style),
        "features": features,
        "spots": [{"id": s.id, "name": s.name, "at": xy((s.at,))[0]} for s in frame.spots],
        "rooms": [{"id": r.id, "name": r.name, "inside": xy((r.inside,))[0], "outline": _ring(r.outline)} for r in frame.rooms],
        "stakes": _stakes(at),
        "pins": [{"id": p.id, "name": p.name or f"note {n}", "at": xy((p.at,))[0]} for n, p in enumerate(at.garden.pins, 1)],
        "pegs": [{"id": p.id, "name": p.name or p.id, "at": xy((p.place,))[0], "bearing_deg": round(p.bearing_deg, 1)} for p in at.garden.pegs],
        "underlay": under_sheet(at.garden),
        "snaps": _snaps(features, at, ring),
    }  # fmt: skip


def _own(at: Standing, year: int) -> list[Figure]:
    """Return what the person wrote on the sheet, and what the journal says of the year."""
    told = happened_figures(happened(at.garden, at.timeline, year))
    return [*dimension_figures(at.garden), *told]


def bounds(at: Standing) -> list[float]:
    """Return the ground to show, with a margin (west, south, east, north) [m]."""
    west, south, east, north = at.timeline.frame.boundary.bounds
    near = [
        s.at for s in at.timeline.frame.spots if west - 6 <= s.at[0] <= east + 6 and south - 6 <= s.at[1] <= north + 6
    ]
    xs, ys = [west, east, *(p[0] for p in near)], [south, north, *(p[1] for p in near)]
    pad = MARGIN * max(max(xs) - min(xs), max(ys) - min(ys), 1.0)
    return [round(v, 3) for v in (min(xs) - pad, min(ys) - pad, max(xs) + pad, max(ys) + pad)]


def to_come(at: Standing, feature: Feature, on: date) -> Stood:
    """Return what a feature will give when it first stands, or as new if nothing says when."""
    span = at.timeline.span(feature.id)
    year = None if span.begins is None or not span.known else span.begins // 12
    when = next((at.timeline.leaf_date(y) for y in at.timeline.years if year is not None and y >= year), None)
    if when is not None and at.timeline.stands_on(feature.id, when):
        return at.timeline.stood(feature, when)
    return at.timeline.as_made(feature, on=on)


def _ghosts(at: Standing, feature: Feature, later: Stood, on: date) -> Iterable[Any]:
    span = at.timeline.span(feature.id)
    gone = span.ends is not None and on.year * 12 + on.month - 1 >= span.ends
    if at.timeline.stands_on(feature.id, on) or gone:
        return []
    return [g for f in later.figures if (g := ghost(f)) is not None]


def _feature(feature: Feature, shape: Stood, at: Standing, on: date, built: set[str]) -> dict[str, Any]:
    stands = at.timeline.stands_on(feature.id, on)
    return {
        "id": feature.id, "kind": feature.kind, "called": feature.called, "handles": handles_json(feature.handles()),
        "outline": outline_of(shape), "built": feature.id in built, "stands": stands,
    }  # fmt: skip


def handles_json(handles: Iterable[Handle]) -> list[dict[str, Any]]:
    """Return handles as JSON [m, deg]."""
    return [{"id": h.id, "at": xy((h.at,))[0], "words": h.words, "along_deg": h.along_deg} for h in handles]


def _ring(shape: Any) -> list[list[float]] | None:
    return None if shape is None else xy(shape.exterior.coords[:-1])


def _stakes(at: Standing) -> list[dict[str, Any]]:
    known = [(s, s.x, s.y) for s in at.garden.survey.stakes]
    return [
        {"id": s.id, "name": s.name, "at": xy(((x, y),))[0]} for s, x, y in known if x is not None and y is not None
    ]


def _snaps(features: list[dict[str, Any]], at: Standing, ring: list[tuple[float, float]]) -> dict[str, Any]:
    points: list[list[Any]] = []
    edges: list[list[Any]] = []
    if at.garden.boundary:
        _ring_snaps(xy(ring), "", points, edges)
    for feature in features:
        for part in feature["outline"]:
            if len(part) <= CORNERS_MOST:
                _ring_snaps(part, feature["id"], points, edges)
        points += [[*h["at"], "middle" if h["words"] == "middle" else "end", feature["id"]] for h in feature["handles"]]
        edges += _lines(at, feature["id"])
    points += [[*s["at"], "stake", s["id"], s["name"]] for s in _stakes(at)]
    points += [[*xy((s.at,))[0], "spot", s.id, s.name] for s in at.timeline.frame.spots]
    return {"points": points, "edges": edges}


def _ring_snaps(ring: list[list[float]], owner: str, points: list[list[Any]], edges: list[list[Any]]) -> None:
    for a, b in zip(ring, [*ring[1:], *ring[:1]], strict=True):
        points.append([a[0], a[1], "corner", owner])
        if math.dist(a, b) > 0.3:
            points.append([round((a[0] + b[0]) / 2, 4), round((a[1] + b[1]) / 2, 4), "middle", owner])
            edges.append([a, b, owner])


def _lines(at: Standing, owner: str) -> list[list[Any]]:
    """Return the centre lines of a feature drawn along one, so that gates and ends find the middle of a wall."""
    feature = at.timeline.feature(owner)
    out: list[list[Any]] = []
    for name in type(feature).model_fields if isinstance(feature, Feature) else ():
        value = getattr(feature, name)
        if _is_line(value):
            out += [[a, b, owner] for a, b in pairwise(xy(value))]
    return out


def _is_line(value: Any) -> bool:
    return (
        isinstance(value, tuple)
        and len(value) > 1
        and all(isinstance(p, tuple) and len(p) == 2 and all(isinstance(v, Length) for v in p) for p in value)
    )
