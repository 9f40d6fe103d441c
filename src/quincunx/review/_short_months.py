"""Months whose planned works take more hours than there are in them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from quincunx.review._view import View
from quincunx.shapes import Finding, Severity
from quincunx.units import counted, listed
from quincunx.units.dates import MONTHS
from quincunx.works import Job, Means, courses

SOURCE = "Quincunx: the hours left of the jobs, in the months in which they are worked, those worked in them, and those there are"
LEAST_OVER_H = 0.5
"""Less than this over is rounding, not a short month [h]."""
MOST_NAMED = 3


def check(view: View) -> Iterator[Finding]:
    """Yield one finding for each year in which some month's works don't fit its hours; the worst month is told."""
    means = view.garden.means
    if not any(means.hours_by_month):
        return
    planned, worst = _works(view), dict[int, tuple[float, int]]()
    for month, works in planned.items():
        over = sum(works.values()) - _there(means, month)
        if over > LEAST_OVER_H and over > worst.get(month // 12, (0.0, 0))[0]:
            worst[month // 12] = (over, month)
    jobs = {job.id: job for job in view.garden.jobs}
    for year, (_, month) in sorted(worst.items()):
        works = planned[month]
        yield _told(view, year, month, [jobs[name] for name in works], sum(works.values()))


def _works(view: View) -> dict[int, dict[str, float]]:
    """Return the hours of each month in which something is still to do, by job: to do, and worked in it already [h].

    Months gone by before the one in which the garden is read are nobody's to mend.
    """
    means = view.garden.means
    goes = courses(means, view.garden.jobs, view.garden.journal)
    found: dict[int, dict[str, float]] = defaultdict(dict)
    for name, course in goes.items():
        for month, hours in course.to_do.items():
            if month >= (means.now or 0):
                found[month][name] = hours
    for name, course in goes.items():
        for month, hours in course.worked.items():
            if month in found:
                found[month][name] = found[month].get(name, 0.0) + hours
    return found


def _there(means: Means, month: int) -> float:
    year = month // 12
    return max(means.given(year)[month % 12] - means.upkeep(year)[month % 12] - means.spare_hours, 0.0)


def _told(view: View, year: int, month: int, jobs: list[Job], takes: float) -> Finding:
    names = [f"“{j.name}”" for j in jobs[:MOST_NAMED]]
    more = [f"{len(jobs) - MOST_NAMED} more"] if len(jobs) > MOST_NAMED else []
    there = view.words.hours(_there(view.garden.means, month))
    one = jobs[0] if len(jobs) == 1 else None
    cure = "Spread them over more months, move some"
    if one is not None:
        over = f"more than {counted(one.months, 'month')}"
        cure = f"Let it take {over} (in its row under Jobs), move it"
    return Finding(
        f"short-month-{year}", Severity.CARE,
        f"{MONTHS[month % 12]} {year} has {there} for works, but {listed(names + more)}"
        f" {'take' if len(jobs) > 1 else 'takes'} {view.words.hours(takes)} in it.",
        f"{cure}, give that month more hours, or let the order of works be found.", SOURCE, tuple(j.id for j in jobs), None, year,
    )  # fmt: skip
