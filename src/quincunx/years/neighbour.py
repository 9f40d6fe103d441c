"""What a wise neighbour would say of a plan over the fence: its tightest year, what would help most, what not to put off."""

from __future__ import annotations

from collections.abc import Iterator

from quincunx.garden import Garden
from quincunx.garden.happened import happened_until
from quincunx.units import format_hours, format_money, own_shares
from quincunx.years.faults import faults
from quincunx.years.from_garden import starts_of
from quincunx.years.months import Month, months_of, runs_of
from quincunx.years.overspent import overspent
from quincunx.years.problem import Problem, Project, years_of_use
from quincunx.years.whatif import More, value_of_more

TENTH = 10
"""The money asked about is this part of a usual year's sum."""
MORE_MINUTES = 600
SLOW_MONTHS = 12
"""What takes at least so long to be of use is worth a word [months]."""
LITTLE = 0.001
"""Less than this share of the garden's use counts as nothing."""


def neighbour(garden: Garden, problem: Problem, today: int | None = None) -> tuple[str, ...]:
    """Return up to three sentences about the plan as it is written, after one if a year is overspent.

    None where nothing is planned or the jobs contradict themselves.  With ``today`` (a month from January of year 0)
    nothing is advised for months gone by.
    """
    if not any(job.start for job in garden.jobs) or faults(problem):
        return ()
    over = overspent(problem, lambda sum_: format_money(sum_, garden.style, whole=True))
    now = max(happened_until(garden), 0 if today is None else today - 12 * garden.means.first_year)
    said = (*_tightest(garden, today or 0), *_more(garden, problem, now), *_plant_first(garden, problem, today or 0))
    return (*((over,) if over else ()), *said)


def _tightest(garden: Garden, today: int) -> Iterator[str]:
    """Say which year has the least to spare, of money or of hours, and what takes most of it."""
    years: dict[int, list[Month]] = {}
    for month in months_of(garden):
        years.setdefault(month.year, []).append(month)
    busy = {year: months for year, months in years.items() if any(m.spent or m.worked_h for m in months)}
    busy = {year: months for year, months in busy.items() if 12 * year + 11 >= today}  # what is over is no news
    if not busy:
        return
    year = min(busy, key=lambda y: (min(_money_left(garden, busy[y]), _hours_left(busy[y])), y))
    months, style = busy[year], garden.style
    low = min(m.balance for m in months)
    money = format_money(abs(low), style, whole=True)
    left = f"{money} is left at its lowest" if low >= 0 else f"{money} is missing at its worst"
    works, free = sum(m.worked_h for m in months), sum(m.free_h for m in months)
    taken = (
        f"{format_hours(works, style)} of the {format_hours(free, style)} that upkeep leaves are taken"
        if free > 0
        else f"{format_hours(works, style)} of work stand against no hours at all that upkeep leaves"
    )
    yield f"{year} is the tightest year: {left}, and {taken}{_most_of(garden, year, hours=_hours_left(months) < _money_left(garden, months))}."


def _money_left(garden: Garden, months: list[Month]) -> float:
    """Return the share of what there was to spend in a year that is left at its lowest."""
    had = max(m.balance + m.spent for m in months) - garden.means.reserve
    return (min(m.balance for m in months) - garden.means.reserve) / had if had > 0 else 1.0


def _hours_left(months: list[Month]) -> float:
    free = sum(m.free_h for m in months)
    return 1 - sum(m.worked_h for m in months) / free if free else 1.0


def _most_of(garden: Garden, year: int, *, hours: bool) -> str:
    """Name what costs most of the jobs that begin in a year, or, where its hours are what is scarce, what takes longest."""
    runs = [r.job for r in runs_of(garden) if r.start is not None and r.start // 12 == year]
    most = max(runs, key=lambda job: (job.hours if hours else job.cost, job.cost, job.hours, job.id), default=None)
    if most is None or not (most.hours if hours else most.cost):
        return ""
    return f"; of what begins then “{most.name}” {'takes longest' if hours else 'costs most'}"


def _more(garden: Garden, problem: Problem, now: int) -> Iterator[str]:
    """Say whether a little more money or time would help most, and in which year."""
    whole = years_of_use(problem.worth(starts_of(garden, problem)))
    sum_ = garden.means.sum_a_year // TENTH // 100 * 100
    if whole <= 0:
        return
    ahead = [m for m in value_of_more(problem, money=sum_, minutes=MORE_MINUTES) if _to_come(garden, m, now)]
    if not ahead:
        return
    money, hours = max(ahead, key=lambda m: (m.money, -m.year)), max(ahead, key=lambda m: (m.hours, -m.year))
    much, hour = money.money / whole, hours.hours / whole
    words = format_money(sum_, garden.style, whole=True)
    if max(much, hour) < LITTLE:
        yield "A little more money or time would change nothing much: seasons, large works and what comes first hold it."
    elif hour >= much:
        less = f"{words} more would do {'little' if much < LITTLE else 'less'}"
        yield f"Ten hours more in {hours.year} would help most, by up to {_share(garden, hour)} more use; {less}."
    else:
        less = f"ten hours more would do {'little' if hour < LITTLE else 'less'}"
        yield f"{words} more in {money.year} would help most, by up to {_share(garden, much)} more use; {less}."


def _share(garden: Garden, share: float) -> str:
    return own_shares(f"{100 * share:.1f} in 100", garden.style)


def _to_come(garden: Garden, more: More, now: int) -> bool:
    """Tell whether a year still has something of the plan to come, and isn't over by month ``now`` of the plan."""
    if more.year < garden.means.first_year + now // 12:
        return False
    return any(r.state != "done" and r.end is not None and r.end // 12 >= more.year for r in runs_of(garden))


def _plant_first(garden: Garden, problem: Problem, today: int) -> Iterator[str]:
    """Name the planting that takes longest to be of use among those still to come."""
    waiting = [
        (problem[r.job.id], r.start)
        for r in runs_of(garden)
        if r.state in ("planned", "booked")
        and r.start is not None
        and r.start >= today
        and problem[r.job.id].lag_months >= SLOW_MONTHS
    ]
    if not waiting:
        return
    p, start = max(waiting, key=lambda pair: (_weight(pair[0]), -pair[1], pair[0].id))
    years = p.lag_months // 12
    month = problem.month_words(start - problem.first_year * 12 - problem.first_month + 1)
    yield (
        f"Whatever else slips, keep “{p.name}” in {month}: it takes {years} year{'s' * (years > 1)} to be of use, "
        "and no money buys those back."
    )


def _weight(p: Project) -> int:
    return p.worth * p.lag_months
