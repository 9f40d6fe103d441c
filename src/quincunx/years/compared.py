"""What if: the plan as it is beside the plan under another sum, other hours or prices, a job first, a year skipped."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace

from quincunx.garden import Garden, apply, timeline
from quincunx.garden.called import CalledError, called
from quincunx.garden.dearer import DearerError, dearer, read_dearer
from quincunx.scene import Timeline
from quincunx.units import Style, format_hours, format_money, own_shares, parse_hours, parse_money, write_plain
from quincunx.units.errors import PlainError
from quincunx.units.sides import up
from quincunx.years.conflict import conflict
from quincunx.years.explained import Writer, written
from quincunx.years.faults import require_sense
from quincunx.years.from_garden import edit_of, problem_of
from quincunx.years.gone_by import only_ahead
from quincunx.years.order import Order, order
from quincunx.years.problem import Problem, Starts
from quincunx.years.replan import Move, moves, replan
from quincunx.years.whatif import by, worth_curve, year_skipped
from quincunx.years.why import earlier


class WhatIfError(PlainError, ValueError):
    """A what-if can't be read; the message says what was given and what can be asked."""


ASKS = "money=+20%, hours=+2, prices=+20%, prices=timber+30%, first=JOB or skip=2029"
SECONDS_EACH = 0.3
"""Solver's own count spent on each month tried for a job that is to come first."""
_SHARE = re.compile(r"([+-]?)\s*(\d+(?:[.,]\d+)?)\s*%")


@dataclass(frozen=True)
class WhatIf:
    """A question: its ``words``, the garden as it would be, and its problem."""

    words: str
    garden: Garden
    problem: Problem


def what_if(garden: Garden, text: str, today: int | None = None) -> WhatIf:
    """Read a question such as ``money=+20%`` of a garden.

    ``money`` takes a share or a sum more a year (sums that come once stay), ``hours`` a share or hours more in
    each month that has any, ``prices`` a share on all that is not yet done, or on what
    bears a name (``prices=timber, posts +30%``), ``first`` a job's id or name, ``skip``
    a year without money and hours.  With ``today`` (a month from January of year 0) nothing to come begins before it.
    Raises :class:`WhatIfError`.
    """
    key, _, value = (part.strip() for part in text.partition("="))
    ask = _ASKS.get(key.casefold())
    if ask is None or not value:
        raise WhatIfError(f"“{text}” is not a question that can be asked here. Ask {ASKS}.")
    found = ask(garden, value) if ask is not _first else _first(garden, value, today)
    return found if today is None else replace(found, problem=only_ahead(found.problem, today))


def _changed(garden: Garden, words: str, **parts: object) -> WhatIf:
    other = garden.model_copy(update=parts)
    return WhatIf(words, other, problem_of(other, timeline(other)))


def _share(value: str) -> float | None:
    match = _SHARE.fullmatch(value)
    if match is None:
        return None
    share = float(match[2].replace(",", ".")) / 100
    factor = 1 - share if match[1] == "-" else 1 + share
    if factor < 0:
        raise WhatIfError(f"“{value}” would leave less than nothing; the most that can be taken off is 100%.")
    return factor


def _percent(factor: float, style: Style) -> str:
    return f"{write_plain(abs(factor - 1) * 100, style)} in 100 {'more' if factor >= 1 else 'less'}"


def _money(garden: Garden, value: str) -> WhatIf:
    means, factor = garden.means, _share(value)
    if factor is not None:
        words = f"{_percent(factor, garden.style)} money a year"

        def to(sum_: int) -> int:
            return round(sum_ * factor)
    else:
        more = parse_money(value.removeprefix("+"), garden.style)
        words = f"{format_money(abs(more), garden.style, whole=True)} {'more' if more >= 0 else 'less'} a year"

        def to(sum_: int) -> int:
            return max(0, sum_ + more)

    other = tuple(y.model_copy(update={"sum": to(y.sum)}) for y in means.other_years)
    return _changed(
        garden, words, means=means.model_copy(update={"sum_a_year": to(means.sum_a_year), "other_years": other})
    )


def _hours(garden: Garden, value: str) -> WhatIf:
    means, factor = garden.means, _share(value)
    if factor is not None:
        words, by_month = f"{_percent(factor, garden.style)} hours", tuple(h * factor for h in means.hours_by_month)
    else:
        sign = -1 if value.startswith("-") else 1
        more = sign * parse_hours(value.lstrip("+-"), garden.style)
        by_month = tuple(max(0.0, h + more) if h else 0.0 for h in means.hours_by_month)
        words = f"{format_hours(abs(more), garden.style)} {'more' if more >= 0 else 'less'} in each month that has any"
    return _changed(garden, words, means=means.model_copy(update={"hours_by_month": by_month}))


def _prices(garden: Garden, value: str) -> WhatIf:
    asked = value if value.startswith(("+", "-")) or not _SHARE.fullmatch(value) else f"+{value}"
    try:
        found = dearer(garden, asked)
    except DearerError as error:
        raise WhatIfError(str(error)) from error
    other, _ = apply(garden, found.edit)
    what, factor = read_dearer(asked)
    words = (
        f"{' and '.join(what)} {_percent(factor, garden.style)}" if what else f"prices {_percent(factor, garden.style)}"
    )
    return WhatIf(words, other, problem_of(other, timeline(other)))


def _first(garden: Garden, value: str, today: int | None = None) -> WhatIf:
    try:
        job_id = called(value, {j.id: j.name for j in garden.jobs}, "job")
    except CalledError as error:
        raise WhatIfError(str(error)) from error
    job = next(j for j in garden.jobs if j.id == job_id)
    problem = problem_of(garden, timeline(garden))
    problem = problem if today is None else only_ahead(problem, today)
    project = problem[job.id]
    if project.fixed_start is not None:
        raise WhatIfError(f"{job.name} is done or booked: its month is fixed.")
    at = _soonest(problem, written(garden, problem), job.id)
    if at is None:
        raise WhatIfError(f"{job.name} can't be had within the years of the plan, even before all else.")
    return WhatIf(f"“{job.name}” as soon as can be", garden, by(problem, job.id, at + project.use_after_months))


def _soonest(problem: Problem, starts: Starts, name: str) -> int | None:
    """Return the first month in which a job can start with all else free to move; None if there is none."""
    low, high = 0, len(months := problem.allowed_starts(problem[name]))
    while low < high:
        middle = (low + high) // 2
        found = earlier(problem, starts, name, by=months[middle], effort=SECONDS_EACH, seconds=30)
        if found.starts is None:
            low = middle + 1
        else:
            high = min(middle, months.index(found.starts[name]))
    return months[low] if low < len(months) else None


def _skip(garden: Garden, value: str) -> WhatIf:
    years = garden.means.all_years
    if not value.isdecimal() or int(value) not in years:
        raise WhatIfError(f"“skip={value}”: the plan runs from {years[0]} to {years[-1]}; skip one of these years.")
    problem, year = problem_of(garden, timeline(garden)), int(value)
    means = garden.means
    other = [y for y in means.other_years if y.year != year]
    nothing = type(means).model_validate({"other_years": [{"year": year, "sum": 0}]}).other_years
    less = garden.model_copy(update={"means": means.model_copy(update={"other_years": (*other, *nothing)})})
    return WhatIf(f"no money and no hours in {year}", less, year_skipped(problem, year))


_ASKS: dict[str, Callable[[Garden, str], WhatIf]] = {
    "money": _money,
    "hours": _hours,
    "prices": _prices,
    "first": _first,
    "skip": _skip,
}


@dataclass(frozen=True)
class Compared:
    """Two plans side by side: the garden's best as it is, and the best if it were otherwise.

    ``now`` and ``then`` are the answers, ``moves`` what the second does at another time or leaves out, ``share`` how
    much more (or less, below 0) use it gives, ``curve`` the points of use in each year of both, ``no_plan`` why there
    is none; ``better_by_at_most`` what a better second plan could add, as a share.
    """

    asked: WhatIf
    problem: Problem
    now: Order
    then: dict[str, int] | None
    moves: tuple[Move, ...]
    share: float
    curve: dict[int, tuple[float, float]]
    no_plan: str
    better_by_at_most: float = 0.0

    @property
    def words(self) -> str:
        """Say what is gained or lost in one sentence."""
        if self.then is None:
            return self.no_plan
        sure, style = 100 * self.better_by_at_most, self.asked.garden.style
        maybe = (
            own_shares(f" A better plan of that kind may exist, by at most {up(sure, 1):.1f} in 100.", style)
            if sure >= 0.05
            else ""
        )
        if abs(self.share) < 0.0005:
            return f"With {self.asked.words} the garden gives as much use as now.{maybe}"
        more = "more" if self.share > 0 else "less"
        much = own_shares(f"{100 * abs(self.share):.1f} in 100", style)
        return f"With {self.asked.words} the garden gives {much} {more} use.{maybe}"

    def gardens(self, garden: Garden) -> tuple[Garden, Garden | None]:
        """Return the garden with the first plan written on it and, if there is one, as it would be with the second."""
        one = apply(garden, edit_of(garden, self.problem, self.now.starts or {}))[0]
        if self.then is None:
            return one, None
        return one, apply(self.asked.garden, edit_of(self.asked.garden, self.asked.problem, self.then))[0]


def compared(
    garden: Garden,
    through: Timeline,
    text: str,
    *,
    seconds: float = 10.0,
    effort: float = 1.0,
    known: Order | None = None,
    today: int | None = None,
) -> Compared:
    """Answer a what-if: find the best plan now, then the best plan under the question that moves least.

    ``seconds`` and ``effort`` (the solver's own count: the same garden, the same answer) bound each of the two.
    ``known`` is the best plan as things are, if it was found before.  With ``today`` (a month from January of year 0)
    neither plan begins anything before it that has not begun.
    Raises :class:`WhatIfError` if the question can't be read, :class:`~quincunx.years.faults.Nonsense` if the jobs
    contradict themselves.
    """
    asked = what_if(garden, text, today)
    problem = problem_of(garden, through)
    problem = problem if today is None else only_ahead(problem, today)
    require_sense(problem, Writer(garden.style))
    now = known or order(problem, seconds=seconds, effort=effort, smoothing=False, start_from=written(garden, problem))
    if now.starts is None:
        return Compared(asked, problem, now, None, (), 0.0, {}, now.how_sure)
    found = replan(asked.problem, now.starts, give=0.0, seconds=2 * seconds, effort=2 * effort)
    if found.starts is None:
        clash = conflict(asked.problem, money=Writer(garden.style))
        why = f" {clash.sentence}" if clash else ""
        return Compared(
            asked, problem, now, None, (), 0.0, {}, f"With {asked.words} there is no plan that keeps every must.{why}"
        )
    before, after = problem.worth(now.starts), problem.worth(found.starts)
    share = (after - before) / before if before else 0.0
    gap = max(0.0, (found.bound - after) / after) if after else 0.0
    one, two = worth_curve(problem, now.starts), worth_curve(asked.problem, found.starts)
    curve = {year: (one[year], two[year]) for year in one}
    return Compared(
        asked, problem, now, found.starts, moves(asked.problem, now.starts, found.starts), share, curve, "", gap
    )
