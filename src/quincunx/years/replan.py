"""Plan again from today with the least change that is worth it."""

from __future__ import annotations

import math
import threading
import time
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from quincunx.years import lists
from quincunx.years.checker import check
from quincunx.years.faults import faults
from quincunx.years.lean import crowded_first, found_or_all, lean, overfull, with_next
from quincunx.years.model import Model, formulate, run
from quincunx.years.order import FEW_HOURS, order
from quincunx.years.problem import Problem, Project, Starts
from quincunx.years.steps import FREE, Row, Steps

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

MOVE_PRICE = 24
"""Price of moving a job at all, in months of shift (our own choice)."""
FAR = 12
"""Months of shift beyond which a further month counts no more."""
LEFT_OUT = MOVE_PRICE + 2 * FAR
"""Price of leaving out a job that was planned: more than that of any move."""


@dataclass(frozen=True)
class Progress:
    """What the journal says of a job by today: begun in which month, finished or not, paid and worked so far."""

    started: int
    finished: bool = False
    paid: int = 0
    minutes: int = 0


def from_today(
    problem: Problem,
    today: int,
    balance: int,
    journal: Mapping[str, Progress],
    *,
    booked: Mapping[str, int] | None = None,
    spent_this_year: int = 0,
) -> Problem:
    """Return the problem that is left on a day: month 0 is ``today``, done jobs are done, begun ones go on.

    ``balance`` is the money there is today [minor units], before this month's income.  What is still to pay of a
    begun job is its cost less what was paid, in its last month; what is still to do its minutes less those
    worked, from today on.  ``booked`` gives start months (old count) that can't be moved; ``spent_this_year`` [minor
    units] counts against the most that this year may cost.
    """
    changed = {}
    for p in problem.projects:
        if p.id in journal:
            changed[p.id] = _in_progress(problem, p, today, journal[p.id])
        else:
            fixed = (booked or {}).get(p.id, p.fixed_start)
            changed[p.id] = replace(
                p,
                fixed_start=None if fixed is None else fixed - today,
                deadline=None if p.deadline is None else p.deadline - today,
                payments=tuple((offset, problem.price(amount, today)) for offset, amount in p.payments),
            )
    year, month = problem.calendar(today)
    gone = (problem.budget.months_gone + today) % 12
    budget = replace(problem.budget, income=problem.budget.income[today:], opening=balance, months_gone=gone)
    free = problem.free_minutes[today:]
    caps = problem.most_by_year[year - problem.first_year :]
    if caps and caps[0] is not None:
        caps = (max(0, caps[0] - spent_this_year), *caps[1:])
    return problem.changed(
        changed, first_year=year, first_month=month, budget=budget, free_minutes=free, most_by_year=caps
    )


def _in_progress(problem: Problem, p: Project, today: int, progress: Progress) -> Project:
    start = progress.started - today
    if progress.finished:
        duration = min(p.duration_months, max(1, -start))
        return replace(
            p,
            fixed_start=min(start, -duration),
            duration_months=duration,
            done=True,
            payments=(),
            minutes=(),
            deadline=None,
        )
    duration = max(p.duration_months, 1 - start)
    rest = max(0, problem.price(p.cost, today) - progress.paid)
    left = max(0, sum(p.minutes) - progress.minutes)
    months = duration + start
    share = [left // months + (u < left % months) for u in range(months)]
    return replace(
        p,
        fixed_start=start,
        duration_months=duration,
        payments=((duration - 1, rest),) if rest else (),
        minutes=(0,) * -start + tuple(share),
        deadline=None if p.deadline is None else p.deadline - today,
    )


@dataclass(frozen=True)
class Move:
    """One job that moved: months of the new problem's count, None for not done."""

    project: str
    old: int | None
    new: int | None
    sentence: str


@dataclass(frozen=True)
class Replanned:
    """The new plan, what moved, its worth and that of the best plan without regard to change."""

    starts: dict[str, int] | None
    moves: tuple[Move, ...]
    worth: int
    best_worth: int
    bound: int
    least: bool

    @property
    def given_up(self) -> float:
        """Share of the best worth given up for staying put."""
        return 0.0 if not self.best_worth else 1 - self.worth / self.best_worth


def replan(
    problem: Problem,
    old: Starts,
    *,
    give: float = 0.005,
    seconds: float = 5.0,
    effort: float | None = None,
    stop: threading.Event | None = None,
) -> Replanned:
    """Return the plan nearest to ``old`` whose worth is within ``give`` of the best found.

    ``old`` is in the problem's months (see :func:`from_today`; shift it by today).  A job that moves costs
    :data:`MOVE_PRICE` and its shift in months (at most :data:`FAR`), one left out :data:`LEFT_OUT`; booked jobs stay.  ``least`` tells whether
    no smaller change is certain to exist.  ``seconds`` and ``effort`` (deterministic) bound the whole.
    """
    effort = effort if effort is not None else seconds * 0.4
    kept = {name: start for name, start in old.items() if name in problem.index} | {
        p.id: p.fixed_start for p in problem.projects if p.fixed_start is not None
    }
    repaired = _repaired(problem, kept)
    best = order(
        problem, seconds=seconds / 2, effort=effort / 2, gap=give / 5, smoothing=False, start_from=repaired, stop=stop
    )
    if best.starts is None:
        return Replanned(None, (), 0, 0, best.bound, least=best.proven)
    floor = math.ceil((1 - give) * best.worth)
    near = repaired if repaired and problem.worth(repaired) >= floor else best.starts
    limits = _Limits(time.perf_counter() + seconds / 2, effort / 2)
    plan, least = _least_change(problem, kept, [near, best.starts], floor, limits, stop)
    plan = _settled(problem, kept, plan, effort / 4)
    worth = problem.worth(plan)
    return Replanned(plan, moves(problem, kept, plan), worth, max(best.worth, worth), best.bound, least)


@dataclass
class _Limits:
    """When the search for the least change ends: at a moment, or after so much effort."""

    until: float
    effort: float


def _least_change(
    problem: Problem,
    old: Starts,
    known: list[dict[str, int]],
    floor: int,
    limits: _Limits,
    stop: threading.Event | None,
) -> tuple[dict[str, int], bool]:
    """Return the plan of at least ``floor`` nearest to ``old``, from ``known`` plans on, and whether that is proven.

    Of two plans that move the same jobs the one that moves them to earlier months is worth no less, so the starts that
    matter, the old ones and the known ones are enough to move as few jobs as can be.  Hours are looked at where they
    bind, as in the search for the best.
    """
    plan, crowded = known[0], crowded_first(problem, known[0])
    for stage in range(FEW_HOURS + 1):
        if stage == FEW_HOURS:
            crowded = frozenset(range(problem.months))
        steps = lean(problem, crowded, [old, *known])
        model = formulate(steps, objective=False)
        model.add(Row({k: -w for k, w in steps.worth.items()}, FREE, steps.worth_always - floor, ("worth",)))
        model.hint(steps.encode(plan))
        model.cp.minimize(_change(model, steps, old))
        left = max(0.05, limits.until - time.perf_counter())
        outcome = run(model, seconds=left, effort=limits.effort, workers=("max_lp",), stop=stop)
        limits.effort -= outcome.effort
        found = steps.decode(outcome.values) if outcome.values is not None else plan
        missed = overfull(problem, found) - crowded
        if not missed:
            sound = check(problem, found).sound
            return (found, outcome.proven) if sound else (known[-1], False)
        if limits.effort <= 0 or limits.until <= time.perf_counter():
            break
        crowded = found_or_all(problem, crowded | with_next(problem, missed))
    return plan, False


def _settled(problem: Problem, old: Starts, plan: dict[str, int], effort: float) -> dict[str, int]:
    """Let the jobs that move anyway move to where they are worth most, the others staying."""
    stay = {name: replace(problem[name], fixed_start=at) for name, at in plan.items() if old.get(name) == at}
    if len(stay) == len(plan):
        return plan
    out = {p.id: replace(p, window=frozenset()) for p in problem.projects if p.id not in plan}
    held = problem.changed(stay | out)
    if faults(held):
        return plan
    best = order(held, seconds=10.0, effort=effort, smoothing=False, start_from=plan)
    better = best.starts is not None and best.worth > problem.worth(plan) and check(problem, best.starts).sound
    return best.starts if better and best.starts is not None else plan


def _repaired(problem: Problem, old: Starts) -> dict[str, int] | None:
    """Keep the old order, each job from its old month on; then fill in what was not in it."""
    from_then = {p.id: [t for t in problem.allowed_starts(p) if t >= old.get(p.id, 0)] for p in problem.projects}
    order = sorted(old, key=lambda name: (old[name], name))
    rest = [p.id for p in problem.projects if p.id not in old]
    plan = lists.serial(problem, [*order, *rest], from_then)
    return plan if lists.complete(problem, plan) and check(problem, plan).sound else None


def _change(model: Model, steps: Steps, old: Starts) -> cp_model.LinearExpr:
    """Price of all moves: a sum over the steps."""
    weights: dict[int, int] = {}
    for k, project in enumerate(steps.problem.projects):
        if steps.first[k] < 0 or not steps.starts[k]:
            continue
        before = old.get(project.id)
        if before is None:
            prices = [MOVE_PRICE] * len(steps.starts[k])
        else:
            prices = [0 if t == before else MOVE_PRICE + min(FAR, abs(t - before)) for t in steps.starts[k]]
            # weigh() gives 0 to left out, so take the price of that off the rest.
            prices = [price - LEFT_OUT for price in prices]
        for literal, weight in steps.weigh(k, prices):
            weights[literal] = weights.get(literal, 0) + weight
    return model.total(weights)


def moves(problem: Problem, old: Starts, new: Starts) -> tuple[Move, ...]:
    """Tell in the jobs' order what another plan does at another time, leaves out or adds."""
    found = []
    for p in problem.projects:
        before, after = old.get(p.id), new.get(p.id)
        if before == after:
            continue
        if after is None and before is not None:
            words = f"{p.name}, planned for {problem.month_words(before)}, is left out."
        elif before is None and after is not None:
            words = f"{p.name} is new: {problem.month_words(after)}."
        elif before is not None and after is not None:
            ways = "later" if after > before else "earlier"
            count = abs(after - before)
            words = (
                f"{p.name} moves from {problem.month_words(before)} to {problem.month_words(after)}, "
                f"{count} month{'s' * (count > 1)} {ways}."
            )
        found.append(Move(p.id, before, after, words))
    return tuple(found)
