"""Works access: can the barrow or the machine get from the road to each thing a job makes, in the job's month?

Asked of the garden as it stands when the job begins: what earlier jobs built and planted is there, what this one makes
is not.  Where the way is shut, each earlier job is let off in turn: the one without whose things the way would be open
shut it, and doing this job first would keep it open.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely
from shapely import LineString, Point
from shapely.geometry.base import BaseGeometry

from quincunx.scene import Scene, Stood, Timeline
from quincunx.shapes import united
from quincunx.units.dates import first_day, month_from_index, month_index
from quincunx.walk._kept import Kept
from quincunx.walk.going import walking_seconds
from quincunx.walk.ground import SLACK_M, FreeGround, ground_of
from quincunx.walk.places import Place, pieces_reached, place_of
from quincunx.walk.reach import walk_of
from quincunx.walk.walkers import Walker
from quincunx.walk.ways import EDGE_M, Way, shortest_way
from quincunx.works import Job

State = Literal["open", "shut", "never", "no-turning", "no-heap", "tight", "no-place"]
"""Open; shut by an earlier job; no way even without earlier jobs; no room to turn, for the heap, to work; nowhere."""

WORST: tuple[State, ...] = ("never", "shut", "no-turning", "no-heap", "tight", "no-place", "open")
NEAR_M = 8.0
"""How far from the work a machine may turn and materials may lie (common practice, no source) [m]."""
HALF = 0.5
"""Where more of the working room than this share is built on, there is no room to work."""


@dataclass(frozen=True, slots=True)
class Closer:
    """An earlier job without whose things the way would be open: its id, its things, and the month it is done in."""

    job: str
    owners: tuple[str, ...]
    done: int


@dataclass(frozen=True)
class Bringing:
    """How things get to one job: in which ``month`` (since year 0), by whom, from where, to what, how, and what shut the way.

    ``seconds`` is how long one load takes there.
    """

    job: str
    month: int
    walker: Walker
    state: State
    target: str = ""
    way: Way | None = None
    closers: tuple[Closer, ...] = ()
    seconds: float = 0.0
    scene: Scene | None = None
    start: str = ""


def bringings(
    timeline: Timeline, walkers: Mapping[str, Walker], start: str, jobs: Iterable[Job] | None = None
) -> tuple[Bringing, ...]:
    """Return how things get from ``start`` to each planned job that needs one of ``walkers`` (by the job's ``reach``)."""
    out = []
    for job in timeline.jobs if jobs is None else jobs:
        who = walkers.get(job.reach)
        if who is not None and timeline.first_month(job) is not None:
            out.append(bringing(timeline, job, who, job.comes_from or start))
    return tuple(sorted(out, key=lambda b: (b.month, b.job)))


def bringing(timeline: Timeline, job: Job, who: Walker, start: str) -> Bringing:
    """Return how things get from ``start`` to a planned job with ``who``, in the month it begins."""
    month = begins_in(timeline, job)
    scene = timeline.at(first_day(month_from_index(month)))
    targets = places_of(timeline, job)
    if not targets:
        return Bringing(job.id, month, who, "no-place", scene=scene, start=start)
    found: list[Bringing] = []
    for target in targets:
        found.append(_to(timeline, scene, job, who, start, target))
        if found[-1].state in ("shut", "never"):
            return found[-1]
    return min(found, key=lambda b: (WORST.index(b.state), -(b.way.length_m if b.way else 0.0)))


def begins_in(timeline: Timeline, job: Job) -> int:
    """Return the month (from January of year 0) in which a job begins or was begun; a far one if nothing says."""
    first = timeline.first_month(job)
    return month_index("2000-01") if first is None else first


def places_of(timeline: Timeline, job: Job) -> tuple[tuple[str, BaseGeometry], ...]:
    """Return where a job's things go: (owner, ground it will take [m]); its own drop place or place if it has one."""
    if job.drop is not None:
        return (("", Point(float(job.drop[0]), float(job.drop[1]))),)
    if job.place is not None:
        return (("", Point(float(job.place[0]), float(job.place[1]))),)
    done = timeline.last_month(job)
    if done is None:
        return ()
    on = first_day(month_from_index(done + 1))
    out: dict[str, BaseGeometry] = {}
    for name in dict.fromkeys(t.partition("/")[0] for t in job.does):
        feature = timeline.feature(name)
        shape = None if feature is None else _ground(timeline.stood(feature, on))
        if shape is not None:
            out[name] = shape
    return tuple(out.items())


def _ground(stood: Stood) -> BaseGeometry | None:
    """Return the ground that a thing takes [m]: the same object as long as it stands the same."""
    return _GROUND.get((stood,), None, lambda: _covered(stood))


def _covered(stood: Stood) -> BaseGeometry | None:
    shapes = [s.footprint for s in stood.solids] + [s.area for s in stood.surfaces]
    shapes += [o.clear for o in stood.openings] + [Point(at) for p in stood.plants for at in p.at]
    return united(shapes) if shapes else None


def _to(
    timeline: Timeline, scene: Scene, job: Job, who: Walker, start: str, target: tuple[str, BaseGeometry]
) -> Bringing:
    walk = walk_of(scene, who, polite=True)
    free, month = walk.free, begins_in(timeline, job)
    origin, zone = place_of(scene, start), zone_of_work(job, who, target[1])
    if origin is None:
        return Bringing(job.id, month, who, "no-place", target[0], scene=scene, start=start)
    shared = pieces_reached(free, origin, who) & free.pieces_at(zone)
    if not shared:
        closers = _closers(timeline, scene, job, who, start, zone)
        return Bringing(job.id, month, who, "shut" if closers else "never", target[0], None, closers, 0.0, scene, start)
    end = stand_at(free, shared, target[1], zone, origin)
    way = None if end is None else shortest_way(free, who, origin, spot_at(end), shared)
    took = 0.0 if way is None else walking_seconds(scene, who, way, scene.on.month)
    state = _room(scene, free, job, who, (shared, zone, target[1]))
    return Bringing(job.id, month, who, state, target[0], way, (), took, scene, start)


def zone_of_work(job: Job, who: Walker, shape: BaseGeometry) -> BaseGeometry:
    """Return where the middle of the walker is near enough to the work [m]."""
    far = max(job.working_room, float(who.reach)) + who.radius_m
    return _WORK.get((shape,), far, lambda: shapely.buffer(shape, far))


def stand_at(
    free: FreeGround, pieces: frozenset[int], shape: BaseGeometry, zone: BaseGeometry, start: Place
) -> Point | None:
    """Return where in ``zone`` the walker stands as near to the work as may be, on some pieces of its ground.

    All along an edge one may stand as near: of those places it is the one nearest to ``start``.  None if nowhere.
    """
    near = [
        p
        for part, home in zip(free.stand, free.stand_piece, strict=True)
        if int(home) in pieces and not (p := shapely.intersection(part, zone)).is_empty
    ]
    if not near:
        return None
    least = min(shapely.distance(near, shape))
    close = shapely.intersection(shapely.union_all(near), shapely.buffer(shape, float(least) + EDGE_M))
    return Point(shapely.shortest_line(Point(start.at), close).coords[-1])


def spot_at(at: Point) -> Place:
    """Return a point as a place to stand [m]."""
    return Place("", "spot", at)


def _room(
    scene: Scene,
    free: FreeGround,
    job: Job,
    who: Walker,
    where: tuple[frozenset[int], BaseGeometry, BaseGeometry],
) -> State:
    """Return whether there is room to turn, for the heap and to work, where the way is open."""
    pieces, _, shape = where
    near = _NEAR.get((shape, scene.boundary), None, lambda: _round_about(shape, scene.boundary))
    if who.turning is not None and not _fits(free, float(who.turning), near, pieces):
        return "no-turning"
    if job.heap_m2 > 0 and not _fits(free, 2 * float(np.sqrt(job.heap_m2 / np.pi)), near, pieces):
        return "no-heap"
    ring = shapely.difference(shapely.buffer(shape, job.working_room), shape)
    if ring.area < 1e-9:
        return "open"
    built = [b.shape for b in free.found if b.what == "solid" and b.shape.intersects(ring)]
    taken = shapely.intersection(ring, shapely.union_all(built)).area if built else 0.0
    return "tight" if taken > HALF * ring.area else "open"


def _round_about(shape: BaseGeometry, boundary: BaseGeometry) -> BaseGeometry:
    """Return the ground near the work, inside the boundary [m]."""
    return shapely.intersection(shapely.buffer(shape, NEAR_M), boundary)


def _fits(free: FreeGround, width_m: float, near: BaseGeometry, pieces: frozenset[int]) -> bool:
    """Return whether a circle of a width fits ``near`` the work, on some pieces of the walker's ground."""
    return width_m <= free.width_m or any(n in pieces for n in free.pieces_in(near, width_m))


def _closers(
    timeline: Timeline, scene: Scene, job: Job, who: Walker, start: str, zone: BaseGeometry
) -> tuple[Closer, ...]:
    """Return the earlier jobs that shut the way: those each of which alone did, else all that the way would cross."""
    found = crossed(timeline, scene, job, who, start, zone)
    if found is None or len(found.met) < 2:
        return () if found is None else found.met
    alone = [n for n, c in zip(found.met, found.whole, strict=True) if without(scene, who, start, zone, c.owners)[1]]
    return tuple(sorted(alone or found.met, key=lambda c: (-c.done, c.job)))


@dataclass(frozen=True, slots=True)
class Crossed:
    """The way there would be if no earlier job had been done, and the jobs whose things it crosses.

    ``met`` holds of each job the things the way meets, ``whole`` all of its things that stand.
    """

    way: Way
    met: tuple[Closer, ...]
    whole: tuple[Closer, ...]


def crossed(timeline: Timeline, scene: Scene, job: Job, who: Walker, start: str, zone: BaseGeometry) -> Crossed | None:
    """Return the shortest way there would be if no earlier job had been done; None if even then there is none."""
    earlier = [
        c for c in (_things(timeline, other, scene) for other in timeline.jobs if other.id != job.id) if c.owners
    ]
    found = walk_of(scene, who, polite=True).free.found
    gone = {o for c in earlier for o in c.owners}
    free, shared = without(scene, who, start, zone, gone)
    origin = place_of(scene, start)
    if not shared or origin is None:
        return None
    end = stand_at(free, shared, zone.centroid, zone, origin)
    way = None if end is None else shortest_way(free, who, origin, spot_at(end), shared)
    if way is None or len(way.points) < 2:
        return None
    body = LineString(way.points).buffer(who.radius_m - 2 * SLACK_M)
    met = {b.owner for b in found if b.owner in gone and b.shape.intersects(body)}
    whole = tuple(c for c in earlier if met & set(c.owners))
    return Crossed(way, tuple(Closer(c.job, tuple(o for o in c.owners if o in met), c.done) for c in whole), whole)


def _things(timeline: Timeline, job: Job, scene: Scene) -> Closer:
    """Return what of a job stands on the scene's date."""
    done = timeline.last_month(job)
    owners = tuple(dict.fromkeys(t.partition("/")[0] for t in job.does if scene.stands(t.partition("/")[0])))
    return Closer(job.id, () if done is None else owners, -1 if done is None else done)


def without(
    scene: Scene, who: Walker, start: str, zone: BaseGeometry, owners: Collection[str]
) -> tuple[FreeGround, frozenset[int]]:
    """Return the ground there would be without some things, and its pieces by which the walker would get there."""
    free, origin = _ground_without(scene, who, frozenset(owners)), place_of(scene, start)
    if origin is None:
        return free, frozenset()
    return free, pieces_reached(free, origin, who) & free.pieces_at(zone)


def _ground_without(scene: Scene, who: Walker, owners: frozenset[str]) -> FreeGround:
    """Return the ground there would be without some things, from that in the scene this one was changed from."""
    left = tuple(b for b in walk_of(scene, who, polite=True).free.found if b.owner not in owners)
    like = None if scene.before is None else _ground_without(scene.before, who, owners)
    return ground_of(scene.world, left, float(who.body_width), like)


_GROUND: Kept[BaseGeometry | None] = Kept(512)
_WORK: Kept[BaseGeometry] = Kept(512)
_NEAR: Kept[BaseGeometry] = Kept(256)
