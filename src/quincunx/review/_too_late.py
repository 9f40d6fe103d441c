"""Musts with a date that is past or can't be met any more."""

from __future__ import annotations

from collections.abc import Iterator

from quincunx.garden.too_late import stands_at, too_late
from quincunx.review._view import View
from quincunx.shapes import Finding, Severity

SOURCE = "Quincunx: the must's year, the month planned or written in the journal, growth by its usual year"


def check(view: View) -> Iterator[Finding]:
    """Yield a finding for each must whose date can't be kept."""
    today = None if view.today is None else stands_at(view.garden, view.today)
    for one in too_late(view.garden, view.timeline, view.words, today):
        yield Finding(f"too-late-{one.id}", Severity.FAULT, one.words, one.remedy, SOURCE, one.about)
