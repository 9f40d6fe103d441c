"""A few months for each project: those the relaxation begins it in, and those of the plans known.

A search among these alone is small and soon over, and the best of them is mostly near the best of all: the relaxation
splits only a few projects over several months (a restricted search in the neighbourhood of relaxation and plan, as in
Danna, Rothberg and Le Pape, Math. Programming 102, 2005, 71-90; citation from memory).
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from quincunx.years.problem import Starts
from quincunx.years.steps import Steps, build

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

SPLIT = 1e-4
"""A smaller share of a project than this, begun in a month, counts as none."""


def narrow_starts(
    steps: Steps, values: npt.NDArray[np.float64], plans: Iterable[Starts], beside: int = 0
) -> dict[str, list[int]]:
    """Return for each project the start months that the relaxation of ``steps`` at ``values`` or one of ``plans`` uses."""
    known, found = tuple(plans), dict[str, list[int]]()
    for k, project in enumerate(steps.problem.projects):
        months, first = steps.starts[k], steps.first[k]
        if first < 0:
            found[project.id] = months
            continue
        begun = [0.0, *(float(v) for v in values[first : first + len(months)])]
        used = {n for n, t in enumerate(months) if begun[n + 1] - begun[n] > SPLIT}
        used |= {months.index(plan[project.id]) for plan in known if plan.get(project.id) in months}
        near = {n + d for n in used for d in range(-beside, beside + 1) if 0 <= n + d < len(months)}
        keep = {plan[project.id] for plan in known if project.id in plan}
        found[project.id] = sorted(keep | {months[n] for n in near})
    return found


def narrow(
    steps: Steps, values: npt.NDArray[np.float64], plans: Iterable[Starts], crowded: frozenset[int], beside: int = 0
) -> Steps:
    """Write the problem with these months only, and the hours of ``crowded`` months."""
    return build(steps.problem, starts=narrow_starts(steps, values, plans, beside), hours_of=crowded)
