"""A greenhouse: glass on a frame, free-standing or leaning on a wall."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.features._base import Group
from quincunx.features._floors import FloorName
from quincunx.features._slopes import RoofForm
from quincunx.features._walled import Skin, Walled
from quincunx.units.fields import Length, degrees, field, length

LIGHT = {"glass": 0.8, "twin-wall sheet": 0.7, "film": 0.75}
"""Share of sunlight let through, frame included (from memory: 4 mm glass alone 0.89, 10 mm twin-wall 0.8)."""
THICK_M = {"glass": 0.004, "twin-wall sheet": 0.01, "film": 0.0002}
PANE_M = 0.61
"""Distance of glazing bars for panes of 610 mm, 24 in (from memory)."""
FRAME_M = {"aluminium": (0.04, 0.04), "timber": (0.045, 0.07)}


class Greenhouse(Walled):
    """Walls and roof of glass or clear sheet; the door is an opening in its own wall."""

    words: ClassVar[str] = "greenhouse"
    about: ClassVar[str] = (
        "Glass walls and roof: lets most of the sun through, stops feet and rain; mind the glass near play."
    )
    group: ClassVar[Group] = "shelter"
    example: ClassVar = {
        "id": "greenhouse", "at": [4, 20], "facing_deg": 180, "width": 2.5, "depth": 3.7, "eaves_height": 1.6,
        "glazing": "glass", "low_wall_height": 0.6, "floor": "flags", "there_from": "2029-04",
    }  # fmt: skip

    weighed: ClassVar[tuple[str, ...]] = ("how", "glazing", "frame")
    kind: Literal["greenhouse"] = "greenhouse"
    width: Length = length("Width", 2.5, ge=0.8, le=12.0)
    depth: Length = length("Length", 3.7, ge=0.6, le=30.0)
    stands: Literal["free", "leaning on a wall"] = field(
        "Stands", "free", help="leaning: its back, side 3, is that wall"
    )
    glazing: Literal["glass", "twin-wall sheet", "film"] = field("Glazed with", "glass")
    frame: Literal["aluminium", "timber"] = field("Frame", "aluminium")
    low_wall_height: Length = length("Height of the low brick wall", 0.0, ge=0.0, le=1.2)
    eaves_height: Length = length("Height at the eaves", 1.6, ge=0.8, le=3.5)
    overhang: Length = length("Roof reaches past the walls", 0.05, ge=0.0, le=0.5)
    pitch_deg: float = degrees("Pitch", 27.0, lt=61.0)
    ridge: Literal["front to back", "side to side"] = field(
        "Ridge runs", "front to back", help="of a free-standing one"
    )
    floor: FloorName | None = field("Floor inside", "flags")

    def skin(self) -> Skin:
        """Return glass, frame and their thickness."""
        thick, wall = THICK_M[self.glazing], FRAME_M[self.frame][0]
        return Skin(
            self.glazing, wall, self.glazing, thick, LIGHT[self.glazing], FRAME_M[self.frame], PANE_M, self.frame
        )

    def roof_form(self) -> tuple[RoofForm, int]:
        """Return a gable, or a single pitch falling to the front where it leans on a wall."""
        if self.leans():
            return "single", 1
        return "gable", 2 if self.ridge == "front to back" else 1

    def leans(self) -> bool:
        """Return whether its back is another's wall."""
        return self.stands != "free"

    def low_wall(self) -> float:
        """Return the height of the low wall, never above the eaves [m]."""
        return min(float(self.low_wall_height), float(self.eaves_height))
