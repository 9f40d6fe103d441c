"""Levels as they are stored: spot heights and break lines."""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import Field, model_validator

from quincunx.units.fields import Doc, Length, Point, field, length


class SpotHeight(Doc):
    """The ground's height at one point."""

    at: Point = field("where", help="East and north of the datum stake.")
    z_m: Length = length("height above the datum", ge=-500.0, le=500.0)
    words: str = field("note", "", max_length=200)

    def xyz(self) -> tuple[float, float, float]:
        """Return (x, y, z) [m]."""
        return float(self.at[0]), float(self.at[1]), float(self.z_m)


class BreakLine(Doc):
    """A line along which the ground changes its slope: the top or foot of a bank, a wall or a terrace edge."""

    points: Annotated[tuple[Point, ...], Field(min_length=2, max_length=500)] = field("along")
    heights_m: Annotated[tuple[Length, ...], Field(min_length=2, max_length=500)] = field(
        "heights above the datum", unit="m", help="One for each point; the ground runs straight between them."
    )
    words: str = field("note", "", max_length=200)

    @model_validator(mode="after")
    def _as_many_heights(self) -> Self:
        if len(self.points) != len(self.heights_m):
            raise ValueError(
                f"got {len(self.points)} points and {len(self.heights_m)} heights; expected one height for each point"
            )
        return self

    def xyz(self) -> list[tuple[float, float, float]]:
        """Return (x, y, z) [m] for each point."""
        return [(float(x), float(y), float(z)) for (x, y), z in zip(self.points, self.heights_m, strict=True)]
