"""How good the order of works is, how soon, and against what.

    python benches/years.py [--small] [--free] [--json]

Both demo gardens: proof, and worth against the fixed lists.  Random gardens of 12, 30, 60 and 120 jobs
(``tests/years/gardens.py``, seeded): first certified plan, gap to the proven bound at 1, 5 and 30 s, seconds to the
proof; worth against the fixed lists; brute force on tiny gardens; HiGHS on the same steps as exact peer; PSPLIB J30
where QUINCUNX_PSPLIB says where it is.  Seconds are wall time, with the CPU time of the process beside them.
With ``--json`` the last line is one JSON object.
"""

from __future__ import annotations

import argparse
import contextlib
import csv
import json
import os
import statistics
import sys
import time
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from quincunx.years import lists
from quincunx.years.checker import check
from quincunx.years.order import Order, first_plan, order
from quincunx.years.problem import Problem
from quincunx.years.rcpsp import breaches, least_makespan, read_psplib
from quincunx.years.relax import matrix
from quincunx.years.steps import build
from tests.years.brute import best_worth
from tests.years.gardens import garden, tiny

MARKS_S = (1.0, 5.0, 30.0)


@dataclass
class Trace:
    """One search: what was known when."""

    problem: Problem
    begun: float = field(default_factory=time.perf_counter)
    cpu_begun: float = field(default_factory=time.process_time)
    seen: list[tuple[float, float, Order]] = field(default_factory=list)

    def note(self, found: Order) -> None:
        """Remember a step of progress with its wall and CPU seconds."""
        self.seen.append((time.perf_counter() - self.begun, time.process_time() - self.cpu_begun, found))

    def first_certified(self) -> tuple[float, float, float]:
        """Wall and CPU seconds, and gap, of the first plan with a bound below "everything at once"."""
        most = self.seen[0][2].bound
        return next((wall, cpu, o.gap) for wall, cpu, o in self.seen if o.starts is not None and o.bound < most)

    def gap_at(self, mark_s: float, *, cpu: bool = False) -> float | None:
        """Gap known at a moment of wall (or CPU) time."""
        known = [found for wall, spent, found in self.seen if (spent if cpu else wall) <= mark_s]
        return known[-1].gap if known and known[-1].starts is not None else None

    def proven_at(self) -> tuple[float, float] | None:
        """Wall and CPU seconds to the proof."""
        return next(((wall, cpu) for wall, cpu, o in self.seen if o.proven), None)


def measure(size: int, seed: int, seconds: float, *, repeatable: bool) -> Trace:
    """Search one garden for ``seconds`` and check what comes out."""
    problem = garden(size, seed)
    trace = Trace(problem)
    found = order(problem, seconds=seconds, effort=1e6, smoothing=False, on_progress=trace.note, repeatable=repeatable)
    if found.starts is None or not check(problem, found.starts).sound:
        raise SystemExit(f"garden {size}/{seed}: the plan is not sound")
    return trace


def median(values: list[float | None]) -> float | None:
    """Median with a missing value counted as worse than all."""
    ranked = statistics.median_low([float("inf") if v is None else v for v in values])
    return None if ranked == float("inf") else round(ranked, 4)


def gains(traces: list[Trace]) -> dict[str, dict[str, float]]:
    """Worth over that of each fixed list: median, least and most."""
    table = {}
    for name, rule in lists.RULES.items():
        ratios = [t.seen[-1][2].worth / max(1, t.problem.worth(rule(t.problem))) for t in traces]
        table[name] = {"median": statistics.median(ratios), "least": min(ratios), "most": max(ratios)}
    return table


def sizes(*, small: bool, repeatable: bool) -> tuple[dict[str, Any], list[Trace]]:
    """Measure each size; small is one or two gardens and a few seconds."""
    plan = {12: (2, 5.0), 30: (1, 1.0)} if small else {12: (20, 10.0), 30: (10, 30.0), 60: (10, 30.0), 120: (10, 30.0)}
    table, everything = {}, list[Trace]()
    for size, (seeds, seconds) in plan.items():
        traces = [measure(size, seed, seconds, repeatable=repeatable) for seed in range(seeds)]
        everything += traces
        proofs = [t.proven_at() for t in traces]
        firsts = [t.first_certified() for t in traces]
        table[str(size)] = {
            "gardens": seeds,
            "first_plan_s": median([f[0] for f in firsts]),
            "first_plan_cpu_s": median([f[1] for f in firsts]),
            "first_plan_gap": median([f[2] for f in firsts]),
            "gap_at_s": {str(mark): median([t.gap_at(mark) for t in traces]) for mark in MARKS_S if mark <= seconds},
            "gap_at_cpu_s": {
                str(mark): median([t.gap_at(mark, cpu=True) for t in traces]) for mark in MARKS_S if mark <= seconds
            },
            "proven": sum(p is not None for p in proofs),
            "proven_s": median([p and p[0] for p in proofs]),
            "proven_cpu_s": median([p and p[1] for p in proofs]),
            "below_a_list": sum(min(g["least"] for g in gains([t]).values()) < 1 for t in traces),
            "gain": gains(traces),
        }
        print(f"{size} jobs: {json.dumps({k: v for k, v in table[str(size)].items() if k != 'gain'})}", flush=True)
    return table, everything


def demos(*, small: bool) -> dict[str, Any]:
    """Find the years of both demo gardens (small: of the first) from nothing: the proof, the worth over the fixed lists."""
    from quincunx.demos import DEMOS, demo_garden
    from quincunx.garden import timeline
    from quincunx.years.from_garden import problem_of

    table = {}
    for demo in (d.id for d in DEMOS[: 1 if small else None]):
        garden = demo_garden(demo)
        trace = Trace(problem_of(garden, timeline(garden)))
        found = order(trace.problem, seconds=60, effort=1e6, smoothing=False, on_progress=trace.note)
        proof = trace.proven_at()
        table[demo] = {
            "jobs": len(trace.problem.projects),
            "sound": found.starts is not None and check(trace.problem, found.starts).sound,
            "proven_s": proof and round(proof[0], 2),
            "proven_cpu_s": proof and round(proof[1], 2),
            "gain": {
                name: round(found.worth / max(1, trace.problem.worth(rule(trace.problem))), 3)
                for name, rule in lists.RULES.items()
            },
        }
        print(f"{demo}: {json.dumps(table[demo])}", flush=True)
    return table


def highs(problem: Problem, limit_s: float) -> tuple[float | None, float, float]:
    """Solve the same steps by HiGHS: worth (None if not proven), CPU and wall seconds."""
    import highspy
    import numpy as np

    steps = build(problem)
    a, low, high = matrix(steps)
    worth = np.zeros(steps.count)
    worth[list(steps.worth)] = list(steps.worth.values())
    solver = highspy.Highs()
    solver.silent()
    solver.setOptionValue("time_limit", limit_s)
    solver.setOptionValue("mip_rel_gap", 0.0)
    model = highspy.HighsLp()
    model.num_col_, model.num_row_, model.sense_ = steps.count, a.shape[0], highspy.ObjSense.kMaximize
    model.col_cost_, model.col_lower_, model.col_upper_ = worth, np.zeros(steps.count), np.ones(steps.count)
    model.row_lower_, model.row_upper_ = low, high
    model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    model.a_matrix_.start_ = a.indptr.astype(np.int32)
    model.a_matrix_.index_, model.a_matrix_.value_ = a.indices.astype(np.int32), a.data
    model.integrality_ = [highspy.HighsVarType.kInteger] * steps.count
    solver.passModel(model)
    cpu, wall = time.process_time(), time.perf_counter()
    with contextlib.redirect_stdout(sys.stderr):
        solver.run()
    cpu, wall = time.process_time() - cpu, time.perf_counter() - wall
    if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        return None, cpu, wall
    values = [int(v > 0.5) for v in solver.getSolution().col_value]
    return float(problem.worth(steps.decode(values))), cpu, wall


def against_highs(traces: list[Trace], limit_s: float, most: int) -> dict[str, Any]:
    """Compare proofs with HiGHS on the gardens that we proved: CPU seconds, agreement of the worth."""
    ours = theirs = ours_wall = theirs_wall = 0.0
    agreed = compared = unproven = 0
    for size in (12, 30):
        chosen = [t for t in traces if len(t.problem.projects) == size and t.proven_at()][:most]
        for trace in chosen:
            worth, cpu, wall = highs(trace.problem, limit_s)
            proof = trace.proven_at()
            if proof is None:
                continue
            compared += 1
            ours, ours_wall, theirs, theirs_wall = (
                ours + proof[1],
                ours_wall + proof[0],
                theirs + cpu,
                theirs_wall + wall,
            )
            unproven += worth is None
            agreed += worth == trace.seen[-1][2].worth
    return {
        "name": "HiGHS on the same steps",
        "s": round(theirs, 3),
        "wall_s": round(theirs_wall, 3),
        "ours_s": round(ours, 3),
        "ours_wall_s": round(ours_wall, 3),
        "ratio": round(theirs / ours, 2) if ours else None,
        "agreement": f"{agreed} of {compared - unproven} proofs equal; {unproven} of {compared} "
        f"not proven in {limit_s:.0f} s",
    }


def brute(count: int) -> dict[str, Any]:
    """Compare with the best of all plans on tiny gardens."""
    equal = 0
    for seed in range(count):
        problem = tiny(seed)
        found = order(problem, smoothing=False)
        sound = found.starts is not None and check(problem, found.starts).sound
        equal += sound and found.proven and found.worth == best_worth(problem)
    return {"gardens": count, "equal": equal}


def psplib(*, small: bool) -> dict[str, Any]:
    """Solve PSPLIB J30 and count the optima equal to the published table."""
    where = os.environ.get("QUINCUNX_PSPLIB")
    if not where:
        return {"files": 0, "optimal": 0, "skipped": "QUINCUNX_PSPLIB is not set"}
    with (Path(where) / "optimum.csv").open() as table:
        optimum = {row["problem"]: row["optimum"] for row in csv.DictReader(table)}
    files = sorted(Path(where).glob("j30*.sm"))
    files = files[::20] if small else files
    optimal, cpu, wall = 0, time.process_time(), time.perf_counter()
    for path in files:
        instance = read_psplib(path)
        found = least_makespan(instance, seconds=120)
        optimal += not breaches(instance, found.starts) and found.makespan == found.bound == int(optimum[path.name])
    return {
        "files": len(files),
        "optimal": optimal,
        "cpu_s": round(time.process_time() - cpu, 1),
        "wall_s": round(time.perf_counter() - wall, 1),
    }


def main() -> None:
    """Run the benchmark and print it."""
    parser = argparse.ArgumentParser(description="Measure the order of works.")
    parser.add_argument("--small", action="store_true", help="a few gardens and seconds, so that it can't rot")
    parser.add_argument("--json", action="store_true", help="end with one line of JSON")
    parser.add_argument(
        "--free", action="store_true", help="two parts of the solver side by side; else one, the same plan every time"
    )
    options = parser.parse_args()
    order(garden(12, 99), smoothing=False)  # loads the libraries
    first_plan(garden(60, 99))  # and what is compiled
    shown = demos(small=options.small)
    table, traces = sizes(small=options.small, repeatable=not options.free)
    peer = against_highs(traces, *((5.0, 1) if options.small else (120.0, 5)))
    tried, instances = brute(2 if options.small else 500), psplib(small=options.small)
    result = {
        "ours_s": peer["ours_s"],
        "peers": [peer],
        "ratio": peer["ratio"],
        "demos": shown,
        "proven": {size: f"{row['proven']} of {row['gardens']}" for size, row in table.items()},
        "gain_over_wish_order": {size: row["gain"]["wish order"] for size, row in table.items()},
        "psplib_optimal": f"{instances['optimal']} of {instances['files']}",
        "psplib": instances,
        "brute_force": tried,
        "sizes": table,
    }
    print(f"HiGHS: {peer}\nbrute force: {tried}\nPSPLIB: {instances}")
    for size, row in table.items():
        shown = "; ".join(
            f"{name} {g['median']:.2f} ({g['least']:.2f}-{g['most']:.2f})" for name, g in row["gain"].items()
        )
        print(f"worth over the lists, {size} jobs: {shown}")
    if options.json:
        print(json.dumps(result))


if __name__ == "__main__":
    main()
