"""Shapes on the ground: squares by three tapes, circles and ellipses by string, curves by offsets, posts in rows."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

XY = tuple[float, float]

TRIPLES = ((3, 4, 5), (5, 12, 13), (8, 15, 17), (20, 21, 29), (7, 24, 25))


@dataclass(frozen=True, slots=True)
class SquareCorner:
    """A square corner by tapes: one leg along the line, the other across, the third joins their ends [m]."""

    along_m: float
    across_m: float
    diagonal_m: float
    sd_deg: float


def square_corner(
    along_room_m: float, across_room_m: float, *, tape_m: float = 30.0, unit_m: float = 1.0
) -> SquareCorner:
    """Return the largest whole-number right triangle that fits the room, in steps of ``unit_m`` (1 m or 1 ft).

    The larger the triangle, the squarer the corner; ``sd_deg`` is for tapes good to 5 mm.
    """
    best: SquareCorner | None = None
    for a, b, c in TRIPLES:
        for p, q in ((a, b), (b, a)):
            k = (
                math.floor(
                    min(along_room_m / (p * unit_m), across_room_m / (q * unit_m), tape_m / (c * unit_m)) * 2 + 1e-9
                )
                / 2
            )
            if k <= 0:
                continue
            x, y, z = (k * v * unit_m for v in (p, q, c))
            sd = math.degrees(0.005 * math.sqrt(z * z + x * x + y * y) / (x * y))
            if best is None or sd < best.sd_deg - 1e-9:
                best = SquareCorner(x, y, z, sd)
    if best is None:
        raise ValueError(f"no square fits {along_room_m:g} by {across_room_m:g} m; clear more room")
    return best


def versed_sine_m(radius_m: float, chord_m: float) -> float:
    """Return how far an arc rises above the middle of its chord [m]: R - sqrt(R^2 - c^2/4)."""
    if chord_m > 2.0 * radius_m:
        raise ValueError(f"a chord of {chord_m:g} m is longer than the circle of radius {radius_m:g} m is wide")
    return radius_m - math.sqrt(radius_m**2 - chord_m**2 / 4.0)


def radius_m(chord_m: float, versed_m: float) -> float:
    """Return the radius [m] of an arc from its chord and its rise above the chord's middle."""
    if versed_m <= 0.0:
        raise ValueError(f"an arc rises above its chord; got {versed_m:g} m")
    return (chord_m**2 / 4.0 + versed_m**2) / (2.0 * versed_m)


def chord_offset_m(radius: float, chord_m: float, from_middle_m: float) -> float:
    """Return the height of an arc above its chord [m] at a distance from the middle: sqrt(R^2 - x^2) - (R - h)."""
    if abs(from_middle_m) > chord_m / 2.0 + 1e-9:
        raise ValueError(f"{from_middle_m:g} m from the middle is beyond the end of a chord of {chord_m:g} m")
    height = versed_sine_m(radius, chord_m)
    return max(0.0, math.sqrt(max(radius**2 - from_middle_m**2, 0.0)) - (radius - height))


@dataclass(frozen=True, slots=True)
class EllipseByString:
    """An ellipse by two pegs and a closed loop: pegs ``focus_m`` off the middle, loop ``loop_m`` long [m]."""

    focus_m: float
    loop_m: float
    perimeter_m: float


def ellipse_by_string(half_long_m: float, half_short_m: float) -> EllipseByString:
    """Return pegs, loop (2 a + 2 c) and perimeter (S. Ramanujan 1914, second approximation)."""
    a, b = half_long_m, half_short_m
    if not 0.0 < b <= a:
        raise ValueError(f"the long half axis comes first; got {a:g} and {b:g} m")
    c = math.sqrt(a * a - b * b)
    h = ((a - b) / (a + b)) ** 2
    perimeter = math.pi * (a + b) * (1.0 + 3.0 * h / (10.0 + math.sqrt(4.0 - 3.0 * h)))
    return EllipseByString(c, 2.0 * a + 2.0 * c, perimeter)


def ellipse_offset_m(half_long_m: float, half_short_m: float, from_middle_m: float) -> float:
    """Return the offset [m] of an ellipse from its long axis at a distance from the middle."""
    if abs(from_middle_m) > half_long_m:
        raise ValueError(f"{from_middle_m:g} m is beyond the end of the ellipse at {half_long_m:g} m")
    return half_short_m * math.sqrt(1.0 - (from_middle_m / half_long_m) ** 2)


def circle_points(middle: XY, radius: float, count: int, first_azimuth_deg: float = 0.0) -> list[XY]:
    """Return ``count`` points evenly round a circle, clockwise from ``first_azimuth_deg``."""
    turns = [math.radians(first_azimuth_deg + 360.0 * k / count) for k in range(count)]
    return [(middle[0] + radius * math.sin(t), middle[1] + radius * math.cos(t)) for t in turns]


def points_along(line: Sequence[XY], every_m: float, *, ends: bool = True) -> list[XY]:
    """Return points every ``every_m`` [m] along a line of points, with its last point if ``ends``."""
    if every_m <= 0.0:
        raise ValueError(f"points along a path need a distance above zero; got {every_m:g} m")
    out, need = [line[0]], every_m
    for a, b in itertools.pairwise(line):
        size, at = math.dist(a, b), 0.0
        while size - at >= need - 1e-9:
            at += need
            out.append((a[0] + at / size * (b[0] - a[0]), a[1] + at / size * (b[1] - a[1])))
            need = every_m
        need -= size - at
    if ends and math.dist(out[-1], line[-1]) > 1e-6:
        out.append(line[-1])
    return out


def post_grid(corner: XY, azimuth_deg: float, along_m: Sequence[float], right_m: Sequence[float]) -> list[XY]:
    """Return posts at running distances ``along_m`` on a line from ``corner`` and ``right_m`` to its right [m]."""
    t = math.radians(azimuth_deg)
    ux, uy = math.sin(t), math.cos(t)
    return [(corner[0] + a * ux + r * uy, corner[1] + a * uy - r * ux) for r in right_m for a in along_m]


@dataclass(frozen=True, slots=True)
class ProfilePoint:
    """One peg of a profile: distance along [m], finished level, ground level, and depth of dig to the base [m]."""

    along_m: float
    finished_m: float
    ground_m: float
    dig_m: float


def profile(
    along_m: Sequence[float], ground_m: Sequence[float], start_level_m: float, fall: float, base_m: float
) -> list[ProfilePoint]:
    """Return a profile that falls evenly (0.02 is 1 in 50), with the dig down to the underside of a base [m].

    A negative dig is earth to bring.  Before digging find out about buried lines; the depth says nothing of them.
    """
    out = []
    for s, z in zip(along_m, ground_m, strict=True):
        finished = start_level_m - fall * s
        out.append(ProfilePoint(s, finished, z, z - (finished - base_m)))
    return out
