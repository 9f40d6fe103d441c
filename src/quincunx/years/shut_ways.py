"""Which job shuts the way to which: what feet find on the ground, as the order of works takes it."""

from __future__ import annotations

from collections import OrderedDict

from quincunx.garden import Garden
from quincunx.garden.through_time import timeline
from quincunx.intents import Words
from quincunx.scene import Timeline
from quincunx.units.dates import month_from_index
from quincunx.walk.places import OUTSIDE
from quincunx.walk.shut_ways import ShutWay, shut_ways
from quincunx.years.problem import Shut

REACHES = ("barrow", "machine")
"""What a job may say has to get there, and the walkers of those names."""
_MOST = 32
_KEPT: OrderedDict[tuple[object, ...], tuple[ShutWay, ...]] = OrderedDict()


def shuts_of(garden: Garden, through: Timeline) -> dict[str, tuple[Shut, ...]]:
    """Return, by job, the jobs to whose works it shuts the way, kept by all that decides it.

    Loads come from where a must about works has them come from, else from outside.  A job that must come after all
    that shut its way is left out: the person has said so, and there is no order that helps.  So are jobs all of which
    have their month already.
    """
    before = _before(garden)
    settled = {j.id for j in garden.jobs if j.booked} | {e.about for e in garden.journal if e.what == "done"}
    out: dict[str, list[Shut]] = {}
    for way in _found(garden, through):
        closers = {way.closer, way.beside} - {""}
        if not closers <= before[way.closed] and not {*closers, way.closed} <= settled:
            out.setdefault(way.closer, []).append(Shut(way.closed, beside=way.beside or None))
    return {job: tuple(shuts) for job, shuts in out.items()}


def _found(garden: Garden, through: Timeline) -> tuple[ShutWay, ...]:
    start = next((p for must in garden.intents if (p := must.loads_from()) is not None and not must.muted), OUTSIDE)
    if not any(j.reach in REACHES for j in garden.jobs):
        return ()
    if any(j.start is None for j in garden.jobs):  # what has no month yet stands nowhere: let all begin at once
        first = month_from_index(garden.means.first_year * 12)
        through = timeline(
            garden.model_copy(update={"jobs": tuple(j.model_copy(update={"start": first}) for j in garden.jobs)})
        )
    words = Words.of(through, walkers={w.id: w for w in garden.walkers})
    who = {r: walker for r in REACHES if (walker := words.walker(r)) is not None}
    works = tuple((j.id, j.reach, j.does, j.drop, j.place, j.working_room) for j in garden.jobs)
    key = (through.at(through.leaf_date(through.years[-1])).key, tuple(who.items()), start, repr(works))
    if key not in _KEPT:
        _KEPT[key] = shut_ways(through, who, start)
        while len(_KEPT) > _MOST:
            _KEPT.popitem(last=False)
    _KEPT.move_to_end(key)
    return _KEPT[key]


def _before(garden: Garden) -> dict[str, set[str]]:
    """Return, by job, all jobs it must come after, directly or not."""
    direct = {j.id: {a.job for a in j.after} for j in garden.jobs}
    out: dict[str, set[str]] = {}
    for job, after in direct.items():
        seen: set[str] = set()
        todo = list(after)
        while todo:
            one = todo.pop()
            if one not in seen:
                seen.add(one)
                todo += direct.get(one, set())
        out[job] = seen
    return out
