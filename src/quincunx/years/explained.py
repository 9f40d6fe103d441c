"""The whole reason behind a plan: what holds each job, what a year earlier would cost, what would let the rest in."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, replace
from functools import lru_cache

from quincunx.garden import Garden
from quincunx.scene import Timeline
from quincunx.units import Style, capital, format_money, minor_digits
from quincunx.units.sides import up
from quincunx.years import told
from quincunx.years.conflict import Conflict, conflict
from quincunx.years.faults import faults
from quincunx.years.from_garden import problem_of, starts_of
from quincunx.years.gone_by import from_now
from quincunx.years.kept import Keep, best_known, keep_order, key
from quincunx.years.order import Order, order
from quincunx.years.problem import Problem, Project
from quincunx.years.waysout import ways_out
from quincunx.years.why import Earlier, Held, Money, earlier, plain_money, why

SEARCH, EACH, LEFT_OUT = 1.0, 0.05, 0.3
"""Solver's own count spent on the whole, on each job's year earlier and on each wish left out: some seconds in all."""
LONG_S = 60.0
"""Wall time that ends any of them; the counts above bite first, so that the same garden gives the same words [s]."""
MOST_YEARS = 3
"""Ways out are asked for in no more years than this of each kind."""


@dataclass(frozen=True)
class Way:
    """What would let a wish in that is left out: sentences, the easiest first."""

    project: str
    sentences: tuple[str, ...]


@dataclass(frozen=True)
class Explained:
    """A plan explained.

    ``found`` is the best known plan (``found.starts`` may be the plan itself), ``behind`` the share of its worth
    that the plan explained lacks, ``broken`` the rules that plan breaks in words, ``nonsense`` what in the jobs
    contradicts itself (then nothing else is filled in).
    """

    problem: Problem
    starts: dict[str, int]
    held: dict[str, Held]
    earlier: dict[str, Earlier]
    ways: tuple[Way, ...]
    found: Order | None
    behind: float
    broken: tuple[str, ...]
    nonsense: tuple[str, ...]

    def cost(self, project: str) -> str:
        """Say what having a job a year earlier would cost: a share of the use that the whole garden gives."""
        found = self.earlier.get(project)
        if found is None:
            return ""
        return earlier_words(self.problem, self.starts, found)


def explain(
    problem: Problem, starts: dict[str, int], *, money: Money = plain_money, keep: Keep | None = None
) -> Explained:
    """Explain a plan; the last few plans asked about are kept, so that asking again is quick.

    ``starts`` are start months of ``problem``.  Deterministic: every search is bounded by the solver's own count.
    ``keep`` holds answers beyond this process: what it knows is not worked out again, what it doesn't is put there.
    """
    said = tuple(sorted((name, at) for name, at in starts.items() if name in problem.index))
    if keep is None:
        return _explain(problem, said, money)
    name = key(f"why in {money!r}" if isinstance(money, Writer) else "why", problem, dict(said))
    known = _reread(keep.kept(name) or "", problem, dict(said), money)
    if known is not None:
        return known
    best = best_known(keep, problem, dict(said))
    new = _explain(problem, said, money) if best is None else _whole(problem, said, money, best)
    if not new.nonsense and new.found is not None:
        keep_order(keep, problem, new.found)
        keep.keep(name, json.dumps({
            "found": asdict(new.found), "earlier": {n: asdict(e) for n, e in new.earlier.items()},
            "ways": [asdict(w) for w in new.ways],
        }))  # fmt: skip
    return new


def _reread(text: str, problem: Problem, starts: dict[str, int], money: Money) -> Explained | None:
    """Return an explanation from what was kept of it; None if that can't be read."""
    try:
        document = json.loads(text)
        found = Order(**document["found"])
        asked = {n: Earlier(**{**e, "moved": tuple(e["moved"])}) for n, e in document["earlier"].items()}
        ways = tuple(Way(w["project"], tuple(w["sentences"])) for w in document["ways"])
    except (ValueError, TypeError, KeyError):
        return None
    return Explained(
        problem, starts, why(problem, starts, money=money), asked, ways, found, _behind(problem, starts, found),
        told.broken(problem, starts, money=money), (),
    )  # fmt: skip


def _behind(problem: Problem, starts: dict[str, int], found: Order) -> float:
    return 0.0 if not found.worth else max(0.0, 1 - problem.worth(starts) / found.worth)


@lru_cache(maxsize=8)
def _explain(problem: Problem, said: tuple[tuple[str, int], ...], money: Money) -> Explained:
    return _whole(problem, said, money, None)


def _whole(problem: Problem, said: tuple[tuple[str, int], ...], money: Money, known: Order | None) -> Explained:
    starts = dict(said)
    wrong = tuple(fault.sentence for fault in faults(problem, money))
    if wrong or not problem.projects:
        return Explained(problem, starts, {}, {}, (), None, 0.0, (), wrong)
    broken = told.broken(problem, starts, money=money)
    found = known or order(problem, seconds=LONG_S, effort=SEARCH, smoothing=False, start_from=starts)
    held = why(problem, starts, money=money)
    asked = {} if broken else {p.id: _earlier(problem, starts, p) for p in problem.projects if _movable(p, starts)}
    ways = () if broken else tuple(way_for(problem, starts, p, money) for p in problem.projects if _left_out(p, starts))
    return Explained(problem, starts, held, asked, ways, found, _behind(problem, starts, found), broken, ())


def _movable(p: Project, starts: dict[str, int]) -> bool:
    return p.id in starts and starts[p.id] >= 12 and p.fixed_start is None


def _left_out(p: Project, starts: dict[str, int]) -> bool:
    return p.id not in starts and p.fixed_start is None


def _earlier(problem: Problem, starts: dict[str, int], p: Project) -> Earlier:
    return earlier(problem, starts, p.id, effort=EACH, seconds=LONG_S)


def earlier_words(problem: Problem, starts: dict[str, int], found: Earlier) -> str:
    """Say what having a job a year earlier would cost: a share of the use that the whole garden gives."""
    if found.impossible:
        return "can't be"
    if found.starts is None or found.lost_at_most is None:
        return "no such plan was found"
    others = [name for name in found.moved if name != found.project]
    share = 100 * found.lost_at_most / max(problem.worth(starts), 1)
    exact = found.lost_at_least == found.lost_at_most
    cost = "nothing" if share < 0.05 else f"{share:.1f} in 100" if exact else f"at most {up(share, 1):.1f} in 100"
    gone = [f"“{problem[name].name}”" for name in sorted(starts) if name not in found.starts]
    moved = f"; {len(others)} other job{'s' * (len(others) > 1)} would move" if others else ""
    return cost + (f", without {' and '.join(gone)}" if gone else moved)


def way_for(problem: Problem, starts: dict[str, int], wish: Project, money: Money) -> Way:
    """Ask whether a wish fits beside all that is planned, at what cost; if it can't, what would let it in."""
    keep = {p.id: replace(p, must=True) for p in problem.projects if p.id in starts}
    beside = problem.changed(keep)
    found = earlier(beside, starts, wish.id, by=problem.months, effort=LEFT_OUT, seconds=LONG_S)
    if found.starts is not None and found.lost_at_most is not None:
        return Way(wish.id, (_fits(problem, starts, found, (found.starts[wish.id], found.lost_at_most)),))
    asked = beside.changed({wish.id: replace(wish, must=True)})
    wrong = tuple(fault.sentence for fault in faults(asked, money))
    if wrong:
        return Way(wish.id, tuple(capital(sentence) for sentence in wrong))
    clash = conflict(asked, effort=LEFT_OUT, money=money)
    if clash is None or not clash.items:
        return Way(wish.id, ("Whether it fits beside all that is planned could not be settled in the time given.",))
    out = ways_out(asked, few_years(clash), effort=LEFT_OUT, money=money)
    said = [w.sentence for w in out if w.kind != "drop" or w.projects != (wish.id,)]
    return Way(wish.id, tuple(said) or (clash.sentence,))


def _fits(problem: Problem, starts: dict[str, int], found: Earlier, cost: tuple[int, int]) -> str:
    at, lost = cost
    name, when = problem[found.project].name, problem.month_words(at)
    share = 100 * lost / max(problem.worth(starts), 1)
    others = len([n for n in found.moved if n != found.project])
    moved = f" if {others} other job{'s' * (others > 1)} moved" if others else ""
    if share <= 0:
        return f"{name} fits in {when}{moved}, and the whole would be worth more: let the years be found again."
    return (
        f"{name} would fit in {when}{moved}; that would cost at most {up(share, 1):.1f} in 100 of the use of the rest."
    )


def few_years(clash: Conflict) -> Conflict:
    """Keep the first, the middle and the last year of each kind in a conflict."""
    kept = []
    for kind in ("money", "hours"):
        years = sorted((t for t in clash.items if t[0] == kind), key=lambda t: int(str(t[1])))
        kept += list(dict.fromkeys([years[0], years[len(years) // 2], years[-1]]))[:MOST_YEARS] if years else []
    return replace(clash, items=(*(t for t in clash.items if t[0] not in ("money", "hours")), *kept))


@dataclass(frozen=True)
class Writer:
    """Writes whole sums as the garden does; two of one style are the same, so that kept answers are found again."""

    style: Style

    def __call__(self, amount: int) -> str:
        """Write minor units."""
        return format_money(amount, self.style, whole=True)

    def down(self, amount: int) -> str:
        """Write no more than an amount: for *at least*.  Less than a whole unit is written as it is."""
        size = 10 ** minor_digits(self.style.currency)
        return format_money(amount, self.style) if amount < size else self(amount - amount % size)

    def up(self, amount: int) -> str:
        """Write no less than an amount: for *at most*, and for what is to be enough."""
        return self(amount + -amount % 10 ** minor_digits(self.style.currency))


def explain_garden(garden: Garden, through: Timeline, keep: Keep | None = None, today: int | None = None) -> Explained:
    """Explain the plan that is written on the garden's jobs; see :func:`explain`.

    With ``today`` (a month from January of year 0) no way is looked for that begins in months gone by.
    """
    problem = problem_of(garden, through)
    starts = written(garden, problem)
    if today is not None:
        problem = from_now(problem, starts, today)
    return explain(problem, starts, money=Writer(garden.style), keep=keep)


def written(garden: Garden, problem: Problem) -> dict[str, int]:
    """Return the plan written on the jobs as start months of the problem; what is done or booked is where it is."""
    fixed = {p.id: p.fixed_start for p in problem.projects if p.fixed_start is not None}
    return starts_of(garden, problem) | fixed
