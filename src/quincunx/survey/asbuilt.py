"""As built: what was set out or built, measured again and held against the plan."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from quincunx.survey.accuracy import tape_sd_m
from quincunx.survey.network import Adjusted

XY = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Deviation:
    """One length as built: planned and measured [m], the tolerance, and what the tape itself may be off (95 in 100)."""

    start: str
    end: str
    planned_m: float
    measured_m: float
    tolerance_m: float
    tape_m: float

    @property
    def off_m(self) -> float:
        """Measured less planned [m]."""
        return self.measured_m - self.planned_m

    @property
    def state(self) -> str:
        """``within``, ``outside`` only beyond what is allowed and the tape's own error, or ``unsure`` in between.

        What is allowed and no further off than the tape itself may be is within.
        """
        slack = self.tolerance_m - abs(self.off_m)
        if abs(slack) > self.tape_m:
            return "within" if slack > 0.0 else "outside"
        return "within" if slack >= 0.0 and abs(self.off_m) <= self.tape_m else "unsure"


def compare_lengths(
    planned: Mapping[str, XY], measured: Sequence[tuple[str, str, float]], tolerance_m: float
) -> tuple[Deviation, ...]:
    """Hold measured lengths (from, to, length [m]) against the plan."""
    out = []
    for a, b, length in measured:
        for name in (a, b):
            if name not in planned:
                raise ValueError(f"point {name!r} is not in the plan; expected one of {', '.join(sorted(planned))}")
        out.append(Deviation(a, b, math.dist(planned[a], planned[b]), length, tolerance_m, 1.96 * tape_sd_m(length)))
    return tuple(out)


@dataclass(frozen=True, slots=True)
class Shift:
    """How one point came out: (east, north) off its planned place [m], how sure that is, and whether it matters."""

    point: str
    east_m: float
    north_m: float
    sure_m: float
    tolerance_m: float

    @property
    def off_m(self) -> float:
        """Distance from the planned place [m]."""
        return math.hypot(self.east_m, self.north_m)

    @property
    def state(self) -> str:
        """``within``, ``outside``, or ``unsure``."""
        if self.off_m + self.sure_m <= self.tolerance_m:
            return "within"
        return "outside" if self.off_m - self.sure_m > self.tolerance_m else "unsure"


def compare_points(planned: Mapping[str, XY], built: Adjusted, tolerance_m: float) -> tuple[Shift, ...]:
    """Hold adjusted as-built places against the plan, in the same frame, by point id."""
    out = []
    for point in sorted(set(planned) & set(built.positions)):
        p = built.positions[point]
        out.append(Shift(point, p.x_m - planned[point][0], p.y_m - planned[point][1], p.sure_m, tolerance_m))
    return tuple(out)


@dataclass(frozen=True, slots=True)
class BestFit:
    """The plan turned and moved as one piece onto what was built: turn [deg clockwise], shift [m], what remains [m]."""

    turn_deg: float
    shift_m: XY
    remains_m: dict[str, float]
    places: dict[str, XY]


def fit_plan_to_built(planned: Mapping[str, XY], built: Mapping[str, XY]) -> BestFit:
    """Move the plan's points as one stiff piece to lie best on the built ones; unbuilt points move with them.

    This is *the plan adjusted to reality*: ``places`` are the new places of all planned points.
    """
    common = sorted(set(planned) & set(built))
    if len(common) < 2:
        raise ValueError(f"fitting the plan to what was built needs two or more points in both; got {len(common)}")
    p, q = np.array([planned[c] for c in common]), np.array([built[c] for c in common])
    pm, qm = p.mean(axis=0), q.mean(axis=0)
    a, b = p - pm, q - qm
    turn = math.atan2(float((a[:, 1] * b[:, 0] - a[:, 0] * b[:, 1]).sum()), float((a * b).sum()))
    c, s = math.cos(turn), math.sin(turn)

    def moved(xy: XY) -> XY:
        x, y = xy[0] - float(pm[0]), xy[1] - float(pm[1])
        return float(qm[0]) + x * c + y * s, float(qm[1]) + y * c - x * s

    places = {name: moved(xy) for name, xy in sorted(planned.items())}
    remains = {name: math.dist(places[name], built[name]) for name in common}
    return BestFit(math.degrees(turn), (float(qm[0] - pm[0]), float(qm[1] - pm[1])), remains, places)
