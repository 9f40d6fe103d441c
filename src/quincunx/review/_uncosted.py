"""Jobs of which nothing is written yet of what they cost: they count as nothing wherever money is added up."""

from __future__ import annotations

from collections.abc import Iterator

from quincunx.review._view import View
from quincunx.shapes import Finding, Severity
from quincunx.units import capital, listed

SOURCE = "Quincunx: the costs written on the jobs"
MOST_NAMED = 4
"""So many jobs are named, the others counted."""


def check(view: View) -> Iterator[Finding]:
    """Yield one finding for all jobs yet to be done that make something and have no line of cost, not even one of 0."""
    done = {e.about for e in view.garden.journal if e.what == "done"}
    unsaid = [j for j in view.garden.jobs if j.does and not j.costs and j.id not in done]
    if not unsaid:
        return
    names = [f"“{j.name}”" for j in unsaid[:MOST_NAMED]]
    more = [f"{len(unsaid) - MOST_NAMED} more"] if len(unsaid) > MOST_NAMED else []
    one = len(unsaid) == 1
    yield Finding(
        "no-cost", Severity.CARE,
        capital(f"nothing is written yet of what {listed(names + more)} {'costs' if one else 'cost'}:"
                f" {'it counts' if one else 'they count'} as nothing in every sum and in every year."),
        "Write it under Jobs, or open Worked out there, give your prices and take what it comes to; for what costs nothing, write a line of 0.",
        SOURCE, tuple(j.id for j in unsaid),
    )  # fmt: skip
