"""Openings share a middle, a direction and a clear width, and the line across them."""

from __future__ import annotations

import math
from typing import ClassVar

from shapely import LineString

from quincunx.features._placed import Placed
from quincunx.features._plan import bearing, direction, rectangle, tuple_add, xy
from quincunx.shapes import XY, Cut, Handle
from quincunx.units.fields import Length, degrees, length

REACH_M = 1.2
"""How thick a wall the cut of an opening goes through, centred on it [m]."""


class Across(Placed):
    """An opening of a clear width in a wall that runs ``along_deg``."""

    bearings: ClassVar[tuple[str, ...]] = ("along_deg",)

    along_deg: float = degrees("Direction of the wall", 90.0)
    width: Length = length("Clear width", 0.9, ge=0.3, le=8.0)

    def ends(self) -> tuple[XY, XY]:
        """Return both ends of the clear width [m]."""
        at, u, half = xy((self.at,))[0], direction(self.along_deg), float(self.width) / 2
        return tuple_add(at, u, -half), tuple_add(at, u, half)

    def clear(self) -> LineString:
        """Return the clear line [m]."""
        return LineString(self.ends())

    def beside_m(self) -> float:
        """Return how much it takes beside its clear width at either side, for posts of its own [m]."""
        return 0.0

    def kept_free(self) -> LineString:
        """Return its clear line and the posts at its ends [m]."""
        start, end = self.ends()
        u, beside = direction(self.along_deg), self.beside_m()
        return LineString([tuple_add(start, u, -beside), tuple_add(end, u, beside)])

    def cut(self, up_to_m: float | None = None, *, needed: bool = True) -> Cut:
        """Return the cut it makes in the wall its clear line runs in, up to ``up_to_m`` above ground."""
        place = rectangle(self.at, float(self.width), REACH_M, self.along_deg + 90)
        return Cut(self.id, place, up_to_m, self.clear(), needed)

    def handles(self) -> tuple[Handle, ...]:
        """Give the middle and one end."""
        return (*super().handles(), Handle("end", self.ends()[1], "end"))

    def dragged(self, handle: str, to: XY) -> dict[str, object]:
        """Move the middle, or set direction and width by the end."""
        if handle == "end":
            at = xy((self.at,))[0]
            wide = self.within("width", 2 * math.dist(at, to))
            return {"along_deg": round(bearing(at, to), 2) % 360.0, "width": wide}
        return super().dragged(handle, to)
