"""Points as a file has them, before anything is taken: their two numbers, and what the file says of unit and order."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

Order = Literal["east", "north"]
"""Which of a point's two numbers comes first."""
UNITS: Mapping[str, tuple[str, float]] = {
    "m": ("metres", 1.0),
    "cm": ("centimetres", 0.01),
    "mm": ("millimetres", 0.001),
    "ft": ("feet (international, 0.3048 m)", 0.3048),
    "us-ft": ("US survey feet (1200/3937 m)", 1200 / 3937),
    "in": ("inches", 0.0254),
    "deg": ("degrees of longitude and latitude", math.nan),
}
"""Words of a unit and its length [m].  The US survey foot is 1200/3937 m (Mendenhall order, 1893)."""
MOST_POINTS, MOST_LETTERS, MOST_FAULTS = 5000, 4_000_000, 12
DEGREES_ACROSS = 0.05
"""Points that lie within this of each other both ways are degrees: so small a garden isn't brought in in metres."""


@dataclass(frozen=True, slots=True)
class Given:
    """One point as the file has it: its two numbers in the file's order and unit, and its line (0 where it has none)."""

    name: str
    first: float
    second: float
    z: float | None = None
    line: int = 0


@dataclass(frozen=True, slots=True)
class Group:
    """Points that belong together: an outline, a line, or points by themselves."""

    words: str
    points: tuple[Given, ...]
    shape: Literal["outline", "line", "points"] = "points"


@dataclass(frozen=True, slots=True)
class Brought:
    """What a file holds.  ``unit`` (of :data:`UNITS`) and ``order`` are what the file says itself; None: it doesn't."""

    form: str
    groups: tuple[Group, ...] = ()
    unit: str | None = None
    order: Order | None = None
    said: tuple[str, ...] = ()
    faults: tuple[str, ...] = ()

    @property
    def degrees(self) -> bool:
        """Whether the numbers lie as longitudes and latitudes of one garden do."""
        return self.unit == "deg" or (
            self.unit is None and look_like_degrees([p for g in self.groups for p in g.points])
        )


def look_like_degrees(points: Sequence[Given]) -> bool:
    """Return whether points can only be degrees: near each other as no garden measured in lengths is."""
    if len(points) < 2:
        return False
    first, second = [p.first for p in points], [p.second for p in points]
    low, high = sorted((max(map(abs, first)), max(map(abs, second))))
    near = max(max(first) - min(first), max(second) - min(second)) < DEGREES_ACROSS
    return near and low <= 90 and high <= 180


def limited(brought: Brought) -> Brought:
    """Return what was read with too many points or faults refused, and unnamed points numbered."""
    count = sum(len(g.points) for g in brought.groups)
    if count > MOST_POINTS:
        words = f"There are {count:,} points; at most {MOST_POINTS:,} can be brought in. Thin them out."
        return Brought(brought.form, faults=(words,))
    if len(brought.faults) > MOST_FAULTS:
        rest = f"… and {len(brought.faults) - MOST_FAULTS} more lines."
        brought = replace(brought, faults=(*brought.faults[:MOST_FAULTS], rest))
    if not count and not brought.faults:
        brought = replace(brought, faults=("There is no point in that file.",))
    groups = tuple(
        replace(g, points=tuple(replace(p, name=p.name or str(i)) for i, p in enumerate(g.points, 1)))
        for g in brought.groups
    )
    return replace(brought, groups=groups)
