"""The hours of sun at many points at once, each without what is its own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field as having

import numpy as np
from numpy.typing import NDArray

from quincunx.light._owners import owners_shade
from quincunx.light.shade import ground_before, in_the_way
from quincunx.light.sky import MONTHS, Days, Sky, suns
from quincunx.scene import Scene

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class PointSun:
    """The sun of a point: ``hours`` a day on clear days, the mean of its months, and the hours each thing keeps off.

    What a thing keeps off is counted whatever stands beside it.
    """

    hours: float
    kept_off: dict[str, float] = having(default_factory=dict)

    @property
    def by(self) -> tuple[str, ...]:
        """Return the one or two things that keep most of it off, the most first."""
        most = sorted((o for o, h in self.kept_off.items() if h > LEAST_H), key=lambda o: (-self.kept_off[o], o))[:2]
        return tuple(o for o in most if self.kept_off[o] >= self.kept_off[most[0]] / 3)


LEAST_H = 0.05


def suns_at(
    scene: Scene,
    points: Floats,
    own: Sequence[str],
    *,
    months: tuple[int, ...] = MONTHS,
    step_min: float = 10.0,
    days: Days = "mid",
    sky: Sky | None = None,
) -> list[PointSun]:
    """Return the sun at ``points`` (n, 3) [m]; the thing called ``own[k]`` counts as not there for the point k."""
    over = sky or Sky.of(scene)
    some = suns(over, months, days, step_min)
    first: dict[str, NDArray[np.bool_]] = {}
    for mine, at in zip(own, points.tolist(), strict=True):
        if mine not in first:
            first[mine] = ~ground_before(scene, (at[0], at[1], at[2]), some.towards)
    share = np.array([first[mine] for mine in own], np.float64)
    kept: list[dict[str, float]] = [{} for _ in own]
    asked = (over, months, days, step_min)
    for one in owners_shade(in_the_way(scene, points, some.towards), scene.ground, points, asked):
        off = one.off @ some.hours[one.suns] / len(months)
        for n, mine in enumerate(own):
            if mine != one.owner:
                share[n, one.suns] *= one.through[n]
                kept[n][one.owner] = float(off[n])
    hours = share @ some.hours / len(months)
    return [PointSun(float(h), by) for h, by in zip(hours, kept, strict=True)]


def mean_of(those: Sequence[PointSun]) -> PointSun:
    """Return the mean of several points."""
    owners = dict.fromkeys(o for one in those for o in one.kept_off)
    kept = {o: sum(one.kept_off.get(o, 0.0) for one in those) / len(those) for o in owners}
    return PointSun(sum(one.hours for one in those) / len(those), kept)
