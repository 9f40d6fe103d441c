"""Elementary fixes: two tapes, two directions, a square offset; with the angle of cut and what it costs.

Points are (x east, y north) [m]; directions in degrees clockwise from north.
"""

from __future__ import annotations

import math

from quincunx.units.errors import PlainError

XY = tuple[float, float]

GOOD_CUT_DEG = (60.0, 120.0)
"""Angle of cut that fixes a point well; engineering calculation note "The intersection method"."""
POOR_CUT_DEG = (30.0, 150.0)
"""Outside these a fix is refused or warned of; common survey teaching, from memory."""


class NoFix(PlainError, ValueError):
    """The two readings don't meet in a point."""


def two_tapes(a: XY, tape_a_m: float, b: XY, tape_b_m: float) -> tuple[XY, XY]:
    """Return both points ``tape_a_m`` from ``a`` and ``tape_b_m`` from ``b``: first left, then right of a to b.

    Raises :class:`NoFix` when the circles are the same or don't meet.
    """
    d = math.dist(a, b)
    if d < 1e-9:
        raise NoFix("both tapes start at the same point; use two different stakes")
    along = (d * d + tape_a_m**2 - tape_b_m**2) / (2.0 * d)
    h2 = tape_a_m**2 - along**2
    if h2 < -1e-9 * d * d:
        raise NoFix(f"tapes of {tape_a_m:g} m and {tape_b_m:g} m don't meet: the stakes are {d:.3f} m apart")
    h = math.sqrt(max(h2, 0.0))
    ux, uy = (b[0] - a[0]) / d, (b[1] - a[1]) / d
    x, y = a[0] + along * ux, a[1] + along * uy
    return (x - h * uy, y + h * ux), (x + h * uy, y - h * ux)


def two_directions(a: XY, azimuth_a_deg: float, b: XY, azimuth_b_deg: float) -> XY:
    """Return where the line from ``a`` meets the line from ``b``; raises :class:`NoFix` for parallel lines."""
    ta, tb = math.radians(azimuth_a_deg), math.radians(azimuth_b_deg)
    sine = math.sin(tb - ta)
    if abs(sine) < 1e-9:
        raise NoFix(f"the directions {azimuth_a_deg:g} and {azimuth_b_deg:g} degrees are parallel and never meet")
    dx, dy = b[0] - a[0], b[1] - a[1]
    t = (dx * math.cos(tb) - dy * math.sin(tb)) / math.sin(ta - tb)
    return a[0] + t * math.sin(ta), a[1] + t * math.cos(ta)


def offset_of(point: XY, start: XY, end: XY) -> tuple[float, float]:
    """Return (distance along, offset to the right) [m] of ``point`` from the line ``start`` to ``end``."""
    d = math.dist(start, end)
    if d < 1e-9:
        raise NoFix("a line needs two different points")
    ux, uy = (end[0] - start[0]) / d, (end[1] - start[1]) / d
    qx, qy = point[0] - start[0], point[1] - start[1]
    return qx * ux + qy * uy, qx * uy - qy * ux


def from_offset(start: XY, end: XY, along_m: float, right_m: float) -> XY:
    """Return the point ``along_m`` down the line and ``right_m`` to its right (negative: left)."""
    d = math.dist(start, end)
    if d < 1e-9:
        raise NoFix("a line needs two different points")
    ux, uy = (end[0] - start[0]) / d, (end[1] - start[1]) / d
    return start[0] + along_m * ux + right_m * uy, start[1] + along_m * uy - right_m * ux


def angle_of_cut_deg(point: XY, a: XY, b: XY) -> float:
    """Return the angle at ``point`` between the tapes from ``a`` and ``b`` [deg, 0 to 180]."""
    ax, ay, bx, by = a[0] - point[0], a[1] - point[1], b[0] - point[0], b[1] - point[1]
    return math.degrees(math.atan2(abs(ax * by - ay * bx), ax * bx + ay * by))


def two_tape_sd_m(sd_a_m: float, sd_b_m: float, cut_deg: float) -> float:
    """Return the position error [m] of a two-tape fix: root of the two variances over the sine of the cut."""
    sine = math.sin(math.radians(cut_deg))
    if sine < 1e-9:
        raise NoFix("the two tapes lie in one line; choose another stake")
    return math.hypot(sd_a_m, sd_b_m) / sine


def area_m2(corners: list[XY]) -> float:
    """Return the area [m2] inside ``corners`` taken in order (shoelace rule)."""
    closed = zip(corners, corners[1:] + corners[:1], strict=True)
    return abs(sum(x * v - u * y for (x, y), (u, v) in closed)) / 2.0
