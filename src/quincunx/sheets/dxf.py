"""Figures as DXF for contractors: metres, one layer a role."""

from __future__ import annotations

import io
import math
from collections.abc import Iterable
from typing import Any

from quincunx.shapes import AreaFigure, DimensionFigure, Figure, PathFigure, Role, TextFigure
from quincunx.units import Style, format_length

LAYERS: dict[Role, tuple[str, int]] = {
    "wall": ("WALLS", 7), "way": ("WAYS", 32), "water": ("WATER", 5), "built": ("STRUCTURES", 14), "grown": ("PLANTS", 94),
    "bed": ("BEDS", 34), "lawn": ("GRASS", 74), "room": ("ROOMS", 8), "datum": ("DATUM", 7), "note": ("NOTES", 8),
    "evidence": ("EVIDENCE", 30), "held": ("HELD-PLACES", 52), "below": ("BELOW-GROUND", 160), "roof": ("ROOFS", 16),
    "measure": ("OWN-DIMENSIONS", 6), "pin": ("PINNED-NOTES", 132),
}  # fmt: skip
"""The layer and AutoCAD colour index of each role."""

TEXT_M = {"small": 0.2, "normal": 0.26, "large": 0.38}


def dxf(figures: Iterable[Figure], style: Style | None = None) -> str:
    """Return a DXF (R2010) of ``figures`` in metres: the unit is written in the header, and a 10 m bar can be checked."""
    from ezdxf import units
    from ezdxf.filemanagement import new

    every = list(figures)
    doc = new("R2010", setup=False)
    doc.units = units.M
    doc.header["$MEASUREMENT"] = 1
    doc.header["$LUNITS"] = 2
    for name, colour in LAYERS.values():
        doc.layers.add(name, color=colour)
    doc.layers.add("SCALE-BAR", color=7)
    space = doc.modelspace()
    for figure in every:
        _add(space, figure, style or Style())
    _bar(space, every)
    out = io.StringIO()
    doc.write(out)
    return out.getvalue()


def _add(space: Any, f: Figure, style: Style) -> None:
    look = {"layer": LAYERS[f.role][0]}
    if isinstance(f, PathFigure):
        space.add_lwpolyline(f.points, close=f.closed, dxfattribs=look)
    elif isinstance(f, AreaFigure):
        for ring in f.rings:
            space.add_lwpolyline(ring, close=True, dxfattribs=look)
    elif isinstance(f, TextFigure):
        height = TEXT_M[f.size]
        space.add_text(f.words(style), height=height, rotation=f.rotate_deg, dxfattribs=look).set_placement(
            f.at, align=_ALIGN[f.anchor]
        )
    else:
        _dimension(space, f, style, look)


def _dimension(space: Any, f: DimensionFigure, style: Style, look: dict[str, str]) -> None:
    (ax, ay), (bx, by) = f.start, f.end
    run = math.dist(f.start, f.end) or 1.0
    ox, oy = -(by - ay) / run * f.offset_m, (bx - ax) / run * f.offset_m
    start, end = (ax + ox, ay + oy), (bx + ox, by + oy)
    space.add_line(start, end, dxfattribs=look)
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    space.add_text(format_length(f.value_m, style), height=TEXT_M["small"], dxfattribs=look).set_placement(
        middle, align=_ALIGN["middle"]
    )


class _Align(dict[str, Any]):
    """Text placements by anchor, loaded when first used."""

    def __missing__(self, anchor: str) -> Any:
        """Return ezdxf's placement for an anchor."""
        from ezdxf.enums import TextEntityAlignment as Placement

        return {"start": Placement.MIDDLE_LEFT, "middle": Placement.MIDDLE_CENTER, "end": Placement.MIDDLE_RIGHT}[
            anchor
        ]


_ALIGN = _Align()


def _bar(space: Any, figures: list[Figure]) -> None:
    """Draw a line of exactly 10 m below everything, with its length in words."""
    xs = [p[0] for f in figures for p in _points(f)] or [0.0]
    ys = [p[1] for f in figures for p in _points(f)] or [0.0]
    x, y = min(xs), min(ys) - 2.0
    space.add_line((x, y), (x + 10.0, y), dxfattribs={"layer": "SCALE-BAR"})
    words = "10.000 m (drawing unit: metre)"
    space.add_text(words, height=0.26, dxfattribs={"layer": "SCALE-BAR"}).set_placement(
        (x, y - 0.5), align=_ALIGN["start"]
    )


def _points(f: Figure) -> tuple[tuple[float, float], ...]:
    if isinstance(f, PathFigure):
        return f.points
    if isinstance(f, AreaFigure):
        return f.rings[0]
    return (f.at,) if isinstance(f, TextFigure) else (f.start, f.end)
