"""Jobs of which nothing is written yet of what they cost: they count as nothing wherever money is added up."""

from __future__ import annotations

from collections.abc import Collection

from quincunx.garden.document import Garden
from quincunx.units import capital, listed
from quincunx.works import Job, courses

MOST_NAMED = 4
"""So many jobs are named, the others counted."""
UNWRITTEN = "not written"
"""What stands in place of a sum nobody wrote."""


def uncosted(garden: Garden) -> tuple[Job, ...]:
    """Return the jobs yet to be done that make something and have no line of cost, not even one of 0."""
    done = {e.about for e in garden.journal if e.what == "done"}
    return tuple(j for j in garden.jobs if j.does and not j.costs and j.id not in done)


def uncosted_words(garden: Garden, among: Collection[str] | None = None) -> str:
    """Return of which jobs nothing is written of what they cost, as a sentence; nothing where it is written of all.

    ``among`` are the ids of those that are looked at; else all.
    """
    unsaid = [j for j in uncosted(garden) if among is None or j.id in among]
    if not unsaid:
        return ""
    names = [f"“{j.name}”" for j in unsaid[:MOST_NAMED]]
    more = [f"{len(unsaid) - MOST_NAMED} more"] if len(unsaid) > MOST_NAMED else []
    one = len(unsaid) == 1
    return capital(
        f"nothing is written yet of what {listed(names + more)} {'costs' if one else 'cost'}:"
        f" {'it counts' if one else 'they count'} as nothing in every sum and in every year."
    )


def uncosted_years(garden: Garden) -> frozenset[int]:
    """Return the years in which such jobs begin, as far as they have a month: more is to be paid in them than is written."""
    goes = courses(garden.means, garden.jobs, garden.journal)
    firsts = (goes[job.id].first for job in uncosted(garden))
    return frozenset(first // 12 for first in firsts if first is not None)
