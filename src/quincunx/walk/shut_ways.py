"""Which job, once its things stand, shuts the way to which other's works: what an order of works must not get wrong.

Asked of the ground as it is before any job, of the same with the grown things of one other job on it, and of two: a way
that two jobs shut only together must lead past both, so the second stands on the way that is left once the first is there.
What three jobs shut only together is not found here; each job is still looked at in its month by
:mod:`quincunx.walk.access`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from quincunx.scene import Scene, Timeline
from quincunx.walk.access import places_of, stand_at, zone_of_work
from quincunx.walk.barriers import Barrier
from quincunx.walk.ground import SLACK_M, FreeGround, ground_of
from quincunx.walk.places import Place, pieces_reached, place_of
from quincunx.walk.reach import walk_of
from quincunx.walk.walkers import Walker
from quincunx.walk.ways import shortest_way
from quincunx.works import Job


@dataclass(frozen=True, slots=True)
class ShutWay:
    """The job whose things shut a way, the one whose works lie behind, and which of its things those are.

    ``beside`` is another job without whose things the way would still be open; "" if ``closer`` shuts it alone.
    """

    closer: str
    closed: str
    target: str
    beside: str = ""


def shut_ways(timeline: Timeline, walkers: Mapping[str, Walker], start: str) -> tuple[ShutWay, ...]:
    """Return which jobs shut the way from ``start`` to which others' works, for jobs that need one of ``walkers``.

    Every job of ``timeline`` has its month; it is looked at in its last summer, when all stands and has grown.  A job to
    which there is no way even before any other is left out.
    """
    scene = timeline.at(timeline.leaf_date(timeline.years[-1]))
    made = {j.id: frozenset(t.partition("/")[0] for t in j.does) for j in timeline.jobs}
    out: list[ShutWay] = []
    for reach, who in walkers.items():
        jobs = [j for j in timeline.jobs if j.reach == reach]
        origin = place_of(scene, start)
        if jobs and origin is not None:
            out += _for_walker(timeline, scene, who, origin, jobs, made)
    return tuple(sorted(out, key=lambda s: (s.closed, s.closer, s.beside, s.target)))


def _for_walker(
    timeline: Timeline,
    scene: Scene,
    who: Walker,
    origin: Place,
    jobs: Sequence[Job],
    made: Mapping[str, frozenset[str]],
) -> list[ShutWay]:
    found = walk_of(scene, who, polite=True).free.found
    later = frozenset().union(*made.values())
    bare = tuple(b for b in found if b.owner not in later)
    free = ground_of(scene.world, bare, float(who.body_width))
    own = {job: tuple(b for b in found if b.owner in owners) for job, owners in made.items()}
    own = {job: barriers for job, barriers in own.items() if barriers}
    out = []
    for job in jobs:
        others = {name: barriers for name, barriers in own.items() if name != job.id}
        for target, shape in places_of(timeline, job):
            way = _Way(free, bare, who, origin, shape, zone_of_work(job, who, shape))
            out += [ShutWay(closer, job.id, target, beside) for closer, beside in way.closers(others)]
    return list({(s.closer, s.closed, s.beside): s for s in reversed(out)}.values())


@dataclass(frozen=True)
class _Way:
    """The way of a load to one work: the ground, what stands on it before any job, who walks, from where, to where."""

    free: FreeGround
    bare: tuple[Barrier, ...]
    who: Walker
    origin: Place
    shape: BaseGeometry
    zone: BaseGeometry

    def closers(self, others: Mapping[str, tuple[Barrier, ...]]) -> Iterator[tuple[str, str]]:
        """Yield each job that shuts it alone, with "", then each two that do so only together."""
        corridor = _corridor(self.free, self.who, self.origin, self.shape, self.zone)
        if corridor is None:
            return
        met = [name for name, barriers in others.items() if _met(barriers, corridor)]
        alone = {name for name in met if not self._left(self._ground(others[name]))}
        yield from ((name, "") for name in met if name in alone)
        seen: set[frozenset[str]] = set()
        for name in met:
            if name in alone:
                continue
            then = self._ground(others[name])
            round_it = _corridor(then, self.who, self.origin, self.shape, self.zone)
            for beside, barriers in others.items():
                pair = frozenset((name, beside))
                if (
                    beside in alone
                    or len(pair) == 1
                    or pair in seen
                    or round_it is None
                    or not _met(barriers, round_it)
                ):
                    continue
                seen.add(pair)
                if not self._left(self._ground((*others[name], *barriers), then)):
                    yield min(name, beside), max(name, beside)

    def _ground(self, barriers: tuple[Barrier, ...], like: FreeGround | None = None) -> FreeGround:
        return ground_of(self.free.world, (*self.bare, *barriers), self.free.width_m, like or self.free)

    def _left(self, then: FreeGround) -> bool:
        """Return whether some way is left on the ground as it is then."""
        return bool(pieces_reached(then, self.origin, self.who) & then.pieces_at(self.zone))


def _corridor(
    free: FreeGround, who: Walker, origin: Place, shape: BaseGeometry, zone: BaseGeometry
) -> BaseGeometry | None:
    """Return the ground a load covers on its shortest way while nothing else stands [m]; None if there is no way."""
    shared = pieces_reached(free, origin, who) & free.pieces_at(zone)
    end = stand_at(free, shared, shape, zone, origin) if shared else None
    way = None if end is None else shortest_way(free, who, origin, Place("", "spot", end), shared)
    if way is None:
        return None
    line = LineString(way.points) if len(way.points) > 1 else shapely.Point(way.points[0])
    return shapely.buffer(line, who.radius_m - 2 * SLACK_M)


def _met(barriers: Sequence[Barrier], corridor: BaseGeometry) -> bool:
    shapes: list[Polygon] = [b.shape for b in barriers]
    return bool(shapely.intersects(np.array(shapes, dtype=object), corridor).any())
