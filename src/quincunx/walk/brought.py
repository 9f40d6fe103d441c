"""Whether it surely is said as before how things get to a job, when something else has moved.

Only of a way that an earlier job has shut: what is out of reach where less stands stays out of reach, and what was
reached by a way that keeps clear of all that has come is reached still.
"""

from __future__ import annotations

from collections.abc import Collection

from shapely import LineString
from shapely.geometry.base import BaseGeometry

from quincunx.scene import Scene, Timeline
from quincunx.scene._kept import Kept
from quincunx.scene.difference import Difference, difference
from quincunx.units.dates import first_day, month_from_index
from quincunx.walk.access import (
    Bringing,
    Crossed,
    begins_in,
    bringing,
    crossed,
    places_of,
    spot_at,
    stand_at,
    without,
    zone_of_work,
)
from quincunx.walk.places import place_of
from quincunx.walk.untouched import CLEAR_M, keeps_off
from quincunx.walk.walkers import Walker
from quincunx.walk.ways import shortest_way
from quincunx.works import Job


def brought_as_before(was: Timeline, now: Timeline, job: Job, who: Walker, start: str) -> bool:
    """Return whether :func:`~quincunx.walk.access.bringing` surely says the same of a job now as it did."""
    made = {t.partition("/")[0] for other in was.jobs for t in other.does}
    if any(was.feature(name) is not now.feature(name) for name in made):
        return False
    on = first_day(month_from_index(begins_in(was, job)))
    if was.at(on).key == now.at(on).key:
        return True
    found = difference(was.at(on), now.at(on))
    if found.owners & made or not keeps_off(found, who, start):
        return False
    known = _KNOWN.get((was, job, who), start, lambda: bringing(was, job, who, start))
    if known.state != "shut":
        return False
    zones = {name: zone_of_work(job, who, shape) for name, shape in places_of(was, job)}
    before = list(zones)[: list(zones).index(known.target)]
    ask = _Asked(found, job, who, start)
    return all(ask.reached_still(name, zones[name], ()) for name in before) and ask.shut_still(was, known, zones)


class _Asked:
    """A difference, and who is to bring things where for which job."""

    def __init__(self, found: Difference, job: Job, who: Walker, start: str) -> None:
        self.found, self.job, self.who, self.start = found, job, who, start

    def reached_still(self, name: str, zone: BaseGeometry, owners: Collection[str]) -> bool:
        """Return whether it was reached without some things, and surely is."""
        line = self._line(name, zone, frozenset(owners))
        return line is not None and self.found.apart(line, self.who.radius_m + CLEAR_M, come=True)

    def never_reached(self, name: str, zone: BaseGeometry, owners: Collection[str]) -> bool:
        """Return whether it surely isn't reached without some things, in neither scene."""
        key = (self.start, self.job.id, name, frozenset(owners))
        rest, who = self.found.rest, self.who
        return not _REACHED.get((rest, who), key, lambda: bool(without(rest, who, self.start, zone, owners)[1]))

    def shut_still(self, was: Timeline, known: Bringing, zones: dict[str, BaseGeometry]) -> bool:
        """Return whether the same earlier jobs surely shut the way."""
        name, zone = known.target, zones[known.target]
        if not self.never_reached(name, zone, ()):
            return False
        old, bare = (self._crossed(was, scene, name, zone) for scene in (self.found.was, self.found.rest))
        if old is None or bare is None or (old.way.points, old.met) != (bare.way.points, bare.met):
            return False
        if not self.found.apart(LineString(old.way.points), self.who.radius_m + CLEAR_M):
            return False
        return len(old.whole) < 2 or all(
            self.never_reached(name, zone, c.owners) or self.reached_still(name, zone, c.owners) for c in old.whole
        )

    def _crossed(self, was: Timeline, scene: Scene, name: str, zone: BaseGeometry) -> Crossed | None:
        key = (self.start, self.job.id, name)
        return _CROSSED.get((scene, self.who), key, lambda: crossed(was, scene, self.job, self.who, self.start, zone))

    def _line(self, name: str, zone: BaseGeometry, owners: frozenset[str]) -> LineString | None:
        key = (self.start, self.job.id, name, owners)
        return _LINES.get((self.found.was, self.who), key, lambda: self._way(zone, owners))

    def _way(self, zone: BaseGeometry, owners: frozenset[str]) -> LineString | None:
        scene, who = self.found.was, self.who
        free, shared = without(scene, who, self.start, zone, owners)
        origin = place_of(scene, self.start)
        end = None if origin is None or not shared else stand_at(free, shared, zone.centroid, zone, origin)
        way = None if origin is None or end is None else shortest_way(free, who, origin, spot_at(end), shared)
        return None if way is None or len(way.points) < 2 else LineString(way.points)


_KNOWN: Kept[Bringing] = Kept(64)
_CROSSED: Kept[Crossed | None] = Kept(256)
_REACHED: Kept[bool] = Kept(512)
_LINES: Kept[LineString | None] = Kept(256)
