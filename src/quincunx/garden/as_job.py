"""Make a job of what was drawn: a name, a month, and the hours and money its parts come to."""

from __future__ import annotations

from collections.abc import Sequence, Set as AbstractSet
from typing import Any

from quincunx.features import Feature
from quincunx.garden.costing import costed, take_edit
from quincunx.garden.document import Garden
from quincunx.garden.edits import Edit, Op, apply, free_id
from quincunx.garden.through_time import timeline
from quincunx.units import capital, month_from_index, month_index
from quincunx.works import Course, Job, courses

FIRST_MONTH, FIRST_MONTH_SOUTH = 3, 9
"""March, south of the equator September: bare roots still sleep and the ground can be dug (common practice, no source)."""
START = "start"
OPENINGS = "openings"
IN_WALL_M = 0.3
"""So near to the line of a wall an opening stands in it [m] (our own choice: half a thick wall)."""
MOST_NAMED = 2
MOST_MONTHS = 24
ROUNDING_H = 0.05


def without_job(garden: Garden) -> tuple[Feature, ...]:
    """Return what is drawn to come and that no job makes."""
    made = {target.partition("/")[0] for job in garden.jobs for target in job.does}
    return tuple(f for f in garden.features if f.there_from != START and f.id not in made)


def as_job(garden: Garden, ids: Sequence[str]) -> Edit | None:
    """Return the edit that makes one job of the things ``ids`` that have none yet; None if there is none such.

    It begins in the month from which the first of them was to be there, else early in the first year's spring; hours and
    money are those worked out, where its parts have a price.
    """
    things = [f for f in without_job(garden) if f.id in set(ids)]
    if not things:
        return None
    months = sorted(str(f.there_from) for f in things if f.there_from)
    waits = _waits_for(garden, things)
    goes = courses(garden.means, garden.jobs, garden.journal)
    job: dict[str, Any] = {
        "id": free_id(f"put-in-{things[0].id}"[:60], {j.id for j in garden.jobs}),
        "name": _name(things, {j.name for j in garden.jobs}),
        "does": [f.id for f in things],
        "start": max([months[0] if months else _spring(garden), *(m for j in waits for m in _following(goes[j.id]))]),
    }
    if waits:
        job["after"] = [{"job": j.id} for j in waits]
    freed = tuple(Op(do="change", part="features", id=f.id, value={"there_from": None}) for f in things if f.there_from)
    edit = Edit(
        label=f"Make a job: {job['name']}", ops=(*freed, Op(do="put", part="jobs", id=str(job["id"]), value=job))
    )
    then, _ = apply(garden, edit)
    made = next(j for j in then.jobs if j.id == job["id"])
    worked_out: dict[str, Any] = {}
    for found in costed(then, timeline(then), (made,)):
        worked_out |= next(op.value for op in take_edit(found).ops if isinstance(op.value, dict))
    worked_out["months"] = months_for(garden, str(job["start"]), float(worked_out.get("hours", 0.0)))
    return edit.model_copy(
        update={"ops": (*freed, Op(do="put", part="jobs", id=str(job["id"]), value={**job, **worked_out}))}
    )


def _following(goes: Course) -> list[str]:
    """Return the month after a job's last; nothing where nothing says when that is."""
    return [] if goes.end is None else [month_from_index(goes.end)]


def _waits_for(garden: Garden, things: Sequence[Feature]) -> tuple[Job, ...]:
    """Return the jobs that build what an opening among ``things`` stands in: a gate hangs in a fence that is there."""
    import shapely

    spots = [shapely.Point(f.at) for f in things if f.group == OPENINGS and hasattr(f, "at")]
    if not spots:
        return ()
    lines = {
        f.id: [shapely.LineString(points) for points in f.lines().values() if len(points) > 1] for f in garden.features
    }
    built = {j.id: [line for target in j.does for line in lines.get(target.partition("/")[0], ())] for j in garden.jobs}
    return tuple(j for j in garden.jobs if any(w.dwithin(s, IN_WALL_M) for w in built[j.id] for s in spots))


def months_for(garden: Garden, start: str, hours: float) -> int:
    """Return over how many months from ``start`` work of so many hours is spread, to fit in the hours there are.

    As many as each of them can give its share; 1 where nobody has said how many hours there are, and where even
    a job of two years would not fit.
    """
    first = month_index(start)
    there = [garden.means.given(m // 12)[m % 12] - garden.means.spare_hours for m in range(first, first + MOST_MONTHS)]
    fitting = (n for n in range(1, MOST_MONTHS + 1) if hours / n <= min(there[:n]) + ROUNDING_H)
    return next(fitting, 1)


def _spring(garden: Garden) -> str:
    place = garden.site.place
    month = FIRST_MONTH_SOUTH if place is not None and place.latitude_deg < 0 else FIRST_MONTH
    return f"{garden.means.first_year}-{month:02d}"


def _name(things: Sequence[Feature], taken: AbstractSet[str]) -> str:
    """Return what the job is called: by the kinds of what it makes, by their own ids where a job is called so already."""
    name = _put_in(things)
    if name not in taken:
        return name
    return capital(f"put in {' and '.join(f.name or f.id.replace('-', ' ') for f in things[:MOST_NAMED])}")[:80]


def _put_in(things: Sequence[Feature]) -> str:
    called = [f.name if f.name and f.name.lower() != f.words else f"the {f.words}" for f in things[:MOST_NAMED]]
    more = len(things) - len(called)
    text = " and ".join(called) if not more else ", ".join(called) + f" and {more} more"
    return capital(f"put in {text}")[:80]
