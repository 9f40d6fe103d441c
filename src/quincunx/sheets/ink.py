"""How roles look on paper: ink, washes and line weights, chosen to be told apart without colour.

Hues follow the colour-blind-safe set of Okabe and Ito (2008, "Color Universal Design"; from memory), thinned to
washes; every role also has its own line or pattern, so a black-and-white print reads the same.
"""

from __future__ import annotations

from dataclasses import dataclass

from quincunx.shapes import Role, Weight

INK = "#23282b"


@dataclass(frozen=True, slots=True)
class Ink:
    """One role: the colour of its ``line`` and of its ``wash`` (None: not filled)."""

    line: str
    wash: str | None


INKS: dict[Role, Ink] = {
    "wall": Ink(INK, "#5b6165"),
    "way": Ink("#7d6a47", "#efe6d2"),
    "water": Ink("#2f6a8f", "#cfe3ee"),
    "built": Ink("#5a3d33", "#e6cfc2"),
    "grown": Ink("#3f6149", "#cfdcc3"),
    "bed": Ink("#7a5a3a", "#e2d2bd"),
    "lawn": Ink("#8aa07d", "#edf2e3"),
    "room": Ink("#6b6f86", "#e7e6ef"),
    "datum": Ink("#23282b", None),
    "note": Ink("#4a5054", None),
    "evidence": Ink("#c14a09", "#f6cfae"),
    "held": Ink("#8d7a16", "#f7f0c9"),
    "below": Ink("#5d6f8c", None),
    "roof": Ink("#5a3d33", None),
    "measure": Ink("#7a1f5c", None),
    "pin": Ink("#1d5c63", None),
}

SHADES = ("#5d6d86", "#79828d", "#949597", "#aea99a", "#c6bf96", "#ded58e", "#f6ee9e")
"""Seven steps of amounts from dark to light for paper: the colour map cividis (Nunez, Anderton and Renslow, 2018, PLOS ONE
13(7): e0199239), thinned so that lines and patterns show."""
ROOMS = ("#eceeea", "#cfe3f5", "#f7dcae", "#bfe5d8", "#f3cfe0", "#f5efb0", "#c9d3ee")
"""Washes that tell rooms apart, tints after Okabe and Ito (2002)."""

LINE_MM: dict[Weight, float] = {"fine": 0.13, "thin": 0.2, "normal": 0.35, "thick": 0.6}
"""Widths of drawn lines on paper [mm] (the steps of ISO 128's line widths 0.13, 0.18, 0.25, 0.35, 0.5, 0.7; from memory)."""

TEXT_MM = {"small": 2.0, "normal": 2.6, "large": 3.8}
"""Heights of written words on paper [mm]."""

ORDER: tuple[Role, ...] = (
    "room", "lawn", "bed", "way", "water", "held", "below", "grown", "built", "wall", "roof", "note", "measure", "datum", "pin",
    "evidence",
)  # fmt: skip
"""Roles from the ground up: what is drawn first lies below."""
