"""The order of works as yes/no steps and linear rows, for any solver.

For each project and each allowed start month there is one yes/no: *has started by this month*.  The formulation
(step variables; money as prefix sums, needed only where money comes in; needs as two-literal rules) and how it
compares with others was measured before this was written; time-indexed step variables are those of Pritsker,
Watters and Wolfe, Management Science 16, 1969, 93-108 in cumulative form (citation from memory).
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from itertools import pairwise

from quincunx.years.problem import Problem, Project, Starts

NEVER = -1
"""Literal that is always no."""
ALWAYS = -2
"""Literal that is always yes."""
FREE = -(1 << 60)
"""A row with this lower bound has none."""

Tag = tuple[object, ...]
"""Which rule a row belongs to, for example ``("money", 2028)``."""


@dataclass(frozen=True)
class Row:
    """``low <= sum(coefficient * variable) <= high`` with its tag."""

    terms: dict[int, int]
    low: int
    high: int
    tag: Tag


@dataclass
class Steps:
    """Yes/no variables, two-literal rules, rows and an objective to be made large."""

    problem: Problem
    starts: list[list[int]] = field(default_factory=list)
    first: list[int] = field(default_factory=list)
    count: int = 0
    implies: list[tuple[int, int]] = field(default_factory=list)
    rows: list[Row] = field(default_factory=list)
    worth: dict[int, int] = field(default_factory=dict)
    worth_always: int = 0
    joint: list[tuple[int, int, int]] = field(default_factory=list)
    detours: list[tuple[int, int, int]] = field(default_factory=list)
    detour_paid: list[tuple[int, int, int, int]] = field(default_factory=list)
    detour_year: list[tuple[int, int, int, int, int]] = field(default_factory=list)
    idle: list[tuple[int, int]] = field(default_factory=list)
    impossible: list[Tag] = field(default_factory=list)

    def literal(self, project: int, month: int) -> int:
        """Literal *project has started by month*."""
        k = bisect_right(self.starts[project], month)
        if k == 0:
            return NEVER
        if self.first[project] == ALWAYS:
            return ALWAYS
        return self.first[project] + k - 1

    def weigh(self, project: int, values: list[int]) -> list[tuple[int, int]]:
        """Terms (literal, weight) whose sum is ``values[n]`` if the project starts in its n-th month, else 0."""
        if self.first[project] == ALWAYS:
            return [(ALWAYS, values[0])]
        drops = [here - after for here, after in zip(values, [*values[1:], 0], strict=False)]
        return [(self.first[project] + n, drop) for n, drop in enumerate(drops) if drop]

    def new(self) -> int:
        """Number a further variable."""
        self.count += 1
        return self.count - 1

    def rule(self, literal: int, then: int, tag: Tag) -> None:
        """Add *if literal then then*."""
        if then == ALWAYS or literal in (NEVER, then):
            return
        if literal == ALWAYS and then == NEVER:
            self.impossible.append(tag)
        elif literal == ALWAYS:
            self.rows.append(Row({then: 1}, 1, 1, tag))
        elif then == NEVER:
            self.rows.append(Row({literal: 1}, 0, 0, tag))
        else:
            self.implies.append((literal, then))

    def row(self, terms: Iterable[tuple[int, int]], high: int, tag: Tag) -> None:
        """Add ``sum <= high``; literals that are always or never yes are folded in."""
        folded: dict[int, int] = {}
        for literal, coefficient in terms:
            if literal == ALWAYS:
                high -= coefficient
            elif literal != NEVER and coefficient:
                folded[literal] = folded.get(literal, 0) + coefficient
        folded = {literal: c for literal, c in folded.items() if c}
        if sum(c for c in folded.values() if c > 0) <= high:
            return
        if sum(c for c in folded.values() if c < 0) > high:
            self.impossible.append(tag)
        self.rows.append(Row(folded, FREE, high, tag))

    def decode(self, values: Mapping[int, int] | list[int]) -> dict[str, int]:
        """Read the plan off the values of the variables."""
        plan: dict[str, int] = {}
        for k, project in enumerate(self.problem.projects):
            if self.first[k] == ALWAYS:
                plan[project.id] = self.starts[k][0]
                continue
            for offset, month in enumerate(self.starts[k]):
                if values[self.first[k] + offset]:
                    plan[project.id] = month
                    break
        return plan

    def encode(self, plan: Starts) -> list[int]:
        """Values of all variables for a plan: a complete hint."""
        problem, values = self.problem, [0] * self.count
        at = [plan.get(project.id) for project in problem.projects]
        for k, start in enumerate(at):
            if self.first[k] != ALWAYS and start is not None:
                for offset, month in enumerate(self.starts[k]):
                    values[self.first[k] + offset] = int(start <= month)
        for variable, k, month in self.joint:
            group = [problem.projects[k], *(problem[q] for q in problem.projects[k].enjoyed_with)]
            values[variable] = int(all(p.id in plan and plan[p.id] + p.use_after_months <= month for p in group))
        blocked = {}
        for variable, closer, closed in self.detours:
            a, b = at[closer], at[closed]
            late = a is not None and b is not None and b + problem.projects[closed].duration_months > a
            values[variable] = blocked[closer, closed] = int(late)
        for variable, closer, closed, month in self.detour_paid:
            b = at[closed]
            values[variable] = int(blocked[closer, closed] and b is not None and b <= month)
        for variable, closer, closed, first, end in self.detour_year:
            b = at[closed]
            values[variable] = int(blocked[closer, closed] and b is not None and first <= b < end)
        for variable, month in self.idle:
            busy = any(
                p.id in plan
                and not p.done
                and 0 <= month - plan[p.id] < len(p.minutes)
                and p.minutes[month - plan[p.id]]
                for p in problem.projects
            )
            values[variable] = int(not busy)
        return values


def build(
    problem: Problem,
    *,
    starts: Mapping[str, list[int]] | None = None,
    tighten: bool = True,
    free_musts: bool = False,
    hours_of: frozenset[int] | None = None,
) -> Steps:
    """Write a problem as steps.

    Args:
        problem: what is to be ordered.
        starts: start months by project instead of the allowed ones (to force a move).
        tighten: leave out start months that needs and money rule out beforehand (off when explaining).
        free_musts: leave out musts and deadlines (the caller adds them with the rules it wants to question).
        hours_of: months whose hours are looked at; by default all.
    """
    steps = Steps(problem)
    earliest = earliest_starts(problem) if tighten else [0] * len(problem.projects)
    for k, project in enumerate(problem.projects):
        months = (starts or {}).get(project.id)
        if months is None:
            months = problem.allowed_starts(project, by_deadline=not free_musts)
            months = months if project.fixed_start is not None else [t for t in months if t >= earliest[k]]
        steps.starts.append(months)
        steps.first.append(ALWAYS if project.fixed_start is not None else steps.count)
        if project.fixed_start is None:
            steps.count += len(months)
            variables = range(steps.first[k], steps.count)
            steps.implies += list(pairwise(variables))
            if project.required and not free_musts:
                steps.rule(ALWAYS, steps.literal(k, problem.months), ("must", project.id))
    _needs(steps)
    detours = _open_ways(steps)
    _money(steps, detours)
    _caps(steps, detours)
    _hours(steps, hours_of)
    _large(steps)
    _worth(steps)
    return steps


def earliest_starts(problem: Problem) -> list[int]:
    """Lower bound of each start from needs, windows, large works and the money for all it needs."""
    found: dict[str, tuple[int, frozenset[str]]] = {}

    def visit(project: Project) -> tuple[int, frozenset[str]]:
        if project.id in found:
            return found[project.id]
        month, needed = 0, frozenset[str]()
        for need in project.needs:
            theirs, others = visit(problem[need.project])
            month = max(month, theirs + problem[need.project].duration_months + need.lag_months)
            needed |= others | {need.project}
        found[project.id] = (_first_paid(problem, project, month, needed), needed)
        return found[project.id]

    return [visit(project)[0] for project in problem.projects]


def _first_paid(problem: Problem, project: Project, month: int, needed: frozenset[str]) -> int:
    if project.fixed_start is not None:
        return project.fixed_start
    before = sum(problem[name].cost for name in needed if problem[name].fixed_start is None)
    for start in problem.allowed_starts(project):
        if start < month:
            continue
        spent, enough = before, True
        for due, amount in problem.bills(project, start):
            spent += amount
            # What it needs may have bills that fall due after it starts; only its own are sure by then.
            enough = enough and spent - (before if _late_bills(problem, needed) else 0) <= problem.spendable[due]
        if enough:
            return start
    return problem.months + 1


def _late_bills(problem: Problem, needed: frozenset[str]) -> bool:
    return any(offset >= problem[q].duration_months for q in needed for offset, _ in problem[q].payments)


def _needs(steps: Steps) -> None:
    problem = steps.problem
    for k, project in enumerate(problem.projects):
        if project.done:
            continue
        for need in project.needs:
            q = problem.index[need.project]
            gap = problem.projects[q].duration_months + need.lag_months
            tag = ("needs", need.project, project.id)
            for start, then in _last_for_each(steps, k, q, gap):
                steps.rule(steps.literal(k, start), then, tag)


def _last_for_each(steps: Steps, k: int, q: int, gap: int) -> list[tuple[int, int]]:
    """Pair starts of ``k`` with the literal of ``q`` a gap before; of equal literals the last start says it all."""
    last = {steps.literal(q, start - gap): start for start in steps.starts[k]}
    return [(start, then) for then, start in last.items()]


def _open_ways(steps: Steps) -> list[tuple[int, int, int, int]]:
    """Add the rules of shut ways; return (variable, closer, closed, cost) of the detours."""
    problem, detours = steps.problem, []
    for a, b, detour in problem.shut_pairs():
        tag = ("access", problem.projects[a].id, problem.projects[b].id)
        ever = steps.literal(b, problem.months)
        extra: list[tuple[int, int]] = []
        if detour is not None:
            variable = steps.new()
            steps.detours.append((variable, a, b))
            detours.append((variable, a, b, detour))
            extra = [(variable, -1)]
        for start, before in _last_for_each(steps, a, b, problem.projects[b].duration_months):
            if before == ever:
                continue
            steps.row([(steps.literal(a, start), 1), (before, -1), (ever, 1), *extra], 1, tag)
    _two_shut(steps)
    return detours


def _two_shut(steps: Steps) -> None:
    """Add the rules of ways that two shut only together: once both have begun, what lies behind is finished."""
    problem = steps.problem
    for one, other, closed in problem.shut_together:
        a, b, c = (problem.index[p.id] for p in (one, other, closed))
        ever, tag = steps.literal(c, problem.months), ("access", one.id, closed.id)
        for month in sorted({*steps.starts[a], *steps.starts[b]}):
            both = [(steps.literal(a, month), 1), (steps.literal(b, month), 1)]
            steps.row([*both, (steps.literal(c, month - closed.duration_months), -1), (ever, 1)], 2, tag)


def income_months(problem: Problem) -> list[int]:
    """Months whose end needs a money row: the last before more may be spent, and the last of all."""
    room = problem.spendable
    return [m for m in range(problem.months) if m == problem.months - 1 or room[m + 1] > room[m]]


def _money(steps: Steps, detours: list[tuple[int, int, int, int]]) -> None:
    problem = steps.problem
    paid = [[problem.bills(p, start) for start in steps.starts[k]] for k, p in enumerate(problem.projects)]
    for month in income_months(problem):
        terms: list[tuple[int, int]] = []
        for k in range(len(problem.projects)):
            sums = [sum(amount for due, amount in bills if due <= month) for bills in paid[k]]
            terms += steps.weigh(k, sums)
        for variable, closer, closed, cost in detours:
            started = steps.literal(closed, month)
            past = problem.projects[closed].fixed_start
            if started == NEVER or (past is not None and past < 0):
                continue
            both = steps.new()
            steps.detour_paid.append((both, closer, closed, month))
            steps.row([(variable, 1), (started, 1), (both, -1)], 1, ("detour",))
            terms.append((both, cost))
        steps.row(terms, problem.spendable[month], ("money", problem.calendar(month)[0]))


def _caps(steps: Steps, detours: list[tuple[int, int, int, int]]) -> None:
    """Add the most that may be spent in a calendar year."""
    problem = steps.problem
    for year, first, end, most in problem.capped:
        terms: list[tuple[int, int]] = []
        for k, p in enumerate(problem.projects):
            sums = [sum(amount for due, amount in problem.bills(p, t) if first <= due < end) for t in steps.starts[k]]
            terms += steps.weigh(k, sums) if sums else []
        for variable, closer, closed, cost in detours:
            now, before = steps.literal(closed, end - 1), steps.literal(closed, first - 1)
            past = problem.projects[closed].fixed_start
            if now in (NEVER, before) or (past is not None and past < 0):
                continue
            paid = steps.new()
            steps.detour_year.append((paid, closer, closed, first, end))
            steps.row([(variable, 1), (now, 1), (before, -1), (paid, -1)], 1, ("detour",))
            terms.append((paid, cost))
        steps.row(terms, most, ("cap", year))


def working(steps: Steps, month: int) -> list[tuple[int, int]]:
    """Terms of the minutes worked in a month."""
    terms: list[tuple[int, int]] = []
    for k, project in enumerate(steps.problem.projects):
        if project.done:
            continue
        for u, minutes in enumerate(project.minutes):
            if minutes:
                now, before = steps.literal(k, month - u), steps.literal(k, month - u - 1)
                if now != before:
                    terms += [(now, minutes), (before, -minutes)]
    return terms


def _hours(steps: Steps, only: frozenset[int] | None = None) -> None:
    problem = steps.problem
    keepers = [(k, p) for k, p in enumerate(problem.projects) if p.upkeep_minutes]
    for month in range(problem.months) if only is None else sorted(only):
        tag = ("hours", problem.calendar(month)[0])
        works, free = working(steps, month), problem.free_minutes[month]
        of_year = problem.calendar(month)[1] - 1
        upkeep = [(steps.literal(k, month - p.duration_months), p.upkeep_minutes[of_year]) for k, p in keepers]
        if not works:
            continue
        too_much = sum(minutes for literal, minutes in upkeep if literal != NEVER) - free
        if too_much <= 0:
            steps.row([*works, *upkeep], free, tag)
            continue
        # Upkeep alone may eat the month: then no work is done in it, but the plan stands.
        idle = steps.new()
        steps.idle.append((idle, month))
        steps.row([*works, *upkeep, (idle, -too_much)], free, tag)
        steps.row([*works, (idle, free)], free, tag)


def _large(steps: Steps) -> None:
    problem = steps.problem
    large = [k for k, project in enumerate(problem.projects) if project.large]
    for year, first, end in problem.years():
        # Large works begun in the first calendar year before the plan's first month count too.
        before = first - 1 if first else -problem.first_month
        terms = [t for k in large for t in ((steps.literal(k, end - 1), 1), (steps.literal(k, before), -1))]
        steps.row(terms, problem.large_limit(year), ("large", year))


def _worth(steps: Steps) -> None:
    problem = steps.problem
    for k, project in enumerate(problem.projects):
        if not (project.worth or project.harvest):
            continue
        if project.enjoyed_with:
            _worth_together(steps, k)
            continue
        values = [problem.worth_from(project, t + project.use_after_months) for t in steps.starts[k]]
        for literal, worth in steps.weigh(k, values):
            _add_worth(steps, literal, worth)


def _add_worth(steps: Steps, literal: int, worth: int) -> None:
    if literal == ALWAYS:
        steps.worth_always += worth
    elif worth:
        steps.worth[literal] = steps.worth.get(literal, 0) + worth


def _worth_together(steps: Steps, k: int) -> None:
    """Worth that begins when the project and all it is enjoyed with are of use."""
    problem, project = steps.problem, steps.problem.projects[k]
    group = [k, *(problem.index[q] for q in project.enjoyed_with)]
    after = {q: problem.projects[q].use_after_months for q in group}
    months = sorted({max(0, t + after[q]) for q in group for t in steps.starts[q]})
    for place, month in enumerate(months):
        literals = [steps.literal(q, month - after[q]) for q in group]
        later = problem.worth_from(project, months[place + 1]) if place + 1 < len(months) else 0
        worth = problem.worth_from(project, month) - later
        if NEVER in literals or not worth:
            continue
        real = sorted({literal for literal in literals if literal != ALWAYS})
        if len(real) <= 1:
            _add_worth(steps, real[0] if real else ALWAYS, worth)
            continue
        joint = steps.new()
        steps.joint.append((joint, k, month))
        steps.worth[joint] = worth
        steps.implies += [(joint, literal) for literal in real]
