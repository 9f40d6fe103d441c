"""The months in which the ground of a job lies under high water."""

from __future__ import annotations

from shapely import MultiPoint
from shapely.geometry.base import BaseGeometry

from quincunx.garden.safety import dug_ground
from quincunx.scene import Timeline
from quincunx.works import Job

ALWAYS = 12
"""Ground that may flood in any month says nothing of when to dig there."""


def flooded_months(through: Timeline, job: Job) -> frozenset[int]:
    """Return the months (1 to 12) in which ground that ``job`` digs or plants floods; none where any month may be."""
    wet = [s for s in through.at(through.leaf_date(through.years[0])).surfaces if 0 < len(s.floods_in) < ALWAYS]
    if not wet:
        return frozenset()
    ground = _ground(through, job)
    return frozenset(m for s in wet if any(g.intersects(s.area) for g in ground) for m in s.floods_in)


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
