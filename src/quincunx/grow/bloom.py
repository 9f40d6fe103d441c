"""What flowers and what is green, month by month."""

from __future__ import annotations

from quincunx.grow.plantings import Planting, plantings, southern
from quincunx.scene import Timeline

FLOWERS_AFTER = {"tree": 3.0, "climber": 2.0, "hedge": 3.0, "shrub": 2.0, "row": 1.0, "grass": 1.0, "herb": 0.0}
"""Years after planting before it flowers to speak of (common practice, no source)."""


def flowers(one: Planting, month: int, *, turned: bool) -> bool:
    """Return whether a planting is in flower in a calendar month of its year."""
    if month not in southern(one.plant.bloom_months, turned=turned):
        return False
    after = 0.0 if one.plant.annual else FLOWERS_AFTER.get(one.plant.form, 1.0)
    return one.years_at(month)[1] >= after and not one.standing.set_back


def green(one: Planting, month: int, *, turned: bool) -> bool:
    """Return whether a planting is in leaf in a calendar month of its year."""
    return one.years_at(month)[1] >= 0 and one.plant.in_leaf(southern=turned)[month - 1] > 0


def in_month(timeline: Timeline, year: int, month: int, bloom: bool, among: tuple[str, ...] = ()) -> tuple[str, ...]:  # noqa: FBT001
    """Return the owners of what flowers (``bloom``) or is green in a month of a year, in their order."""
    turned, test = timeline.southern, flowers if bloom else green
    found = {
        one.owner
        for one in plantings(timeline, year)
        if (not among or one.owner in among) and test(one, month, turned=turned)
    }
    return tuple(sorted(found))
