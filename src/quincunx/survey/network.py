"""Adjustment of a survey by least squares: where the stakes are, how surely, and how well each reading fits.

One stake and one direction are held.  Accuracies are those of the instruments (a priori); the spread the readings
themselves show is given beside them (``s0``).
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np

from quincunx.survey._freedom import Swing, swings_of
from quincunx.survey._gauge import Gauge, normals
from quincunx.survey._mirror import MirrorQuestion, mirrors
from quincunx.survey._model import AZ, COS, Rows, evaluate
from quincunx.survey._net import Net, net_of
from quincunx.survey._normal import Array, inverse
from quincunx.survey.accuracy import HANDLING, Handling
from quincunx.survey.readings import Survey

CONFIDENCE_95 = math.sqrt(-2.0 * math.log(0.05))
"""Factor from the standard to the 95 in 100 ellipse in the plane (root of chi-square with 2 degrees: 2.448)."""


@dataclass(frozen=True, slots=True)
class Ellipse:
    """An ellipse about a point: half axes [m] and the direction of the longer one [deg from north, 0 to 180]."""

    major_m: float
    minor_m: float
    azimuth_deg: float

    def scaled(self, factor: float) -> Ellipse:
        """Return the ellipse with both half axes times ``factor``."""
        return Ellipse(self.major_m * factor, self.minor_m * factor, self.azimuth_deg)


@dataclass(frozen=True, slots=True)
class Position:
    """Where a stake is: east and north [m], covariance (xx, xy, yy) [m2] and the standard ellipse."""

    x_m: float
    y_m: float
    covariance: tuple[float, float, float]
    ellipse: Ellipse

    @property
    def sure_m(self) -> float:
        """Half the longer axis of the 95 in 100 ellipse [m]: *sure to within* this."""
        return CONFIDENCE_95 * self.ellipse.major_m


@dataclass(frozen=True, slots=True)
class Check:
    """How one row of a reading fits: residual = adjusted minus read, in metres (radians for angles)."""

    reading: str
    part: str
    value: float
    adjusted: float
    residual: float
    sd: float
    redundancy: float
    w: float
    angular: bool = False


@dataclass(frozen=True, slots=True)
class Adjusted:
    """The result of an adjustment; ``positions`` by stake id, ``checks`` in the order of the readings."""

    positions: dict[str, Position]
    checks: tuple[Check, ...]
    chi2: float
    dof: int
    swings: tuple[Swing, ...]
    questions: tuple[MirrorQuestion, ...]
    net: Net = field(repr=False, compare=False)
    cofactor: Array = field(repr=False, compare=False)

    @property
    def s0(self) -> float:
        """Standard deviation of unit weight: about 1 when the readings are as good as their instruments say."""
        return math.sqrt(self.chi2 / self.dof) if self.dof > 0 else math.nan

    @property
    def unchecked(self) -> tuple[str, ...]:
        """Readings that no other reading checks (redundancy below one in a hundred)."""
        parts: dict[str, float] = {}
        for check in self.checks:
            parts[check.reading] = max(parts.get(check.reading, 0.0), check.redundancy)
        return tuple(reading for reading, r in parts.items() if r < 0.01)


def adjust(survey: Survey, *, without: Iterable[str] = (), handling: Handling = HANDLING) -> Adjusted:
    """Adjust ``survey`` by weighted least squares, leaving out the readings whose ids are in ``without``.

    Start values come from the readings.  What the readings leave free is named in ``swings``, what could be either
    way round in ``questions``; neither is an error.  References: C. Ghilani, Adjustment Computations (least
    squares, error ellipses); W. Baarda 1968 (redundancy numbers; from memory).
    """
    dropped = frozenset(without)
    kept = tuple(r for r in survey.readings if r.id not in dropped)
    return adjusted(net_of(survey.changed(readings=kept) if dropped else survey, handling))


def adjusted(net: Net, *, ask: bool = True) -> Adjusted:
    """Return the statistics of a settled net; ``ask`` also looks for mirror images."""
    free, cofactor, swings = swings_of(net)
    gauge = Gauge(net.gauge.count, net.gauge.fixed, net.gauge.toward, net.gauge.direction, net.gauge.idle | free)
    keep = np.array([not free & set(row.points) for row in net.rows.listed], dtype=bool)
    rows = net.rows if keep.all() else net.rows.only(keep)
    questions: tuple[MirrorQuestion, ...] = ()
    if ask:
        net, questions = mirrors(net, rows, gauge)
    design, misfit, normal = normals(rows, net.xy, gauge)
    cofactor = inverse(normal) if cofactor is None or free or ask else cofactor
    checks = checks_of(rows, net.xy, design, cofactor)
    full = gauge.spread(gauge.spread(cofactor).T)
    positions = {
        net.ids[s]: _position(net.xy[s], full[2 * s : 2 * s + 2, 2 * s : 2 * s + 2])
        for s in range(len(net.ids))
        if s not in gauge.idle
    }
    dof = len(rows.listed) - int(gauge.columns.size)
    return Adjusted(positions, checks, float(misfit @ misfit), dof, swings, questions, net, full)


def checks_of(rows: Rows, xy: Array, design: Array, cofactor: Array) -> tuple[Check, ...]:
    """Return the checks of all rows at the solution ``xy``; ``design`` is whitened (m, q), ``cofactor`` (q, q)."""
    misclosure = evaluate(rows, xy)[0]
    redundancy = 1.0 - np.einsum("ij,ij->i", design @ cofactor, design)
    redundancy = np.clip(redundancy, 0.0, 1.0)
    safe = np.where(redundancy > 1e-6, redundancy, np.inf)
    w = -misclosure / rows.sd / np.sqrt(safe)
    return tuple(
        Check(r.reading, r.part, r.value, r.value - m, -m, r.sd, k, t, r.kind in (AZ, COS))
        for r, m, k, t in zip(rows.listed, misclosure.tolist(), redundancy.tolist(), w.tolist(), strict=True)
    )


def _position(xy: Array, covariance: Array) -> Position:
    xx, cross, yy = float(covariance[0, 0]), float(covariance[0, 1]), float(covariance[1, 1])
    return Position(float(xy[0]), float(xy[1]), (xx, cross, yy), ellipse_of(xx, cross, yy))


def ellipse_of(xx: float, xy: float, yy: float) -> Ellipse:
    """Return the standard error ellipse of a covariance (xx, xy, yy) [m2]."""
    mean, half = (xx + yy) / 2.0, math.hypot((yy - xx) / 2.0, xy)
    turn = math.degrees(0.5 * math.atan2(2.0 * xy, yy - xx)) % 180.0
    return Ellipse(math.sqrt(max(mean + half, 0.0)), math.sqrt(max(mean - half, 0.0)), turn)
