"""The order of works: a very good plan at once, then better ones in view, with how sure we are."""

from __future__ import annotations

import importlib.metadata
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, replace

from quincunx.years import lists, polish, smooth
from quincunx.years.checker import check
from quincunx.years.covers import sharpen
from quincunx.years.faults import require_sense
from quincunx.years.lean import crowded_first, found_or_all, lean, overfull, with_next
from quincunx.years.model import Model, Outcome, formulate, run
from quincunx.years.narrow import narrow
from quincunx.years.problem import Problem, Starts
from quincunx.years.relax import Relaxed, list_starts, relax
from quincunx.years.steps import Row, Steps

SHARES = (0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9)
"""Alpha points of the lists."""
WORKERS = ("max_lp", "reduced_costs")
"""Parts of the solver that run beside each other."""
ONE_WORKER = ("max_lp",)
"""The part that runs alone when the answer must be the same every time: faster than both in lock step."""
IN_TURN = (("max_lp",), ("reduced_costs",))
"""Parts that search among a few months of each job by turns: where one gets stuck the other mostly does not."""
MANY = 60
"""From more jobs than this on the search looks at a few months of each first (measured)."""
SHARPENING = 5
"""Rounds of covers before the search."""
FEW_HOURS = 2
"""So many times the search looks at the hours of some months only; where that isn't enough it looks at all."""
NEAR = 0.003
"""How close the search comes with some hours left out before it looks whether they matter."""
UNHINTED = 30
"""Up to so many jobs the search is faster without a plan to start from (measured)."""
NARROW_STAGES = 9
"""So many times the search looks at a few months of each job before it looks at all that matter."""
NARROW_EFFORT = 0.25
"""Effort of each of these."""
FIRST_ROUNDS, ROUNDS = 1_000, 5_000
"""Rounds of moving about that belong to the first plan, and those beside or before each search: about 0.1 and 0.4 s."""
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
    """What is known while searching; ``crowded`` the months whose hours are looked at."""

    problem: Problem
    steps: Steps
    crowded: frozenset[int]
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


def _first(
    problem: Problem, on_progress: Progress | None, stop: threading.Event, start_from: Starts | None = None
) -> tuple[_Search, Relaxed]:
    require_sense(problem)
    begun = time.perf_counter()
    most = sum(problem.worth_from(p, 0) for p in problem.projects)
    nothing = Order(None, 0, most, False, "", 0.0, _version())
    search = _Search(problem, Steps(problem), frozenset(), begun, on_progress, stop, nothing)
    for name, rule in lists.RULES.items():
        search.offer(rule(problem), name)
    if start_from is not None:
        search.offer(dict(start_from), "the plan before")
    if search.best.starts is not None:
        search.tell(search.best)
    search.crowded = crowded_first(problem, search.best.starts)
    steps = search.steps = lean(problem, search.crowded)
    relaxed = relax(steps)
    if relaxed.bound is None:
        search.tell(replace(search.best, starts=None, worth=0, proven=True, rule="relaxation"))
        return search, relaxed
    search.lower_bound(relaxed.bound)
    for share in SHARES:
        search.offer(lists.serial(problem, list_starts(steps, relaxed.values, share)), f"list at {share}")
    if search.best.starts is not None:
        search.offer(polish.polish(problem, search.best.starts, rounds=FIRST_ROUNDS, stop=stop), "moved about")
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
        repeatable: the same problem gives the same plan (see ``effort``); without it two parts of the solver run
            beside each other, and only a proven worth is the same every time.

    Raises:
        Nonsense: the problem contradicts itself.
    """
    stop, begun = stop or threading.Event(), time.perf_counter()
    search, relaxed = _first(problem, on_progress, stop, start_from)
    if relaxed.bound is None:
        return search.best
    effort = effort if effort is not None else seconds * EFFORT_PER_SECOND * 0.8
    limits = _Limits(begun + seconds, effort if repeatable else None, gap, repeatable)
    if len(problem.projects) > MANY:
        relaxed = _among_few(search, relaxed, limits)
    else:
        _polish(search, gap)
    _improve(search, relaxed, limits)
    if smoothing and search.best.starts is not None and not stop.is_set():
        left = max(0.2, min(5.0, seconds - (time.perf_counter() - search.begun)))
        calmer = smooth.smooth(problem, search.best.starts, seconds=left)
        search.tell(replace(search.best, starts=calmer, worth=problem.worth(calmer)))
    return search.best


def _polish(search: _Search, gap: float) -> None:
    """Move jobs about in the order: the cheapest gain before the search proper."""
    if search.best.starts is None or search.best.gap <= gap:
        return
    moved = polish.polish(search.problem, search.best.starts, rounds=ROUNDS, stop=search.stop, seed=2)
    if search.offer(moved, "moved about"):
        search.tell(search.best)


@dataclass
class _Limits:
    """When to end: at a moment, after so much effort (None: never), or so close to the bound."""

    until: float
    effort: float | None
    gap: float
    repeatable: bool

    @property
    def over(self) -> bool:
        """Whether time or effort is used up."""
        return self.until <= time.perf_counter() or (self.effort is not None and self.effort <= 0)


def _among_few(search: _Search, relaxed: Relaxed, limits: _Limits) -> Relaxed:
    """Search among a few months for each job, add the months that the best then overfills, and search again."""
    plans: list[dict[str, int]] = []
    beside = 0
    for turn in range(NARROW_STAGES):
        if relaxed.bound is None or search.best.gap <= limits.gap or limits.over or search.stop.is_set():
            break
        before = search.best.worth
        known = [*plans, *([search.best.starts] if search.best.starts is not None else [])]
        few = narrow(search.steps, relaxed.values, known, search.crowded, beside)
        stage = _Stage(search, few, near=0.0, whole=False)
        stage.workers = IN_TURN[turn % len(IN_TURN)]
        with _Beside(search, turn + 2):
            stage.run(replace(limits, effort=NARROW_EFFORT))
        if limits.effort is not None:
            limits.effort -= NARROW_EFFORT
        if stage.missed:
            plans.append(stage.plan)
            search.crowded = found_or_all(search.problem, search.crowded | with_next(search.problem, stage.missed))
        elif search.best.worth == before:
            beside += 1
            continue
        search.steps = lean(search.problem, search.crowded)
        relaxed = _relaxed(search)
    return relaxed


class _Beside:
    """Moves the jobs of the best plan about in a thread of its own while the search goes on; offers what comes out."""

    def __init__(self, search: _Search, seed: int) -> None:
        self._search, self._found = search, dict[str, int]()
        best = search.best.starts
        self._thread = threading.Thread(target=self._run, args=(best, seed), name="moving", daemon=True)

    def _run(self, best: dict[str, int] | None, seed: int) -> None:
        if best is not None:
            self._found = polish.polish(self._search.problem, best, rounds=ROUNDS, stop=self._search.stop, seed=seed)

    def __enter__(self) -> None:
        self._thread.start()

    def __exit__(self, *_: object) -> None:
        self._thread.join()
        if self._found and self._search.offer(self._found, "moved about"):
            self._search.tell(self._search.best)


def _relaxed(search: _Search) -> Relaxed:
    """Relax the steps there are now; take its bound and its lists."""
    relaxed = relax(search.steps)
    if relaxed.bound is None:
        return relaxed
    search.lower_bound(relaxed.bound)
    for share in SHARES:
        search.offer(lists.serial(search.problem, list_starts(search.steps, relaxed.values, share)), f"list at {share}")
    search.tell(search.best)
    return relaxed


def _improve(search: _Search, relaxed: Relaxed, limits: _Limits) -> None:
    """Search with the hours of crowded months only, add the months that the best then overfills, and search again."""
    stages = 0
    while not (search.best.gap <= limits.gap or limits.over or search.stop.is_set()):
        relaxed = sharpen(search.steps, relaxed, rounds=SHARPENING)
        if relaxed.bound is not None and search.lower_bound(relaxed.bound) and search.best.starts is not None:
            search.tell(search.best)
        stage = _Stage(search, search.steps, near=max(min(NEAR, search.best.gap / 4), limits.gap))
        outcome = stage.run(limits)
        if outcome.status == "INFEASIBLE":
            search.tell(replace(search.best, proven=True, bound=search.best.worth))
        if outcome.values is None or not stage.missed:
            return
        stages += 1
        more = search.crowded | with_next(search.problem, stage.missed)
        search.crowded = (
            found_or_all(search.problem, more) if stages < FEW_HOURS else frozenset(range(search.problem.months))
        )
        search.steps = lean(search.problem, search.crowded)
        relaxed = relax(search.steps)


class _Stage:
    """One run of the solver with the hours of the months known to be crowded.

    It ends as soon as its best ``plan`` overfills another month and is within ``near`` of the bound; ``missed`` tells
    which months those are.  Its bound is one for all plans only if the steps are ``whole``.
    """

    def __init__(self, search: _Search, steps: Steps, *, near: float, whole: bool = True) -> None:
        self.search, self.steps, self.near, self.whole = search, steps, near, whole
        self.workers = ONE_WORKER
        self.missed = frozenset[int]()
        self.plan = dict[str, int]()
        self._worth = 0.0

    def run(self, limits: _Limits) -> Outcome:
        """Run it within the limits."""
        search = self.search
        model = formulate(self.steps)
        if search.best.starts is not None:
            _at_least(model, search.best.worth)
            if len(search.problem.projects) > UNHINTED:
                model.hint(self.steps.encode(search.best.starts))
        outcome = run(
            model,
            seconds=max(0.05, limits.until - time.perf_counter()),
            effort=limits.effort,
            gap=limits.gap,
            workers=self.workers if limits.repeatable else WORKERS,
            on_plan=self._plan,
            on_bound=self._bound,
            stop=search.stop,
            repeatable=limits.repeatable,
        )
        if limits.effort is not None:
            limits.effort -= outcome.effort
        if outcome.values is not None:
            self._plan(outcome.values, outcome.objective or 0.0, outcome.bound)
        return outcome

    def _plan(self, values: list[int], worth: float, bound: float) -> bool:
        search = self.search
        plan = self.plan = self.steps.decode(values)
        self._worth, self.missed = worth, overfull(search.problem, plan) - search.crowded
        better = search.offer(plan, "search")
        if self.missed:
            queue = sorted(search.problem.index, key=lambda name: (plan.get(name, search.problem.months), name))
            better |= search.offer(lists.serial(search.problem, queue), "search")
        if (self.whole and search.lower_bound(bound)) or better:
            search.tell(search.best)
        return self._goes_on(bound)

    def _bound(self, bound: float) -> bool:
        if self.whole and self.search.lower_bound(bound):
            self.search.tell(self.search.best)
        return self._goes_on(bound)

    def _goes_on(self, bound: float) -> bool:
        return not (self.missed and bound - self._worth <= self.near * self._worth)


def _at_least(model: Model, worth: int) -> None:
    steps = model.steps
    model.add(Row({k: -w for k, w in steps.worth.items()}, -(1 << 60), steps.worth_always - worth, ("best",)))


def _version() -> str:
    return f"ortools {importlib.metadata.version('ortools')}"
