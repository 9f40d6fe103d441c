"""Where one can sit down along a way: benches, low walls, blocks of stone, whatever is flat, whole and of sitting height.

How high and deep a bench is: 2010 ADA Standards 903.3 and 903.5 (read), 17 to 19 in high, 20 to 24 in deep.  That a flat
top half as deep still serves for a rest is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import numpy as np
import shapely
from shapely import LineString, Point

from quincunx.scene import Scene
from quincunx.shapes import XY, Prism, Solid
from quincunx.walk._kept import Kept
from quincunx.walk.reach import Walk
from quincunx.walk.untouched import line_of
from quincunx.walk.ways import Way

INCH_M = 0.0254
SIT_M = (17 * INCH_M, 19 * INCH_M)
"""Lowest and highest seat one sits down on and gets up from with ease [m]: 2010 ADA Standards 903.5 (read)."""
TRY_M = (0.3, 0.6)
"""What is of such a height is meant to be sat on, or could be made so [m] (common practice, no source)."""
DEEP_M, WIDE_M = 0.25, 0.4
"""The least depth and width of what somebody sits on [m] (common practice, no source)."""
HAIR_M = 0.003
"""Heights nearer than this are the same: standards print inches and rounded millimetres [m]."""

Fit = Literal["well", "low", "high"]


@dataclass(frozen=True, slots=True)
class Rest:
    """Something to sit on beside a way: whose, how far ``along_m`` the way, how far ``aside_m`` of it and how high [m]."""

    owner: str
    along_m: float
    aside_m: float
    high_m: float
    at: XY

    @property
    def fit(self) -> Fit:
        """Return whether its height serves well, or is too low or too high."""
        low, high = SIT_M
        return "low" if self.high_m < low - HAIR_M else "high" if self.high_m > high + HAIR_M else "well"


@dataclass(frozen=True, slots=True)
class Stretch:
    """A piece of a way on which nobody can sit down: from and to where along it [m], and between what (empty: its ends)."""

    start_m: float
    end_m: float
    after: str
    before: str
    length_m: float


def rests(walk: Walk, way: Way, beside_m: float) -> tuple[Rest, ...]:
    """Return what can be sat on within ``beside_m`` [m] of a way with nothing between, the first met first.

    One feature counts once, where it lies nearest to the way; of its parts the one that serves best.
    """
    line, scene = line_of(way), walk.scene
    seats = _seats(scene)
    if not seats:
        return ()
    shapes = np.array([s.footprint for s in seats], dtype=object)
    best: dict[str, Rest] = {}
    for k in np.flatnonzero(shapely.dwithin(shapes, line, beside_m)):
        found = _rest(walk, line, seats[int(k)])
        if found is not None and _better(found, best.get(found.owner)):
            best[found.owner] = found
    return tuple(sorted(best.values(), key=lambda r: (r.along_m, r.owner)))


def _better(one: Rest, other: Rest | None) -> bool:
    return other is None or (one.fit != "well", one.aside_m) < (other.fit != "well", other.aside_m)


def _rest(walk: Walk, line: LineString | Point, seat: Solid) -> Rest | None:
    across = shapely.shortest_line(line, seat.footprint)
    barred = [b.shape for b in walk.free.found if b.owner != seat.owner]
    if barred and shapely.intersects(np.array(barred, dtype=object), across).any():
        return None
    (ax, ay), (bx, by) = across.coords[0], across.coords[-1]
    along = float(shapely.line_locate_point(line, Point(ax, ay))) if isinstance(line, LineString) else 0.0
    return Rest(seat.owner, along, float(across.length), _height_m(walk.scene, seat), (float(bx), float(by)))


def _seats(scene: Scene) -> tuple[Solid, ...]:
    """Return the solids of a scene that can be sat on."""
    return _SEATS.get((scene.solids, scene.ground), None, lambda: tuple(_sat_on(scene)))


def _sat_on(scene: Scene) -> Iterator[Solid]:
    low, high = TRY_M
    for solid in scene.solids:
        whole = isinstance(solid.form, Prism) and not (solid.grown or solid.reluctant or solid.gap_m)
        if not whole or max(solid.transmittance) > 0.0 or not low <= _height_m(scene, solid) <= high:
            continue  # nobody sits on glass, a net or a plant
        deep = shapely.buffer(solid.footprint, -(DEEP_M / 2 - 1e-4), join_style="mitre")
        if not deep.is_empty and solid.footprint.area >= DEEP_M * WIDE_M - 1e-6:
            yield solid


def _height_m(scene: Scene, solid: Solid) -> float:
    if solid.top.datum == "ground":
        return float(solid.top.value_m)
    middle = solid.footprint.representative_point()
    return float(solid.top.above_ground_m(float(scene.ground.height(middle.x, middle.y))))


def longest_without(way: Way, found: Sequence[Rest], *, back: bool) -> Stretch:
    """Return the longest piece of a way without anything to sit on that serves well.

    Both ends count as places to rest, but with ``back`` whoever has come to the far end turns round there: the piece from
    the last seat to that end is then walked twice on end, unless there is a seat at the end itself.
    """
    fit = [r for r in found if r.fit == "well"]
    marks = [(0.0, ""), *((r.along_m, r.owner) for r in fit), (way.length_m, "")]
    pieces = [Stretch(a, b, x, y, b - a) for (a, x), (b, y) in pairwise(marks)]
    if back:
        last = pieces[-1]
        pieces[-1] = Stretch(last.start_m, last.end_m, last.after, last.before, 2 * last.length_m)
    return max(pieces, key=lambda p: p.length_m)


_SEATS: Kept[tuple[Solid, ...]] = Kept(64)
