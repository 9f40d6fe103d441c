"""Seeded random problems of the order of works, for the tests and for ``benches/years.py``.

Invented data.  A garden is a handful of areas (a seat under cover, a kitchen garden, borders, an orchard ...),
each a small chain of jobs with the seasons, lead times and needs such jobs usually have (common practice, no
source).  The sum by the year covers ``tight`` of all costs, the hours ``hour_slack`` times all the work.
"""

from __future__ import annotations

import random
from dataclasses import replace

from quincunx.years.problem import ALL_YEAR, Budget, Need, Problem, Project, Shut

SIZES = {12: 6, 30: 8, 60: 10, 120: 10}
"""Number of jobs and the years they are spread over."""

_MILD = frozenset(range(3, 11))
_BARE_ROOT = frozenset({11, 12, 1, 2, 3})
_Range = tuple[int, int]
# kind: months, cost [currency], hours, window, large, points a year, months until of use
_KINDS: dict[str, tuple[_Range, _Range, _Range, frozenset[int], bool, _Range, _Range]] = {
    "base": ((1, 2), (300, 1500), (15, 50), _MILD, False, (0, 2), (0, 0)),
    "shelter": ((2, 4), (1500, 8000), (30, 90), _MILD, True, (25, 70), (0, 0)),
    "paving": ((1, 3), (500, 3500), (25, 80), frozenset(range(4, 11)), False, (10, 35), (0, 0)),
    "water": ((1, 1), (200, 1200), (10, 30), frozenset(range(3, 12)), False, (2, 8), (0, 0)),
    "bed": ((1, 2), (80, 600), (8, 30), frozenset({2, 3, 4, 5, 9, 10, 11}), False, (3, 12), (0, 0)),
    "perennials": ((1, 1), (60, 500), (5, 20), frozenset({3, 4, 5, 9, 10}), False, (8, 25), (6, 12)),
    "hedge": ((1, 1), (150, 1500), (10, 40), _BARE_ROOT, False, (15, 40), (24, 60)),
    "fruit": ((1, 1), (50, 400), (4, 16), _BARE_ROOT, False, (10, 30), (18, 36)),
    "tree": ((1, 1), (80, 600), (4, 12), _BARE_ROOT, False, (10, 35), (36, 72)),
    "fence": ((1, 2), (400, 3000), (15, 60), frozenset(range(2, 12)), False, (8, 25), (0, 0)),
    "bench": ((1, 1), (100, 1200), (2, 8), ALL_YEAR, False, (5, 20), (0, 0)),
}
_SHARE_OF_MONTH = (0.5, 0.6, 1, 1.3, 1.3, 1.2, 1, 1, 1.2, 1, 0.7, 0.4)


class _Ground:
    """Collects the jobs of one garden."""

    def __init__(self, rng: random.Random, size: int) -> None:
        self.rng, self.size = rng, size
        self.jobs: list[Project] = []

    def add(self, kind: str, *needs: int | None) -> int | None:
        """Add a job of a kind that needs others (by position); None once the garden is full."""
        if len(self.jobs) >= self.size:
            return None
        rng = self.rng
        durations, costs, hours, window, large, points, lags = _KINDS[kind]
        months, cost, work = rng.randint(*durations), rng.randint(*costs) // 10 * 1000, rng.randint(*hours)
        share = work // months
        self.jobs.append(
            Project(
                id=f"{kind}-{len(self.jobs)}",
                name=f"{kind} {len(self.jobs)}",
                duration_months=months,
                payments=self._instalments(cost, months),
                minutes=tuple(60 * (share + (u < work - share * months)) for u in range(months)),
                window=window,
                large=large,
                worth=rng.randint(*points),
                lag_months=rng.randint(*lags),
                needs=tuple(Need(self.jobs[q].id) for q in needs if q is not None),
            )
        )
        return len(self.jobs) - 1

    def _instalments(self, cost: int, months: int) -> tuple[tuple[int, int], ...]:
        deposit = self.rng.random() < 0.5
        if cost <= 100_000 or months == 1:
            return ((0, cost),)
        if deposit:
            return ((0, cost * 3 // 10), (months - 1, cost - cost * 3 // 10))
        return (*((u, cost // months) for u in range(months - 1)), (months - 1, cost - cost // months * (months - 1)))

    def enjoyed_with(self, job: int | None, other: int | None) -> None:
        """Let a job be of use only with another."""
        if job is not None and other is not None:
            self.jobs[job] = replace(self.jobs[job], enjoyed_with=(self.jobs[other].id,))


def _area(ground: _Ground, kind: str, water: int | None) -> None:
    add, chance = ground.add, ground.rng.random
    if kind == "seat":
        base = add("base")
        shelter = add("shelter", base)
        floor = add("paving", base, water if chance() < 0.5 else None)
        add("bench", floor)
        if chance() < 0.6:
            add("perennials", shelter)
        if chance() < 0.7:
            ground.enjoyed_with(shelter, floor)
    elif kind == "kitchen":
        fence = add("fence")
        first, second = add("bed", fence), add("bed", fence)
        add("fruit", first)
        add("fruit", second)
        glass = add("shelter", add("base")) if chance() < 0.5 else None
        ground.enjoyed_with(glass, add("paving", water))
    elif kind == "border":
        bed = add("bed")
        add("perennials", bed)
        add("hedge")
        add("perennials", bed)
    elif kind == "orchard":
        for _ in range(ground.rng.randint(2, 4)):
            add("tree")
        add("fruit", add("bed"))
        add("fence")
    elif kind == "wild":
        base = add("base", add("water", water))
        if chance() < 0.4:
            add("shelter", base)
        add("perennials", base)
        add("bench", base)
    else:
        floor = add("paving", water)
        add("hedge")
        add("bench", floor)
        add("perennials", add("bed"))


def _shut_ways(ground: _Ground) -> None:
    """Let fences and hedges shut the way to other works, some with a costly way round."""
    rng = ground.rng
    wide = [k for k, p in enumerate(ground.jobs) if p.id.startswith(("base", "shelter", "paving"))]
    for k, job in enumerate(ground.jobs):
        if job.id.startswith(("fence", "hedge")):
            for other in rng.sample(wide, min(len(wide), 2)):
                if rng.random() < 0.5:
                    shut = Shut(ground.jobs[other].id, None if rng.random() < 0.5 else rng.randint(2, 12) * 5000)
                    ground.jobs[k] = replace(ground.jobs[k], shuts=(*ground.jobs[k].shuts, shut))


def garden(
    size: int,
    seed: int,
    *,
    years: int | None = None,
    tight: float = 0.85,
    hour_slack: float = 1.35,
    monthly: bool = False,
) -> Problem:
    """Make the problem of a random garden of ``size`` jobs; the same arguments give the same garden."""
    years = years or SIZES.get(size, 8)
    rng = random.Random(1000 * size + seed)
    ground = _Ground(rng, size)
    water = ground.add("water")
    while len(ground.jobs) < size:
        _area(ground, rng.choice(["seat", "kitchen", "border", "orchard", "wild", "front"]), water)
    _shut_ways(ground)
    per_year = int(sum(p.cost for p in ground.jobs) * tight / years / 1000) * 1000
    work = sum(sum(p.minutes) for p in ground.jobs)
    longest = max(max(p.minutes) for p in ground.jobs)
    by_month = tuple(per_year // 12 if monthly else per_year * (m % 12 == 0) for m in range(12 * years))
    free = tuple(
        max(
            int(work * hour_slack / (12 * years) * _SHARE_OF_MONTH[m % 12]) // 60 * 60,
            int(longest * (1.0 if 2 <= m % 12 <= 9 else 0.6)) // 60 * 60,
        )
        for m in range(12 * years)
    )
    return Problem(2027, 1, tuple(ground.jobs), Budget(by_month, opening=per_year // 2), free)


def tiny(seed: int, *, size: int = 6, months: int = 24) -> Problem:
    """Make a garden small enough to try every plan: all rules occur, windows leave few months."""
    rng = random.Random(seed)
    jobs: list[Project] = []
    for k in range(size):
        duration = rng.randint(1, 2)
        # Few starts a year, so that brute force can try them all.
        opening = rng.randint(1, 12)
        window = frozenset((opening + u - 1) % 12 + 1 for u in range(duration + rng.randint(0, 1)))
        earlier = [j.id for j in jobs]
        closed = rng.choice(earlier) if earlier and rng.random() < 0.3 else None
        jobs.append(
            Project(
                id=f"job-{k}",
                name=f"job {k}",
                duration_months=duration,
                payments=tuple((u, rng.randint(0, 9) * 100) for u in range(duration)),
                minutes=tuple(rng.randint(0, 8) * 60 for _ in range(duration)),
                window=window,
                large=rng.random() < 0.4,
                worth=rng.randint(0, 20),
                lag_months=rng.choice([0, 0, 3, 12]),
                needs=tuple(Need(q, rng.choice([0, 1])) for q in earlier if rng.random() < 0.15),
                enjoyed_with=tuple(q for q in earlier if rng.random() < 0.15),
                shuts=(Shut(closed, rng.choice([None, 100, 300])),) if closed else (),
                upkeep_minutes=tuple(rng.choice([0, 60, 120]) for _ in range(12)) if rng.random() < 0.3 else (),
            )
        )
    years = months // 12
    income = tuple(rng.randint(5, 15) * 100 if m % 12 == 0 else 0 for m in range(12 * years))
    free = tuple(rng.randint(4, 10) * 60 for _ in range(12 * years))
    budget = Budget(income, rng.randint(0, 5) * 100, rng.choice([0, 200]), rng.choice([0.0, 0.0, 0.05]))
    caps = tuple(rng.choice([None, 800, 1200]) for _ in range(years)) if rng.random() < 0.3 else ()
    return Problem(2027, 1, tuple(jobs), budget, free, most_by_year=caps)
