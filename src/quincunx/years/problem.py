"""The order of works as a problem: projects, money and hours by month.

Time is a month index counted from the problem's first month (0); negative months lie in the past.  A job
started in month ``t`` that takes ``d`` months is finished *by* month ``t + d``: it occupies ``t .. t + d - 1``.
Money is integer minor units, work is integer minutes, worth is integer points for each year of use, so that
every sum here is exact.
"""

from __future__ import annotations

import calendar
import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cached_property
from itertools import accumulate
from typing import Literal

Starts = Mapping[str, int]
"""A plan: the start month of each project that is done; a project left out is not done within the years."""

ALL_YEAR = frozenset(range(1, 13))
WEIGHT_NOW = 1000
"""Weight of one month of use in the first month; later months weigh less by the discount."""


@dataclass(frozen=True)
class Need:
    """``project`` must be finished, and ``lag_months`` gone by (settling, curing), before the owner starts."""

    project: str
    lag_months: int = 0


@dataclass(frozen=True)
class Shut:
    """Once the owner has started, the way to ``project``'s works is shut.

    With ``detour`` None the other must be finished first; otherwise working round it costs ``detour`` [minor
    units], paid in the month the other starts.  With ``beside`` the way is shut only once that project has started too;
    there is no working round it then.
    """

    project: str
    detour: int | None = None
    beside: str | None = None


@dataclass(frozen=True)
class Project:
    """One job or wish.

    Attributes:
    payments : (months after the start, amount [minor units at first-month prices]) in any order.
    minutes : own work in each month of the job [min]; shorter than the duration means nothing in the rest.
    window : calendar months (1-12) in which every month of the job must fall.
    worth : points for each year in which it is there to be enjoyed.
    harvest : points for what is picked in the first year after it is finished, the second, and so on; the last stays.
    lag_months : from the end of the works until it is of use (a hedge hides, a tree bears).
    enjoyed_with : projects without which it is of no use yet.
    deadline : month by which it must be of use (end of works plus lag); makes it a must.
    fixed_start : booked or begun; the window does not apply to it, needs and money do.
    not_before : month before which it can't begin, whatever its window; doesn't bind what is fixed.
    happened : "done" or "begun" if its month is what the journal says, not what was booked.
    as_paid : the payments are sums really paid or agreed, which prices don't raise.
    to_do, to_pay : of what is begun, the part of ``minutes`` and of ``payments`` that is still to come.
    done : finished before month 0 (``fixed_start`` tells when it began).
    upkeep_minutes : 12 numbers, January first: what it takes to keep from the month it is finished [min].
    order_ahead_months : months before the start by which its materials or plants must be ordered.
    wet_ok : whether the work can be done on a wet weekend.
    """

    id: str
    name: str
    duration_months: int = 1
    payments: tuple[tuple[int, int], ...] = ()
    minutes: tuple[int, ...] = ()
    window: frozenset[int] = ALL_YEAR
    large: bool = False
    worth: int = 0
    lag_months: int = 0
    needs: tuple[Need, ...] = ()
    enjoyed_with: tuple[str, ...] = ()
    deadline: int | None = None
    must: bool = False
    fixed_start: int | None = None
    done: bool = False
    shuts: tuple[Shut, ...] = ()
    upkeep_minutes: tuple[int, ...] = ()
    harvest: tuple[int, ...] = ()
    not_before: int = 0
    as_paid: bool = False
    happened: Literal["", "done", "begun"] = ""
    to_do: tuple[int, ...] = ()
    to_pay: tuple[tuple[int, int], ...] = ()
    order_ahead_months: int = 0
    wet_ok: bool = False

    @property
    def cost(self) -> int:
        """All payments at first-month prices [minor units]."""
        return sum(amount for _, amount in self.payments)

    def picked(self, months_of_use: int) -> int:
        """Points a year of its harvest so many months after it is of use."""
        return self.harvest[min((months_of_use + self.lag_months) // 12, len(self.harvest) - 1)] if self.harvest else 0

    @property
    def has_begun(self) -> bool:
        """Whether it was begun or done already: no rule for what is still to be planned can bar it."""
        return self.done or bool(self.happened) or (self.fixed_start is not None and self.fixed_start < 0)

    @property
    def required(self) -> bool:
        """Whether a plan without it is no plan."""
        return self.must or self.deadline is not None or self.fixed_start is not None

    @property
    def use_after_months(self) -> int:
        """Months from its start until it is of use by itself."""
        return self.duration_months + self.lag_months


@dataclass(frozen=True)
class Budget:
    """Money: what comes in each month, what is there at the start, what must always be left [minor units].

    ``price_growth`` is the rise of prices in each further twelve months (0.03 = three in a hundred), of which
    ``months_gone`` lie before the first month.  Without ``carry_over`` what is left at the end of a calendar year is gone.
    """

    income: tuple[int, ...]
    opening: int = 0
    reserve: int = 0
    price_growth: float = 0.0
    months_gone: int = 0
    carry_over: bool = True


@dataclass(eq=False, slots=True)
class _Seen:
    """What was worked out of a project in a problem: bills by start, and starts that fit its window."""

    project: Project
    bills: dict[int, list[tuple[int, int]]] = field(default_factory=dict)
    starts: list[int] | None = None


@dataclass(frozen=True)
class Problem:
    """Everything the order of works depends on; months counted from ``first_year``, ``first_month`` (1-12).

    ``most_by_year`` is the most that may be spent in each of :meth:`years` [minor units], None for no such limit;
    left empty there is none in any year.
    """

    first_year: int
    first_month: int
    projects: tuple[Project, ...]
    budget: Budget
    free_minutes: tuple[int, ...]
    large_per_year: int = 1
    discount: float = 0.04
    tail_months: int = 60
    most_by_year: tuple[int | None, ...] = ()

    @property
    def months(self) -> int:
        """Length of the years planned [months]."""
        return len(self.budget.income)

    @cached_property
    def index(self) -> dict[str, int]:
        """Position of each project id."""
        return {project.id: k for k, project in enumerate(self.projects)}

    def __getitem__(self, project_id: str) -> Project:
        """Return the project with this id."""
        return self.projects[self.index[project_id]]

    def changed(self, projects: Mapping[str, Project] | None = None, **fields: object) -> Problem:
        """Return a copy with some fields, or some projects by id, replaced."""
        kept = tuple((projects or {}).get(p.id, p) for p in self.projects)
        return replace(self, **({"projects": kept} | fields))  # type: ignore[arg-type]

    # Calendar -----------------------------------------------------------------------------------------------

    def calendar(self, month: int) -> tuple[int, int]:
        """Return (year, month 1-12) of a month index; works for the past too."""
        years, rest = divmod(self.first_month - 1 + month, 12)
        return self.first_year + years, rest + 1

    def month_words(self, month: int) -> str:
        """Write a month index as people do: ``March 2028``."""
        year, number = self.calendar(month)
        return f"{calendar.month_name[number]} {year}"

    def years(self) -> list[tuple[int, int, int]]:
        """Return (calendar year, first month index, one past the last) for each year within the plan."""
        edges: dict[int, list[int]] = {}
        for month in range(self.months):
            edges.setdefault(self.calendar(month)[0], []).append(month)
        return [(year, months[0], months[-1] + 1) for year, months in edges.items()]

    def large_limit(self, year: int) -> int:
        """Return how many large works may begin in a calendar year: as chosen, or as many as have begun in it already."""
        begun = sum(
            p.large and p.has_begun and p.fixed_start is not None and self.calendar(p.fixed_start)[0] == year
            for p in self.projects
        )
        return max(self.large_per_year, begun)

    # Money ----------------------------------------------------------------------------------------------------

    @cached_property
    def _price_factors(self) -> tuple[Fraction, ...]:
        yearly = 1 + Fraction(str(self.budget.price_growth))
        return tuple(yearly ** ((month + self.budget.months_gone) // 12) for month in range(self.months))

    def price(self, amount: int, month: int) -> int:
        """Amount [minor units] at the prices of a month within the plan, rounded up."""
        return amount if not self.budget.price_growth else math.ceil(amount * self._price_factors[month])

    def bills(self, project: Project, start: int) -> list[tuple[int, int]]:
        """Return (month, amount) from month 0 on of a project that starts at ``start``, by month (not to be changed)."""
        of = self._seen(project).bills
        found = of.get(start)
        if found is None:
            found = of[start] = self._bills(project, start)
        return found

    def _bills(self, project: Project, start: int) -> list[tuple[int, int]]:
        due = sorted((start + offset, amount) for offset, amount in project.payments)
        inside = [(month, amount) for month, amount in due if 0 <= month < self.months]
        return inside if project.as_paid else [(month, self.price(amount, month)) for month, amount in inside]

    @cached_property
    def spendable(self) -> tuple[int, ...]:
        """Most that may be spent in all by the end of each month, so that no later month runs short.

        Where what has happened cost more than that, it is what has happened: then nothing else is paid until later sums
        have made up for it.
        """
        total, left = self.budget.opening - self.budget.reserve, []
        for income in self.budget.income:
            total += income
            left.append(max(0, total))
        for month in range(self.months - 2, -1, -1):
            left[month] = min(left[month], left[month + 1])
        return tuple(map(max, left, accumulate(self.happened_bills)))

    @cached_property
    def happened_bills(self) -> tuple[int, ...]:
        """What is done or begun by the journal costs in each month [minor units]: no rule of money can undo that."""
        paid = [0] * self.months
        for p in self.projects:
            if p.happened and p.fixed_start is not None:
                for month, amount in self.bills(p, p.fixed_start):
                    paid[month] += amount
        return tuple(paid)

    @cached_property
    def capped(self) -> tuple[tuple[int, int, int, int], ...]:
        """Return :attr:`limits`, each at least what has happened in its year has cost."""
        return tuple(
            (year, first, end, max(most, sum(self.happened_bills[first:end]))) for year, first, end, most in self.limits
        )

    @cached_property
    def limits(self) -> tuple[tuple[int, int, int, int], ...]:
        """Return (calendar year, first month, one past the last, most that may be spent) of each year with a limit.

        Without carrying over no year may cost more than comes in during it.
        """
        found = []
        for place, (year, first, end) in enumerate(self.years()):
            said = self.most_by_year[place] if place < len(self.most_by_year) else None
            most = [] if said is None else [said]
            if not self.budget.carry_over:
                opening = self.budget.opening if place == 0 else 0
                most.append(max(0, opening + sum(self.budget.income[first:end]) - self.budget.reserve))
            found += [(year, first, end, min(most))] if most else []
        return tuple(found)

    # Worth ----------------------------------------------------------------------------------------------------

    @cached_property
    def _weight_from(self) -> tuple[int, ...]:
        end = self.months + self.tail_months
        sums = [0] * (end + 1)
        for month in range(end - 1, -1, -1):
            sums[month] = sums[month + 1] + self.weight(month)
        return tuple(sums)

    def weight(self, month: int) -> int:
        """Weight of one month of use in a month, from 1000 in the first, less by the discount."""
        return round(WEIGHT_NOW * float((1 + self.discount) ** (-month / 12)))

    def worth_from(self, project: Project, month: int) -> int:
        """Worth of having a project from ``month`` to the end of the tail [points x months x 1000, discounted].

        Its harvest begins when it is finished, which is its lag before it is of use; put off by what it is enjoyed with,
        it begins that much later.
        """
        worth = project.worth * self._weight_after(month)
        if not project.harvest:
            return worth
        finished, before = month - project.lag_months, 0
        for age, points in enumerate(project.harvest):
            worth += (points - before) * self._weight_after(finished + 12 * age)
            before = points
        return worth

    def _weight_after(self, month: int) -> int:
        return self._weight_from[min(max(month, 0), self.months + self.tail_months)]

    # Starts ---------------------------------------------------------------------------------------------------

    def fits_window(self, project: Project, start: int) -> bool:
        """Whether every month of the job lies in its window and the bills in the planned years."""
        inside = all(self.calendar(start + u)[1] in project.window for u in range(project.duration_months))
        inside = inside and start >= project.not_before
        return inside and all(0 <= start + offset < self.months for offset, _ in project.payments)

    def allowed_starts(self, project: Project, *, by_deadline: bool = True) -> list[int]:
        """Start months that window, length of the years and (if asked) the deadline leave to a project."""
        if project.fixed_start is not None:
            return [project.fixed_start]
        seen = self._seen(project)
        if seen.starts is None:
            months = range(self.months - project.duration_months + 1)
            seen.starts = [t for t in months if self.fits_window(project, t)]
        starts = seen.starts
        if by_deadline and project.deadline is not None:
            return [t for t in starts if t + project.use_after_months <= project.deadline]
        return list(starts)

    def _seen(self, project: Project) -> _Seen:
        """Return what was worked out of a project so far: it is asked for again and again."""
        seen = self._by_identity.get(id(project))
        if seen is None or seen.project is not project:
            seen = self._by_identity[id(project)] = _Seen(project)
        return seen

    @cached_property
    def _by_identity(self) -> dict[int, _Seen]:
        """What was worked out of each project, by the object itself: comparing projects takes longer than the work."""
        return {}

    def shut_pairs(self) -> Iterator[tuple[int, int, int | None]]:
        """Yield (closer, closed, detour cost or None) by index, of those that shut a way alone."""
        for k, project in enumerate(self.projects):
            for shut in project.shuts:
                if shut.beside is None:
                    yield k, self.index[shut.project], shut.detour

    @cached_property
    def shut_together(self) -> tuple[tuple[Project, Project, Project], ...]:
        """The (closer, closer, closed) whose way two shut only together."""
        return tuple(
            (project, self[shut.beside], self[shut.project])
            for project in self.projects
            for shut in project.shuts
            if shut.beside is not None
        )

    def blocked_by_two(self, one: Project, other: Project, closed: Project, starts: Starts) -> bool:
        """Whether a plan works on ``closed`` after both ``one`` and ``other``, which shut its way together, have begun."""
        if not {one.id, other.id, closed.id} <= starts.keys():
            return False
        return starts[closed.id] + closed.duration_months > max(starts[one.id], starts[other.id])

    def blocked(self, closer: Project, closed: Project, starts: Starts) -> bool:
        """Whether a plan works on ``closed`` after its way is shut by ``closer``."""
        both = closer.id in starts and closed.id in starts
        return both and starts[closed.id] + closed.duration_months > starts[closer.id]

    def detour_bills(self, starts: Starts) -> list[tuple[int, int]]:
        """Return (month, amount) that a plan pays for working round shut ways, from month 0 on."""
        pairs = ((self.projects[a], self.projects[b], detour) for a, b, detour in self.shut_pairs())
        paid = ((starts[b.id], detour) for a, b, detour in pairs if detour and self.blocked(a, b, starts))
        return [bill for bill in paid if bill[0] >= 0]

    def worth(self, starts: Starts) -> int:
        """Whole worth of a plan, in the units of :meth:`worth_from`."""
        end = self.months + self.tail_months
        use = {p.id: starts[p.id] + p.use_after_months if p.id in starts else end for p in self.projects}
        return sum(
            self.worth_from(p, max([use[p.id], *(use[q] for q in p.enjoyed_with)]))
            for p in self.projects
            if p.id in starts
        )


def years_of_use(worth: int) -> float:
    """Write a worth in points x years of today's use."""
    return worth / (12 * WEIGHT_NOW)
