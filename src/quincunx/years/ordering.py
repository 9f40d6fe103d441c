"""What must be ordered or booked before a job, and by when.

How long before is common practice, no source: nurseries sell out of bare-root plants well before the season,
people who do work for others are booked months ahead, a kit comes from far, the rest is at the merchant's.
"""

from __future__ import annotations

from dataclasses import dataclass

from quincunx.scene import Timeline
from quincunx.shapes import KitWork, PlantWork, Work
from quincunx.units import Style
from quincunx.works import Job

PLANTS_MONTHS, HIRED_MONTHS, KIT_MONTHS, REST_MONTHS = 3, 3, 3, 1
"""Months before the job by which plants, people, a kit and all else are ordered (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Ahead:
    """One thing to order or book: ``months`` before the job begins, ``what`` of it, ``booked`` if somebody is to come."""

    months: int
    what: tuple[str, ...]
    booked: bool = False


def ahead(through: Timeline, job: Job, style: Style) -> tuple[Ahead, ...]:
    """Return what a job wants ordered or booked before it begins, the earliest first; nothing if it buys nothing.

    How much of each is written in ``style``.
    """
    hired = tuple(line.words for line in job.costs if line.hired)
    bought = tuple(line.how_much(style) for line in job.costs if not line.hired)
    works = works_of(through, job)
    stock = {w.stock for w in works if isinstance(w, PlantWork)}
    lifted, kit = bool(stock - {"pot"}), any(isinstance(w, KitWork) and not w.what for w in works)
    months = PLANTS_MONTHS if lifted else KIT_MONTHS if kit else REST_MONTHS
    found = []
    if hired:
        found.append(Ahead(HIRED_MONTHS, hired, booked=True))
    if bought or stock:
        found.append(Ahead(months, bought or ("the plants",)))
    return tuple(sorted(found, key=lambda a: (-a.months, a.what)))


def works_of(through: Timeline, job: Job) -> tuple[Work, ...]:
    """Return the works that stand new once a job is done."""
    found = list[Work]()
    for owner in dict.fromkeys(target.partition("/")[0] for target in job.does):
        feature = through.feature(owner)
        if feature is not None:
            found += through.as_made(feature).work
    return tuple(found)


NO_STYLE = Style()
"""How numbers are written where nobody reads them."""


def months_ahead(through: Timeline, job: Job) -> int:
    """Return the longest of these times [months]; 0 if nothing is to be ordered."""
    return max((a.months for a in ahead(through, job, NO_STYLE)), default=0)
