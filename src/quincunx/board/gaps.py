"""What a hand holds, drawn with its gaps: a wall stands open where a gate is now, and closed where it was."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import Any

import shapely
from shapely.geometry.base import BaseGeometry

from quincunx.board.answers import Ask
from quincunx.board.figures import figures_json
from quincunx.board.standing import Standing
from quincunx.board.tries import Try, day_in, drag as dragged, feature_of, preview as previewed, stood_up
from quincunx.features import Feature
from quincunx.scene.opened import opened
from quincunx.scene.scene import cut_solids
from quincunx.shapes import Cut, Figure


def drag(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/drag`` as :func:`quincunx.board.tries.drag`, with the gaps as they would be."""
    answer, at = dragged(ask), ask.session.standing()
    if ask.body.get("copy") is True:
        return answer
    fields = answer["fields"] if "moves" in ask.body else {str(ask.body.get("id")): answer["fields"]}
    fields = fields | {op["id"]: op["value"] for op in answer.get("along", ()) if op["part"] == "features"}
    return {**answer, **_drawn(at, _changed(at, fields), day_in(ask.body, at), answer["owners"])}


def preview(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/preview`` as :func:`quincunx.board.tries.preview`, with the gaps as they would be."""
    answer, at = previewed(ask), ask.session.standing()
    tried = feature_of(ask.body["feature"], at.garden)
    return {**answer, **_drawn(at, (tried,), day_in(ask.body, at), answer["owners"])}


def _changed(at: Standing, fields: Mapping[str, Mapping[str, Any]]) -> tuple[Feature, ...]:
    return tuple(f.changed(**fields[f.id]) for f in at.garden.features if f.id in fields)


def _drawn(at: Standing, tried: Sequence[Feature], on: date, owners: Sequence[str]) -> dict[str, Any]:
    """Return owners and figures anew where a gap moves; nothing where none does, so that the answer stays as it is."""
    then = stood_up(at, Try(tuple(tried), on, ""))
    found = gaps(at, then, [f.id for f in tried], on)
    if not found:
        return {}
    drawn, figures = found
    return {
        "owners": [*owners, *(i for i in drawn if i not in owners)],
        "figures": figures_json(figures, at.garden.style),
    }


def gaps(at: Standing, then: Standing, tried: Sequence[str], on: date) -> tuple[list[str], tuple[Figure, ...]] | None:
    """Return the things whose gaps a try may move, with the tried ones, and how all of them would be drawn; None for none.

    ``at`` is the garden as it is, ``then`` as it would be; both as on ``on``.
    """
    moved = shapely.union_all([c.place for one in (at, then) for c in _cuts(one, tried, on)])
    cuts = _cuts(then, [f.id for f in then.garden.features], on)
    places = shapely.union_all([c.place for c in cuts])
    walls = [f.id for f in then.garden.features if f.id not in tried and _touches(then, f.id, on, moved)]
    if not walls and not any(_touches(then, i, on, places) for i in tried):
        return None
    drawn = [*tried, *walls]
    stood = [then.timeline.stood(f, on) for f in then.garden.features if f.id in drawn]
    if not all(one.figures for one in stood):
        return None  # what is yet to come is drawn as a shadow of it, without gaps
    solids, _ = cut_solids([s for one in stood for s in one.solids], cuts, then.timeline.frame.ground)
    return drawn, opened([f for one in stood for f in one.figures], cuts, solids)


def _cuts(at: Standing, ids: Iterable[str], on: date) -> list[Cut]:
    wanted = set(ids)
    return [
        c for f in at.garden.features if f.id in wanted for c in at.timeline.stood(f, on).changes if isinstance(c, Cut)
    ]  # fmt: skip


def _touches(at: Standing, feature_id: str, on: date, place: BaseGeometry) -> bool:
    feature = at.timeline.feature(feature_id)
    if place.is_empty or feature is None:
        return False
    return any(s.owner == feature_id and s.footprint.intersects(place) for s in at.timeline.stood(feature, on).solids)
