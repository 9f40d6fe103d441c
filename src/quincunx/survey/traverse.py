"""A traverse: bearings and distances one after another, for large or wooded ground.

Reference for the compass rule: J. Mahun, Open Access Surveying Library, XI, chapters E and F.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

XY = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Leg:
    """One leg: direction [deg from north] and level distance [m]."""

    azimuth_deg: float
    length_m: float

    @property
    def departure_m(self) -> float:
        """How far east it goes [m]."""
        return self.length_m * math.sin(math.radians(self.azimuth_deg))

    @property
    def latitude_m(self) -> float:
        """How far north it goes [m]."""
        return self.length_m * math.cos(math.radians(self.azimuth_deg))

    @classmethod
    def of(cls, departure_m: float, latitude_m: float) -> Leg:
        """Return the leg that goes so far east and north [m]."""
        return cls(math.degrees(math.atan2(departure_m, latitude_m)) % 360.0, math.hypot(departure_m, latitude_m))


@dataclass(frozen=True, slots=True)
class Traverse:
    """An adjusted traverse.

    ``closure_m`` is (east, north) by which the raw legs miss the end; ``points`` start with the start; ``one_in``
    is the length walked over the miss.
    """

    legs: tuple[Leg, ...]
    points: tuple[XY, ...]
    closure_m: XY
    length_m: float

    @property
    def miss_m(self) -> float:
        """Closing error [m]."""
        return math.hypot(*self.closure_m)

    @property
    def one_in(self) -> float:
        """Length over closing error: 5000 means 1 in 5000."""
        return self.length_m / self.miss_m if self.miss_m > 0.0 else math.inf

    @property
    def quality(self) -> str:
        """Say how good that is for taping: poor, average or good (1 in 2500, 5000, 10 000: taping slides)."""
        names = ((10_000.0, "good"), (5_000.0, "average"), (2_500.0, "poor"))
        return next((name for least, name in names if self.one_in >= least), "too poor to use")


def walk(legs: Sequence[Leg], start: XY = (0.0, 0.0)) -> tuple[XY, ...]:
    """Return the points reached by the legs as they are, beginning with ``start``."""
    points = [start]
    for leg in legs:
        points.append((points[-1][0] + leg.departure_m, points[-1][1] + leg.latitude_m))
    return tuple(points)


def compass_rule(legs: Sequence[Leg], start: XY = (0.0, 0.0), end: XY | None = None) -> Traverse:
    """Spread the closing error over the legs by their lengths; ``end`` is ``start`` for a loop.

    c(east) = -miss(east) L / sum L, and the same northward.
    """
    if not legs:
        raise ValueError("a traverse needs at least one leg; got none")
    target = start if end is None else end
    raw = walk(legs, start)[-1]
    miss = (raw[0] - target[0], raw[1] - target[1])
    total = sum(leg.length_m for leg in legs)
    better = [
        Leg.of(leg.departure_m - miss[0] * leg.length_m / total, leg.latitude_m - miss[1] * leg.length_m / total)
        for leg in legs
    ]
    return Traverse(tuple(better), walk(better, start), miss, total)
