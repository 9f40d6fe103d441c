"""The place where something is set out, drawn to scale: what is there in thin line, what is coming in full, its points."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import replace

from quincunx.shapes import XY, AreaFigure, Figure, PathFigure, TextFigure
from quincunx.sheets._outdoors import Planned
from quincunx.sheets._set import Set, north_arrow
from quincunx.sheets.book import Block
from quincunx.sheets.labels import spread_labels
from quincunx.sheets.scales import Scale, fitting
from quincunx.sheets.svg import Bounds, Look, draw

AROUND_M = 0.8
"""Ground shown round what is set out [m]."""
EDGE_MM = 6.0
"""Room on paper between what matters and the drawing's edge [mm]."""
KEPT = frozenset({"built", "wall", "water", "below"})
"""Roles that are found again outside: they are drawn as they are, the rest in thin outline."""


def place(of: Set, plan: Planned, frame_mm: tuple[float, float], *, whole: bool) -> tuple[Block, Scale]:
    """Return the drawing of a job's place inside ``frame_mm``, and its scale.

    ``whole`` shows all the stakes its ties come from; else only what is set out, as large as it goes.
    """
    points = [m.at for m in plan.marks.values()] + _outline(plan)
    if whole:
        points += [plan.base.at[t.stake] for p in plan.found.points for t in p.ties if t.stake in plan.base.at]
    return view(of, points, [*background(of, plan), *coming(plan)], frame_mm, plan)


def view(
    of: Set,
    points: Iterable[XY],
    figures: list[Figure],
    frame_mm: tuple[float, float],
    plan: Planned | None = None,
    stakes: Mapping[str, XY] | None = None,
) -> tuple[Block, Scale]:
    """Return ``figures`` round ``points`` [m] at the largest scale that fits ``frame_mm``, with a north mark.

    ``stakes`` are drawn by their names, beside those that a ``plan`` is set out from.
    """
    style, box = of.garden.style, box_of(points, AROUND_M)
    scale = fitting(box[2] - box[0], box[3] - box[1], (frame_mm[0] - 2 * EDGE_MM, frame_mm[1] - 2 * EDGE_MM), style)
    look = Look(scale.number, style, thin=0.8)
    bounds = _grown(box, look, frame_mm)
    marks = list(_numbers(plan, look)) if plan is not None else []
    marks += [f for name, at in (stakes or {}).items() for f in stake_mark(at, name, look)]
    marks = [_kept_inside(f, bounds, look) for f in marks]
    step = look.metres(8.0)
    mark = north_arrow((bounds[2] - step * 0.6, bounds[3] - step * 1.25), step)
    svg = draw(spread_labels([*figures, *marks, *mark], look, bounds), bounds, look)
    wide, high = (1000 * d / scale.number for d in (bounds[2] - bounds[0], bounds[3] - bounds[1]))
    return {"t": "drawing", "svg": svg, "w": wide, "h": high}, scale


def _kept_inside(mark: Figure, bounds: Bounds, look: Look) -> Figure:
    """Return a mark's word with its middle inside the drawing where its mark is, so that it is not cut at the edge."""
    if not isinstance(mark, TextFigure):
        return mark
    (x, y), (west, south, east, north), near = mark.at, bounds, look.metres(2.8)
    if not (west - near < x < east + near and south - near < y < north + near):
        return mark
    return replace(mark, at=(min(max(x, west), east), min(max(y, south), north)))


def box_of(points: Iterable[XY], around_m: float = 0.0) -> Bounds:
    """Return the box round some points, grown by ``around_m`` (west, south, east, north) [m]."""
    every = list(points) or [(0.0, 0.0)]
    xs, ys = [p[0] for p in every], [p[1] for p in every]
    return (min(xs) - around_m, min(ys) - around_m, max(xs) + around_m, max(ys) + around_m)


def _grown(box: Bounds, look: Look, frame_mm: tuple[float, float]) -> Bounds:
    """Return the box grown to the frame's width, and to three quarters of its height at least, about its middle."""
    wide = look.metres(frame_mm[0])
    high = max(box[3] - box[1] + look.metres(2 * EDGE_MM), look.metres(frame_mm[1] * 0.75))
    x, y = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
    return (x - wide / 2, y - high / 2, x + wide / 2, y + high / 2)


def _outline(plan: Planned) -> list[XY]:
    """Return the corners of the boxes round what is coming [m]."""
    out: list[XY] = []
    for stood in plan.stood.values():
        shapes = [s.area for s in stood.surfaces] or [s.footprint for s in stood.solids]
        for shape in shapes:
            west, south, east, north = shape.bounds
            out += [(west, south), (east, north)]
    return out


def background(of: Set, plan: Planned) -> list[Figure]:
    """Return what stands there before, in thin line, the boundary, and the stakes with their names."""
    out: list[Figure] = [f for f in of.frame() if isinstance(f, PathFigure) and f.owner == "boundary"]
    for f in plan.before.figures:
        if f.owner in plan.owners:
            continue
        out += thin(f)
    return out


def thin(figure: Figure) -> list[Figure]:
    """Return a figure as background: words left out, areas as outlines unless they are found again outside."""
    if isinstance(figure, PathFigure):
        return [
            figure if figure.role in KEPT else PathFigure(figure.points, "note", figure.owner, figure.closed, "fine")
        ]
    if isinstance(figure, AreaFigure):
        if figure.role in KEPT:
            return [figure]
        return [
            PathFigure(ring, "note", figure.owner, closed=True, weight="fine", dash=True) for ring in figure.rings[:1]
        ]
    return []


def coming(plan: Planned) -> list[Figure]:
    """Return what the job makes, without words."""
    return [f for s in plan.stood.values() for f in s.figures if isinstance(f, (PathFigure, AreaFigure))]


def _numbers(plan: Planned, look: Look) -> Iterable[Figure]:
    """Yield the lines to tape, a spot and a number for each point, and the stakes, in sizes of the paper."""
    at = plan.base.at | {i: m.at for i, m in plan.marks.items()}
    for p in plan.found.points:
        for t in p.ties:
            yield PathFigure((at[t.stake], p.xy), "note", f"tie/{p.id}", weight="fine")
    used = {t.stake for p in plan.found.points for t in (*p.ties, *((p.check,) if p.check else ()))}
    for stake in sorted(used & set(plan.base.at)):
        yield from stake_mark(at[stake], plan.base.names[stake], look)
    for i, n in plan.numbers.items():
        x, y = plan.marks[i].at
        yield AreaFigure((_ring((x, y), look.metres(0.9)),), "evidence", f"point/{n}")
        yield TextFigure((x + look.metres(2.6), y + look.metres(2.2)), str(n), "evidence", f"point/{n}", "large")


def stake_mark(at: XY, name: str, look: Look) -> Iterable[Figure]:
    """Yield a stake as a small black square with its name, in sizes of the paper."""
    x, y, r = at[0], at[1], look.metres(1.0)
    yield AreaFigure((((x - r, y - r), (x + r, y - r), (x + r, y + r), (x - r, y + r)),), "wall", f"stake/{name}")
    yield TextFigure((x - look.metres(2.6), y + look.metres(2.4)), name, "datum", f"stake/{name}", "large")


def _ring(at: XY, radius_m: float) -> tuple[XY, ...]:
    turns = [2 * math.pi * k / 16 for k in range(16)]
    return tuple((at[0] + radius_m * math.sin(t), at[1] + radius_m * math.cos(t)) for t in turns)
