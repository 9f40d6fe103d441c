"""Climbers planted before what they are to grow on stands."""

from __future__ import annotations

from collections.abc import Iterator

from quincunx.grow.plantings import climbed
from quincunx.review._view import View
from quincunx.shapes import Finding, Severity
from quincunx.units.dates import MONTHS

SOURCE = "Quincunx: the months in which things stand"
NEVER = 10**6
"""A thing that stands in no month of the plan begins after this [months]."""


def check(view: View) -> Iterator[Finding]:
    """Yield a finding for each climber that has nothing to climb on when it is planted."""
    for feature in view.garden.features:
        begins = view.timeline.span(feature.id).begins
        if begins is None or begins >= NEVER:
            continue
        for support in climbed(feature):
            stands = view.timeline.span(support).begins
            if stands is None or stands <= begins:
                continue
            name, on = view.called(feature.id), view.called(support)
            when = f"only from {_words(stands)} on" if stands < NEVER else "in no year of the plan yet"
            yield Finding(
                f"nothing-to-climb-{feature.id}", Severity.CARE,
                f"{name} is there from {_words(begins)} on, but {on}, which it is to grow on, stands {when}.",
                "Plant it once that stands, let the order of works be found again, or give it canes to be moved later.",
                SOURCE, (feature.id, support), None, begins // 12,
            )  # fmt: skip


def _words(month: int) -> str:
    return f"{MONTHS[month % 12]} {month // 12}"
