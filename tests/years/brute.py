"""The best of all plans of a tiny garden, by trying every one and asking the checker."""

from __future__ import annotations

import itertools

from quincunx.years.checker import check
from quincunx.years.problem import Problem


def best_worth(problem: Problem) -> int | None:
    """Worth of the best sound plan; None if there is none."""
    best = None
    choices = [[*problem.allowed_starts(p), *([] if p.required else [None])] for p in problem.projects]
    for choice in itertools.product(*choices):
        plan = {p.id: start for p, start in zip(problem.projects, choice, strict=True) if start is not None}
        if any(n.project not in plan for p in problem.projects if p.id in plan for n in p.needs):
            continue
        if best is not None and problem.worth(plan) <= best:
            continue
        checked = check(problem, plan)
        if checked.sound:
            best = checked.worth
    return best
