"""The order of works: a very good plan at once, then better ones in view, with how sure we are."""

from __future__ import annotations

import importlib.metadata
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, replace

from quincunx.years import lists, polish, smooth
from quincunx.years.checker import check
from quincunx.years.faults import require_sense
from quincunx.years.model import Model, formulate, run
from quincunx.years.problem import Problem, Starts
from quincunx.years.relax import Relaxed, list_starts, relax
from quincunx.years.steps import Row, Steps, build

SHARES = (0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9)
"""Alpha points of the lists."""
WORKERS = ("max_lp", "reduced_costs")
FIRST_ROUNDS = 30
"""Rounds of moving about that belong to the first plan."""
POLISH_ROUNDS = 300
"""Most rounds of moving about before the search, five a job: under half a second for 60 jobs."""
EFFORT_PER_SECOND = 0.6
"""Solver's deterministic time units that pass in a second (measured; only sizes the default effort)."""


@dataclass(frozen=True)
class Order:
    """A plan with its worth and the most any plan could have.

    ``starts`` is None when there is no plan that keeps every must; ``proven`` then says whether that is certain.
    ``rule`` tells which list or search the plan came from; ``solver`` is the version kept with the answer.
    """

    starts: dict[str, int] | None
    worth: int
    bound: int
    proven: bool
    rule: str
    seconds: float
    solver: str = ""

    @property
    def gap(self) -> float:
        """How much better another plan could be at most (0.01 = one in a hundred)."""
        if self.proven:
            return 0.0
        return float("inf") if self.starts is None or self.worth <= 0 else max(0, self.bound - self.worth) / self.worth

    @property
    def how_sure(self) -> str:
        """How sure we are that nothing better exists, in words."""
        if self.starts is None:
            return "No plan keeps every must." if self.proven else "No plan that keeps every must was found yet."
        if self.proven:
            return "Nothing better exists."
        return f"Nothing more than {max(0.1, 100 * self.gap):.1f} in a hundred better exists."


Progress = Callable[[Order], object]
"""Called with each better plan or bound; returning False stops the search."""


@dataclass
class _Search:
    """What is known while searching."""

    problem: Problem
    steps: Steps
    begun: float
    on_progress: Progress | None
    stop: threading.Event
    best: Order

    def tell(self, order: Order) -> None:
        """Take this as the state of things; a plan that reaches its bound is proven."""
        proven = order.proven or (order.starts is not None and order.worth >= order.bound)
        self.best = replace(order, proven=proven, seconds=time.perf_counter() - self.begun)
        if self.on_progress is not None and self.on_progress(self.best) is False:
            self.stop.set()

    def offer(self, starts: dict[str, int], rule: str) -> bool:
        """Take a plan if it is sound and better than the best."""
        worth = self.problem.worth(starts)
        if self.best.starts is not None and worth <= self.best.worth:
            return False
        if not lists.complete(self.problem, starts) or not check(self.problem, starts).sound:
            return False
        self.best = replace(self.best, starts=dict(starts), worth=worth, rule=rule)
        return True

    def lower_bound(self, bound: float) -> bool:
        whole = int(bound + 0.5) if abs(bound - round(bound)) < 1e-3 else int(bound)
        if whole >= self.best.bound:
            return False
        self.best = replace(self.best, bound=whole)
        return True


def first_plan(problem: Problem) -> Order:
    """Return the best of all lists with a certified bound, without search (deterministic)."""
    search, _ = _first(problem, None, threading.Event())
    return search.best


def _first(problem: Problem, on_progress: Progress | None, stop: threading.Event) -> tuple[_Search, Relaxed]:
    require_sense(problem)
    begun = time.perf_counter()
    steps = build(problem)
    most = sum(problem.worth_from(p, 0) for p in problem.projects)
    search = _Search(problem, steps, begun, on_progress, stop, Order(None, 0, most, False, "", 0.0, _version()))
    for name, rule in lists.RULES.items():
        search.offer(rule(problem), name)
    if search.best.starts is not None:
        search.tell(search.best)
    relaxed = relax(steps)
    if relaxed.bound is None:
        search.tell(replace(search.best, starts=None, worth=0, proven=True, rule="relaxation"))
        return search, relaxed
    search.lower_bound(relaxed.bound)
    allowed = {p.id: steps.starts[k] for k, p in enumerate(problem.projects)}
    for share in SHARES:
        search.offer(lists.serial(problem, list_starts(steps, relaxed.values, share), allowed), f"list at {share}")
    if search.best.starts is not None:
        moved = polish.polish(problem, search.best.starts, rounds=FIRST_ROUNDS, stop=stop)
        search.offer(moved, "moved about")
    search.tell(search.best)
    return search, relaxed


def order(  # noqa: PLR0913 - each is one plain choice, all by keyword
    problem: Problem,
    *,
    seconds: float = 30.0,
    effort: float | None = None,
    gap: float = 0.0,
    smoothing: bool = True,
    start_from: Starts | None = None,
    on_progress: Progress | None = None,
    stop: threading.Event | None = None,
    repeatable: bool = True,
) -> Order:
    """Find the order of works that is worth most.

    Args:
        problem: what is to be ordered.
        seconds: wall time after which the best plan so far is taken [s].
        effort: the same in the solver's own count; whichever limit bites first ends the search, and where it is
            this one (by default four fifths of ``seconds``), or the plan is proven, the same problem gives the
            same plan.
        gap: good enough: stop when nothing better by this share exists (0.01 = one in a hundred).
        smoothing: then, among the best, smooth the work and lower the cost.
        start_from: a plan to better, for example the one in force.
        on_progress: see :data:`Progress`.
        stop: set it from anywhere to end with the best so far.
        repeatable: the same problem gives the same plan (see ``effort``); without it the search is about twice as
            fast on two cores, and only a proven worth is the same every time.

    Raises:
        Nonsense: the problem contradicts itself.
    """
    stop = stop or threading.Event()
    search, relaxed = _first(problem, on_progress, stop)
    if relaxed.bound is None:
        return search.best
    if start_from is not None:
        search.offer(dict(start_from), "the plan before")
    _polish(search, gap)
    effort = effort if effort is not None else seconds * EFFORT_PER_SECOND * 0.8
    _improve(search, seconds, effort if repeatable else None, gap, repeatable=repeatable)
    if smoothing and search.best.starts is not None and not stop.is_set():
        left = max(0.2, min(5.0, seconds - (time.perf_counter() - search.begun)))
        calmer = smooth.smooth(problem, search.best.starts, seconds=left)
        search.tell(replace(search.best, starts=calmer, worth=problem.worth(calmer)))
    return search.best


def _polish(search: _Search, gap: float) -> None:
    """Move jobs about in the order: the cheapest gain before the search proper."""
    if search.best.starts is None or search.best.gap <= gap:
        return
    rounds = min(POLISH_ROUNDS, 5 * len(search.problem.projects))
    moved = polish.polish(search.problem, search.best.starts, rounds=rounds, stop=search.stop, seed=2)
    if search.offer(moved, "moved about"):
        search.tell(search.best)


def _improve(search: _Search, seconds: float, effort: float | None, gap: float, *, repeatable: bool) -> None:
    left = seconds - (time.perf_counter() - search.begun)
    if search.best.gap <= gap or left <= 0 or search.stop.is_set():
        return
    steps = search.steps
    model = formulate(steps)
    if search.best.starts is not None:
        model.hint(steps.encode(search.best.starts))
        _at_least(model, search.best.worth)

    def on_plan(values: list[int], _worth: float, bound: float) -> None:
        better = search.offer(steps.decode(values), "search")
        if search.lower_bound(bound) or better:
            search.tell(search.best)

    def on_bound(bound: float) -> None:
        if search.lower_bound(bound):
            search.tell(search.best)

    outcome = run(
        model,
        seconds=left,
        effort=effort,
        gap=gap,
        workers=WORKERS,
        on_plan=on_plan,
        on_bound=on_bound,
        stop=search.stop,
        repeatable=repeatable,
    )
    if outcome.values is not None:
        search.offer(steps.decode(outcome.values), "search")
        search.lower_bound(outcome.bound)
    proven = (outcome.proven and gap == 0) or outcome.status == "INFEASIBLE"
    if proven or search.best.bound <= search.best.worth:
        search.tell(replace(search.best, proven=True, bound=search.best.worth))
    else:
        search.tell(search.best)


def _at_least(model: Model, worth: int) -> None:
    steps = model.steps
    model.add(Row({k: -w for k, w in steps.worth.items()}, -(1 << 60), steps.worth_always - worth, ("best",)))


def _version() -> str:
    return f"ortools {importlib.metadata.version('ortools')}"
