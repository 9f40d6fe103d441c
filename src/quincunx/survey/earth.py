"""Cut and fill, and contour lines, from levels on a grid or on triangles."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

XYZ = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Earth:
    """Earth to dig and to bring, in place [m3]; ``area_cut_m2`` and ``area_fill_m2`` on plan."""

    cut_m3: float
    fill_m3: float
    area_cut_m2: float
    area_fill_m2: float

    @property
    def surplus_m3(self) -> float:
        """Earth left over [m3]; negative: earth to bring.  In place: it bulks when dug."""
        return self.cut_m3 - self.fill_m3


def cut_and_fill(ground: Sequence[tuple[XYZ, XYZ, XYZ]], formation_m: float) -> Earth:
    """Return the earth of levelling triangles of ground (x, y, level) to a flat ``formation_m`` [m].

    Each triangle is split along the line where ground and formation meet, so the result is exact for the facets.
    It counts earth in place only: bulking, topsoil kept aside and the base of paving come on top.
    """
    cut = fill = area_cut = area_fill = 0.0
    for triangle in ground:
        heights = [(x, y, z - formation_m) for x, y, z in triangle]
        for part in _split(heights):
            area = _area(part)
            volume = area * sum(h for _, _, h in part) / 3.0
            if volume > 0.0:
                cut, area_cut = cut + volume, area_cut + area
            else:
                fill, area_fill = fill - volume, area_fill + area
    return Earth(cut, fill, area_cut, area_fill)


def balanced_level_m(ground: Sequence[tuple[XYZ, XYZ, XYZ]]) -> float:
    """Return the flat level [m] at which cut equals fill: the mean level of the ground by area."""
    areas = [_area(t) for t in ground]
    if sum(areas) <= 0.0:
        raise ValueError("the ground given has no area; give triangles of three different points")
    return sum(a * sum(z for _, _, z in t) / 3.0 for a, t in zip(areas, ground, strict=True)) / sum(areas)


def _split(t: Sequence[XYZ]) -> list[tuple[XYZ, XYZ, XYZ]]:
    above = [p for p in t if p[2] >= 0.0]
    below = [p for p in t if p[2] < 0.0]
    if not above or not below:
        return [(t[0], t[1], t[2])]
    lone, pair = (above[0], below) if len(above) == 1 else (below[0], above)
    first, second = _zero(lone, pair[0]), _zero(lone, pair[1])
    return [(lone, first, second), (first, pair[0], pair[1]), (first, pair[1], second)]


def _zero(p: XYZ, q: XYZ) -> XYZ:
    t = p[2] / (p[2] - q[2])
    return p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1]), 0.0


def _area(t: Sequence[XYZ]) -> float:
    (ax, ay, _), (bx, by, _), (cx, cy, _) = t
    return abs((bx - ax) * (cy - ay) - (by - ay) * (cx - ax)) / 2.0


def contours(
    ground: Sequence[tuple[XYZ, XYZ, XYZ]], step_m: float
) -> dict[float, list[tuple[tuple[float, float], tuple[float, float]]]]:
    """Return contour pieces by level, every ``step_m`` [m]: each crosses one triangle of (x, y, level)."""
    if step_m <= 0.0:
        raise ValueError(f"contours need a step above zero; got {step_m:g} m")
    out: dict[float, list[tuple[tuple[float, float], tuple[float, float]]]] = {}
    for t in ground:
        low, high = min(p[2] for p in t), max(p[2] for p in t)
        for k in range(math.ceil(low / step_m), math.floor(high / step_m) + 1):
            level = round(k * step_m, 6)
            heights = [(x, y, z - level) for x, y, z in t]
            above, below = [p for p in heights if p[2] >= 0.0], [p for p in heights if p[2] < 0.0]
            if above and below:
                lone, pair = (above[0], below) if len(above) == 1 else (below[0], above)
                a, b = _zero(lone, pair[0]), _zero(lone, pair[1])
                out.setdefault(level, []).append((a[:2], b[:2]))
    return out
