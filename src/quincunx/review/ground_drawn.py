"""The measured ground drawn: stakes, the lines taped between them, and rings that show how surely they stand."""

from __future__ import annotations

import math
from collections.abc import Collection
from itertools import pairwise

from quincunx.review.ground import Measured
from quincunx.shapes import XY, AreaFigure, Figure, PathFigure, TextFigure
from quincunx.survey import Ellipse, Reading, points_of
from quincunx.survey.network import CONFIDENCE_95

RING_SHARE = 0.06
"""The largest ring is drawn about this share of the ground's width."""
RING_POINTS = 36


def ground_figures(m: Measured) -> tuple[Figure, ...]:
    """Return the network drawn: lines measured, the one that doesn't fit, rings, stakes with their names.

    Owners are ``reading/ID``, ``ring/ID``, ``stake/ID`` and ``next``.
    """
    at, bad = m.places, {s.reading for s in m.searched.suspects}
    out: list[Figure] = []
    for r in m.survey.readings:
        for a, b in _lines(r):
            if a in at and b in at:
                out.append(_line(r.id, at[a], at[b], wrong=r.id in bad))
    out += [PathFigure((at[n.start], at[n.end]), "below", "next", dash=True) for n in m.next[:1]]
    for stake, p in sorted(m.searched.adjusted.positions.items()):
        if p.sure_m > 1e-6:
            ring = ring_points((p.x_m, p.y_m), p.ellipse, CONFIDENCE_95 * ring_times(m))
            out.append(AreaFigure((ring,), "evidence", f"ring/{stake}"))
    return (*out, *stake_figures(m))


def _line(reading: str, start: XY, end: XY, *, wrong: bool) -> PathFigure:
    if wrong:
        return PathFigure((start, end), "evidence", f"reading/{reading}", weight="thick", dash=True)
    return PathFigure((start, end), "note", f"reading/{reading}", weight="fine")


def stake_figures(m: Measured) -> tuple[Figure, ...]:
    """Return the stakes with their names, no rings or lines."""
    size = 0.004 * extent_m(tuple(m.places.values()))
    out: list[Figure] = []
    for stake, (x, y) in m.places.items():
        square = ((x - size, y - size), (x + size, y - size), (x + size, y + size), (x - size, y + size))
        out.append(AreaFigure((square,), "wall", f"stake/{stake}"))
        out.append(TextFigure((x, y + 3.2 * size), m.names[stake], "datum", f"stake/{stake}", "large"))
    return tuple(out)


def extent_m(points: Collection[XY]) -> float:
    """Return the larger side of the box round some points, 1 at least [m]."""
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return max(1.0, max(xs, default=0.0) - min(xs, default=0.0), max(ys, default=0.0) - min(ys, default=0.0))


def _lines(r: Reading) -> list[tuple[str, str]]:
    points = points_of(r)
    if r.type in ("seen", "staff", "rise"):
        return []
    if r.type == "offset":
        return [(points[0], points[1])]
    return [(a, b) for a, b in pairwise(points) if r.type != "wall_distance" or a == points[0]]


def ring_points(at: XY, ellipse: Ellipse, times: float) -> tuple[XY, ...]:
    """Return an error ellipse as a ring of points, its half axes times ``times`` [m]."""
    t0 = math.radians(ellipse.azimuth_deg)
    out = []
    for k in range(RING_POINTS):
        t = 2 * math.pi * k / RING_POINTS
        u, v = times * ellipse.major_m * math.cos(t), times * ellipse.minor_m * math.sin(t)
        out.append((at[0] + u * math.sin(t0) + v * math.cos(t0), at[1] + u * math.cos(t0) - v * math.sin(t0)))
    return tuple(out)


def ring_times(m: Measured) -> int:
    """Return how many times their size the rings of sureness are drawn: 1, 2 or 5 times a power of ten."""
    found = m.searched.adjusted.positions
    worst = max((p.sure_m for p in found.values()), default=0.0)
    if worst < 1e-6 or len(found) < 2:
        return 1
    xs, ys = [p.x_m for p in found.values()], [p.y_m for p in found.values()]
    wished = RING_SHARE * max(max(xs) - min(xs), max(ys) - min(ys)) / worst
    power = 10 ** math.floor(math.log10(max(wished, 1.0)))
    return int(max(k * power for k in (1, 2, 5) if k * power <= max(wished, 1.0)))


def rings_words(times: int) -> str:
    """Return what the rings on the drawing mean."""
    size = "in true size" if times == 1 else f"{times} times as large as they are"
    return f"Each stake stands inside its ring, 19 chances in 20; rings are drawn {size}."
