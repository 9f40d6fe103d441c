"""Whether all jobs can be had within the years; if not, what more money, hours or large works would let them."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from quincunx.units import listed
from quincunx.years.conflict import Question, conflict
from quincunx.years.faults import faults
from quincunx.years.overspent import overspent
from quincunx.years.problem import Problem
from quincunx.years.waysout import ask, drop, held, hours_up
from quincunx.years.why import Money, enough, plain_money

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

MINUTES_OF_A_LARGE = 1200
"""One large work more weighs as many minutes, where minutes and large works are both asked for (our own choice)."""
A_YEAR = 30
"""So many parts more in another year weigh as much as using that year at all, so that few years are touched."""


NO_JOBS = "There are no jobs yet. Make one of what you want to build or plant; then its month can be found."
FEW = 3
"""So many jobs that can never be done are named; the rest are counted."""


@dataclass(frozen=True)
class Everything:
    """The answer in one sentence, the ways out, each of which alone would do, and a note of what would not."""

    possible: bool
    sentence: str
    ways: tuple[str, ...]
    note: str = ""


def everything(problem: Problem, *, effort: float = 0.4, money: Money = plain_money) -> Everything:
    """Say whether every job can be done within the years beside all others, and if not what would let it.

    ``effort`` is the solver's deterministic limit for each way out.
    """
    if not problem.projects:
        return Everything(True, NO_JOBS, ())
    wanted = problem.changed({p.id: replace(p, must=True) for p in problem.projects})
    wrong = tuple(fault.sentence for fault in faults(wanted, money))
    if wrong:
        more = f" The same is so of {len(wrong) - FEW} more." if len(wrong) > FEW else ""
        return Everything(False, " ".join(wrong[:FEW]) + more, ())
    clash, over = conflict(wanted, money=money), overspent(problem, money)
    if clash is None:
        return Everything(True, "All the jobs can be had within the years.", (), over)
    if not clash.items:
        return Everything(False, clash.sentence, ())
    kinds = {"money" if tag[0] == "cap" else str(tag[0]) for tag in clash.items}
    ways, note = _ways(wanted, kinds, effort, money)
    return Everything(False, clash.sentence, tuple(ways), f"{note} {over}".strip())


def _ways(wanted: Problem, clashing: set[str], effort: float, money: Money) -> tuple[list[str], str]:
    """Return sentences: money alone, hours alone, large works alone, more than one if none does; then what to drop.

    What has no part in the clash can't be a way out by itself.
    """
    alone = {
        kind: _more(wanted, (kind,), effort) if kind in clashing else _More(sure=True)
        for kind in ("money", "hours", "large")
    }
    said = [found.words(money) for found in alone.values() if found.possible]
    if not alone["money"].possible and not alone["hours"].possible:
        both = _more(wanted, ("money", "hours"), effort)
        both = both if both.possible else _more(wanted, ("money", "hours", "large"), effort)
        said += [both.words(money)] if both.possible else []
    out = drop(wanted, effort)
    if out is not None:
        said.append(f"Without {listed([wanted[name].name for name in out.projects])} the rest can be had.")
    helpless = not alone["money"].possible and alone["money"].sure
    return said, "No sum of money would do by itself." if helpless else ""


@dataclass
class _More:
    """The least more by year that lets all in: ``parts`` (kind, year, amount); ``sure`` if that is proven."""

    possible: bool = False
    sure: bool = False
    parts: list[tuple[str, int, int]] = field(default_factory=list)

    def words(self, money: Money) -> str:
        """Say it, as in *9 hours more in 2031 and $200 more in 2029 would do*."""
        named = [_part(kind, year, amount, money) for kind, year, amount in self.parts]
        return f"{'' if self.sure else 'At most '}{listed(named)} would do."


def _part(kind: str, year: int, amount: int, money: Money) -> str:
    if kind == "money":
        return f"{enough(money, amount)} more in {year}"
    if kind == "hours":
        return f"{hours_up(amount)} more in {year}"
    return f"{amount} large work{'s' * (amount != 1)} more in {year}"


def _more(problem: Problem, kinds: tuple[str, ...], effort: float) -> _More:
    """Find the least more of these kinds, in few years, with all wishes and all other limits held."""
    rows_of = {"money": ("money", "cap"), "hours": ("hours",), "large": ("large",)}
    question = Question(problem, without=[row for kind in kinds for row in rows_of[kind]])
    asked = _Asked(question, problem, kinds)
    outcome = ask(held(question), sum(asked.goal), effort)
    if outcome.values is None:
        return _More(sure=outcome.status == "INFEASIBLE")
    parts = asked.parts(outcome.values)
    return _More(possible=True, sure=outcome.proven, parts=parts)


class _Asked:
    """More money, minutes and large works by year, as variables of a question."""

    def __init__(self, question: Question, problem: Problem, kinds: tuple[str, ...]) -> None:
        """Add the variables and the limits that they loosen."""
        self._model, self._cp = question.model, question.model.cp
        self.by_year: dict[tuple[str, int], list[int]] = {}
        self.goal: list[cp_model.LinearExprT] = []
        top = {
            "money": 2 * sum(p.cost for p in problem.projects) + 1,
            "hours": sum(sum(p.minutes) for p in problem.projects),
            "large": len(problem.projects),
        }
        rate = max(1, top["money"] // max(1, top["hours"]))
        self._weight = {"money": 1, "hours": rate, "large": MINUTES_OF_A_LARGE * rate}
        if "money" in kinds:
            for year, _, _ in problem.years():
                self._new("money", year, top["money"])
        for row in question.steps.rows:
            kind, total = str(row.tag[0]), question.model.total(row.terms)
            if kind == "money" and "money" in kinds:
                until = [key for key in self.by_year if key[0] == "money" and key[1] <= _year(row.tag)]
                self._cp.add(total - self._of(*until) <= row.high)
            elif kind == "cap" and "money" in kinds:
                self._cp.add(total - self._of(("money", _year(row.tag))) <= row.high)
            elif kind in kinds:
                self._cp.add(total - self._new(kind, _year(row.tag), top[kind]) <= row.high)
        for (kind, year), places in self.by_year.items():
            used = self._cp.new_bool_var(f"{kind} of {year} used")
            self._cp.add(self._of((kind, year)) <= top[kind] * len(places) * used)
            self.goal.append(A_YEAR * self._weight["hours"] * used)

    def _new(self, kind: str, year: int, top: int) -> cp_model.IntVar:
        variable = self._cp.new_int_var(0, top, f"more {kind} in {year}")
        self.by_year.setdefault((kind, year), []).append(len(self._model.variables))
        self._model.variables.append(variable)
        self.goal.append(self._weight[kind] * variable)
        return variable

    def _of(self, *keys: tuple[str, int]) -> cp_model.LinearExpr:
        return self._model.total({place: 1 for key in keys for place in self.by_year[key]})

    def parts(self, values: list[int]) -> list[tuple[str, int, int]]:
        """Read off (kind, year, amount) from the values of the model's variables."""
        sums = {key: sum(values[place] for place in places) for key, places in self.by_year.items()}
        return [(kind, year, amount) for (kind, year), amount in sums.items() if amount]


def _year(tag: tuple[object, ...]) -> int:
    return int(str(tag[1]))
