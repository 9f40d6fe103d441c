"""What a hand holds, drawn with its gaps: a wall stands open where a gate is now, and closed where it was."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from shapely.geometry.base import BaseGeometry

from quincunx.board.standing import Standing
from quincunx.scene.opened import opened
from quincunx.scene.scene import cut_solids
from quincunx.shapes import Cut, Figure, united


def gaps(at: Standing, then: Standing, tried: Sequence[str], on: date) -> tuple[list[str], tuple[Figure, ...]] | None:
    """Return the things whose gaps a try may move, with the tried ones, and how all of them would be drawn; None for none.

    ``at`` is the garden as it is, ``then`` as it would be; both as on ``on``.
    """
    moved = united([c.place for one in (at, then) for c in _cuts(one, tried, on)])
    cuts = _cuts(then, [f.id for f in then.garden.features], on)
    places = united([c.place for c in cuts])
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
