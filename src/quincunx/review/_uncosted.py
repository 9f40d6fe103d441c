"""Jobs of which nothing is written yet of what they cost: they count as nothing wherever money is added up."""

from __future__ import annotations

from collections.abc import Iterator

from quincunx.garden.uncosted import uncosted, uncosted_words
from quincunx.review._view import View
from quincunx.shapes import Finding, Severity

SOURCE = "Quincunx: the costs written on the jobs"


def check(view: View) -> Iterator[Finding]:
    """Yield one finding for all jobs yet to be done that make something and have no line of cost, not even one of 0."""
    unsaid = uncosted(view.garden)
    if unsaid:
        yield Finding(
            "no-cost", Severity.CARE, uncosted_words(view.garden),
            "Write it under Jobs, or open Worked out there, give your prices and take what it comes to; for what costs nothing, write a line of 0.",
            SOURCE, tuple(j.id for j in unsaid),
        )  # fmt: skip
