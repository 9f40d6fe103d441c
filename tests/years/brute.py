"""The best of all plans of a tiny garden, by trying them one by one and asking the checker.

A branch is left only where even the worth of its jobs each by itself could not beat the best plan found.
"""

from __future__ import annotations

from quincunx.years.checker import check
from quincunx.years.problem import Problem


def best_worth(problem: Problem) -> int | None:
    """Worth of the best sound plan; None if there is none."""
    projects = problem.projects
    alone = [
        [(problem.worth_from(p, t + p.use_after_months), t) for t in problem.allowed_starts(p)]
        + ([] if p.required else [(0, None)])
        for p in projects
    ]
    rest = [sum(max((w for w, _ in choices), default=0) for choices in alone[k:]) for k in range(len(alone) + 1)]
    best: int | None = None

    def go(k: int, most: int, plan: dict[str, int]) -> None:
        nonlocal best
        if best is not None and most + rest[k] <= best:
            return
        if k == len(projects):
            checked = check(problem, plan)
            if checked.sound and (best is None or checked.worth > best):
                best = checked.worth
            return
        for worth, start in alone[k]:
            go(k + 1, most + worth, plan if start is None else plan | {projects[k].id: start})

    go(0, 0, {})
    return best
