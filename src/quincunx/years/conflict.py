"""Wishes that can't all be had: the smallest set in conflict, in plain words, and the cheapest ways out."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from quincunx.units import listed
from quincunx.years.faults import require_sense
from quincunx.years.model import Model, formulate
from quincunx.years.problem import ALL_YEAR, Problem
from quincunx.years.steps import ALWAYS, NEVER, Steps, Tag, build
from quincunx.years.why import Money, plain_money

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

ASKABLE = ("money", "cap", "hours", "large", "access")
"""Rules that can be in a conflict beside the wishes; season and needs are taken as they are."""
MANY = 8
"""From this many items on, a conflict is said as a sum, not as a list."""
SUM = 3 * MANY
"""From this many on it stays a sum whatever can be left out of it, so nothing is: that would take seconds."""


@dataclass(frozen=True)
class Conflict:
    """Wishes and limits that can't all hold; taking any one of them away would do (if ``smallest``)."""

    items: tuple[Tag, ...]
    smallest: bool
    sentence: str


class Question:
    """The problem with a switch for each wish and each limit that can be asked about."""

    def __init__(self, problem: Problem, without: Iterable[str] = ()) -> None:
        """Build the model; rules of the kinds in ``without`` are left to the caller."""
        booked = [p for p in problem.projects if p.fixed_start is not None and not p.has_begun]
        loose = {p.id: replace(p, fixed_start=None, window=ALL_YEAR, must=True) for p in booked}
        dates = {p.id: [int(p.fixed_start or 0)] for p in booked}
        self.problem = problem
        self.spent = 0.0
        self.booked = set(loose)
        self.steps: Steps = build(problem.changed(loose), starts=dates, tighten=False, free_musts=True)
        self.model: Model = formulate(self.steps, objective=False, skip=lambda row: row.tag[0] in ASKABLE)
        self.switches: dict[Tag, cp_model.IntVar] = {}
        self._left = frozenset(without)
        self._limits()
        self._wishes()

    def switch(self, tag: Tag) -> cp_model.IntVar:
        """Variable that is yes while the wish or limit holds."""
        if tag not in self.switches:
            self.switches[tag] = self.model.cp.new_bool_var(" ".join(map(str, tag)))
        return self.switches[tag]

    def _limits(self) -> None:
        for row in self.steps.rows:
            if row.tag[0] in ASKABLE and row.tag[0] not in self._left:
                self.model.add(row).only_enforce_if(self.switch(row.tag))
        for tag in self.steps.impossible:
            if tag[0] in ASKABLE and tag[0] not in self._left:
                self.model.cp.add(self.switch(tag) == 0)

    def _wishes(self) -> None:
        for k, project in enumerate(self.problem.projects):
            if self.steps.first[k] == ALWAYS or not (project.required or project.id in self.booked):
                continue
            last = self.problem.months
            if project.deadline is not None and project.id not in self.booked:
                last = project.deadline - project.use_after_months
            switch, literal = self.switch(("wish", project.id)), self.steps.literal(k, last)
            if literal == NEVER:
                self.model.cp.add(switch == 0)
            else:
                self.model.cp.add_implication(switch, self.model.variables[literal])

    def core(self, tags: Iterable[Tag], effort: float) -> set[Tag] | Literal[True] | None:
        """Ask whether these can all hold: True yes, None unknown, else a set that can't."""
        from ortools.sat.python import cp_model

        tags = list(tags)
        self.model.cp.clear_assumptions()
        self.model.cp.add_assumptions([self.switches[tag] for tag in tags])
        solver = cp_model.CpSolver()
        p = solver.parameters
        # Presolve may blame a switch that was not assumed; every core is verified by asking again.
        p.num_workers, p.cp_model_presolve, p.max_deterministic_time, p.random_seed = 1, False, effort, 1
        status = solver.solve(self.model.cp)
        self.spent += solver.response_proto.deterministic_time
        if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return True
        if status != cp_model.INFEASIBLE:
            return None
        by_index = {self.switches[tag].index: tag for tag in tags}
        blamed = {by_index[i] for i in solver.sufficient_assumptions_for_infeasibility() if i in by_index}
        return blamed or set(tags)


def conflict(problem: Problem, *, effort: float = 2.0, money: Money = plain_money) -> Conflict | None:
    """Return the smallest set of wishes and limits that can't all hold, or None if a plan exists.

    A first set comes from the solver; then each member is left out in turn (a deletion filter: Chinneck and
    Dravnieks, ORSA J. Computing 3, 1991, 157-168; citation from memory).  ``effort`` is the solver's
    deterministic limit for all questions; if one is left open, ``smallest`` is False.
    """
    require_sense(problem)
    question = Question(problem)
    tags = sorted(question.switches, key=_as_key)
    answer = question.core(tags, effort)
    if answer is True:
        return None
    if answer is None:
        return Conflict((), False, "Whether all wishes can be had could not be settled in the time given.")
    core, smallest = _shrink(question, _verified(question, answer, tags, effort), effort)
    items = tuple(sorted(core, key=_as_key))
    return Conflict(items, smallest, _sentence(problem, items, money))


def _as_key(tag: Tag) -> tuple[int, str]:
    return ("wish", "access", "large", "hours", "cap", "money").index(str(tag[0])), " ".join(
        f"{part:>9}" for part in map(str, tag)
    )


def _verified(question: Question, answer: set[Tag], tags: list[Tag], effort: float) -> set[Tag]:
    again = question.core(sorted(answer, key=_as_key), effort)
    return again & answer if isinstance(again, set) else set(tags)


def _shrink(question: Question, core: set[Tag], effort: float) -> tuple[set[Tag], bool]:
    smallest = True
    if len(core) >= SUM:
        return core, False
    # Limits go first, so that what remains says as little about years and as much about wishes as can be.
    for tag in sorted(core, key=_as_key, reverse=True):
        if tag not in core or len(core) == 1:
            continue
        left = effort - question.spent
        answer = question.core(sorted(core - {tag}, key=_as_key), left) if left > 0 else None
        if isinstance(answer, set):
            core = answer
        elif answer is None:
            smallest = False
    return core, smallest


def _sentence(problem: Problem, items: tuple[Tag, ...], money: Money) -> str:
    wishes = [problem[str(tag[1])] for tag in items if tag[0] == "wish"]
    if len(items) >= MANY:
        cost = sum(problem.price(p.cost, 0) for p in wishes)
        years = sorted({int(str(tag[1])) for tag in items if tag[0] in ("money", "cap", "hours", "large")})
        until = f" up to {years[-1]}" if years else ""
        return (
            f"These {len(wishes)} wishes, {money(cost)} in all without what they need, "
            f"can't all be had with {_limits_words(problem, {str(tag[0]) for tag in items})}{until}."
        )
    parts = [_phrase(problem, tag, money) for tag in items]
    if len(items) == len(wishes):
        ending = "the seasons and the order of the works don't allow it, whatever the money"
        return f"{_join(parts)} can't be had{' together' if len(parts) > 1 else ''}: {ending}."
    return f"These can't all be had together: {'; '.join(parts)}."


def _limits_words(problem: Problem, kinds: set[str]) -> str:
    """Name the limits of a conflict as a sum."""
    large = problem.large_per_year
    words = [
        ("the money there is", bool(kinds & {"money", "cap"})),
        ("the hours there are", "hours" in kinds),
        (f"no more than {large} large work{'s' * (large != 1)} a year", "large" in kinds),
        ("the ways that shut", "access" in kinds),
    ]
    return listed([name for name, there in words if there] or ["the seasons there are"])


def _join(parts: list[str]) -> str:
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"


def _shut_phrase(problem: Problem, closer: str, closed: str) -> str:
    beside = next((s.beside for s in problem[closer].shuts if s.project == closed), None)
    if beside is None:
        return f"the way to {problem[closed].name}, which {problem[closer].name} shuts"
    return f"the way to {problem[closed].name}, which {problem[closer].name} and {problem[beside].name} shut together"


def _phrase(problem: Problem, tag: Tag, money: Money) -> str:
    kind = tag[0]
    if kind == "wish":
        project = problem[str(tag[1])]
        if project.fixed_start is not None:
            return f"{project.name} booked for {problem.month_words(project.fixed_start)}"
        if project.deadline is not None:
            return f"{project.name} of use by {problem.month_words(project.deadline)}"
        return f"{project.name} done within the years"
    if kind == "access":
        return _shut_phrase(problem, str(tag[1]), str(tag[2]))
    year = int(str(tag[1]))
    end = next(end for y, _, end in problem.years() if y == year)
    if kind == "money":
        return f"no more than {money(problem.spendable[end - 1])} to spend by the end of {year}"
    if kind == "cap":
        return f"no more than {money(next(most for y, _, _, most in problem.capped if y == year))} spent in {year}"
    if kind == "large":
        return f"no more than {problem.large_per_year} large work{'s' * (problem.large_per_year != 1)} in {year}"
    return f"the hours of {year}"
