"""Nonsense in the problem, each piece named in one sentence with the jobs at fault."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from quincunx.units.errors import PlainError
from quincunx.units.words import counted
from quincunx.years.problem import Problem, Project
from quincunx.years.why import Money, plain_money


@dataclass(frozen=True)
class Fault:
    """One thing that can't be so: the sentence and the jobs at fault."""

    sentence: str
    projects: tuple[str, ...] = ()

    def __str__(self) -> str:
        """Return the sentence: a fault is told to a person as it is."""
        return self.sentence


class Nonsense(PlainError, ValueError):
    """Raised where a plan is asked of a problem that contradicts itself; ``faults`` tells how."""

    def __init__(self, faults: list[Fault]) -> None:
        """Join the sentences into the message."""
        super().__init__(" ".join(fault.sentence for fault in faults))
        self.faults = tuple(faults)


def faults(problem: Problem, money: Money = plain_money) -> list[Fault]:
    """Return all that contradicts itself, worst first, its sums written by ``money``; empty if it can be planned."""
    found = [*_unknown(problem), *_shapes(problem)]
    if found:
        return found
    found = list(_cycles(problem))
    for project in problem.projects:
        found += _alone(problem, project)
    found += _money(problem, money)
    return found


def require_sense(problem: Problem, money: Money = plain_money) -> None:
    """Raise :class:`Nonsense` if anything contradicts itself."""
    found = faults(problem, money)
    if found:
        raise Nonsense(found)


def _unknown(problem: Problem) -> Iterator[Fault]:
    ids = [project.id for project in problem.projects]
    for name in sorted({i for i in ids if ids.count(i) > 1}):
        yield Fault(f"Two jobs are both called {name}; give each its own id.", (name,))
    for p in problem.projects:
        named = (
            [n.project for n in p.needs]
            + list(p.enjoyed_with)
            + [s.project for s in p.shuts]
            + [s.beside for s in p.shuts if s.beside]
        )
        for name in sorted(set(named) - set(ids)):
            yield Fault(
                f"{p.name} refers to {name}, but there is no such job; add it or take the reference out.", (p.id,)
            )
        if p.id in named:
            yield Fault(f"{p.name} refers to itself; take the reference out.", (p.id,))


def _shapes(problem: Problem) -> Iterator[Fault]:
    if problem.months < 1 or len(problem.free_minutes) != problem.months:
        yield Fault(
            f"Money is given for {problem.months} months and hours for {len(problem.free_minutes)}; "
            "give both for the same months, at least one."
        )
    if problem.large_per_year < 0:
        yield Fault(f"{problem.large_per_year} large works a year were allowed; give 0 or more.")
    for p in problem.projects:
        wrong = None
        if p.duration_months < 1:
            wrong = f"takes {counted(p.duration_months, 'month')}; give at least 1"
        elif len(p.minutes) > p.duration_months:
            wrong = f"has work in {counted(len(p.minutes), 'month')} but takes {p.duration_months}; make it longer or join the work"
        elif not p.window <= frozenset(range(1, 13)):
            wrong = f"has the months {sorted(p.window)} as its season; expected numbers from 1 to 12"
        elif len(p.upkeep_minutes) not in (0, 12):
            wrong = f"has upkeep for {counted(len(p.upkeep_minutes), 'month')}; give all 12 or none"
        elif p.done and (p.fixed_start is None or p.fixed_start + p.duration_months > 0):
            wrong = "is marked done, but not by the first month of the plan; say when it was done"
        elif any(amount < 0 for _, amount in p.payments) or any(m < 0 for m in p.minutes) or p.worth < 0:
            wrong = "has a negative cost, time or worth; give 0 or more"
        elif p.lag_months < 0 or any(n.lag_months < 0 for n in p.needs):
            wrong = "has a negative waiting time; give 0 or more"
        if wrong:
            yield Fault(f"{p.name} {wrong}.", (p.id,))


def _cycles(problem: Problem) -> Iterator[Fault]:
    """One fault for each ring of needs: depth-first search, each ring told once from its smallest id."""
    state: dict[str, int] = {}
    told: set[frozenset[str]] = set()

    def visit(name: str, path: list[str]) -> Iterator[Fault]:
        state[name] = 1
        for other in sorted(need.project for need in problem[name].needs):
            if state.get(other) == 1:
                ring = [*path, name][[*path, name].index(other) :]
                if frozenset(ring) not in told:
                    told.add(frozenset(ring))
                    words = " needs ".join(problem[q].name for q in [*ring, other])
                    yield Fault(f"These jobs wait for each other: {words}; take one of the needs out.", tuple(ring))
            elif other not in state:
                yield from visit(other, [*path, name])
        state[name] = 2

    for name in sorted(problem.index):
        if name not in state:
            yield from visit(name, [])


def _alone(problem: Problem, p: Project) -> list[Fault]:
    """Faults of one job by itself."""
    if p.fixed_start is not None:
        return []
    if p.deadline is not None and p.deadline < 1:
        return [
            Fault(
                f"{p.name} was to be of use by {problem.month_words(p.deadline)}, which is past; set a later date.",
                (p.id,),
            )
        ]
    if not any(_runs_in(problem, p, month) for month in range(12)):
        return [
            Fault(
                f"{p.name} takes {counted(p.duration_months, 'month')}, but its season is never that long; "
                "widen the season or split the job.",
                (p.id,),
            )
        ]
    starts = problem.allowed_starts(p, by_deadline=False)
    if p.required and not starts:
        return [Fault(f"{p.name} must be done, but the years planned hold no season long enough for it.", (p.id,))]
    if p.deadline is not None and not problem.allowed_starts(p):
        first = min(starts) + p.use_after_months
        return [
            Fault(
                f"{p.name} should be of use by {problem.month_words(p.deadline)}, but its season and its time allow "
                f"{problem.month_words(first)} at the earliest; set a later date.",
                (p.id,),
            )
        ]
    if p.required and p.minutes and max(p.minutes) > max(problem.free_minutes):
        return [
            Fault(
                f"{p.name} takes {max(p.minutes) / 60:.0f} hours in one month, but no month has more than "
                f"{max(problem.free_minutes) / 60:.0f}; spread it over more months or hire it out.",
                (p.id,),
            )
        ]
    return []


def _runs_in(problem: Problem, p: Project, start: int) -> bool:
    return all(problem.calendar(start + u)[1] in p.window for u in range(p.duration_months))


def _money(problem: Problem, money: Money) -> list[Fault]:
    wanted = tuple(p.id for p in problem.projects if p.cost and not p.done)
    total = problem.budget.opening + sum(problem.budget.income)
    if wanted and total <= problem.budget.reserve:
        if not total and not problem.budget.reserve:
            said = "There is no money in any year, so nothing that costs anything can be done; give a sum for a year."
            return [Fault(said, wanted)]
        return [
            Fault(
                f"All the money there will be ({money(total)}) is no more than what is kept back "
                f"({money(problem.budget.reserve)}), so nothing that costs anything can be done; "
                "keep back less or raise the sum.",
                wanted,
            )
        ]
    return []
