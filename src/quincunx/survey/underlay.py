"""A picture of a plan laid under the drawing: fitted to known points, with its misfit."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from quincunx.survey._normal import NotDetermined, solve

XY = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Underlay:
    """x = a u + b v + c, y = d u + e v + f from picture (u right, v down) to ground [m].

    ``misfits_m`` has one distance for each point it was fitted to; none for a picture laid without points.
    """

    a: float
    b: float
    c: float
    d: float
    e: float
    f: float
    misfits_m: tuple[float, ...]
    checked: bool

    def ground(self, u: float, v: float) -> XY:
        """Return the place on the ground [m] of the picture's point (u, v)."""
        return self.a * u + self.b * v + self.c, self.d * u + self.e * v + self.f

    @property
    def rms_m(self) -> float:
        """Root mean square misfit of the points [m]; says nothing when ``checked`` is false."""
        return math.sqrt(sum(m * m for m in self.misfits_m) / max(len(self.misfits_m), 1))

    @property
    def metres_per_pixel(self) -> float:
        """Mean scale [m per picture unit]."""
        return math.sqrt(abs(self.a * self.e - self.b * self.d))

    @property
    def stretched(self) -> float:
        """Largest over smallest scale: 1 for an undistorted picture."""
        low, high = sorted(np.linalg.svd(np.array([[self.a, self.b], [self.d, self.e]]), compute_uv=False).tolist())
        return float(high / low)

    @property
    def worst(self) -> int:
        """Number of the point that fits worst."""
        return int(np.argmax(self.misfits_m))


def fit_underlay(picture: Sequence[XY], ground: Sequence[XY], *, stretch: bool = False) -> Underlay:
    """Fit a picture to known points: turned, scaled and moved; with ``stretch`` also sheared (affine).

    Needs three points, so that a wrong one shows (four with ``stretch``, else the misfit proves nothing and
    ``checked`` is false).  ``picture`` has v downwards, ``ground`` is (east, north) [m].
    """
    if len(picture) != len(ground) or len(picture) < 3:
        raise ValueError(
            f"mark three or more points in the picture and on the ground; got {len(picture)} and {len(ground)}"
        )
    rows, values = [], []
    for (u, v), (x, y) in zip(picture, ground, strict=True):
        if stretch:
            rows += [[u, v, 1, 0, 0, 0], [0, 0, 0, u, v, 1]]
        else:
            rows += [[u, v, 1, 0], [-v, u, 0, 1]]  # x = p u + q v + c; y = q u - p v + f, since v runs down
        values += [x, y]
    design = np.array(rows, float)
    try:
        solved = solve(design, np.array(values, float), np.ones(len(values)))
    except NotDetermined:
        raise ValueError("the points lie in one spot or one line; choose points far apart, not in a row") from None
    misfit = tuple(np.hypot(solved.residual[0::2], solved.residual[1::2]).tolist())
    x = solved.x.tolist()
    if stretch:
        return Underlay(x[0], x[1], x[2], x[3], x[4], x[5], misfit, len(picture) > 3)
    return Underlay(x[0], x[1], x[2], x[1], -x[0], x[3], misfit, True)


ODD = 3.0
"""A point is the odd one out if the others fit each other this many times better without it than with it."""


def odd_one(picture: Sequence[XY], ground: Sequence[XY], *, stretch: bool = False) -> tuple[int, float] | None:
    """Return the one point without which the others agree, and how far off it lies by them [m]; None if there is none.

    Each point is left out in turn, because a wrong one spreads its misfit over those beside it.  With too few points
    to check the rest nothing is told.
    """
    if len(picture) < (6 if stretch else 5) - 1:
        return None
    whole = fit_underlay(picture, ground, stretch=stretch).rms_m
    found = []
    for k in range(len(picture)):
        rest = [n for n in range(len(picture)) if n != k]
        try:
            fit = fit_underlay([picture[n] for n in rest], [ground[n] for n in rest], stretch=stretch)
        except ValueError:
            continue
        found.append((fit.rms_m, k, math.dist(fit.ground(*picture[k]), ground[k])))
    found.sort()
    if not found or found[0][0] * ODD > whole or (len(found) > 1 and found[0][0] * ODD > found[1][0]):
        return None
    return found[0][1], found[0][2]
