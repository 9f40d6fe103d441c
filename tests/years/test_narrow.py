"""The few months of each job: what they hold, and that a search among them alone never claims a bound for all."""

from __future__ import annotations

import importlib

import numpy as np
import pytest

from quincunx.years.checker import check
from quincunx.years.lean import crowded_first, lean
from quincunx.years.narrow import narrow, narrow_starts
from quincunx.years.order import Order, order
from quincunx.years.relax import relax
from tests.years.gardens import garden


@pytest.mark.parametrize("seed", [0, 3])
def test_they_are_those_of_the_relaxation_and_of_the_plans(seed):
    p = garden(30, seed)
    crowded = crowded_first(p, None)
    steps = lean(p, crowded)
    relaxed = relax(steps)
    plan = {p.projects[0].id: steps.starts[0][-1]}
    few = narrow_starts(steps, relaxed.values, [plan])
    for k, project in enumerate(p.projects):
        first, months = steps.first[k], steps.starts[k]
        begun = np.diff(relaxed.values[first : first + len(months)], prepend=0.0)
        expected = {t for t, share in zip(months, begun, strict=True) if share > 1e-4}
        assert set(few[project.id]) == expected | ({months[-1]} if k == 0 else set())
        wider = narrow_starts(steps, relaxed.values, [plan], beside=1)[project.id]
        assert set(wider) >= set(few[project.id])
        assert all(min(abs(months.index(t) - months.index(u)) for u in few[project.id]) <= 1 for t in wider)


def test_the_best_of_the_relaxation_is_still_among_them():
    """Rounding away all months but those it uses leaves the relaxation its value."""
    p = garden(30, 1)
    crowded = crowded_first(p, None)
    steps = lean(p, crowded)
    relaxed = relax(steps)
    few = narrow(steps, relaxed.values, [], crowded)
    assert few.count < steps.count / 3
    again = relax(few).bound
    assert again is not None
    assert again == pytest.approx(relaxed.bound, rel=1e-5)


def test_a_bound_of_the_few_is_never_taken_for_one_of_all(monkeypatch):
    p = garden(12, 4)
    best = order(p, smoothing=False)
    assert best.proven
    module = importlib.import_module("quincunx.years.order")
    monkeypatch.setattr(module, "MANY", 0)
    seen: list[Order] = []
    found = order(p, smoothing=False, on_progress=seen.append)
    assert found.worth == best.worth
    assert found.proven
    assert all(o.bound >= best.worth for o in seen)
    assert check(p, found.starts or {}).sound
