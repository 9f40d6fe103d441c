"""Kinds that stand at a point share its handles and its moving."""

from __future__ import annotations

from typing import ClassVar

from shapely import Polygon

from quincunx.features._base import Feature
from quincunx.features._plan import bearing, corners_of, direction, rectangle, tuple_add, xy
from quincunx.shapes import XY, Handle
from quincunx.units.fields import Length, Point, degrees, field, length


class Placed(Feature):
    """A feature at one point."""

    at: Point = field("Where", unit="m")

    def handles(self) -> tuple[Handle, ...]:
        """Give one handle, at the middle."""
        return (Handle("at", (float(self.at[0]), float(self.at[1])), "middle"),)

    def dragged(self, handle: str, to: XY) -> dict[str, object]:
        """Move the middle."""
        if handle != "at":
            raise KeyError(handle)
        return {"at": (Length(to[0]), Length(to[1]))}


class Turned(Placed):
    """A rectangular feature: ``width`` across its front, ``depth`` behind it, its front facing ``facing_deg``."""

    bearings: ClassVar[tuple[str, ...]] = ("facing_deg",)

    facing_deg: float = degrees("Front faces", 180.0)
    width: Length = length("Width", 2.0, ge=0.1, le=60.0)
    depth: Length = length("Depth", 2.0, ge=0.1, le=60.0)

    def handles(self) -> tuple[Handle, ...]:
        """Give the middle, the front (turns it) and two edges (size it)."""
        at, half_w, half_d = xy((self.at,))[0], float(self.width) / 2, float(self.depth) / 2
        side_deg, back_deg = (self.facing_deg + 90) % 360, (self.facing_deg + 180) % 360
        return (
            Handle("at", at, "middle"),
            Handle("front", tuple_add(at, direction(self.facing_deg), half_d), "front"),
            Handle("width", tuple_add(at, direction(side_deg), half_w), "side", along_deg=side_deg),
            Handle("depth", tuple_add(at, direction(back_deg), half_d), "back", along_deg=back_deg),
        )

    def dragged(self, handle: str, to: XY) -> dict[str, object]:
        """Move the middle, turn by the front, or size by a side or the back (the middle stays)."""
        (x, y), (fx, fy) = (float(self.at[0]), float(self.at[1])), direction(self.facing_deg)
        if handle == "front":
            return {"facing_deg": round(bearing((x, y), to), 1) % 360.0}
        if handle == "width":
            rx, ry = direction(self.facing_deg + 90)
            return {"width": self.within("width", 2 * abs((to[0] - x) * rx + (to[1] - y) * ry))}
        if handle == "depth":
            return {"depth": self.within("depth", 2 * abs((to[0] - x) * fx + (to[1] - y) * fy))}
        return super().dragged(handle, to)

    def plan(self) -> Polygon:
        """Return its rectangle in plan."""
        return rectangle(self.at, float(self.width), float(self.depth), self.facing_deg)

    def holds(self) -> dict[str, XY]:
        """Return its handles and the corners of its plan [m]."""
        return super().holds() | corners_of(self.plan())
