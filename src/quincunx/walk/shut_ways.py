"""Which job, once its things stand, shuts the way to which other's works: what an order of works must not get wrong.

Asked of the ground as it is before any job, and of the same with the grown things of one other job on it.  What two jobs
shut only together is not found here; each job is still looked at in its month by :mod:`quincunx.walk.access`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
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
    """The job whose things shut a way, the one whose works lie behind, and which of its things those are."""

    closer: str
    closed: str
    target: str


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
    return tuple(sorted(out, key=lambda s: (s.closed, s.closer, s.target)))


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
        for target, shape in places_of(timeline, job):
            zone = zone_of_work(job, who, shape)
            corridor = _corridor(free, who, origin, shape, zone)
            if corridor is None:
                continue
            for other, barriers in own.items():
                if other != job.id and _met(barriers, corridor) and not _left(free, bare, barriers, who, origin, zone):
                    out.append(ShutWay(other, job.id, target))
    return list({(s.closer, s.closed): s for s in reversed(out)}.values())


def _corridor(
    free: FreeGround, who: Walker, origin: Place, shape: BaseGeometry, zone: BaseGeometry
) -> BaseGeometry | None:
    """Return the ground a load covers on its shortest way while nothing else stands [m]; None if there is no way."""
    shared = pieces_reached(free, origin, who) & free.pieces_at(zone)
    end = stand_at(free, shared, shape, zone) if shared else None
    way = None if end is None else shortest_way(free, who, origin, Place("", "spot", end), shared)
    if way is None:
        return None
    line = LineString(way.points) if len(way.points) > 1 else shapely.Point(way.points[0])
    return shapely.buffer(line, who.radius_m - 2 * SLACK_M)


def _met(barriers: Sequence[Barrier], corridor: BaseGeometry) -> bool:
    shapes: list[Polygon] = [b.shape for b in barriers]
    return bool(shapely.intersects(np.array(shapes, dtype=object), corridor).any())


def _left(
    free: FreeGround,
    bare: tuple[Barrier, ...],
    barriers: tuple[Barrier, ...],
    who: Walker,
    origin: Place,
    zone: BaseGeometry,
) -> bool:
    """Return whether some way is left once some barriers stand."""
    then = ground_of(free.world, (*bare, *barriers), free.width_m, free)
    return bool(pieces_reached(then, origin, who) & then.pieces_at(zone))
