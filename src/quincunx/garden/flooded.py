"""The months in which the ground of a job lies under high water."""

from __future__ import annotations

from collections.abc import Iterator

from shapely import MultiPoint
from shapely.geometry.base import BaseGeometry

from quincunx.garden.safety import dug_ground
from quincunx.scene import Timeline
from quincunx.shapes import Surface
from quincunx.works import Job

ALWAYS = 12
"""Ground that may flood in any month says nothing of when to dig there."""


def flooded_months(through: Timeline, job: Job, over: int | None = None) -> frozenset[int]:
    """Return the months (1 to 12) in which ground that ``job`` digs or plants floods; none where any month may be.

    Ground that floods only from later in the plan on counts too, but for a job whose last month is known to be ``over``
    (from January of year 0) before that.
    """
    wet = [s for s in _surfaces(through, over) if 0 < len(s.floods_in) < ALWAYS]
    if not wet:
        return frozenset()
    ground = _ground(through, job)
    return frozenset(m for s in wet if any(g.intersects(s.area) for g in ground) for m in s.floods_in)


def _surfaces(through: Timeline, over: int | None) -> Iterator[Surface]:
    """Yield what lies in the plan's first summer, and what no job makes and comes later, up to the month ``over``."""
    day = through.leaf_date(through.years[0])
    yield from through.at(day).surfaces
    for feature in through.features:
        span = through.span(feature.id)
        comes = span.known and span.begins is not None and span.begins > day.year * 12 + day.month - 1
        if comes and (over is None or (span.begins or 0) <= over) and through.job_of(feature.id) is None:
            yield from through.as_made(feature).surfaces


def _ground(through: Timeline, job: Job) -> list[BaseGeometry]:
    """Return what a job digs, and where it plants [m]."""
    out: list[BaseGeometry] = []
    for owner in dict.fromkeys(target.partition("/")[0] for target in job.does):
        feature = through.feature(owner)
        if feature is not None:
            stood = through.as_made(feature)
            out += [shape for work in stood.work for shape in dug_ground(work)]
            out += [MultiPoint(plant.at) for plant in stood.plants if plant.at]
    return out
