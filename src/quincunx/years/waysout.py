"""The cheapest ways out of a conflict: more money, more hours, a wish dropped, a later date."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING

from quincunx.units import listed
from quincunx.years.conflict import Conflict, Question
from quincunx.years.model import run
from quincunx.years.problem import Problem
from quincunx.years.why import Money, enough, plain_money

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

    from quincunx.years.model import Outcome


@dataclass(frozen=True)
class WayOut:
    """One change that makes a plan possible: ``kind`` is money, hours, drop or later.

    ``amount`` is minor units, minutes, points of worth a year, or months; ``year`` the calendar year it concerns;
    ``least`` whether it is proven that less would not do.
    """

    kind: str
    amount: int
    year: int | None
    projects: tuple[str, ...]
    least: bool
    sentence: str


def ways_out(problem: Problem, found: Conflict, *, effort: float = 0.3, money: Money = plain_money) -> list[WayOut]:
    """Return changes each of which alone makes all (remaining) wishes possible; ``effort`` is the limit for each."""
    years = {kind: sorted({int(str(tag[1])) for tag in found.items if tag[0] == kind}) for kind in ("money", "hours")}
    wishes = [str(tag[1]) for tag in found.items if tag[0] == "wish"]
    ways = [_more_money(problem, year, effort, money) for year in years["money"]]
    ways += [_more_hours(problem, year, effort) for year in years["hours"]]
    ways += [_later(problem, name, effort) for name in wishes if problem[name].deadline is not None]
    ways.append(drop(problem, effort))
    return [way for way in ways if way is not None]


def ask(question: Question, goal: cp_model.LinearExprT, effort: float) -> Outcome:
    """Make ``goal`` small within ``effort``; what logic alone doesn't settle is asked again, half as long, by relaxation.

    Where wishes and hours clash logic settles in a moment what the relaxation can't see, and the other way round
    where sums do (measured).
    """
    question.model.cp.minimize(goal)
    found = run(question.model, seconds=10.0, effort=effort, workers=("no_lp",))
    if found.status not in ("FEASIBLE", "UNKNOWN"):
        return found
    if found.values is not None:
        question.model.hint(found.values)
    other = run(question.model, seconds=10.0, effort=effort / 2, workers=("max_lp",))
    worse = found.objective is not None and (other.objective is None or other.objective > found.objective)
    return found if worse else other


def held(question: Question) -> Question:
    """Switch all wishes and limits on."""
    for switch in question.switches.values():
        question.model.cp.add(switch == 1)
    return question


def _rows(question: Question, kind: str) -> Iterator[tuple[int, cp_model.LinearExpr, int]]:
    for row in question.steps.rows:
        if row.tag[0] == kind:
            yield int(str(row.tag[1])), question.model.total(row.terms), row.high


def _more_money(problem: Problem, year: int, effort: float, money: Money) -> WayOut | None:
    """Least extra sum, there from the start of ``year``, with all wishes and all other limits held."""
    question = Question(problem, without=("money",))
    extra = question.model.cp.new_int_var(0, 10 * sum(p.cost for p in problem.projects) + 1, "extra")
    for row_year, total, high in _rows(question, "money"):
        question.model.cp.add(total - (extra if row_year >= year else 0) <= high)
    outcome = ask(held(question), extra, effort)
    if outcome.objective is None:
        return None
    amount = round(outcome.objective)
    words = (
        f"{'' if outcome.proven else 'At most '}{enough(money, amount)} more to spend by the end of {year} would do."
    )
    return WayOut("money", amount, year, (), outcome.proven, words)


def _more_hours(problem: Problem, year: int, effort: float) -> WayOut | None:
    """Least extra minutes over the months of ``year`` with all wishes and all other limits held."""
    question = Question(problem, without=("hours",))
    cp, goal = question.model.cp, []
    for row_year, total, high in _rows(question, "hours"):
        if row_year == year:
            extra = cp.new_int_var(0, sum(sum(p.minutes) for p in problem.projects), "extra")
            goal.append(extra)
            cp.add(total - extra <= high)
        else:
            cp.add(total <= high)
    outcome = ask(held(question), sum(goal), effort)
    if outcome.objective is None:
        return None
    words = f"{'' if outcome.proven else 'At most '}{hours_up(round(outcome.objective))} more in {year} would do."
    return WayOut("hours", round(outcome.objective), year, (), outcome.proven, words)


def hours_up(minutes: int) -> str:
    """Write minutes as whole hours, rounded up so that they are enough."""
    hours = -(-minutes // 60)
    return f"{hours} hour{'s' * (hours != 1)}"


def _later(problem: Problem, name: str, effort: float) -> WayOut | None:
    """Earliest date at which one wish can be had beside all others."""
    project = problem[name]
    question = Question(problem.changed({name: replace(project, deadline=None, must=True)}))
    k = problem.index[name]
    first, months = question.steps.first[k], question.steps.starts[k]
    gaps = {first + n: after - before for n, (before, after) in enumerate(pairwise(months))}
    outcome = ask(held(question), -question.model.total(gaps), effort)
    if outcome.values is None:
        return None
    ready = question.steps.decode(outcome.values)[name] + project.use_after_months
    words = (
        f"{project.name} could be of use by {problem.month_words(ready)}{'' if outcome.proven else ' at the latest'}."
    )
    return WayOut("later", ready - (project.deadline or 0), problem.calendar(ready)[0], (name,), outcome.proven, words)


def drop(problem: Problem, effort: float) -> WayOut | None:
    """Return the wishes of least worth that, given up as musts, leave a plan for the rest."""
    question = Question(problem)
    wishes = {str(tag[1]): switch for tag, switch in question.switches.items() if tag[0] == "wish"}
    for tag, switch in question.switches.items():
        if tag[0] != "wish":
            question.model.cp.add(switch == 1)
    kept = sum((problem[name].worth + 1) * switch for name, switch in sorted(wishes.items()))
    outcome = ask(question, -kept, effort)
    if outcome.values is None:
        return None
    plan = question.steps.decode(outcome.values)
    dropped = tuple(name for name in sorted(wishes) if not _has(problem, plan, name))
    named = [problem[name].name for name in dropped]
    names = listed(named)
    words = f"Without {names} as {'a must' if len(named) == 1 else 'musts'} the rest could be had."
    return WayOut("drop", sum(problem[n].worth for n in dropped), None, dropped, outcome.proven, words)


def _has(problem: Problem, plan: dict[str, int], name: str) -> bool:
    project = problem[name]
    if name not in plan:
        return False
    if project.fixed_start is not None:
        return plan[name] == project.fixed_start
    return project.deadline is None or plan[name] + project.use_after_months <= project.deadline
