"""What is drawn: the same figures make the screen, the PDF and the DXF.

A figure carries a role, never a colour.  Coordinates are metres, x east and y north.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from quincunx.units import Style, format_length

XY = tuple[float, float]

Role = Literal[
    "wall", "way", "water", "built", "grown", "bed", "lawn", "room", "datum", "note", "evidence", "held", "below",
    "roof", "measure", "pin",
]  # fmt: skip
Weight = Literal["fine", "thin", "normal", "thick"]
Pattern = Literal["plain", "hatch", "cross", "dots", "waves", "boards", "bricks", "tufts", "stones", "flags"]


@dataclass(frozen=True, slots=True)
class PathFigure:
    """A line through ``points`` [m], ``closed`` or not; ``dash`` for what is hidden, planned or below ground."""

    points: tuple[XY, ...]
    role: Role
    owner: str = ""
    closed: bool = False
    weight: Weight = "normal"
    dash: bool = False
    arrow: bool = False


@dataclass(frozen=True, slots=True)
class AreaFigure:
    """A filled shape: ``rings[0]`` is the outline, the others are holes [m].

    ``shade`` is a step of a scale, 0 (least) to 6: of the washes that tell rooms apart where the role is "room", else
    of amounts from dark to light.
    """

    rings: tuple[tuple[XY, ...], ...]
    role: Role
    owner: str = ""
    pattern: Pattern = "plain"
    outline: bool = True
    weight: Weight = "thin"
    shade: int | None = None


@dataclass(frozen=True, slots=True)
class TextFigure:
    """Words at a point [m], turned ``rotate_deg`` anticlockwise on the sheet; ``size`` is a class, not a length.

    A length said in the words stands in ``length_m`` [m] and is written after them in the person's units.
    """

    at: XY
    text: str
    role: Role
    owner: str = ""
    size: Literal["small", "normal", "large"] = "normal"
    rotate_deg: float = 0.0
    anchor: Literal["start", "middle", "end"] = "middle"
    length_m: float | None = None

    def words(self, style: Style) -> str:
        """Return the words as this person writes lengths."""
        return self.text if self.length_m is None else f"{self.text} {format_length(self.length_m, style)}"


@dataclass(frozen=True, slots=True)
class DimensionFigure:
    """A measured line from ``start`` to ``end`` [m], drawn ``offset_m`` to its left; written in the person's units."""

    start: XY
    end: XY
    value_m: float
    role: Role = "datum"
    owner: str = ""
    offset_m: float = 0.0


Figure = PathFigure | AreaFigure | TextFigure | DimensionFigure


@dataclass(frozen=True, slots=True)
class Handle:
    """A point of a feature that can be dragged: ``at`` [m]; ``along_deg`` if it slides on a line only."""

    id: str
    at: XY
    words: str
    along_deg: float | None = None
