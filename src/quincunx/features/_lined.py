"""Kinds drawn along a line or inside an outline share its handles, its moving and the rounding of its corners."""

from __future__ import annotations

from functools import lru_cache
from typing import Annotated

from pydantic import Field, field_validator
from shapely import Polygon

from quincunx.features._base import Feature
from quincunx.features._plan import corners_of, drag_point, outline, point_handles, rounded, strip, xy
from quincunx.scene.moment import Moment
from quincunx.shapes import XY, Handle
from quincunx.units.fields import Length, Point, field, length

ROUNDING = "the corners are rounded to this radius, as far as the sides between them have room"


class Sharp(Feature):
    """A feature along ``line`` with sharp corners."""

    line: Annotated[tuple[Point, ...], Field(min_length=2)] = field("Line", unit="m")

    @field_validator("line")
    @classmethod
    def _goes_somewhere(cls, line: tuple[Point, ...]) -> tuple[Point, ...]:
        if len(set(line)) < 2:
            raise ValueError(f"all {len(line)} points of the line are the same; put its ends at different places")
        return tuple(p for i, p in enumerate(line) if i == 0 or p != line[i - 1])

    def is_closed(self) -> bool:
        """Return whether the line comes back to its start; most kinds don't."""
        return False

    def course(self) -> tuple[XY, ...]:
        """Return the line as built [m]."""
        return xy(self.line)

    def along(self, width_m: float) -> Polygon:
        """Return the strip of ``width_m`` along its course [m]."""
        return strip(self.course(), width_m, closed=self.is_closed())

    def handles(self) -> tuple[Handle, ...]:
        """Give one handle a corner."""
        return point_handles(self.line, "line", "corner")

    def dragged(self, handle: str, to: XY) -> dict[str, object]:
        """Move one corner."""
        return dict(drag_point(self.line, handle, "line", to))

    def holds(self) -> dict[str, XY]:
        """Return its handles, and the corners of what is built along it [m]."""
        wide = float(getattr(self, "thickness", getattr(self, "width", None)) or 0.0)
        return super().holds() | (corners_of(self.along(wide)) if wide else {})


class Lined(Sharp):
    """A feature along ``line``, its corners sharp or rounded."""

    rounding: Length = length("Corners rounded to a radius of", 0.0, ge=0.0, le=100.0, help=ROUNDING)

    def course(self) -> tuple[XY, ...]:
        """Return the line as built, corners rounded [m]."""
        return _course(self.line, float(self.rounding), self.is_closed())


class Outlined(Feature):
    """A feature inside ``outline``, its corners sharp or rounded."""

    outline: Annotated[tuple[Point, ...], Field(min_length=3)] = field("Outline", unit="m")
    rounding: Length = length("Corners rounded to a radius of", 0.0, ge=0.0, le=100.0, help=ROUNDING)

    @field_validator("outline")
    @classmethod
    def _encloses_ground(cls, points: tuple[Point, ...]) -> tuple[Point, ...]:
        from shapely.validation import explain_validity

        shape = outline(points)
        if not shape.is_valid:
            where = explain_validity(shape)
            raise ValueError(f"the outline crosses or touches itself ({where}); put its corners in order")
        if shape.area < 1e-6:
            raise ValueError("the outline encloses no ground; put its corners further apart")
        return points

    def plan(self) -> Polygon:
        """Return its ground in plan, corners rounded unless a narrow place has no room for that [m]."""
        return _ground(self.outline, float(self.rounding))

    def handles(self) -> tuple[Handle, ...]:
        """Give one handle a corner."""
        return point_handles(self.outline, "outline", "corner")

    def dragged(self, handle: str, to: XY) -> dict[str, object]:
        """Move one corner."""
        return dict(drag_point(self.outline, handle, "outline", to))


@lru_cache(maxsize=4096)
def _course(line: tuple[Point, ...], rounding_m: float, closed: bool) -> tuple[XY, ...]:  # noqa: FBT001 - a key
    return tuple(rounded(line, rounding_m, closed=closed))


@lru_cache(maxsize=4096)
def _ground(points: tuple[Point, ...], rounding_m: float) -> Polygon:
    shape = outline(rounded(points, rounding_m, closed=True))
    return shape if shape.is_valid else outline(points)


class Climbing(Sharp):
    """A straight way from a foot to a head, with the height between them typed or taken from the ground."""

    line: Annotated[tuple[Point, ...], Field(min_length=2, max_length=2)] = field("From foot to head", unit="m")
    fall: Length | None = length("Height climbed", None, ge=0.02, le=20.0, help="empty: as the ground lies")

    def ends(self, moment: Moment) -> tuple[XY, XY, float]:
        """Return foot, head and the height between them [m]; without a typed height the lower end is the foot."""
        foot, head = xy(self.line)
        if self.fall is not None:
            return foot, head, float(self.fall)
        climb = moment.ground_z_m(*head) - moment.ground_z_m(*foot)
        return (foot, head, climb) if climb >= 0 else (head, foot, -climb)
