"""Bettering a plan by moving jobs about in its order and placing all again."""

from __future__ import annotations

import random
import threading

from quincunx.years import lists
from quincunx.years.problem import Problem, Starts

SEED = 1


def polish(
    problem: Problem, starts: Starts, *, rounds: int, stop: threading.Event | None = None, seed: int = SEED
) -> dict[str, int]:
    """Move one to three jobs at random in the order of starts, place all by the list, keep what is not worse.

    Jobs move up to a third of the way forward or a sixth back (what pays is mostly to come earlier).  Seeded, and
    ended by the number of ``rounds``, so the same plan gives the same plan; a local search over priority lists as
    in Hartmann and Kolisch, EJOR 127, 2000, 394-407 (citation from memory).
    """
    rng = random.Random(seed)  # noqa: S311 - no secret, only repeatable
    allowed = {p.id: problem.allowed_starts(p) for p in problem.projects}
    best, worth = dict(starts), problem.worth(starts)
    size = len(problem.projects)
    if size < 2:
        return best
    for _ in range(rounds):
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
