"""Pages as data, bound into one PDF by typst."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass, field
from importlib import resources
from typing import Any, Literal

from quincunx.sheets.scales import MARGIN_MM, PAPERS_MM
from quincunx.units import Style
from quincunx.units.errors import PlainError

TOP_MM, BOTTOM_MM, SIDE_MM = 19.0, 19.0, 10.0
"""Room for the head and the foot of a page, and the margin [mm]."""

Block = dict[str, Any]


class SheetError(PlainError, ValueError):
    """A sheet can't be made as asked; the message says why and what to do."""


@dataclass(frozen=True, slots=True)
class Page:
    """One page: ``title``, a short ``note`` beside it, its paper [mm], its blocks, and its ``scale`` in words if drawn to one."""

    title: str
    blocks: tuple[Block, ...]
    paper_mm: tuple[float, float]
    note: str = ""
    scale: str = ""
    foot: str = ""


@dataclass(frozen=True, slots=True)
class Paper:
    """The paper a set is printed on: its name and whether it lies ``flat`` (landscape)."""

    name: str = "A4"
    flat: bool = False
    style: Style = field(default_factory=Style)

    @property
    def size_mm(self) -> tuple[float, float]:
        """Return width and height as it lies [mm]; :class:`SheetError` for an unknown paper."""
        if self.name not in PAPERS_MM:
            raise SheetError(f"There is no paper {self.name!r}. Choose one of {', '.join(PAPERS_MM)}.")
        w, h = PAPERS_MM[self.name]
        return (h, w) if self.flat else (w, h)

    @property
    def frame_mm(self) -> tuple[float, float]:
        """Return the room for a drawing inside head, foot and margins [mm]."""
        w, h = self.size_mm
        return (w - 2 * SIDE_MM, h - TOP_MM - BOTTOM_MM - 1.0)

    def lying(self, *, flat: bool) -> Paper:
        """Return the same paper lying flat or standing."""
        return Paper(self.name, flat, self.style)


def bar_mm(style: Style) -> tuple[float, str]:
    """Return the length of the test bar on every drawn page [mm] and its words."""
    return (101.6, "4 in") if style.system == "feet" else (100.0, "100 mm")


def bind(pages: Sequence[Page], garden: str, style: Style, made: str = "") -> bytes:
    """Return a PDF of ``pages``; ``made`` is a line saying when or from what it was made.

    Fonts come from the package only, so the same pages look the same everywhere.
    """
    (pdf,) = _compiled(pages, garden, style, made, "pdf")
    return pdf


def pictures(pages: Sequence[Page], garden: str, style: Style, made: str = "") -> list[bytes]:
    """Return each page as an SVG picture, just as it is printed."""
    return _compiled(pages, garden, style, made, "svg")


def _compiled(
    pages: Sequence[Page], garden: str, style: Style, made: str, format_: Literal["pdf", "svg"]
) -> list[bytes]:
    import typst

    length, words = bar_mm(style)
    data = {
        "garden": garden,
        "made": made,
        "bar": {"mm": length, "words": words},
        "pages": [
            {
                "title": p.title,
                "note": p.note,
                "paper": list(p.paper_mm),
                "blocks": list(p.blocks),
                "scale": p.scale,
                "foot": p.foot,
            }
            for p in pages
        ],
    }
    source = (resources.files("quincunx.sheets") / "data" / "book.typ").read_bytes()
    with resources.as_file(resources.files("quincunx") / "_ui" / "fonts") as folder:
        fonts = typst.Fonts(include_system_fonts=False, font_paths=[str(folder)])
        compiler = typst.Compiler(source, font_paths=fonts, sys_inputs={"data": json.dumps(data)})
        out = compiler.compile(format=format_)
    return [bytes(part) for part in out] if isinstance(out, list) else [bytes(out or b"")]


__all__ = ["MARGIN_MM", "Block", "Page", "Paper", "SheetError", "bar_mm", "bind", "pictures"]
