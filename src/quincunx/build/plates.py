"""What is covered with sheets to plates: roofs in widths up the slope, glazing in panes between bars, sides in lengths.

A plate is a rectangle.  Where a hip or a gable cuts it off on the slope it is bought as long as its longest edge, and the
corner that falls off is waste.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from shapely import Polygon, box
from shapely.affinity import rotate

from quincunx.build._data import table
from quincunx.build.amounts import Plate
from quincunx.shapes import AreaWork, LineWork


def how_laid(row: dict[str, Any]) -> dict[str, Any] | None:
    """Return how plates of a material lie; None where it is not cut from sheets."""
    found: dict[str, Any] | None = table("materials")["plates"].get(row.get("plates"))
    return found


def area_plates(work: AreaWork, row: dict[str, Any]) -> Iterator[Plate]:
    """Yield the plates over a slope or a wall laid flat, in widths from one end, each as long as the slope is there [m]."""
    lay = how_laid(row)
    if lay is None:
        return
    upright = rotate(work.outline, (work.up_deg or 0.0), origin=(0.0, 0.0))
    west, south, east, north = upright.bounds
    for start, end in _widths(west, east, lay):
        part = upright.intersection(box(start, south - 1, end, north + 1))
        for piece in getattr(part, "geoms", [part]):
            if isinstance(piece, Polygon) and piece.area > 1e-4:
                low, high = piece.bounds[1], piece.bounds[3]
                wide = end - start + (float(lay["side_lap_m"]) if end < east - 1e-6 or start > west + 1e-6 else 0.0)
                yield _plate(row, lay, wide, high - low, float(piece.area))


def line_plates(work: LineWork, sides: list[float], row: dict[str, Any]) -> Iterator[Plate]:
    """Yield the plates along the sides of a run: standing between bars, or lying as long as they come [m]."""
    lay = how_laid(row)
    if lay is None:
        return
    high = work.height_m + float(row.get("sunk_m", 0.0))
    for side in sides:
        if "cover_m" in lay:
            for start, end in _widths(0.0, side, lay):
                yield _plate(row, lay, end - start, high, (end - start) * work.height_m)
        else:
            yield _plate(row, lay, high, side, side * work.height_m)


def _widths(start: float, end: float, lay: dict[str, Any]) -> Iterator[tuple[float, float]]:
    """Yield the strips of a width: equal ones between bars, or full ones from the start and a narrow last one [m]."""
    cover = float(lay["cover_m"])
    count = max(math.ceil((end - start) / cover - 1e-6), 1)
    step = (end - start) / count if lay.get("equal") else cover
    for n in range(count):
        yield start + n * step, min(start + (n + 1) * step, end)


def _plate(row: dict[str, Any], lay: dict[str, Any], wide: float, long: float, net_m2: float) -> Plate:
    """Return a plate, or the equal plates it is made of where it is longer than they come, ends lapping."""
    longest, lap = float(lay["longest_m"]), float(lay["lap_m"])
    count = max(math.ceil((long - lap) / (longest - lap) - 1e-6), 1)
    each = (long + (count - 1) * lap) / count
    return Plate(
        str(row["item"]), str(lay["name"]), wide, each, count, net_m2, bool(lay["turns"]), str(row["words"]),
        str(row.get("shop", "garden supplier")), float(row.get("kg_m2", 0.0)),
    )  # fmt: skip
