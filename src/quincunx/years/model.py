"""The steps as a CP-SAT model, and running it the same way every time."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from quincunx.years.steps import FREE, Row, Steps

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

INT64_SAFE = 1 << 60
"""Sums beyond this are refused before they can overflow the solver's 64-bit integers."""


@dataclass
class Model:
    """A CP-SAT model of the steps with its variables."""

    steps: Steps
    cp: cp_model.CpModel
    variables: list[cp_model.IntVar]

    def total(self, weights: Mapping[int, int]) -> cp_model.LinearExpr:
        """Weighted sum of step variables."""
        from ortools.sat.python import cp_model

        keys = list(weights)
        return cp_model.LinearExpr.weighted_sum([self.variables[k] for k in keys], [weights[k] for k in keys])

    def add(self, row: Row) -> cp_model.Constraint:
        """Add one row."""
        low, high = row.low, row.high
        if (
            len(row.terms) > 1
            and low <= FREE
            and high == 0
            and set(row.terms.values()) == {1, -1}
            and len(row.terms) == 2
        ):
            then, when = sorted(row.terms, key=lambda v: row.terms[v])
            return self.cp.add_implication(self.variables[when], self.variables[then])
        total = self.total(row.terms)
        return self.cp.add(total <= high) if low <= FREE else self.cp.add_linear_constraint(total, low, high)

    def hint(self, values: Iterable[int]) -> None:
        """Give a complete plan to start from (an incomplete one may start below it)."""
        self.cp.clear_hints()  # type: ignore[no-untyped-call]
        for variable, value in zip(self.variables, values, strict=True):
            self.cp.add_hint(variable, value)


def formulate(steps: Steps, *, objective: bool = True, skip: Callable[[Row], bool] | None = None) -> Model:
    """Write the steps as a CP-SAT model; rows for which ``skip`` says so are left to the caller."""
    from ortools.sat.python import cp_model

    _refuse_huge(steps)
    cp = cp_model.CpModel()
    variables = [cp.new_bool_var("") for _ in range(steps.count)]
    model = Model(steps, cp, variables)
    for when, then in steps.implies:
        cp.add_implication(variables[when], variables[then])
    for row in steps.rows:
        if skip is None or not skip(row):
            model.add(row)
    for tag in steps.impossible:
        if skip is None or not skip(Row({}, 0, -1, tag)):
            cp.add_bool_or([])
    if objective:
        cp.maximize(model.total(steps.worth) + steps.worth_always)
    return model


def _refuse_huge(steps: Steps) -> None:
    largest = max([sum(abs(c) for c in row.terms.values()) + abs(row.high) for row in steps.rows], default=0)
    if max(largest, sum(map(abs, steps.worth.values()))) >= INT64_SAFE:
        raise OverflowError(
            "the sums of money, minutes or worth in this plan are too large to count exactly; "
            "expected less than 10^18 in all; use a larger currency unit or fewer points"
        )


@dataclass(frozen=True)
class Outcome:
    """What a run of the solver came to: ``status`` is its own word, values None when it found no plan."""

    status: str
    values: list[int] | None
    objective: float | None
    bound: float
    wall_s: float
    effort: float

    @property
    def proven(self) -> bool:
        """Whether nothing better exists."""
        return self.status == "OPTIMAL"


def run(  # noqa: PLR0913 - each is one plain choice, all by keyword
    model: Model,
    *,
    seconds: float,
    effort: float | None = None,
    gap: float = 0.0,
    workers: tuple[str, ...] = ("max_lp", "reduced_costs"),
    on_plan: Callable[[list[int], float, float], object] | None = None,
    on_bound: Callable[[float], object] | None = None,
    stop: threading.Event | None = None,
    repeatable: bool = True,
) -> Outcome:
    """Run CP-SAT on a model.

    Args:
        model: the model, with its objective and perhaps a hint.
        seconds: wall time limit [s]; reached, it makes the answer depend on the machine.
        effort: deterministic time limit; reached (or none), the same model gives the same answer.
        gap: stop when bound and plan are this close (0.01 = one in a hundred).
        workers: the solver's parts to run by name; with the default pair and no names its bound is far weaker.
        on_plan: called with (values, objective, bound) for each better plan; returning False ends the search.
        on_bound: called with each better bound; returning False ends the search.
        stop: set it from anywhere to stop with the best plan so far.
        repeatable: run the parts in lock step, so that ``effort`` ends the search at the same answer every time;
            without it they run freely beside each other, which is faster on two cores.
    """
    from ortools.sat.python import cp_model

    solver = cp_model.CpSolver()
    p = solver.parameters
    p.num_workers, p.random_seed, p.interleave_search = len(workers), 1, repeatable and len(workers) > 1
    p.subsolvers.extend(workers)
    p.max_time_in_seconds, p.relative_gap_limit = seconds, gap
    if effort is not None:
        p.max_deterministic_time = effort
    variables = model.variables

    class Listener(cp_model.CpSolverSolutionCallback):
        def on_solution_callback(self) -> None:
            if on_plan is not None:
                values = [self.value(v) for v in variables]
                if on_plan(values, self.objective_value, self.best_objective_bound) is False:
                    solver.stop_search()

    def bettered(bound: float) -> None:
        if on_bound is not None and on_bound(bound) is False:
            solver.stop_search()

    if on_bound is not None:
        solver.best_bound_callback = bettered
    begun = time.perf_counter()
    with _Stopper(solver.stop_search, stop):
        status = solver.solve(model.cp, Listener())
    found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    return Outcome(
        solver.status_name(status),
        [solver.value(v) for v in variables] if found else None,
        solver.objective_value if found else None,
        solver.best_objective_bound,
        time.perf_counter() - begun,
        solver.response_proto.deterministic_time,
    )


class _Stopper:
    """Watches an event beside a running solver."""

    def __init__(self, halt: Callable[[], None], event: threading.Event | None) -> None:
        self._halt, self._event, self._over = halt, event, threading.Event()
        self._thread = threading.Thread(target=self._watch, daemon=True)

    def _watch(self) -> None:
        while self._event is not None and not self._over.is_set():
            if self._event.wait(0.05):
                self._halt()
                return

    def __enter__(self) -> None:
        if self._event is not None:
            self._thread.start()

    def __exit__(self, *_: object) -> None:
        self._over.set()
        if self._event is not None:
            self._thread.join()
