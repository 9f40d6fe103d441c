"""What the musts about sun share: where a place is asked, its shade by hour and month, their words and figures."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

import shapely
from pydantic import Field
from shapely.geometry.base import BaseGeometry

from quincunx.intents._base import Words
from quincunx.light import PointShade, Sky, shades_at
from quincunx.light.shade import OfSuns, same_shade
from quincunx.scene import Scene, Timeline
from quincunx.scene._kept import Kept
from quincunx.scene.difference import difference
from quincunx.shapes import XY, Figure, PathFigure, TextFigure
from quincunx.units import capital
from quincunx.units.dates import MONTHS

Hour = Annotated[int, Field(ge=0, le=24)]
"""A full hour of the clock."""

STEP_MIN = 15.0
"""Suns are taken so far apart for a must [min]; the hours are true to about a quarter."""
MOST_POINTS = 5
LOW_M = 1.2
"""What of a thing stands no higher than this is what grows in it stands on: the sides of a raised bed [m]."""
WITHIN = 0.8
"""What grows with this share of its ground in a bed belongs to it, and doesn't count as shading it."""
RING_M = 0.35


@dataclass(frozen=True)
class Asked:
    """Where the sun is asked for: points with their height above the ground [m], and solids that don't count."""

    at: tuple[XY, ...]
    height_m: float
    without: frozenset[str] = frozenset()


def asked_at(scene: Scene, ref: str) -> Asked | None:
    """Return where a spot, a room or a thing asks for sun; None where it does not stand.

    A spot is asked at its own height, a room at the ground of its point.  A thing is asked in some points of its ground,
    as if nothing grew there yet: above the low sides of a raised bed, and not shaded by what it holds.
    """
    spot = scene.spot(ref)
    if spot is not None:
        return Asked((spot.at,), spot.height_m)
    room = scene.room(ref)
    if room is not None:
        return Asked((room.inside,), 0.0)
    area = scene.area_of(ref)
    if area is None or area.is_empty:
        return None
    own = [s for s in scene.solids if s.owner == ref]
    low = [s.top.value_m for s in own if not s.grown and s.top.datum == "ground" and s.top.value_m <= LOW_M]
    held = [s for s in scene.solids if s.grown and s.owner != ref and _held(s.footprint, area)]
    return Asked(points_in(area), max(low, default=0.0), frozenset(s.name for s in (*own, *held)))


def _held(shape: BaseGeometry, area: BaseGeometry) -> bool:
    return bool(shape.intersects(area) and shapely.area(shape.intersection(area)) > WITHIN * shape.area)


def points_in(area: BaseGeometry) -> tuple[XY, ...]:
    """Return up to five points spread over an area: its middle, and half way to its sides."""
    inner = area if area.area < 1.0 else area.buffer(-0.25)
    inner = area if inner.is_empty else inner
    middle = inner.representative_point() if not inner.covers(inner.centroid) else inner.centroid
    west, south, east, north = inner.bounds
    out = [(float(middle.x), float(middle.y))]
    if area.area > 1.0:
        for x, y in ((west, south), (east, south), (east, north), (west, north)):
            p = shapely.Point((middle.x + x) / 2, (middle.y + y) / 2)
            if inner.covers(p):
                out.append((float(p.x), float(p.y)))
    return tuple(out[:MOST_POINTS])


def shades(
    scene: Scene, timeline: Timeline, asked: Asked, months: tuple[int, ...], step_min: float = STEP_MIN
) -> list[PointShade]:
    """Return the shade at each point of a place."""
    sky = Sky.over(timeline.frame)
    return shades_at(scene, asked.at, asked.height_m, months=months, step_min=step_min, sky=sky, without=asked.without)


def same_sun(
    was: Timeline, now: Timeline, year: int, ref: str, months: tuple[int, ...], step_min: float = STEP_MIN
) -> bool:
    """Return whether what differs at the end of a summer surely keeps the same sun off a place in some months.

    It doesn't where nothing of it may stand before the sun, and none of it stands in the place.
    """
    on = was.leaf_date(year)
    found = difference(was.at(on), now.at(on))
    asked = _ASKED.get((found.was,), ref, lambda: asked_at(found.was, ref))
    if asked is None or ref in found.owners:
        return False
    area = found.was.area_of(ref)
    if area is not None and not found.apart(area, whole=True):
        return False
    suns: OfSuns = (Sky.over(was.frame), months, "mid", step_min)
    return same_shade(found.was, found.now, found.owners, asked.at, asked.height_m, suns, asked.without)


_ASKED: Kept[Asked | None] = Kept(512)


def months_of(first: int, last: int) -> tuple[int, ...]:
    """Return the months from one to another, through the turn of the year if need be."""
    count = (last - first) % 12 + 1
    return tuple((first - 1 + k) % 12 + 1 for k in range(count))


def season_words(first: int, last: int) -> str:
    """Return months as people say them: ``in June``, ``from June to August``."""
    return f"in {MONTHS[first - 1]}" if first == last else f"from {MONTHS[first - 1]} to {MONTHS[last - 1]}"


def clock_words(hour: int) -> str:
    """Return a full hour of the clock: ``15:00``."""
    return f"{hour:02d}:00"


def time_words(timeline: Timeline) -> str:
    """Return whose hours are meant: the clock's, summer time included, or the sun's where no place is given."""
    return "by the clock, summer time included" if timeline.frame.place is not None else "by the sun"


def blamed(shades_: list[PointShade], months: tuple[int, ...], words: Words, start: int = 0, end: int = 24) -> str:
    """Return the end of a sentence that says what keeps most sun off; empty if nothing does."""
    total: dict[str, float] = {}
    for one in shades_:
        for owner, hours in one.by(months, start, end):
            total[owner] = total.get(owner, 0.0) + hours
    if not total:
        return ""
    most = sorted(total, key=lambda o: (-total[o], o))[:2]
    least = total[most[0]] / 3
    return ", mostly by " + words.both(tuple(o for o in most if total[o] >= least))


def marks(asked: Asked, text: str) -> tuple[Figure, ...]:
    """Return rings round the points that were asked, with their figure."""
    rings = tuple(
        PathFigure(
            tuple((float(x), float(y)) for x, y in shapely.Point(at).buffer(RING_M, quad_segs=4).exterior.coords[:-1]),
            "evidence",
            closed=True,
            weight="thick",
        )
        for at in asked.at
    )
    x, y = asked.at[0]
    return (*rings, TextFigure((x, y + 2 * RING_M), text, "evidence"))


def gone_words(ref: str, words: Words) -> str:
    """Return why nothing can be said of a place."""
    return f"{capital(words.name(ref))} does not stand then."
