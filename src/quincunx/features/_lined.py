"""Kinds drawn along a line share its handles and its moving."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from quincunx.features._base import Feature
from quincunx.features._plan import drag_point, point_handles, shifted
from quincunx.shapes import XY, Handle
from quincunx.units.fields import Point, field


class Lined(Feature):
    """A feature along ``line``."""

    line: Annotated[tuple[Point, ...], Field(min_length=2)] = field("Line")

    def handles(self) -> tuple[Handle, ...]:
        """Give one handle a corner."""
        return point_handles(self.line, "line", "corner")

    def dragged(self, handle: str, to: XY) -> dict[str, object]:
        """Move one corner."""
        return dict(drag_point(self.line, handle, "line", to))

    def moved(self, dx_m: float, dy_m: float, turn_deg: float, about: XY) -> dict[str, object]:
        """Shift and turn the line."""
        return {"line": shifted(self.line, dx_m, dy_m, turn_deg, about)}


class Outlined(Feature):
    """A feature inside ``outline``."""

    outline: Annotated[tuple[Point, ...], Field(min_length=3)] = field("Outline")

    def handles(self) -> tuple[Handle, ...]:
        """Give one handle a corner."""
        return point_handles(self.outline, "outline", "corner")

    def dragged(self, handle: str, to: XY) -> dict[str, object]:
        """Move one corner."""
        return dict(drag_point(self.outline, handle, "outline", to))

    def moved(self, dx_m: float, dy_m: float, turn_deg: float, about: XY) -> dict[str, object]:
        """Shift and turn the outline."""
        return {"outline": shifted(self.outline, dx_m, dy_m, turn_deg, about)}
