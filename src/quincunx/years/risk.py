"""How likely the plan is to hold when costs, hours, weather and plants turn out as they do."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from quincunx.years import lists
from quincunx.years.order import Order, order
from quincunx.years.problem import Problem, Project, Starts

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

SHAPE = 4.0
"""Weight of the likely value in a three-point estimate.

PERT: Malcolm, Roseboom, Clark and Fazar, Operations Research 7, 1959, 646-669 (citation from memory).
"""


@dataclass(frozen=True)
class ThreePoint:
    """Low, likely and high value as shares of what was planned (0.9, 1, 1.4)."""

    low: float = 1.0
    likely: float = 1.0
    high: float = 1.0

    def __post_init__(self) -> None:
        """Refuse values out of order."""
        if not 0 <= self.low <= self.likely <= self.high:
            raise ValueError(
                f"a three-point estimate runs from low to high; got {self.low}, {self.likely}, {self.high}; "
                "put them in order"
            )

    @property
    def mean(self) -> float:
        """Mean of the beta distribution through the three points."""
        return (self.low + SHAPE * self.likely + self.high) / (SHAPE + 2)

    @property
    def variance(self) -> float:
        """Variance of that beta distribution (exact, not the sixth-of-the-range rule)."""
        return (self.mean - self.low) * (self.high - self.mean) / (SHAPE + 3)

    def draw(self, rng: np.random.Generator, size: int) -> npt.NDArray[np.float64]:
        """Draw values."""
        import numpy as np

        span = self.high - self.low
        if span == 0:
            return np.full(size, self.likely)
        a, b = 1 + SHAPE * (self.likely - self.low) / span, 1 + SHAPE * (self.high - self.likely) / span
        return self.low + span * rng.beta(a, b, size)


@dataclass(frozen=True)
class Chances:
    """What may differ: costs and hours by project, the share of free time that the weather leaves, plants lost.

    ``lost`` is the chance that what a project planted must be planted again a year later at the same cost.  The
    default spreads are our own guesses for a household's estimates (no source): say your own where you can.
    """

    cost: Mapping[str, ThreePoint]
    minutes: Mapping[str, ThreePoint]
    weather: ThreePoint = ThreePoint(0.6, 0.95, 1.0)
    lost: Mapping[str, float] | None = None

    @staticmethod
    def usual(problem: Problem) -> Chances:
        """Same spread for all not yet done: costs 0.9 to 1.4, hours 0.8 to 1.8, 1 planting in 12 lost."""
        todo = [p for p in problem.projects if not p.done]
        return Chances(
            cost={p.id: ThreePoint(0.9, 1.0, 1.4) for p in todo},
            minutes={p.id: ThreePoint(0.8, 1.0, 1.8) for p in todo},
            lost={p.id: 1 / 12 for p in todo if p.lag_months >= 12},
        )


@dataclass(frozen=True)
class Chance:
    """A chance estimated from ``worlds`` drawn worlds, with its standard error."""

    value: float
    worlds: int

    @property
    def error(self) -> float:
        """Standard error; at 0 or 1 that of one world more gone the other way."""
        p = min(max(self.value, 1 / (self.worlds + 1)), 1 - 1 / (self.worlds + 1))
        return math.sqrt(p * (1 - p) / self.worlds)


@dataclass(frozen=True)
class Risk:
    """Chances that each calendar year stays in its money and in its hours, that all do, and what is left over.

    ``hours`` asks that no month has more work than time; ``year_hours`` only that the year's work fits into the
    year's time, some of it a month later than planned.  ``spent_mean`` and ``spent_sd`` are of the sum spent over
    all years [minor units].
    """

    money: dict[int, Chance]
    hours: dict[int, Chance]
    year_hours: dict[int, Chance]
    all_money: Chance
    spent_mean: float
    spent_sd: float


def simulate(problem: Problem, starts: Starts, chances: Chances, *, worlds: int = 10_000, seed: int = 1) -> Risk:
    """Carry the plan out to the letter in many worlds (Monte Carlo, seeded).

    A year stays in its money if the balance is at or above the reserve at the end of each of its months, and in
    its hours if no month of it has more work and upkeep than the weather left time for.
    """
    import numpy as np

    rng = np.random.default_rng(seed)
    spent = np.zeros((problem.months, worlds))
    work = np.zeros((problem.months, worlds))
    for project in sorted(problem.projects, key=lambda p: p.id):
        if project.id in starts:
            _carry_out(problem, project, starts[project.id], chances, rng, spent, work)
    for month, detour in problem.detour_bills(starts):
        spent[month] += detour
    broke = _broke(problem, spent)
    free = np.array(problem.free_minutes)[:, None] * np.array(
        [chances.weather.draw(rng, worlds) for _ in range(problem.months)]
    )
    tired = (work > free + 1e-9) & (work > 0)
    years = problem.years()
    total = spent.sum(axis=0)
    return Risk(
        {year: Chance(float(np.mean(~broke[a:b].any(axis=0))), worlds) for year, a, b in years},
        {year: Chance(float(np.mean(~tired[a:b].any(axis=0))), worlds) for year, a, b in years},
        {
            year: Chance(float(np.mean(work[a:b].sum(axis=0) <= free[a:b].sum(axis=0) + 1e-9)), worlds)
            for year, a, b in years
        },
        Chance(float(np.mean(~broke.any(axis=0))), worlds),
        float(total.mean()),
        float(total.std(ddof=1)) if worlds > 1 else 0.0,
    )


def _broke(problem: Problem, spent: npt.NDArray[np.float64]) -> npt.NDArray[np.bool_]:
    """Return in which months of which worlds more was spent than there was: (months, worlds), as ``spent`` [minor units].

    A year that starts below its reserve breaks nothing until something is spent.  Without carrying over each year begins
    with what comes in, less what the years before are short of.
    """
    import numpy as np

    budget = problem.budget
    runs = [(0, problem.months)] if budget.carry_over else [(a, b) for _, a, b in problem.years()]
    broke, left = np.zeros(spent.shape, bool), np.full(spent.shape[1], float(budget.opening))
    for first, end in runs:
        purse = left - budget.reserve + np.cumsum(budget.income[first:end])[:, None]
        gone = np.cumsum(spent[first:end], axis=0)
        broke[first:end] = (gone > np.maximum(purse, 0)) & (gone > 0)
        left = np.minimum(purse[-1] + budget.reserve - gone[-1], 0.0)
    return broke


def _carry_out(
    problem: Problem,
    project: Project,
    start: int,
    chances: Chances,
    rng: np.random.Generator,
    spent: npt.NDArray[np.float64],
    work: npt.NDArray[np.float64],
) -> None:
    """Add one project's bills, work and upkeep to the worlds; drawing order is fixed by the caller's order."""
    import numpy as np

    worlds = spent.shape[1]
    one = ThreePoint()
    cost = chances.cost.get(project.id, one).draw(rng, worlds)
    minutes = chances.minutes.get(project.id, one).draw(rng, worlds)
    again = rng.random(worlds) < (chances.lost or {}).get(project.id, 0.0)
    for month, amount in problem.bills(project, start):
        spent[month] += amount * cost
        if month + 12 < problem.months:
            spent[month + 12] += np.where(again, problem.price(amount, month + 12) * cost, 0.0)
    for u, planned in enumerate(project.minutes if not project.done else ()):
        if 0 <= start + u < problem.months:
            work[start + u] += planned * minutes
    if project.upkeep_minutes:
        for month in range(max(0, start + project.duration_months), problem.months):
            work[month] += project.upkeep_minutes[problem.calendar(month)[1] - 1]


@dataclass(frozen=True)
class Finish:
    """Months by which a job is finished in half and in four fifths of the worlds; None: not within the years."""

    p50: int | None
    p80: int | None


@dataclass(frozen=True)
class Waiting:
    """A household that waits until it can pay and has the time: finishes, and worth over the worlds."""

    finish: dict[str, Finish]
    worth_mean: float
    worth_error: float
    worth_p10: float
    late: Chance


def waiting(problem: Problem, starts: Starts, chances: Chances, *, worlds: int = 200, seed: int = 1) -> Waiting:
    """Carry the plan out in its order, each job from its planned month on as soon as money and hours allow.

    ``late`` is the share of jobs that finish later than planned, over all worlds.
    """
    import numpy as np

    rng = np.random.default_rng(seed)
    queue = sorted(starts, key=lambda name: (starts[name], name))
    ends: dict[str, list[float]] = {name: [] for name in queue}
    worth, late = [], 0
    base = {p.id: problem.allowed_starts(p, by_deadline=False) for p in problem.projects}
    allowed = {name: [t for t in base[name] if t >= starts.get(name, 0)] for name in base}
    for _ in range(worlds):
        world = _one_world(problem, chances, rng)
        done = lists.serial(world, queue, allowed)
        worth.append(world.worth(done))
        for name in queue:
            end = done[name] + problem[name].duration_months if name in done else math.inf
            ends[name].append(end)
            late += end > starts[name] + problem[name].duration_months
    finish = {name: Finish(_quantile(values, 0.5), _quantile(values, 0.8)) for name, values in ends.items()}
    sd = float(np.std(worth, ddof=1)) if worlds > 1 else 0.0
    share = Chance(late / max(1, worlds * len(queue)), worlds * max(1, len(queue)))
    return Waiting(finish, float(np.mean(worth)), sd / math.sqrt(worlds), float(np.percentile(worth, 10)), share)


def _quantile(values: list[float], share: float) -> int | None:
    value = sorted(values)[max(0, math.ceil(share * len(values)) - 1)]
    return None if math.isinf(value) else int(value)


def _one_world(problem: Problem, chances: Chances, rng: np.random.Generator) -> Problem:
    one = ThreePoint()
    changed = {}
    for project in sorted(problem.projects, key=lambda p: p.id):
        cost = float(chances.cost.get(project.id, one).draw(rng, 1)[0])
        minutes = float(chances.minutes.get(project.id, one).draw(rng, 1)[0])
        again = rng.random() < (chances.lost or {}).get(project.id, 0.0)
        bills = tuple((offset, math.ceil(amount * cost)) for offset, amount in project.payments)
        changed[project.id] = replace(
            project,
            payments=bills + tuple((offset + 12, amount) for offset, amount in bills if again),
            minutes=tuple(math.ceil(m * minutes) for m in project.minutes),
            lag_months=project.lag_months + 12 * again,
        )
    free = tuple(int(f * float(chances.weather.draw(rng, 1)[0])) for f in problem.free_minutes)
    return problem.changed(changed, free_minutes=free)


def with_margin(problem: Problem, margin: float) -> Problem:
    """Return the problem with all costs still to come raised by a share (0.1 = one tenth)."""
    return problem.changed(
        {
            p.id: replace(
                p, payments=tuple((offset, math.ceil(amount * (1 + margin))) for offset, amount in p.payments)
            )
            for p in problem.projects
            if not p.done
        }
    )


@dataclass(frozen=True)
class Margin:
    """One point of the choice: the margin planned with, the plan, its worth, and the chance that its money holds."""

    margin: float
    starts: dict[str, int]
    worth: int
    holds: Chance


def margins(
    problem: Problem,
    chances: Chances,
    *,
    tried: tuple[float, ...] = (0.0, 0.05, 0.1, 0.15, 0.2, 0.3, 0.4),
    wanted: float | None = None,
    start_from: Starts | None = None,
    seconds: float = 5.0,
    effort: float = 1.0,
    worlds: int = 10_000,
) -> list[Margin]:
    """Plan with rising margins on all costs and see how often each plan stays in its money.

    With ``wanted`` (a chance such as 0.8) the rise stops at the first margin whose plan holds that often; it is
    the last of the list, if any reached it.  ``start_from`` is a plan to better, such as the one in force.
    ``effort`` and ``seconds`` are the limits of each search.
    """
    points: list[Margin] = []
    before = start_from
    for margin in tried:
        found: Order = order(
            with_margin(problem, margin), seconds=seconds, effort=effort, gap=0.005, smoothing=False, start_from=before
        )
        if found.starts is None:
            break
        before = found.starts
        holds = simulate(problem, found.starts, chances, worlds=worlds).all_money
        points.append(Margin(margin, found.starts, problem.worth(found.starts), holds))
        if wanted is not None and holds.value >= wanted:
            break
    return points
