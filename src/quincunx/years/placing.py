"""Placing by a list many thousand times a second: a problem as tables, and plans bettered by moving jobs about.

The rules are those of :func:`quincunx.years.lists.serial`, which is the oracle in the tests.
"""

from __future__ import annotations

import threading
from collections.abc import Iterable
from typing import Any

from quincunx.years.lists import Ledger
from quincunx.years.problem import Problem, Starts

_lock = threading.Lock()
_made: dict[int, Placing] = {}
"""The tables last made, by the problem's identity."""


class Placing:
    """A problem made ready for placing; a problem in which two jobs shut a way only together can't be (see :meth:`fits`)."""

    def __init__(self, problem: Problem) -> None:
        """Write the tables."""
        import numpy as np

        from quincunx.years._placing import UNPLACED

        self.problem, self._unplaced = problem, UNPLACED
        projects, months = problem.projects, problem.months
        allowed = [[] if p.fixed_start is not None else problem.allowed_starts(p) for p in projects]
        bills = [problem.bills(p, at) for p, starts in zip(projects, allowed, strict=True) for at in starts]
        ways = self._ways()
        end = months + problem.tail_months
        reach = max([end, *(months + p.use_after_months for p in projects)]) + 1
        year_of = {year: n for n, (year, _, _) in enumerate(problem.years())}
        self._tables = (
            np.array(
                [
                    (p.duration_months, p.large, p.use_after_months, p.required, bool(p.upkeep_minutes))
                    for p in projects
                ],
                dtype=np.int64,
            ).reshape(-1, 5),
            _at(allowed), _flat(allowed),
            _at(bills), _flat(bills, 2),
            _at([p.minutes for p in projects]), _flat([p.minutes for p in projects]),
            _at([p.needs for p in projects]),
            _flat([
                [(problem.index[n.project], problem[n.project].duration_months + n.lag_months) for n in p.needs]
                for p in projects
            ], 2),
            _at(ways), _flat(ways, 3),
            _at([p.enjoyed_with for p in projects]),
            _flat([[problem.index[q] for q in p.enjoyed_with] for p in projects]),
            np.array([p.upkeep_minutes or (0,) * 12 for p in projects], dtype=np.int64).reshape(-1, 12),
            np.array([problem.calendar(m)[1] - 1 for m in range(months)], dtype=np.int64),
            np.array([year_of[problem.calendar(m)[0]] for m in range(months)], dtype=np.int64),
            np.array([[problem.worth_from(p, m) for m in range(reach)] for p in projects], dtype=np.int64),
            np.array([problem.large_per_year, end], dtype=np.int64),
        )  # fmt: skip
        self._ids = np.argsort(np.argsort(np.array([p.id for p in projects])))
        self._fixed, self._left = self._beginning(year_of)

    @classmethod
    def of(cls, problem: Problem) -> Placing:
        """Return the tables of a problem, made once."""
        with _lock:
            known = _made.get(id(problem))
            if known is None or known.problem is not problem:
                _made.clear()
                known = _made[id(problem)] = cls(problem)
        return known

    @staticmethod
    def fits(problem: Problem) -> bool:
        """Return whether the tables can hold a problem, and tables are worth it: where nothing compiles they aren't."""
        return bool(problem.projects) and not problem.shut_together and compiled()

    def _ways(self) -> list[list[tuple[int, int, int]]]:
        """Return by job (other, 1 if it closes the other's way, detour or -1)."""
        ways: list[list[tuple[int, int, int]]] = [[] for _ in self.problem.projects]
        for closer, closed, detour in self.problem.shut_pairs():
            cost = -1 if detour is None else detour
            ways[closer].append((closed, 1, cost))
            ways[closed].append((closer, 0, cost))
        return ways

    def _beginning(self, year_of: dict[int, int]) -> tuple[Any, tuple[Any, ...]]:
        """Return what is there once the fixed works are placed: their starts, money, limits, hours, work, large works."""
        import numpy as np

        ledger, projects = Ledger(self.problem), self.problem.projects
        fixed = np.array([ledger.starts.get(p.id, self._unplaced) for p in projects], dtype=np.int64)
        caps = np.full(len(year_of), 1 << 60, dtype=np.int64)
        large = np.zeros(len(year_of), dtype=np.int64)
        for year, left in ledger.caps.items():
            caps[year_of[year]] = left
        for year, count in ledger.large.items():
            if year in year_of:
                large[year_of[year]] = count
        rest = (np.array(row, dtype=np.int64) for row in (ledger.room, ledger.free, ledger.work))
        room, free, work = rest
        return fixed, (room, caps, free, work, large)

    def serial(self, queue: Iterable[str]) -> dict[str, int]:
        """Place by a list; see :func:`quincunx.years.lists.serial`."""
        import numpy as np

        from quincunx.years import _placing

        starts = np.empty(len(self.problem.projects), dtype=np.int64)
        order = np.array([self.problem.index[name] for name in queue], dtype=np.int64)
        _placing.serial(self._tables, order, self._fixed, self._left, starts)
        return self._plan(starts)

    def better(self, plan: Starts, *, rounds: int, seed: int, slack: int) -> dict[str, int]:
        """Return a plan at least as good, found by so many ``rounds``; the same arguments give the same plan."""
        import numpy as np

        from quincunx.years import _placing

        best = np.array([plan.get(p.id, self._unplaced) for p in self.problem.projects], dtype=np.int64)
        _placing.move_about(self._tables, self._ids, self._fixed, self._left, best, rounds, seed, slack)
        return self._plan(best)

    def _plan(self, starts: Any) -> dict[str, int]:
        pairs = zip(self.problem.projects, starts.tolist(), strict=True)
        return {p.id: at for p, at in pairs if at != self._unplaced}


def compiled() -> bool:
    """Return whether placing by tables is compiled; as written it takes longer than the list itself."""
    from quincunx.years import _placing

    return hasattr(_placing.move_about.compiled(), "signatures")


def _at(rows: Iterable[Any]) -> Any:
    import numpy as np

    return np.concatenate([[0], np.cumsum([len(row) for row in rows])]).astype(np.int64)


def _flat(rows: Iterable[Any], width: int = 0) -> Any:
    import numpy as np

    found = np.array([one for row in rows for one in row], dtype=np.int64)
    return found.reshape(-1, width) if width else found
