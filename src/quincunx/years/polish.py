"""Bettering a plan by moving jobs about in its order and placing all again."""

from __future__ import annotations

import random
import threading

from quincunx.years import lists
from quincunx.years.problem import Problem, Starts

SEED = 1
FEW = 30
"""Of no more jobs than this the search itself soon knows the best: few rounds are enough, and nothing is compiled for them."""
BY_HAND = 30
"""So many rounds by compiled tables take as long as one by :func:`quincunx.years.lists.serial` (measured)."""
SLACK = 200
"""Millionths of its worth by which a plan may be worse and still be followed (measured)."""


def polish(
    problem: Problem, starts: Starts, *, rounds: int, stop: threading.Event | None = None, seed: int = SEED
) -> dict[str, int]:
    """Move one to three jobs at random in the order of starts, place all by the list, keep what is good.

    Jobs move up to a third of the way forward or a sixth back (what pays is mostly to come earlier).  Seeded, and
    ended by the number of ``rounds``, so the same plan gives the same plan; a local search over priority lists as
    in Hartmann and Kolisch, EJOR 127, 2000, 394-407 (citation from memory).  Of few jobs, and where nothing can be
    compiled, as many rounds are made as take no longer.
    """
    if len(starts) < 2 or (stop is not None and stop.is_set()):
        return dict(starts)
    if len(problem.projects) > FEW:
        from quincunx.years.placing import Placing

        if Placing.fits(problem):
            return Placing.of(problem).better(starts, rounds=rounds, seed=seed, slack=SLACK)
    return by_hand(problem, starts, rounds=-(-rounds // BY_HAND), stop=stop, seed=seed)


def by_hand(
    problem: Problem, starts: Starts, *, rounds: int, stop: threading.Event | None = None, seed: int = SEED
) -> dict[str, int]:
    """Do so without compiled tables: what is not worse is kept."""
    rng = random.Random(seed)  # noqa: S311 - no secret, only repeatable
    allowed = {p.id: problem.allowed_starts(p) for p in problem.projects}
    best, worth = dict(starts), problem.worth(starts)
    size = len(problem.projects)
    for _ in range(rounds if size > 1 else 0):
        if stop is not None and stop.is_set():
            break
        # What is left out stands last, but by id, so that any job can be drawn into the plan.
        queue = sorted(allowed, key=lambda name: (best.get(name, problem.months), name))
        for _ in range(rng.choice((1, 1, 2, 3))):
            name = queue.pop(at := rng.randrange(size))
            queue.insert(min(size - 1, max(0, at - rng.randint(-(size // 6), size // 3))), name)
        found = lists.serial(problem, queue, allowed)
        if (value := problem.worth(found)) >= worth and lists.complete(problem, found):
            best, worth = found, value
    return best
