"""A greenhouse: glass on a frame, free-standing or leaning on a wall."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar, Literal

from shapely import LineString

from quincunx.features._base import Group
from quincunx.features._floors import FloorName
from quincunx.features._slopes import RoofForm
from quincunx.features._walled import Skin, Walled
from quincunx.shapes import Joint, LineWork, Member, Work
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
    base: Literal["pads", "brick footing", "timber sleepers"] = field(
        "Base", "pads", help="what the frame is bolted to"
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

    def joints(self, members: Sequence[Member]) -> tuple[Joint, ...]:
        """Return how frame, base and glass are put together; a lean-to is bolted to its wall."""
        rafters = sum(m.count for m in members if m.name == "rafter")
        metal = self.frame != "timber"
        bolt = "frame bolt M6" if metal else "coach screw 8 × 120"
        corner = Joint(
            "frame at its corners", "bolted through gussets" if metal else "half-lapped, screwed", 8, ((bolt, 2),)
        )
        foot = Joint(
            "frame on its base",
            f"bolted down to the {self.base} every 60 cm and at the corners",
            max(round(self.round_m() / 0.6), 4),
            (("coach bolt M10", 1),),
        )
        bar = Joint(
            "glazing bars", "to plate and ridge; panes on a soft bed, never metal on glass", rafters, ((bolt, 2),)
        )
        wall = Joint(
            "wall plate on the house wall",
            "anchored every 40 cm, a flashing let into the wall above",
            max(round(float(self.width) / 0.4), 2),
            (("wall anchor M10", 1),),
        )
        return (foot, corner, bar, *((wall,) if self.leans() else ()))

    def assumes(self) -> tuple[str, ...]:
        """Return what was taken for granted."""
        stands = (
            ("the wall behind carries the upper ends: have it looked at first",)
            if self.leans()
            else ("it stands clear of walls all round",)
        )
        return (
            *stands,
            "the base is level within 3 mm and square: equal diagonals",
            "panes as the frame's maker cuts them",
        )

    def order_of_work(self) -> tuple[str, ...]:
        """Return how a greenhouse is put up."""
        wall = ("Anchor the wall plate level, let the flashing into the wall",) if self.leans() else ()
        return (
            "Lay the base, level and square, let it harden",
            *wall,
            "Bolt the sides flat on the ground, stand and prop them plumb both ways, join them at the corners",
            "Fix ridge and glazing bars, check the diagonals again",
            "Bolt the frame down",
            "Glaze on a still, dry day, gloves on, roof last, from outside on boards",
            "Hang the door, fit gutters",
        )

    def round_m(self) -> float:
        """Return the length of its sides that stand on the ground [m]."""
        return sum(e.length_m for n, e in enumerate(self.sides(), start=1) if not (n == 3 and self.leans()))

    def base_work(self) -> tuple[Work, ...]:
        """Return the footing or sleepers under its frame."""
        if self.base == "pads":
            return ()
        sides = [e for n, e in enumerate(self.sides(), start=1) if not (n == 3 and self.leans())]
        high, thick, material = (0.3, 0.215, "brick") if self.base == "brick footing" else (0.1, 0.2, "sleeper")
        return tuple(LineWork(self.id, LineString([e.start, e.end]), high, thick, material) for e in sides)

    def low_wall(self) -> float:
        """Return the height of the low wall, never above the eaves [m]."""
        return min(float(self.low_wall_height), float(self.eaves_height))
