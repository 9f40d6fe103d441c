"""Corners taken in order round something: what closes them, and where two of their sides cross."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from quincunx.units import Style, format_length
from quincunx.units.words import counted

XY = tuple[float, float]
SAME_M = 0.0015
"""Points no farther apart than this are one [m]."""
AGAIN_M = 0.10
"""A last point that comes so near to the first is the first measured again [m] (common practice, no source)."""
LEAST_ONE_IN = 20.0
"""A last point that misses the first by more than this part of the way round is another, though its name is the same
(our own choice, no source: a way walked by compass and paces closes better)."""
LEAST_M, MOST_M = 1.0, 3000.0
"""Ground narrower or wider than this is likely given in another unit [m]."""


@dataclass(frozen=True, slots=True)
class Round:
    """Corners in order, each once, with their names; what was done in words, and why they can't be taken."""

    corners: tuple[XY, ...]
    names: tuple[str, ...]
    said: tuple[str, ...] = ()
    faults: tuple[str, ...] = ()


def round_of(points: Sequence[XY], names: Sequence[str], style: Style) -> Round:
    """Return ``points`` [m] as the corners of one ring.

    A corner given twice in a row, or the first again as the last, is taken once; where the last misses the first by
    a little, or has its name, that closing error is told.  Rings of fewer than three corners, with sides that cross or
    that lie on each other, or of an unlikely size are faults.
    """
    said: list[str] = []
    kept = [0] if points else []
    for i in range(1, len(points)):
        if math.dist(points[i], points[kept[-1]]) > SAME_M:
            kept.append(i)
    doubled = len(points) - len(kept)
    if len(kept) > 1 and (words := _closing(points, names, kept, style)) is not None:
        kept.pop()
        said += [words] if words else []
    if doubled:
        said.append(
            f"{counted(doubled, 'point')} came twice in a row and {'was' if doubled == 1 else 'were'} taken once."
        )
    corners, called = tuple(points[i] for i in kept), tuple(names[i] for i in kept)
    return Round(corners, called, tuple(said), tuple(_faults(corners, called, style)))


def _closing(points: Sequence[XY], names: Sequence[str], kept: Sequence[int], style: Style) -> str | None:
    """Return what to say of a last point that is the first again ("" where they agree); None where it is another."""
    first, last = kept[0], kept[-1]
    off = math.dist(points[first], points[last])
    if off <= SAME_M:
        return ""
    far = sum(math.dist(points[a], points[b]) for a, b in pairwise(kept))
    # A name that others have too is a code, and a miss so great no closing error.
    again = (
        [names[k] for k in kept].count(names[first]) == 2 and names[first] == names[last] and off * LEAST_ONE_IN <= far
    )
    if off > AGAIN_M and (not again or len(kept) < 4):
        return None
    return (
        f"The last point comes back to the first within {format_length(off, style, kind='tape')}, one part in"
        f" {max(1, round(far / off)):,} of the way round: the first is kept."
    )


def _faults(corners: Sequence[XY], names: Sequence[str], style: Style) -> list[str]:
    if len(corners) < 3:
        return [f"Corners round something are three or more; {counted(len(corners), 'point')} came."]
    wide, high = (max(c[k] for c in corners) - min(c[k] for c in corners) for k in (0, 1))
    if max(wide, high) > MOST_M or max(wide, high) < LEAST_M:
        size = f"{format_length(wide, style, kind='long')} by {format_length(high, style, kind='long')}"
        return [f"They would lie {size} across: is that the right unit?"]
    found = crossing(corners)
    if found is None:
        return []
    (a, b), how = found
    sides = [f"from {names[k]} to {names[(k + 1) % len(corners)]}" for k in (a, b)]
    return [f"The side {sides[0]} {how} the side {sides[1]}. Put the corners in their order round the ground."]


def crossing(corners: Sequence[XY]) -> tuple[tuple[int, int], str] | None:
    """Return the first two sides (by the number of their first corner) that meet elsewhere than at a shared corner.

    With them a word for how: ``crosses``, or ``lies on`` where they run along or touch each other.  None where the ring
    is simple.
    """
    import numpy as np
    import shapely

    n = len(corners)
    ends = np.array([[corners[i], corners[(i + 1) % n]] for i in range(n)], float)
    sides = shapely.linestrings(ends)
    pairs = shapely.STRtree(sides).query(sides, predicate="intersects").T
    for a, b in sorted((int(a), int(b)) for a, b in pairs if a < b):
        if b - a == 1 or (a == 0 and b == n - 1):
            shared = b if b - a == 1 else 0
            met = shapely.intersection(sides[a], sides[b])
            if met.equals(shapely.Point(corners[shared])) or met.length <= SAME_M:
                continue
            return (a, b), "lies on"
        return (a, b), "crosses" if shapely.crosses(sides[a], sides[b]) else "lies on"
    return None
