"""Single lines whose ends meet, joined into outlines and longer lines, so that a drawing of loose lines can be taken in."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

XYZ = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Joined:
    """What single lines come to: closed ``rings`` and open ``chains``, each corner once; in the lines' own unit.

    ``widest`` is the widest gap between ends that were taken as one; ``forks`` counts places where more than two lines meet.
    """

    rings: tuple[tuple[XYZ, ...], ...] = ()
    chains: tuple[tuple[XYZ, ...], ...] = ()
    widest: float = 0.0
    forks: int = 0


def joined(lines: Sequence[tuple[XYZ, XYZ]], within: float) -> Joined:
    """Return lines joined where their ends lie no farther apart in plan than ``within`` (in their unit).

    A line drawn twice counts once.  Where more than two lines meet, none goes on.
    """
    ends = [end for line in lines for end in line]
    node, widest = _nodes(ends, within)
    sides: dict[tuple[int, int], None] = {}
    for k in range(len(lines)):
        a, b = node[2 * k], node[2 * k + 1]
        if a != b:
            sides.setdefault((min(a, b), max(a, b)))
    beside: dict[int, list[int]] = {}
    for a, b in sides:
        beside.setdefault(a, []).append(b)
        beside.setdefault(b, []).append(a)
    left = set(sides)
    starts = [n for n in beside if len(beside[n]) != 2]
    chains = [tuple(ends[n] for n in walk) for walk in _walks(starts, beside, left)]
    rings = [tuple(ends[n] for n in walk[:-1]) for walk in _walks(list(beside), beside, left)]
    return Joined(tuple(rings), tuple(chains), widest, sum(len(found) > 2 for found in beside.values()))


def _nodes(ends: Sequence[XYZ], within: float) -> tuple[list[int], float]:
    """Return for each end the first end it is one with, and the widest gap between two that are."""
    import numpy as np
    import shapely

    if not ends:
        return [], 0.0
    points = shapely.points(np.array([end[:2] for end in ends]))
    pairs = shapely.STRtree(points).query(points, predicate="dwithin", distance=within).T
    first, widest = list(range(len(ends))), 0.0

    def root(k: int) -> int:
        while first[k] != k:
            first[k] = first[first[k]]
            k = first[k]
        return k

    for a, b in sorted((int(a), int(b)) for a, b in pairs if a < b):
        if a // 2 == b // 2 and math.dist(ends[a][:2], ends[b][:2]) > 0.0:
            continue  # the two ends of one short line are not one for that
        ra, rb = root(a), root(b)
        first[max(ra, rb)] = min(ra, rb)
        widest = max(widest, math.dist(ends[a][:2], ends[b][:2]))
    return [root(k) for k in range(len(ends))], widest


def _walks(starts: Sequence[int], beside: dict[int, list[int]], left: set[tuple[int, int]]) -> Iterator[list[int]]:
    """Yield ways along lines not walked yet, from each start to where no single one goes on, or round."""
    for start in starts:
        for towards in beside[start]:
            walk, here, there = [start], start, towards
            while (side := (min(here, there), max(here, there))) in left:
                left.remove(side)
                walk.append(there)
                if len(beside[there]) != 2 or there == start:
                    break
                here, there = there, next((n for n in beside[there] if n != here), here)
            if len(walk) > 1:
                yield walk
