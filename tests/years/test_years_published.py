"""The published examples: critical path, capital rationing, net present value, PSPLIB."""

from __future__ import annotations

import csv
import json
import os
from pathlib import Path
from typing import Any

import pytest

from quincunx.years.model import formulate, run
from quincunx.years.network import critical_path
from quincunx.years.order import order
from quincunx.years.problem import WEIGHT_NOW, Budget, Need, Problem, Project
from quincunx.years.rcpsp import Instance, breaches, least_makespan, list_schedule, read_psplib
from quincunx.years.relax import relax
from quincunx.years.risk import ThreePoint
from quincunx.years.steps import FREE, Row, Steps

EXAMPLES: dict[str, Any] = json.loads(
    (Path(__file__).parent.parent / "published" / "phasing" / "examples.json").read_text()
)
PSPLIB = os.environ.get("QUINCUNX_PSPLIB")
needs_psplib = pytest.mark.skipif(not PSPLIB, reason="QUINCUNX_PSPLIB does not say where the PSPLIB files are")


def rationed(case: dict[str, Any], value: str) -> Problem:
    """Two periods without carry-over: the first outlay is money, the second hours; all start in month 0 or never."""
    jobs = tuple(
        Project(f"{k + 1:02d}", f"{k + 1}", 2, ((0, first),), (0, second), worth=worth)
        for k, (worth, first, second) in enumerate(zip(case[value], case["outlay_1"], case["outlay_2"], strict=True))
    )
    return Problem(2027, 1, jobs, Budget((case["budget"][0], 0)), (0, case["budget"][1]), discount=0.0, tail_months=1)


def test_capital_rationing_lorie_savage():
    # Lorie and Savage 1955, nine projects; known from memory, recomputed.
    case = EXAMPLES["lorie_savage"]
    found = order(rationed(case, "present_value"))
    assert found.proven
    assert found.worth == case["optimum"] * WEIGHT_NOW
    assert sorted(int(name) for name in found.starts or {}) == case["chosen"]


def test_capital_rationing_weingartner_ness():
    # OR-Library mknap2, WEING1: optimum read there.
    case = EXAMPLES["weing1"]
    found = order(rationed(case, "value"))
    assert found.proven
    assert found.worth == case["optimum"] * WEIGHT_NOW


def test_capital_rationing_with_money_carried_over():
    # The same data as two instalments of one purse: what is left of the first period serves the second.
    case = EXAMPLES["weing1"]
    rows = zip(case["value"], case["outlay_1"], case["outlay_2"], strict=True)
    jobs = tuple(Project(f"{k:02d}", f"{k}", 2, ((0, a), (1, b)), worth=v) for k, (v, a, b) in enumerate(rows))
    found = order(Problem(2027, 1, jobs, Budget(tuple(case["budget"])), (0, 0), discount=0.0, tail_months=1))
    assert found.proven
    # 145820: our own figure of an earlier, different programme (no published one).
    assert found.worth == case["with_carry_over"] * WEIGHT_NOW


def test_capital_rationing_brealey_myers_linear_and_whole():
    case = EXAMPLES["brealey_myers"]
    steps = Steps(Problem(2027, 1, (), Budget((0,)), (0,)), count=4)
    steps.worth = dict(enumerate(case["value"]))
    for row, limit in zip(case["rows"], case["limits"], strict=True):
        steps.rows.append(Row(dict(enumerate(row)), FREE, limit, ("budget",)))
    assert relax(steps).bound == pytest.approx(case["linear"], rel=2e-6)
    assert run(formulate(steps), seconds=10).objective == case["whole"]


def test_critical_path_general_foundry():
    case = EXAMPLES["general_foundry"]
    jobs = tuple(
        Project(name, name, weeks, needs=tuple(Need(q) for q in case["after"][name]))
        for name, weeks in case["weeks"].items()
    )
    path = critical_path(Problem(2027, 1, jobs, Budget((0,)), (0,)))
    assert path.duration == case["duration"]
    assert "".join(path.critical) == case["critical"]
    # Slack by hand from the network: B may slip 1, D 1, F 6 (D and B lie on the second longest way, 14 weeks).
    slack = {name: path.latest[name] - path.earliest[name] for name in path.earliest}
    assert slack == {"A": 0, "B": 1, "C": 0, "D": 1, "E": 0, "F": 6, "G": 0, "H": 0}


def test_the_mean_of_a_pert_path():
    case = EXAMPLES["pert_path"]
    assert sum(ThreePoint(*estimate).mean for estimate in case["estimates"]) == case["mean"]


@pytest.mark.parametrize("case", EXAMPLES["npv"], ids=["gitman", "numpy-financial"])
def test_weights_discount_as_net_present_value_does(case):
    weights = Problem(2027, 1, (), Budget((0,)), (0,), discount=case["rate"])
    found = sum(flow * weights.weight(12 * year) / WEIGHT_NOW for year, flow in enumerate(case["flows"]))
    # Each weight is rounded to a whole thousandth.
    assert found == pytest.approx(case["value"], abs=0.5 / WEIGHT_NOW * sum(abs(flow) for flow in case["flows"][1:]))


def test_a_small_schedule_by_the_core_model():
    # Two activities of 3 on a resource of 1, after a first of 2: 8 by counting.
    instance = Instance((0, 2, 3, 3, 0), ((1,), (2, 3), (4,), (4,), ()), ((0,), (1,), (1,), (1,), (0,)), (1,))
    found = least_makespan(instance)
    assert (found.makespan, found.bound) == (8, 8)
    assert breaches(instance, found.starts) == []
    assert breaches(instance, [0, 0, 2, 2, 5]) != []
    assert breaches(instance, [0, 0, 1, 4, 7])[0] == "2 starts before 1 ends"


HARD = {"j3013_1", "j3013_4", "j3025_4", "j3029_4", "j309_2", "j3029_1", "j3014_2", "j3021_4", "j3021_7"}
"""Instances that take seconds: left to the slow sweep."""


def solve_psplib(files: list[Path]) -> None:
    with (Path(PSPLIB or "") / "optimum.csv").open() as table:
        optimum = {row["problem"]: row["optimum"] for row in csv.DictReader(table)}
    for path in files:
        instance = read_psplib(path)
        found = least_makespan(instance, seconds=100)
        assert breaches(instance, found.starts) == [], path.name
        assert found.makespan == found.bound == int(optimum[path.name]), path.name
        assert breaches(instance, list_schedule(instance)) == []


@needs_psplib
def test_twenty_psplib_instances_are_solved_to_the_published_optimum():
    """Kolisch and Sprecher, PSPLIB, EJOR 96, 1997, 205-216: J30 and its table of optima."""
    files = [path for path in sorted(Path(PSPLIB or "").glob("j30*.sm")) if path.stem not in HARD]
    solve_psplib(files[::3][:20])
    assert len(files[::3]) >= 20


@needs_psplib
@pytest.mark.slow
@pytest.mark.parametrize("name", sorted(HARD))
def test_the_hard_psplib_instances_too(name):
    path = Path(PSPLIB or "") / f"{name}.sm"
    if path.exists():
        solve_psplib([path])
