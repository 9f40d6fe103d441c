"""A drawing in millimetres on paper: lines, boxes, words, and bars told apart without colour."""

from __future__ import annotations

from html import escape
from typing import Literal

from quincunx.sheets.ink import INK, INKS

Anchor = Literal["start", "middle", "end"]
Fill = Literal["dark", "light", "stripes", "done", "over"]

PALE = "#6b7276"
HAIR, FINE, LINE, BOLD = 0.08, 0.15, 0.3, 0.55
"""Widths of lines [mm]."""
WIDE_EM = 0.47
"""About how wide a letter is, as a share of its height (Source Sans 3)."""

_FILLS: dict[Fill, str] = {
    "dark": INK,
    "light": "#ffffff",
    "stripes": "url(#stripes)",
    "done": "url(#done)",
    "over": "url(#over)",
}
_DEFS = (
    '<pattern id="stripes" width="1.1" height="1.1" patternUnits="userSpaceOnUse">'
    f'<rect width="1.1" height="1.1" fill="#ffffff"/><path d="M0 1.1L1.1 0" stroke="{INK}" stroke-width="0.16"/></pattern>'
    '<pattern id="done" width="0.9" height="0.9" patternUnits="userSpaceOnUse">'
    f'<rect width="0.9" height="0.9" fill="#ffffff"/><circle cx="0.45" cy="0.45" r="0.17" fill="{INK}"/></pattern>'
    '<pattern id="over" width="0.8" height="0.8" patternUnits="userSpaceOnUse">'
    f'<rect width="0.8" height="0.8" fill="{INKS["evidence"].wash}"/>'
    f'<path d="M0 0L0.8 0.8M0 0.8L0.8 0" stroke="{INKS["evidence"].line}" stroke-width="0.16"/></pattern>'
)


class Chart:
    """Collects shapes; x runs right and y down from the top left corner, both in millimetres."""

    def __init__(self, width_mm: float, height_mm: float) -> None:
        """Take the size of the drawing."""
        self.width, self.height = width_mm, height_mm
        self._parts: list[str] = []

    def line(
        self, x1: float, y1: float, x2: float, y2: float, wide: float = FINE, ink: str = INK, dash: str = ""
    ) -> None:
        """Draw a straight line; ``dash`` such as "1 0.6" breaks it."""
        broken = f' stroke-dasharray="{dash}"' if dash else ""
        self._parts.append(
            f'<path d="M{x1:.2f} {y1:.2f}L{x2:.2f} {y2:.2f}" fill="none" stroke="{ink}" stroke-width="{wide}"{broken}/>'
        )

    def path(self, points: list[tuple[float, float]], wide: float = LINE, ink: str = INK) -> None:
        """Draw a line through points."""
        d = "M" + "L".join(f"{x:.2f} {y:.2f}" for x, y in points)
        self._parts.append(f'<path d="{d}" fill="none" stroke="{ink}" stroke-width="{wide}" stroke-linejoin="miter"/>')

    def shape(self, points: list[tuple[float, float]], fill: str, ink: str = INK, wide: float = FINE) -> None:
        """Draw a filled outline."""
        d = "M" + "L".join(f"{x:.2f} {y:.2f}" for x, y in points) + "Z"
        self._parts.append(f'<path d="{d}" fill="{fill}" stroke="{ink}" stroke-width="{wide}"/>')

    def wash(self, x: float, y: float, width: float, height: float, colour: str) -> None:
        """Tint a box without an outline."""
        self._parts.append(f'<rect x="{x:.2f}" y="{y:.2f}" width="{width:.2f}" height="{height:.2f}" fill="{colour}"/>')

    def bar(self, x: float, y: float, width: float, height: float, fill: Fill, wide: float = FINE) -> None:
        """Draw a bar; nothing if it has no width or no height."""
        if width > 0 and height > 0:
            box = f'x="{x:.2f}" y="{y:.2f}" width="{width:.2f}" height="{height:.2f}"'
            self._parts.append(f'<rect {box} fill="{_FILLS[fill]}" stroke="{INK}" stroke-width="{wide}"/>')

    def ring(self, x: float, y: float, radius: float) -> None:
        """Draw an open circle."""
        self._parts.append(
            f'<circle cx="{x:.2f}" cy="{y:.2f}" r="{radius}" fill="#ffffff" stroke="{INK}" stroke-width="0.2"/>'
        )

    def tick(self, x: float, y: float, size: float) -> None:
        """Draw the sign of what is done, its left end at (x, y)."""
        self.path([(x, y), (x + size * 0.35, y + size * 0.35), (x + size, y - size * 0.45)], 0.3)

    def words(
        self,
        x: float,
        y: float,
        text: str,
        size: float = 2.5,
        anchor: Anchor = "start",
        *,
        bold: bool = False,
        ink: str = INK,
    ) -> None:
        """Write on the base line ``y``, letters ``size`` mm high."""
        weight = ' font-weight="600"' if bold else ""
        self._parts.append(
            f'<text x="{x:.2f}" y="{y:.2f}" font-size="{size}" text-anchor="{anchor}" fill="{ink}"{weight}>{escape(text)}</text>'
        )

    def svg(self) -> str:
        """Return the drawing, its size on paper written in millimetres."""
        size = (
            f'width="{self.width:.2f}mm" height="{self.height:.2f}mm" viewBox="0 0 {self.width:.2f} {self.height:.2f}"'
        )
        return f'<svg xmlns="http://www.w3.org/2000/svg" {size} font-family="Source Sans 3"><defs>{_DEFS}</defs>{"".join(self._parts)}</svg>'


def shortened(text: str, room_mm: float, size: float) -> str:
    """Return ``text`` cut with an ellipsis where it would be wider than ``room_mm``."""
    most = int(room_mm / (WIDE_EM * size))
    return text if len(text) <= most else text[: max(most - 1, 1)].rstrip(" ,") + "…"
