"""Where feet will go: which ways are walked how often, where people leave the path, and what that does to the ground."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby

import shapely
from shapely import LineString

from quincunx.scene import Scene
from quincunx.shapes import XY
from quincunx.walk.eased import Easy
from quincunx.walk.going import Stretch, going
from quincunx.walk.reach import walk_of
from quincunx.walk.trips import Trip
from quincunx.walk.walkers import Walker
from quincunx.walk.ways import Way

SEEN_PASSES = 250.0
"""Walked over so often a year a line shows in grass (common practice, no source)."""
BARE_PASSES = 1000.0
"""Walked over so often a year grass goes and the ground is mud in winter (common practice, no source)."""
SHORT_M = 0.8
"""A piece off the path shorter than this is a stride, no line [m]."""
WALLED_M = 0.3
"""What stands so near beside a path narrows it [m]."""
SHY_M = 0.1524
"""Room more beside a wall, for people on foot: half a foot (T. Litman, 2009, planetizen.com/node/41262) [m]."""
ALONG_M = 0.6
"""Lines so near each other are one [m]."""


@dataclass(frozen=True)
class Trodden:
    """A piece of a way on ground that is not made: its ``line``, how often a year, by whom, on which trips.

    ``leaves_path`` is true where a path is left and met again, so that a corner is cut.
    """

    line: tuple[XY, ...]
    passes: float
    walkers: tuple[str, ...]
    trips: tuple[str, ...]
    leaves_path: bool
    owners: tuple[str, ...]

    @property
    def length_m(self) -> float:
        """Return its length [m]."""
        return sum(math.dist(a, b) for a, b in zip(self.line, self.line[1:], strict=False))

    @property
    def state(self) -> str:
        """Return what becomes of it: ``bare``, ``seen`` or ``hardly``."""
        return "bare" if self.passes >= BARE_PASSES else "seen" if self.passes >= SEEN_PASSES else "hardly"


@dataclass(frozen=True)
class Feet:
    """Where feet go on a date: the way of each trip (None where there is none) and the lines trodden off the paths."""

    ways: tuple[tuple[Trip, Way | None], ...]
    trodden: tuple[Trodden, ...]


def feet(scene: Scene, trips: Iterable[Trip], find: Callable[[str], Walker | None]) -> Feet:
    """Return where the trips go and what they tread, those trodden most first."""
    wanted = sorted(trips, key=lambda t: t.id)
    ways: list[tuple[Trip, Way | None]] = []
    pieces: list[Trodden] = []
    for name, some in groupby(sorted(wanted, key=lambda t: (t.walker, t.id)), key=lambda t: t.walker):
        who, group = find(name), list(some)
        if who is None:
            ways += [(t, None) for t in group]
            continue
        found = Easy(walk_of(scene, who, polite=True)).ways([(t.start, t.end) for t in group])
        for trip, way in zip(group, found, strict=True):
            ways.append((trip, way))
            pieces += [] if way is None else off_path(scene, trip, way)
    joined = _together(pieces)
    return Feet(
        tuple(sorted(ways, key=lambda w: w[0].id)),
        tuple(sorted(joined, key=lambda p: (-round(p.passes * p.length_m, 3), p.line))),
    )


def off_path(scene: Scene, trip: Trip, way: Way) -> list[Trodden]:
    """Return the pieces of a trip's way on ground that is not made."""
    stretches = going(scene, way).stretches
    out: list[Trodden] = []
    at = 0
    for made, run in groupby(stretches, key=lambda s: s.made):
        piece: Sequence[Stretch] = list(run)
        first, at = at, at + len(piece)
        line = () if made else _within(scene, (piece[0].start, *(s.end for s in piece)))
        if len(line) < 2 or LineString(line).length < SHORT_M:
            continue
        owners = tuple(dict.fromkeys(s.owner for s in piece if s.owner))
        leaves = first > 0 and at < len(stretches)
        out.append(Trodden(line, trip.passes_a_year, (trip.walker,), (trip.id,), leaves, owners))
    return out


def _within(scene: Scene, line: Sequence[XY]) -> tuple[XY, ...]:
    """Return the longest part of a line inside the boundary: what is trodden outside is nobody's here."""
    own = shapely.get_parts(shapely.intersection(LineString(line), scene.boundary))
    parts = [p for p in own if isinstance(p, LineString)]
    longest = max(parts, key=lambda p: (round(p.length, 6), p.bounds), default=LineString())
    return tuple((x, y) for x, y in longest.coords)


def _together(pieces: Sequence[Trodden]) -> list[Trodden]:
    """Return the pieces with those that lie along each other taken as one, which is walked as often as both."""
    out: list[Trodden] = []
    for piece in sorted(pieces, key=lambda p: (-p.length_m, p.line)):
        line = LineString(piece.line)
        for k, other in enumerate(out):
            if LineString(other.line).buffer(ALONG_M).covers(line) and piece.length_m > other.length_m / 2:
                out[k] = Trodden(
                    other.line, other.passes + piece.passes,
                    tuple(dict.fromkeys((*other.walkers, *piece.walkers))), tuple(dict.fromkeys((*other.trips, *piece.trips))),
                    other.leaves_path or piece.leaves_path, tuple(dict.fromkeys((*other.owners, *piece.owners))),
                )  # fmt: skip
                break
        else:
            out.append(piece)
    return out


def width_for(scene: Scene, line: Sequence[XY], walkers: Iterable[Walker]) -> float:
    """Return how wide a path along ``line`` had best be for these walkers [m].

    The widest of what each walks with ease on (W14 to W17 in ``tests/published/walking``), and half a foot more on each
    side on which something stands close.
    """
    wide = max((float(w.easy_width) for w in walkers), default=0.6)
    if len(line) < 2:
        return wide
    course = LineString(line)
    upright = [s.footprint for s in scene.solids if s.top.value_m > WALLED_M and s.base.value_m < WALLED_M]
    close = shapely.union_all(upright) if upright else None
    if close is None or close.is_empty:
        return wide
    sides = (
        course.buffer(wide / 2 + WALLED_M, single_sided=True),
        course.buffer(-(wide / 2 + WALLED_M), single_sided=True),
    )
    return wide + SHY_M * sum(1 for side in sides if side.intersects(close))
