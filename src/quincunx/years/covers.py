"""Sharper rows for money: jobs that can't all be paid for by a month.

If some jobs and all they need cost more by a month than there is by then, not all of them can have begun: a cover
inequality of the knapsack (Balas, Math. Programming 8, 1975, 146-164; with what comes before each counted in it, as
in Boyd, Disc. Applied Math. 43, 1993, 19-43; both citations from memory).  Only rows that cut off the relaxation at
hand are added, so few are.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from quincunx.years.relax import Relaxed, relax
from quincunx.years.steps import ALWAYS, FREE, Row, Steps, income_months

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

LEAST_CUT = 0.02
"""A row is worth adding if the relaxation breaks it by so much."""
NONE = 1e-6
LEAST_GAIN = 3e-4
"""Another round follows if the last lowered the bound by so large a share."""
MOST_JOBS = 80
"""Of more jobs than this one makes so small a part of the money that covers hardly cut (measured)."""


@dataclass(frozen=True)
class _Item:
    """One step: if ``literal`` then each job of ``costs`` {project: paid by the month} is paid so far."""

    literal: int
    costs: dict[int, int]

    @property
    def total(self) -> int:
        return sum(self.costs.values())


@dataclass(frozen=True)
class Knapsack:
    """What there is to spend by the end of a month, and the steps that spend of it."""

    month: int
    room: int
    items: tuple[_Item, ...]


def knapsacks(steps: Steps) -> list[Knapsack]:
    """Return the money rows with all that each step makes sure is paid."""
    problem, before = steps.problem, _before(steps)
    found = []
    for month in income_months(problem):
        paid = [_paid(steps, k, month) for k in range(len(problem.projects))]
        fixed = sum(sums[0] for k, sums in enumerate(paid) if steps.first[k] == ALWAYS)
        items = [item for k in range(len(paid)) if steps.first[k] != ALWAYS for item in _items(steps, k, paid, before)]
        found.append(Knapsack(month, problem.spendable[month] - fixed, tuple(items)))
    return found


def _before(steps: Steps) -> list[dict[int, int]]:
    """Return for each project what must come before it and how long before, at the least [months]."""
    problem = steps.problem
    found: dict[int, dict[int, int]] = {}

    def visit(k: int) -> dict[int, int]:
        if k not in found:
            gaps: dict[int, int] = {}
            for need in problem.projects[k].needs:
                q = problem.index[need.project]
                gap = problem.projects[q].duration_months + need.lag_months
                for other, further in {q: 0, **visit(q)}.items():
                    gaps[other] = max(gaps.get(other, 0), gap + further)
            found[k] = gaps
        return found[k]

    return [visit(k) for k in range(len(problem.projects))]


def _paid(steps: Steps, k: int, month: int) -> list[int]:
    """Return the least that a project has cost by the end of a month if it began by each of its starts."""
    problem, sums = steps.problem, list[int]()
    for start in steps.starts[k]:
        bills = problem.bills(problem.projects[k], start) if start <= month else []
        now = sum(amount for due, amount in bills if due <= month)
        sums.append(min(now, sums[-1]) if sums else now)
    return sums


def _items(steps: Steps, k: int, paid: list[list[int]], before: list[dict[int, int]]) -> Iterable[_Item]:
    """Yield the steps of a project at which more is sure to be paid, the last first."""
    least = 0
    for place in range(len(steps.starts[k]) - 1, -1, -1):
        costs = {}
        for q, gap in {k: 0, **before[k]}.items():
            at = bisect_right(steps.starts[q], steps.starts[k][place] - gap) - 1
            if steps.first[q] != ALWAYS and at >= 0 and paid[q][at]:
                costs[q] = paid[q][at]
        item = _Item(steps.first[k] + place, costs)
        if item.total > least:
            least = item.total
            yield item


def _joined(items: Iterable[_Item]) -> dict[int, int]:
    costs: dict[int, int] = {}
    for item in items:
        for q, amount in item.costs.items():
            costs[q] = max(costs.get(q, 0), amount)
    return costs


def cut(sack: Knapsack, values: npt.NDArray[np.float64]) -> list[frozenset[int]]:
    """Return sets of steps that can't all be yes though the relaxation nearly says so."""
    begun = [(1.0 - float(values[item.literal]), item) for item in sack.items if values[item.literal] > NONE]
    surest = sorted(begun, key=lambda one: (one[0], -one[1].total, one[1].literal))
    dearest = sorted(begun, key=lambda one: (one[0] / one[1].total, one[1].literal))
    seeds: list[tuple[float, _Item] | None] = [None, *(one for one in surest if one[0] > NONE)]
    found: dict[frozenset[int], None] = {}
    for seed in seeds:
        for queue in (surest, dearest):
            cover = _cover(sack.room, [*([seed] if seed else []), *(one for one in queue if one is not seed)])
            if cover and sum(slack for slack, _ in cover) < 1 - LEAST_CUT:
                found.setdefault(frozenset(item.literal for _, item in cover))
    return list(found)


def _cover(room: int, queue: list[tuple[float, _Item]]) -> list[tuple[float, _Item]]:
    """Take steps in order until they cost more than there is; then leave out what isn't needed for that."""
    chosen, costs, slack = list[tuple[float, _Item]](), dict[int, int](), 0.0
    for one in queue:
        more = {q: a for q, a in one[1].costs.items() if a > costs.get(q, 0)}
        if not more or slack + one[0] >= 1 - LEAST_CUT:
            continue
        chosen.append(one)
        slack += one[0]
        costs |= more
        if sum(costs.values()) > room:
            break
    else:
        return []
    for one in sorted(chosen, key=lambda c: (-c[0], c[1].total, c[1].literal)):
        rest = [other for other in chosen if other is not one]
        if sum(_joined(item for _, item in rest).values()) > room:
            chosen = rest
    return chosen


def sharpen(steps: Steps, relaxed: Relaxed, *, rounds: int) -> Relaxed:
    """Add covers that cut off the relaxation, solve it again, and so on; return the last relaxation."""
    if len(steps.problem.projects) > MOST_JOBS:
        return relaxed
    sacks, known = knapsacks(steps), set[frozenset[int]]()
    for _ in range(rounds):
        if relaxed.bound is None:
            return relaxed
        new = [(sack, one) for sack in sacks for one in cut(sack, relaxed.values) if one not in known]
        if not new:
            return relaxed
        for sack, one in new:
            known.add(one)
            terms = dict.fromkeys(sorted(one), 1)
            steps.rows.append(Row(terms, FREE, len(one) - 1, ("cover", steps.problem.calendar(sack.month)[0])))
        before, relaxed = relaxed.bound, relax(steps)
        if relaxed.bound is None or before - relaxed.bound < LEAST_GAIN * before:
            return relaxed
    return relaxed
