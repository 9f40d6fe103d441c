"""Arrays: where copies of a thing stand, counted out in squares, triangles or a quincunx."""

from __future__ import annotations

import math
from typing import Literal

from quincunx.shapes.figures import XY

ArrayLayout = Literal["square", "triangular", "quincunx"]
ROW_SHARE = math.sqrt(3) / 2
"""Distance of the rows of triangles of equal sides, as a share of the side."""
MOST_COPIES = 400
"""Arrays of more things than this are refused: a row or a planted area holds as many plants as one thing."""


def array_count(layout: ArrayLayout, across: int, rows: int) -> int:
    """Return how many things an array has: every second row of triangles holds one less, a quincunx one more a square."""
    if layout == "triangular":
        return across * rows - rows // 2
    return across * rows + (max(across - 1, 0) * max(rows - 1, 0) if layout == "quincunx" else 0)


def array_shifts(
    layout: ArrayLayout,
    across: int,
    rows: int,
    spacing_m: float,
    *,
    apart_m: float | None = None,
    along_deg: float = 90.0,
) -> tuple[XY, ...]:
    """Return how far each thing of an array lies from the first, row by row, the first itself (0, 0) among them [m].

    Things of a row stand ``spacing_m`` apart towards the bearing ``along_deg``; rows follow to its left, ``apart_m``
    apart (None: as far as the things of a row, in triangles 0.866 of that).  A quincunx has one more in the middle of
    each square, in rows of their own between the others.
    """
    pitch = apart_m if apart_m is not None else spacing_m * (ROW_SHARE if layout == "triangular" else 1.0)
    places: list[XY] = []
    for row in range(rows):
        between = layout == "triangular" and row % 2 == 1
        places += _line(across - between, 0.5 * between, row, spacing_m, pitch)
        if layout == "quincunx" and row < rows - 1:
            places += _line(across - 1, 0.5, row + 0.5, spacing_m, pitch)
    a = math.radians(along_deg)
    ux, uy = math.sin(a), math.cos(a)
    return tuple((x * ux - y * uy, x * uy + y * ux) for x, y in places)


def _line(count: int, first: float, row: float, spacing_m: float, pitch_m: float) -> list[XY]:
    return [((first + i) * spacing_m, row * pitch_m) for i in range(count)]
