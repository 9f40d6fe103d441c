"""A written plan told: what it breaks, in sentences a person reads, and what moving one job would do to it."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass, replace
from typing import Any

from quincunx.units import listed
from quincunx.years.checker import Breach, Checked, check
from quincunx.years.problem import Problem, Starts
from quincunx.years.why import Money, plain_money

SAME = 0.0005
"""Two worths closer than this share count as the same."""


@dataclass(frozen=True)
class Moved:
    """What moving one job does: the share of use gained (lost below 0), rules newly broken and mended, in sentences."""

    share: float
    breaks: tuple[str, ...]
    mends: tuple[str, ...]

    @property
    def words(self) -> str:
        """Say in one sentence what becomes of the use."""
        return use_words(self.share)


def use_words(share: float) -> str:
    """Say how much more or less use the garden gives: ``0.012`` is 1.2 in 100 more."""
    if abs(share) < SAME:
        return "The garden gives as much use as now."
    return f"The garden gives {100 * abs(share):.1f} in 100 {'more' if share > 0 else 'less'} use."


def broken(
    problem: Problem, starts: Starts, *, money: Money = plain_money, rules: Collection[str] | None = None
) -> tuple[str, ...]:
    """Return the rules a plan breaks (of some ``rules`` only, if given), one sentence each; none if it is sound."""
    found = _said(problem, check(problem, starts), money)
    return tuple(words for key, words in found.items() if rules is None or key[0] in rules)


def put_to(problem: Problem, starts: Starts, job: str, start: int | None) -> tuple[Problem, dict[str, int]]:
    """Return the problem and the plan with one job begun in another month, or left out (None).

    A booked job that is moved is booked for its new month.
    """
    then = {name: at for name, at in starts.items() if name != job}
    if start is not None:
        then[job] = start
    p = problem[job]
    if p.fixed_start is None:
        return problem, then
    return problem.changed({job: replace(p, fixed_start=start)}), then


def moved(problem: Problem, starts: Starts, job: str, start: int | None, *, money: Money = plain_money) -> Moved:
    """Tell what moving one job to another month (None: out of the plan) does, all others staying."""
    other, then = put_to(problem, starts, job, start)
    before = _said(problem, check(problem, starts), money)
    checked = check(other, then)
    after = _said(other, checked, money)
    now = problem.worth(starts)
    share = (other.worth(then) - now) / now if now else 0.0
    return Moved(
        share,
        tuple(words for key, words in after.items() if before.get(key) != words),
        tuple(words for key, words in before.items() if key not in after),
    )


def _said(problem: Problem, checked: Checked, money: Money) -> dict[tuple[Any, ...], str]:
    """Return {what is broken: its sentence}; the same breach has the same key in two plans."""
    found: dict[tuple[Any, ...], str] = {}
    for breach in checked.breaches:
        tell = _TELL.get(breach.rule)
        if breach.rule != "hours":
            key = (breach.rule, breach.projects, breach.month)
            found[key] = tell(problem, checked, breach, money) if tell else breach.words
    for months in _runs([b for b in checked.breaches if b.rule == "hours"]):
        found["hours", months[0].month, len(months)] = _tired(problem, checked, months)
    return found


def _runs(breaches: list[Breach]) -> list[list[Breach]]:
    """Return breaches of neighbouring months together, by month."""
    runs: list[list[Breach]] = []
    for breach in sorted(breaches, key=lambda b: b.month or 0):
        if runs and (runs[-1][-1].month or 0) + 1 == breach.month:
            runs[-1].append(breach)
        else:
            runs.append([breach])
    return runs


def _with_late(problem: Problem, checked: Checked, among: Collection[str]) -> str:
    """Return which jobs that were to have begun by now are ``among`` what is counted; "" where none is."""
    late = {b.projects[0] for b in checked.breaches if b.rule == "past"}
    names = [f"“{p.name}”" for p in problem.projects if p.id in late and p.id in among]
    return f", with {listed(names)}, which {'was' if len(names) == 1 else 'were'} not begun" if names else ""


def _short(problem: Problem, checked: Checked, breach: Breach, money: Money) -> str:
    month = breach.month or 0
    last = next((m for m in range(month, problem.months) if checked.balance[m] >= problem.budget.reserve), None)
    worst = min(checked.balance[month:last])
    until = "" if last is None or last == month + 1 else f" until {problem.month_words(last)}"
    paid = {b.projects[0] for b in checked.breaches if b.rule == "past" and (b.month or 0) <= month}
    kept = " below what is kept back" if problem.budget.reserve else ""
    return (
        f"The money is short by {money(problem.budget.reserve - worst)}{kept} from {problem.month_words(month)}{until}"
        f"{_with_late(problem, checked, paid)}."
    )


def _tired(problem: Problem, checked: Checked, breaches: list[Breach]) -> str:
    months = [breach.month or 0 for breach in breaches]
    hours = max(-checked.minutes_left[month] for month in months) / 60
    names = _and(dict.fromkeys(problem[name].name for breach in breaches for name in breach.projects))
    much = f"{hours:.0f} hour{'s' * (round(hours) != 1)}" if hours >= 0.5 else "a little"
    when = problem.month_words(months[0])
    if len(months) == 1:
        return f"{when} has {much} of work too much: {names}."
    return f"{when} to {problem.month_words(months[-1])} have up to {much} of work too much each: {names}."


def _large(problem: Problem, _checked: Checked, breach: Breach, _money: Money) -> str:
    at = f"{breach.words.rstrip('.')}, where no more than {problem.large_per_year} may be"
    return f"{at}: {_and([problem[name].name for name in breach.projects])}."


def _needs(problem: Problem, _checked: Checked, breach: Breach, _money: Money) -> str:
    first, then = (problem[name] for name in breach.projects)
    wait = next((n.lag_months for n in then.needs if n.project == first.id), 0)
    settled = f" and has stood {wait} month{'s' * (wait != 1)}" if wait else ""
    return f"{then.name} would begin before {first.name} is done{settled}."


def _dear(problem: Problem, checked: Checked, breach: Breach, money: Money) -> str:
    over = int(breach.words.split(" costs ")[1].split(" ", maxsplit=1)[0])
    return f"{problem.calendar(breach.month or 0)[0]} would cost {money(over)} more than a year may{_with_late(problem, checked, breach.projects)}."


def _season(problem: Problem, _checked: Checked, breach: Breach, _money: Money) -> str:
    return (
        f"{problem[breach.projects[0]].name} would be outside its season in {problem.month_words(breach.month or 0)}."
    )


def _late(problem: Problem, _checked: Checked, breach: Breach, _money: Money) -> str:
    p = problem[breach.projects[0]]
    latest = (p.deadline or 0) - p.use_after_months
    return f"{p.name} would begin too late to be ready in time: it has to begin by {problem.month_words(latest)}."


def _past(problem: Problem, _checked: Checked, breach: Breach, _money: Money) -> str:
    name, month = problem[breach.projects[0]].name, problem.month_words(breach.month or 0)
    return f"{name} was to begin in {month}, and the journal, which is further on, says nothing of it: plan the rest again."


_TELL: dict[str, Callable[[Problem, Checked, Breach, Money], str]] = {
    "money": _short,
    "cap": _dear,
    "large": _large,
    "needs": _needs,
    "window": _season,
    "deadline": _late,
    "past": _past,
}


def _and(names: Iterable[str]) -> str:
    words = list(names)
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
