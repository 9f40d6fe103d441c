"""Plans by fixed rule: what a person does with a list or a sheet of paper, and the scheduler beneath.

A list is worked through in order; each project is put in the first month that window, needs, money, hours,
large works and open ways allow, what it needs going before it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from quincunx.years.problem import Problem, Project, Starts


class Ledger:
    """What is already placed: money, minutes and large works by month; placing and asking are quick."""

    def __init__(self, problem: Problem) -> None:
        """Start with nothing placed but the fixed projects."""
        self.problem = problem
        self.starts: dict[str, int] = {}
        self.room = list(problem.spendable)
        self.caps = {year: most for year, _, _, most in problem.capped}
        self.free = list(problem.free_minutes)
        self.work = [0] * problem.months
        self.large: dict[int, int] = {}
        self._ways: dict[str, list[tuple[str, bool, int | None]]] = {}
        for closer, closed, detour in problem.shut_pairs():
            a, b = problem.projects[closer].id, problem.projects[closed].id
            self._ways.setdefault(a, []).append((b, True, detour))
            self._ways.setdefault(b, []).append((a, False, detour))
        self._together: dict[str, list[tuple[Project, Project, Project]]] = {}
        for three in problem.shut_together:
            for p in three:
                self._together.setdefault(p.id, []).append(three)
        self._months = [problem.calendar(month)[1] - 1 for month in range(problem.months)]
        self._year = [problem.calendar(month)[0] for month in range(problem.months)]
        for project in problem.projects:
            if project.fixed_start is not None:
                self.place(project, project.fixed_start)

    def earliest(self, project: Project) -> int | None:
        """First month its needs allow, None while one of them is not placed."""
        month = 0
        for need in project.needs:
            start = self.starts.get(need.project)
            if start is None:
                return None
            month = max(month, start + self.problem[need.project].duration_months + need.lag_months)
        return month

    def _bills(self, project: Project, start: int) -> list[tuple[int, int]] | None:
        """Bills with the detours that this start causes; None where a way is shut for good."""
        if three := self._together.get(project.id):
            then = self.starts | {project.id: start}
            if any(self.problem.blocked_by_two(*those, then) for those in three):
                return None
        bills = self.problem.bills(project, start)
        for other, closes, detour in self._ways.get(project.id, ()):
            theirs = self.starts.get(other)
            if theirs is None:
                continue
            if closes:
                blocked, pay_month = theirs + self.problem[other].duration_months > start, theirs
            else:
                blocked, pay_month = start + project.duration_months > theirs, start
            if blocked and detour is None:
                return None
            if blocked and detour is not None and pay_month >= 0:
                bills = sorted([*bills, (pay_month, detour)])
        return bills

    def _hours_fit(self, project: Project, start: int) -> bool:
        for u, minutes in enumerate(project.minutes):
            if minutes and self.work[start + u] + minutes > self.free[start + u]:
                return False
        if project.upkeep_minutes:
            for month in range(start + project.duration_months, self.problem.months):
                if (
                    self.work[month]
                    and self.work[month] + project.upkeep_minutes[self._months[month]] > self.free[month]
                ):
                    return False
        return True

    def fits(self, project: Project, start: int) -> bool:
        """Whether a project can start in this month beside what is placed (window and needs not asked)."""
        if project.large and self.large.get(self._year[start], 0) >= self.problem.large_per_year:
            return False
        if not self._hours_fit(project, start):
            return False
        bills = self._bills(project, start)
        if bills is None:
            return False
        total = 0
        for month, amount in bills:
            total += amount
            if total > self.room[month]:
                return False
        return not self.caps or self._within_caps(bills)

    def _within_caps(self, bills: list[tuple[int, int]]) -> bool:
        due: dict[int, int] = {}
        for month, amount in bills:
            year = self._year[month]
            due[year] = due.get(year, 0) + amount
        return all(amount <= self.caps.get(year, amount) for year, amount in due.items() if amount)

    def place(self, project: Project, start: int) -> None:
        """Put a project in, with its money, minutes and upkeep."""
        for month, amount in self._bills(project, start) or self.problem.bills(project, start):
            if self._year[month] in self.caps:
                self.caps[self._year[month]] -= amount
            for later in range(month, self.problem.months):
                self.room[later] -= amount
            for earlier in range(month - 1, -1, -1):
                if self.room[earlier] <= self.room[month]:
                    break
                self.room[earlier] = self.room[month]
        if not project.done:
            for u, minutes in enumerate(project.minutes):
                if 0 <= start + u < self.problem.months:
                    self.work[start + u] += minutes
        if project.upkeep_minutes:
            for month in range(max(0, start + project.duration_months), self.problem.months):
                self.free[month] -= project.upkeep_minutes[self._months[month]]
        if project.large:
            year = self.problem.calendar(start)[0]
            self.large[year] = self.large.get(year, 0) + 1
        self.starts[project.id] = start


def serial(problem: Problem, order: Iterable[str], allowed: dict[str, list[int]] | None = None) -> dict[str, int]:
    """Place projects in this order, each in its first month that fits, what it needs first.

    ``allowed`` gives the start months of each project; by default those of the problem.
    """
    allowed = allowed or {p.id: problem.allowed_starts(p) for p in problem.projects}
    ledger = Ledger(problem)
    tried = set(ledger.starts)

    def put(name: str) -> bool:
        if name in tried:
            return name in ledger.starts
        tried.add(name)
        project = problem[name]
        if not all(put(need.project) for need in project.needs):
            return False
        earliest = ledger.earliest(project)
        for month in allowed[name]:
            if earliest is not None and month >= earliest and ledger.fits(project, month):
                ledger.place(project, month)
                return True
        return False

    for name in order:
        put(name)
    return ledger.starts


def _needed(problem: Problem, name: str) -> set[str]:
    found: set[str] = set()
    todo = [name]
    while todo:
        for need in problem[todo.pop()].needs:
            if need.project not in found:
                found.add(need.project)
                todo.append(need.project)
    return found


def wish_order(problem: Problem) -> dict[str, int]:
    """Most wanted first."""
    return serial(problem, _by(problem, lambda p: -p.worth))


def slow_first(problem: Problem) -> dict[str, int]:
    """Slow plants first, then the most wanted."""
    return serial(problem, _by(problem, lambda p: -p.worth - (1_000_000 if p.lag_months >= 18 else 0)))


def best_for_cost(problem: Problem) -> dict[str, int]:
    """Greatest worth for its cost first."""
    return serial(problem, _by(problem, lambda p: -p.worth / max(1, p.cost)))


def best_for_cost_with_needs(problem: Problem) -> dict[str, int]:
    """Greatest worth for its cost first, both counted with all that a project needs."""

    def key(p: Project) -> float:
        group = [problem[q] for q in sorted(_needed(problem, p.id) | {p.id})]
        return -sum(q.worth for q in group) / max(1, sum(q.cost for q in group))

    return serial(problem, _by(problem, key))


def _by(problem: Problem, key: Callable[[Project], float]) -> list[str]:
    return [p.id for p in sorted(problem.projects, key=lambda p: (not p.required, key(p), p.id))]


def sheet(problem: Problem) -> dict[str, int]:
    """Plan year by year as on a sheet: one large work in wish order, then small ones while the money lasts."""
    ledger = Ledger(problem)
    allowed = {p.id: problem.allowed_starts(p) for p in problem.projects}
    wishes = [problem[name] for name in _by(problem, lambda p: -p.worth)]

    def put(project: Project, first: int, end: int) -> bool:
        for need in project.needs:
            if need.project not in ledger.starts and not put(problem[need.project], first, end):
                return False
        earliest = ledger.earliest(project)
        for month in allowed[project.id]:
            if earliest is not None and max(first, earliest) <= month < end and ledger.fits(project, month):
                ledger.place(project, month)
                return True
        return False

    for _, first, end in problem.years():
        large = [p for p in wishes if p.large and p.id not in ledger.starts]
        if large:
            put(large[0], first, end)
        for project in wishes:
            if not project.large and project.id not in ledger.starts and (ledger.earliest(project) is not None):
                put(project, first, end)
    return ledger.starts


def month_by_month(problem: Problem) -> dict[str, int]:
    """Each month start the most wanted that fits then, as someone without a plan does."""
    ledger = Ledger(problem)
    allowed = {p.id: set(problem.allowed_starts(p)) for p in problem.projects}
    wishes = [problem[name] for name in _by(problem, lambda p: -p.worth)]
    for month in range(problem.months):
        for project in wishes:
            if project.id in ledger.starts or month not in allowed[project.id]:
                continue
            earliest = ledger.earliest(project)
            if earliest is not None and earliest <= month and ledger.fits(project, month):
                ledger.place(project, month)
    return ledger.starts


RULES: dict[str, Callable[[Problem], dict[str, int]]] = {
    "wish order": wish_order,
    "slow plants first": slow_first,
    "best for its cost": best_for_cost,
    "best for its cost, with what it needs": best_for_cost_with_needs,
    "one large work a year, then small ones": sheet,
    "month by month": month_by_month,
}
"""The fixed rules by the words for them."""


def complete(problem: Problem, starts: Starts) -> bool:
    """Whether a plan holds every project that must be done."""
    return all(p.id in starts for p in problem.projects if p.required)
