"""Beds, rows and hedges that are to be planted into turf nobody has smothered."""

from __future__ import annotations

from collections.abc import Iterator

from quincunx.review._view import View, middle
from quincunx.shapes import Finding, Severity
from quincunx.units import capital, format_area

SOURCE = "turf wants half a year or more under a cover to die; common practice, no source"


def check(view: View) -> Iterator[Finding]:
    """Yield one finding for each job, or each thing without one, that plants into turf."""
    from quincunx.garden.preparing import unready

    for one in unready(view.garden, view.timeline):
        turf = format_area(one.turf_m2, view.garden.style)
        names = view.words.both(one.owners)
        yield Finding(
            f"turf-{one.owners[0]}", Severity.HINT,
            f"{capital(names)} {'is' if len(one.owners) == 1 else 'are'} planted into {turf} of turf: grass and"
            " roots left in it take water and food from what is young.",
            "Smother the turf for some months first, improve the ground and let it settle: the question Age offers the two"
            " jobs ready made (or `quincunx prepare`); else strip the turf and mulch.",
            SOURCE, one.owners, middle(one.ground), one.month // 12,
        )  # fmt: skip
