"""Why each job stands where it does, and what a year earlier would cost in worth."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace

from quincunx.units import counted, listed
from quincunx.units.sides import up
from quincunx.years import lists
from quincunx.years.model import formulate, run
from quincunx.years.problem import Problem, Project, Starts
from quincunx.years.relax import list_starts, relax
from quincunx.years.steps import build

Money = Callable[[int], str]
"""Writes an amount of minor units as the garden does."""


def plain_money(amount: int) -> str:
    """Write minor units as a plain number with two decimals."""
    return f"{amount / 100:,.2f}"


def least(money: Money, amount: int) -> str:
    """Write an amount so that *at least* is true of it as written."""
    write: Money = getattr(money, "down", money)
    return write(amount)


def enough(money: Money, amount: int) -> str:
    """Write an amount so that as much as is written is enough."""
    write: Money = getattr(money, "up", money)
    return write(amount)


@dataclass(frozen=True)
class Blocker:
    """One thing that keeps a job from starting in a month: ``kind`` is season, needs, money, cap, hours, large or access.

    ``short`` is by how much (minor units or minutes), ``month`` where it bites, ``projects`` who is in the way; of a
    year that costs too much ``alone`` is what the job itself would cost in it.
    """

    kind: str
    projects: tuple[str, ...] = ()
    month: int | None = None
    short: int = 0
    alone: int = 0


@dataclass(frozen=True)
class Held:
    """What holds a job where it is: the main blocker (None: nothing does), all by month, and one sentence.

    ``reason`` is the sentence without the job and its month: "before that the hours would be short ...".
    """

    project: str
    start: int | None
    main: Blocker | None
    by_month: dict[int, tuple[Blocker, ...]]
    sentence: str
    reason: str


class _Books:
    """Money, work, upkeep and large works of a plan with one job left out."""

    def __init__(self, problem: Problem, starts: Starts, leave_out: str) -> None:
        self.problem = problem
        self.starts = {name: start for name, start in starts.items() if name != leave_out}
        months = problem.months
        spent, self.work, self.keep = [0] * months, [0] * months, [0] * months
        self.large: dict[int, list[str]] = {}
        for name, start in self.starts.items():
            project = problem[name]
            for month, amount in problem.bills(project, start):
                spent[month] += amount
            for u, minutes in enumerate(project.minutes if not project.done else ()):
                if 0 <= start + u < months:
                    self.work[start + u] += minutes
            for month in range(max(0, start + project.duration_months), months if project.upkeep_minutes else 0):
                self.keep[month] += project.upkeep_minutes[problem.calendar(month)[1] - 1]
            if project.large:
                self.large.setdefault(problem.calendar(start)[0], []).append(name)
        for month, amount in problem.detour_bills(self.starts):
            spent[month] += amount
        self.cap = {year: most - sum(spent[first:end]) for year, first, end, most in problem.capped}
        self.room: list[int] = []
        total = 0
        for month in range(months):
            total += spent[month]
            self.room.append(problem.spendable[month] - total)

    def blockers(self, project: Project, start: int) -> tuple[Blocker, ...]:
        """All that keeps a project from starting in a month, all others staying where they are."""
        problem, found = self.problem, []
        if not problem.fits_window(project, start):
            return (Blocker("season"),)
        for need in project.needs:
            ready = self.starts.get(need.project)
            if ready is None or ready + problem[need.project].duration_months + need.lag_months > start:
                found.append(Blocker("needs", (need.project,)))
        if project.large:
            others = self.large.get(problem.calendar(start)[0], [])
            if len(others) >= problem.large_per_year:
                found.append(Blocker("large", tuple(sorted(others))))
        bills, at = problem.bills(project, start), self.starts | {project.id: start}
        for a, b, detour in problem.shut_pairs():
            closer, closed = problem.projects[a], problem.projects[b]
            if project not in (closer, closed) or not problem.blocked(closer, closed, at):
                continue
            if detour is None:
                found.append(Blocker("access", (closed.id if project == closer else closer.id,)))
            elif at[closed.id] >= 0:
                bills.append((at[closed.id], detour))
        found += self._two_shut(project, at)
        return (*found, *self._hours(project, start), *self._money(sorted(bills)), *self._dear(bills))

    def _two_shut(self, project: Project, at: dict[str, int]) -> Iterator[Blocker]:
        """Yield the ways that would be shut by two together: what lies behind, or who shuts it."""
        for one, other, closed in self.problem.shut_together:
            three = (one, other, closed)
            if project in three and self.problem.blocked_by_two(one, other, closed, at):
                yield Blocker("access", (one.id, other.id) if project == closed else (closed.id,))

    def _dear(self, bills: list[tuple[int, int]]) -> list[Blocker]:
        """The year that would cost most above what it may."""
        worst, due = Blocker("cap"), dict[int, int]()
        for month, amount in bills:
            year = self.problem.calendar(month)[0]
            due[year] = due.get(year, 0) + amount
        for year, amount in due.items():
            short = amount - self.cap.get(year, amount)
            if amount and short > worst.short:
                worst = Blocker("cap", (), next(a for y, a, _ in self.problem.years() if y == year), short, amount)
        return [worst] if worst.short else []

    def _hours(self, project: Project, start: int) -> list[Blocker]:
        worst = Blocker("hours")
        for u, minutes in enumerate(project.minutes):
            short = self.work[start + u] + self.keep[start + u] + minutes - self.problem.free_minutes[start + u]
            if minutes and short > worst.short:
                worst = Blocker("hours", (), start + u, short)
        return [worst] if worst.short else []

    def _money(self, bills: list[tuple[int, int]]) -> list[Blocker]:
        worst, total, due = Blocker("money"), 0, dict[int, int]()
        for month, amount in bills:
            due[month] = due.get(month, 0) + amount
        for month in range(min(due, default=self.problem.months), self.problem.months):
            total += due.get(month, 0)
            if total - self.room[month] > worst.short:
                worst = Blocker("money", (), month, total - self.room[month])
        return [worst] if worst.short else []


def why(problem: Problem, starts: Starts, *, money: Money = plain_money) -> dict[str, Held]:
    """Tell for each project, in words, what holds it where it is (or keeps it out), the others staying put."""
    return {project.id: _held(problem, starts, project, money) for project in problem.projects}


def _held(problem: Problem, starts: Starts, project: Project, money: Money) -> Held:
    start = starts.get(project.id)
    if project.fixed_start is not None:
        words = _fixed_words(problem, project, project.fixed_start)
        return Held(
            project.id, start, None, {}, f"{project.name} {words}.", words.removeprefix("is ").removeprefix("was ")
        )
    books = _Books(problem, starts, project.id)
    earlier = [t for t in problem.allowed_starts(project, by_deadline=False) if start is None or t < start]
    by_month = {t: books.blockers(project, t) for t in earlier}
    main = _main(by_month)
    reason = _reason(problem, start, main, by_month, money)
    if not by_month and start is not None and 0 < start == project.not_before:
        reason = "no earlier month is left"
    if main is not None and main.kind in SHORT:
        reason += _else_words(problem, start, main, by_month, money)
    if main is not None and (advice := _advice(problem, project, start, main)):
        reason += f"{'; ' if ': ' in reason else ': '}{advice}"
    if by_month and main is None:
        reason = _would_fit(problem, starts, project, by_month)
    when = f"starts in {problem.month_words(start)}" if start is not None else "is left out"
    mark = ", though " if reason.startswith("it would fit") else ": "
    return Held(project.id, start, main, by_month, f"{project.name} {when}{mark}{reason}.", reason)


def not_then(problem: Problem, starts: Starts, name: str, month: int, *, money: Money = plain_money) -> str:
    """Say what keeps a project from starting in a month, the others where ``starts`` has them; "" if nothing does."""
    if month >= problem.months:
        return f"{problem.month_words(month)} is after the years planned"
    found = _Books(problem, starts, name).blockers(problem[name], month)
    if not found:
        return ""
    main, when = min(found, key=lambda b: _RANK.index(b.kind)), problem.month_words(month)
    if main.kind == "season":
        return f"{when} is outside its season"
    if main.kind == "large":
        return f"{_large_named(problem, main.projects)} of {problem.calendar(month)[0]}"
    if main.kind == "needs":
        return f"in {when} {listed([problem[q].name for q in main.projects])} would not be finished"
    reason = _reason(problem, None, main, {month: found}, money).replace("in every season", f"in {when}")
    advice = _advice(problem, problem[name], None, main)
    return f"{reason}: {advice}" if advice else reason


SHORT = ("money", "cap", "hours")
"""What a job is short of: by how much is said, so that it must be so in every month it is said of."""
_RANK = ("needs", "large", "access", "money", "cap", "hours", "season")


def _main(by_month: dict[int, tuple[Blocker, ...]]) -> Blocker | None:
    """The kind that blocks most of the earlier months; of it the blocker least short of giving way."""
    if not by_month or any(not blockers for blockers in by_month.values()):
        return None
    count = Counter(kind for blockers in by_month.values() for kind in {b.kind for b in blockers})
    kind = max(count, key=lambda k: (count[k], -_RANK.index(k)))
    return min((b for blockers in by_month.values() for b in blockers if b.kind == kind), key=lambda b: b.short)


def _fixed_words(problem: Problem, project: Project, start: int) -> str:
    if project.done or project.happened == "done":
        return "is done"
    month = problem.month_words(start)
    return f"was begun in {month} and goes on" if project.happened == "begun" else f"is booked for {month}"


def _reason(
    problem: Problem,
    start: int | None,
    main: Blocker | None,
    by_month: dict[int, tuple[Blocker, ...]],
    money: Money,
) -> str:
    if not by_month:
        return "the first month its season allows" if start is not None else "no season within the years is long enough"
    if main is None:
        return ""
    then = "before that" if start is not None else "in every season"
    names = listed([problem[q].name for q in main.projects])
    if main.kind == "needs":
        return f"{names} must be finished first"
    if main.kind == "large":
        return _large_words(problem, by_month)
    if main.kind == "access":
        return f"the way must stay open between it and {names}"
    if main.kind == "money":
        return f"{then} the money would be short by at least {least(money, main.short)}"
    if main.kind == "cap":
        return _dear_words(problem, start, then, main, money)
    hours = main.short // 60
    short = f"{hours} hour{'s' * (hours != 1)}" if main.short >= 60 else f"{main.short} minutes"
    return f"{then} the time would be short by at least {short} in a month"


def _advice(problem: Problem, project: Project, start: int | None, main: Blocker) -> str:
    """Return what a person can do about a job left out that no month or no year can take whatever waits; else nothing."""
    if start is None and main.kind == "hours":
        return _spread_words(problem, project)
    if start is None and main.kind == "cap" and main.alone > _most_a_year(problem):
        return "pay it in two parts over two years, or let one year cost more"
    return ""


def _else_words(
    problem: Problem,
    start: int | None,
    main: Blocker,
    by_month: dict[int, tuple[Blocker, ...]],
    money: Money,
) -> str:
    """Say what holds the job in the months in which what holds it in most does not; nothing where it does in all."""
    rest = {t: found for t, found in by_month.items() if all(b.kind != main.kind for b in found)}
    other = _main(rest)
    if other is None:
        return ""
    words = _reason(problem, start, other, rest, money)
    unless = "it would not" if main.kind == "cap" else "it is not"
    return f", and where {unless}, {words.removeprefix('before that ').removeprefix('in every season ')}"


def _spread_words(problem: Problem, project: Project) -> str:
    """Say over how many months a job left out would have to be spread, where no month has all its hours."""
    work, most = sum(project.minutes), max(problem.free_minutes, default=0)
    if not project.minutes or most <= 0 or max(project.minutes) <= most:
        return ""
    months = -(-work // most)
    return f"no month has the {up(max(project.minutes) / 60):.0f} hours it takes; let it take {counted(months, 'month')} or more"


def _dear_words(problem: Problem, start: int | None, then: str, main: Blocker, money: Money) -> str:
    """Say by how much a year would cost too much; of a job left out, also that one year can't pay it whatever waits."""
    words = f"{then} a year would cost at least {least(money, main.short)} more than it may"
    most = _most_a_year(problem)
    if start is not None or main.alone <= most:
        return words
    return f"by itself it costs {money(main.alone - most)} more than a year may"


def _most_a_year(problem: Problem) -> int:
    """Return what the year that may cost most may cost, in minor units; 0 where no year is held to anything."""
    return max((most for _, _, _, most in problem.capped), default=0)


def _would_fit(problem: Problem, starts: Starts, project: Project, by_month: dict[int, tuple[Blocker, ...]]) -> str:
    free = min(t for t, blockers in by_month.items() if not blockers)
    gains = problem.worth({**starts, project.id: free}) > problem.worth(starts)
    if project.id in starts:
        rest = "the garden would give more use so: ask for the best order" if gains else "it would add nothing earlier"
        return f"nothing stops it from {problem.month_words(free)} on, {'and' if gains else 'but'} {rest}"
    return f"it would fit in {problem.month_words(free)}" + ("" if gains else ": it adds nothing to the worth")


def _large_words(problem: Problem, by_month: dict[int, tuple[Blocker, ...]]) -> str:
    """Say which large works fill the years before, each year's once."""
    years: dict[int, tuple[str, ...]] = {}
    for month, blockers in sorted(by_month.items()):
        years |= {problem.calendar(month)[0]: b.projects for b in blockers if b.kind == "large"}
    if len(years) == 1 or len(set(years.values())) == 1:
        when = str(next(iter(years))) if len(years) == 1 else "those years"
        return f"{_large_named(problem, next(iter(years.values())))} of {when}"
    if len(years) > FEW:
        return f"the years before have their large works already, from {min(years)} to {max(years)}"
    said = [f"{listed([problem[q].name for q in projects])} in {year}" for year, projects in years.items()]
    return f"the years before have their large works already: {', '.join(said)}"


def _large_named(problem: Problem, projects: Iterable[str]) -> str:
    names = [problem[q].name for q in projects]
    return f"{listed(names)} {'is the large work' if len(names) == 1 else 'are the large works'}"


FEW = 3
"""No more large works than this are named in one sentence."""


@dataclass(frozen=True)
class Earlier:
    """What it costs to have a job by another month: worth lost at least and at most, and the plan behind it.

    ``starts`` is None if no such plan was found; ``impossible`` if there is certainly none.
    """

    project: str
    by: int
    lost_at_least: int
    lost_at_most: int | None
    starts: dict[str, int] | None
    moved: tuple[str, ...]
    impossible: bool


def earlier(
    problem: Problem, starts: Starts, name: str, *, by: int | None = None, effort: float = 0.4, seconds: float = 1.0
) -> Earlier:
    """Find what starting a project a year earlier (or by month ``by``) costs in worth, all else free to move.

    A negative loss means that the plan given was not the best: take ``starts`` instead.
    """
    month = by if by is not None else starts.get(name, problem.months) - 12
    now = problem.worth(starts)
    allowed = [t for t in problem.allowed_starts(problem[name]) if t <= month]
    forced = problem.changed({name: replace(problem[name], must=True)})
    steps = build(forced, starts={name: allowed})
    relaxed = relax(steps)
    if not allowed or relaxed.bound is None:
        return Earlier(name, month, 0, None, None, (), impossible=True)
    best = _best_list(
        forced, name, allowed, [p.id for p in sorted(problem.projects, key=lambda p: starts.get(p.id, 10**6))]
    )
    months = {p.id: steps.starts[k] for k, p in enumerate(problem.projects)}
    for share in (0.2, 0.5, 0.8):
        best = _better(forced, best, lists.serial(forced, [name, *list_starts(steps, relaxed.values, share)], months))
    bound, model = relaxed.bound, formulate(steps)
    if best is not None:
        model.hint(steps.encode(best))
    outcome = run(model, seconds=seconds, effort=effort, workers=("max_lp",))
    if outcome.status == "INFEASIBLE":
        return Earlier(name, month, 0, None, None, (), impossible=True)
    if outcome.values is not None:
        best, bound = _better(forced, best, steps.decode(outcome.values)), min(bound, outcome.bound)
    moved = () if best is None else tuple(p.id for p in problem.projects if best.get(p.id) != starts.get(p.id))
    most = None if best is None else now - problem.worth(best)
    return Earlier(name, month, now - int(bound + 1e-3), most, best, moved, impossible=False)


def _best_list(problem: Problem, name: str, allowed: list[int], order: Iterable[str]) -> dict[str, int] | None:
    months = {p.id: problem.allowed_starts(p) for p in problem.projects} | {name: allowed}
    return _better(problem, None, lists.serial(problem, [name, *order], months))


def _better(problem: Problem, best: dict[str, int] | None, plan: dict[str, int]) -> dict[str, int] | None:
    if not lists.complete(problem, plan) or (best is not None and problem.worth(plan) <= problem.worth(best)):
        return best
    return plan
