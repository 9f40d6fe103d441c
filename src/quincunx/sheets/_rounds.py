"""Rounds: the circle or the ellipse that an outline is, and the two nails an ellipse is drawn from."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from shapely import Polygon

from quincunx.shapes import XY
from quincunx.survey import ellipse_by_string

ROUND_M = 0.03
"""Points all this near one circle, or one ellipse by its offsets, lie on it [m]."""


def circle_of(points: Sequence[XY]) -> tuple[XY, float] | None:
    """Return the middle and radius [m] of the circle that five or more points lie on; None if they lie on none.

    The circle is the algebraic least-squares fit (I. Kåsa 1976, IEEE Transactions on Instrumentation and Measurement
    25(1), 8-14).
    """
    if len(points) < 5:
        return None
    import numpy as np

    p = np.array(points)
    shift = p.mean(axis=0)
    q = p - shift
    design = np.column_stack([2.0 * q, np.ones(len(q))])
    (x, y, c), _, rank, _ = np.linalg.lstsq(design, (q**2).sum(axis=1), rcond=None)
    if rank < 3:
        return None
    middle = (float(x + shift[0]), float(y + shift[1]))
    radius = math.sqrt(max(float(c + x * x + y * y), 0.0))
    near = all(abs(math.dist(at, middle) - radius) <= ROUND_M for at in points)
    return (middle, radius) if near and radius < 50.0 else None


def ellipse_of(ring: Sequence[XY]) -> tuple[XY, float, float, float] | None:
    """Return (middle, long half axis, short half axis [m], bearing of the long axis [deg]) of an outline that is one."""
    if len(ring) < 12:
        return None
    middle, (xx, cross, yy) = _moments(ring)
    spread = math.hypot((xx - yy) / 2, cross)
    mean = (xx + yy) / 2
    if mean <= spread:
        return None
    # Of an ellipse filled evenly the variance along a half axis a is a^2 / 4.
    long, short = 2.0 * math.sqrt(mean + spread), 2.0 * math.sqrt(mean - spread)
    turn = math.atan2(2 * cross, xx - yy) / 2  # from east, against the clock
    ux, uy = math.cos(turn), math.sin(turn)
    turned = [
        ((x - middle[0]) * ux + (y - middle[1]) * uy, (y - middle[1]) * ux - (x - middle[0]) * uy) for x, y in ring
    ]
    grown = sum(math.hypot(p / long, q / short) for p, q in turned) / len(turned)  # corners lie on it, edges inside
    long, short = long * grown, short * grown
    if any(abs(math.hypot(p / long, q / short) - 1.0) * math.hypot(p, q) > ROUND_M for p, q in turned):
        return None
    return middle, long, short, math.degrees(math.atan2(ux, uy)) % 180.0


def _moments(ring: Sequence[XY]) -> tuple[XY, tuple[float, float, float]]:
    """Return the middle of an outline [m] and the variances (xx, xy, yy) of its ground about it [m2]."""
    outline = Polygon(ring)
    mx, my = float(outline.centroid.x), float(outline.centroid.y)
    area = xx = cross = yy = 0.0
    for (x0, y0), (x1, y1) in pairwise([(x - mx, y - my) for x, y in [*ring, ring[0]]]):
        c = x0 * y1 - x1 * y0
        area += c / 2
        xx += c * (x0 * x0 + x0 * x1 + x1 * x1) / 12
        yy += c * (y0 * y0 + y0 * y1 + y1 * y1) / 12
        cross += c * (x0 * y1 + 2 * x0 * y0 + 2 * x1 * y1 + x1 * y0) / 24
    return (mx, my), (xx / area, cross / area, yy / area)


def nails_of(middle: XY, long_m: float, short_m: float, bearing_deg: float) -> tuple[XY, XY, XY, XY]:
    """Return the two nails round which a loop draws an ellipse, and the two ends of its long axis [m]."""
    turn = math.radians(bearing_deg)
    east, north = math.sin(turn), math.cos(turn)
    focus = ellipse_by_string(long_m, short_m).focus_m
    one, two, end, other = (
        (middle[0] + far * east, middle[1] + far * north) for far in (-focus, focus, -long_m, long_m)
    )
    return one, two, end, other
