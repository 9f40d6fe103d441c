"""The critical path through the needs alone, without money, hours or seasons."""

from __future__ import annotations

from dataclasses import dataclass

from quincunx.years.faults import require_sense
from quincunx.years.problem import Problem


@dataclass(frozen=True)
class Path:
    """Earliest and latest start of each project and the whole duration [months]."""

    duration: int
    earliest: dict[str, int]
    latest: dict[str, int]

    @property
    def critical(self) -> tuple[str, ...]:
        """Projects that can't slip without delaying the end, in order of start."""
        none_spare = [name for name in self.earliest if self.earliest[name] == self.latest[name]]
        return tuple(sorted(none_spare, key=lambda name: (self.earliest[name], name)))


def critical_path(problem: Problem) -> Path:
    """Forward and backward pass (Kelley and Walker 1959; citation from memory)."""
    require_sense(problem)
    earliest: dict[str, int] = {}

    def start(name: str) -> int:
        if name not in earliest:
            ready = [start(n.project) + problem[n.project].duration_months + n.lag_months for n in problem[name].needs]
            earliest[name] = max(ready, default=0)
        return earliest[name]

    duration = max((start(p.id) + p.duration_months for p in problem.projects), default=0)
    latest = {p.id: duration - p.duration_months for p in problem.projects}
    for name in sorted(earliest, key=lambda n: (-earliest[n], problem[n].duration_months == 0, n)):
        for need in problem[name].needs:
            room = latest[name] - need.lag_months - problem[need.project].duration_months
            latest[need.project] = min(latest[need.project], room)
    return Path(duration, {p.id: earliest[p.id] for p in problem.projects}, latest)
