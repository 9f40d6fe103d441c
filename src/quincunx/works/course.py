"""How each job goes: what is written of it so far, what is left, and the months in which that is worked and paid.

The one place that says in which month a job's hours and money fall, in which it begins and in which it is done: the chart
of the years, the table of years, the best order, the sheets and the musts all ask here, and so does the timeline when it
says from when a thing stands (:meth:`~quincunx.scene.Timeline.last_month`).

*What is left of a begun job goes on as soon as there is time*: in the months it fits in, in the hours that upkeep leaves,
from the present month on.  *What is still to be paid for it is due when that is done* and the months planned for it are
over, or with its last sum where that is agreed for later; never in a month gone by.  What never fits is seen in the last month.

Time stands in the month in which the garden is read (:meth:`~quincunx.works.means.Means.read_in`), or in that of the last
work written down where it is later.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal, TypeVar

from quincunx.units.dates import month_index
from quincunx.works.jobs import Job
from quincunx.works.means import Means
from quincunx.works.prices import Entry

N = TypeVar("N", int, float)

_WORK = frozenset({"begun", "done", "hours"})
HOW_KNOWN = (
    "The hours left of a begun job are done as soon as there is time from this month on, in the months it fits in. What is"
    " still to pay for it is due when they are done and the months planned for it are over, or with a sum agreed for later;"
    " never in a month gone by."
)
"""The rule in the person's words."""


@dataclass(frozen=True, slots=True)
class Course:
    """How one job goes, by month (from January of year 0): hours [h] and money [minor units], written and still to come.

    It is worked on from ``first`` to the month before ``end``; both None where nothing says when.  What was begun and is
    not called done is worked on until now at least, however long ago its planned months were over.
    """

    state: Literal["done", "begun", "planned", "unplanned"]
    first: int | None
    end: int | None
    worked: Mapping[int, float]
    to_do: Mapping[int, float]
    paid: Mapping[int, int]
    to_pay: Mapping[int, int]

    @property
    def last(self) -> int | None:
        """Return the month in which it is done (from January of year 0): what it makes stands from the next; None where nothing says."""
        return None if self.end is None else self.end - 1

    @property
    def hours(self) -> dict[int, float]:
        """Return the own hours of each month [h]."""
        return _added(self.worked, self.to_do)

    @property
    def cost(self) -> dict[int, int]:
        """Return what it costs in each month [minor units]."""
        return _added(self.paid, self.to_pay)


def is_work(entry: Entry) -> bool:
    """Return whether a line of the journal says that work has been done: begun, done, or any line with hours.

    A sum alone may be a deposit; a receipt that has hours too is of a day on which somebody worked.
    """
    return entry.what in _WORK or bool(entry.hours)


def courses(means: Means, jobs: Iterable[Job], journal: Iterable[Entry]) -> dict[str, Course]:
    """Return how each job goes, by id; begun jobs share the hours there are, the one begun first before the others."""
    all_jobs = tuple(jobs)
    own: dict[str, list[Entry]] = {job.id: [] for job in all_jobs}
    for e in journal:
        if e.about in own:
            own[e.about].append(e)
    found = {job.id: _done_or_planned(means, job, own[job.id]) for job in all_jobs}
    begun = sorted((job for job in all_jobs if found[job.id].state == "begun"), key=lambda j: (found[j.id].first, j.id))
    if begun:
        now, free = time_stands(means, own.values()), free_minutes(means)
        for course in found.values():
            for month, hours in course.worked.items():
                free[month] = free.get(month, 0) - round(60 * hours)
        for job in begun:
            found[job.id] = _goes_on(means, job, found[job.id], now, free)
    return found


def time_stands(means: Means, own: Iterable[Sequence[Entry]]) -> int:
    """Return the month time stands in: that in which the garden is read or the last work written down, within the plan."""
    months = [month_index(e.day[:7]) for entries in own for e in entries if is_work(e)]
    first = 12 * means.first_year
    return min(max([first, means.now or first, *months]), first + 12 * means.years - 1)


def free_minutes(means: Means) -> dict[int, int]:
    """Return the time for works in each month of the plan {month: minutes}: given, less upkeep and the hours kept free."""
    found = dict[int, int]()
    for year in means.all_years:
        for at, (given, upkeep) in enumerate(zip(means.given(year), means.upkeep(year), strict=True)):
            found[12 * year + at] = max(round(60 * (given - upkeep - means.spare_hours)), 0)
    return found


def time_for(rest: int, free: Mapping[int, int], fits: Callable[[int], bool], first: int) -> tuple[dict[int, int], int]:
    """Return the minutes by month, from ``first`` on, in which work goes on, and what of it finds no time.

    It goes on as soon as there is time: in each month that ``fits``, as much as is ``free`` [min].
    """
    found = dict[int, int]()
    for month in (m for m in sorted(free) if m >= first):
        part = min(rest, max(free[month], 0)) if fits(month) else 0
        if part:
            found[month], rest = part, rest - part
        if not rest:
            break
    return found, rest


def raised(sum_: int, growth: float, years: int) -> int:
    """Return a sum [minor units] after so many years of prices that rise by ``growth`` a year, rounded up."""
    return sum_ if not growth or years <= 0 else math.ceil(sum_ * (1 + Fraction(str(growth))) ** years)


def unpaid(job: Job, paid: int) -> tuple[tuple[int, int], ...]:
    """Return (months after it begins, sum [minor units]) of what is due once ``paid`` is: the first sums are paid first."""
    left = []
    for later, sum_ in job.instalments:
        took = min(sum_, max(paid, 0))
        paid -= took
        left += [(later, sum_ - took)] if sum_ > took else []
    return tuple(left)


def others_due(means: Means, job: Job, course: Course) -> dict[int, tuple[int, int]]:
    """Return {month: (what others pay, all that is due) [minor units]} of a job, priced up as its cost is, by its first month."""
    out = dict[int, tuple[int, int]]()
    if job.others_pay and course.first is not None:
        for later, whole, theirs in job.parts_due:
            month = course.first + later
            years = month // 12 - means.first_year
            every, ours = (raised(sum_, means.price_growth, years) for sum_ in (whole, whole - theirs))
            had = out.get(month, (0, 0))
            out[month] = (had[0] + every - ours, had[1] + every)
    return out


def _done_or_planned(means: Means, job: Job, own: Sequence[Entry]) -> Course:
    """Return how a job goes that is done or planned; of one that is begun what is written so far."""
    paid = _by_month((e.day, e.sum) for e in own if e.sum is not None)
    worked = _by_month((e.day, e.hours) for e in own if e.hours is not None)
    work = sorted(month_index(e.day[:7]) for e in own if is_work(e))
    if ended := [month_index(e.day[:7]) for e in own if e.what == "done"]:
        last = max(ended)
        first = work[0] if work[0] < last else last - job.months + 1
        even = dict.fromkeys(range(first, last + 1), job.hours / (last + 1 - first)) if job.hours else {}
        due = {} if paid else _due(means, job.instalments, first)
        return Course("done", first, last + 1, worked or even, {}, paid, due)
    if work:
        return Course("begun", work[0], work[0] + job.months, worked, {}, paid, {})
    if job.start is None:
        return Course("unplanned", None, None, worked, {}, paid, {})
    first = month_index(job.start)
    even = {first + u: job.hours / job.months for u in range(job.months)} if job.hours else {}
    due = _due(means, unpaid(job, sum(paid.values())), first)
    return Course("planned", first, first + job.months, worked, even, paid, due)


def _goes_on(means: Means, job: Job, so_far: Course, now: int, free: dict[int, int]) -> Course:
    """Return how a begun job goes on; ``free`` [min] loses what it takes."""
    first, fits = so_far.first or 0, means.fits.get(job.id) or frozenset(job.window) or frozenset(range(1, 13))
    rest = max(0, round(60 * job.hours) - sum(round(60 * h) for h in so_far.worked.values()))
    to_do, never = time_for(rest, free, lambda m: m % 12 + 1 in fits, max(now, first))
    last = max((first + job.months - 1, now, *so_far.worked, *to_do))  # nobody has called it done yet
    if never:
        to_do[last] = to_do.get(last, 0) + never
    for month, minutes in to_do.items():
        free[month] = free.get(month, 0) - minutes
    sums = _due(means, job.instalments, first)
    bill = sum(sums.values()) - sum(so_far.paid.values())
    to_pay = {max(last, now, *sums): bill} if bill > 0 else {}
    hours = {month: minutes / 60 for month, minutes in to_do.items()}
    return Course("begun", first, last + 1, so_far.worked, hours, so_far.paid, to_pay)


def _due(means: Means, sums: Iterable[tuple[int, int]], first: int) -> dict[int, int]:
    due = dict[int, int]()
    for later, sum_ in sums:
        month = first + later
        due[month] = due.get(month, 0) + raised(sum_, means.price_growth, month // 12 - means.first_year)
    return due


def _by_month(said: Iterable[tuple[str, N | None]]) -> dict[int, N]:
    found = dict[int, N]()
    for day, value in said:
        if value is not None:
            month = month_index(day[:7])
            found[month] = found[month] + value if month in found else value
    return found


def _added(one: Mapping[int, N], other: Mapping[int, N]) -> dict[int, N]:
    found = dict(one)
    for month, value in other.items():
        found[month] = found[month] + value if month in found else value
    return found
