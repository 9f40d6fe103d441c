"""A shed: board walls, a roof and a door."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.features._base import Group
from quincunx.features._floors import FloorName
from quincunx.features._slopes import RoofForm
from quincunx.features._walled import Skin, Walled
from quincunx.units.fields import Length, degrees, field, length

ROOF_M = {"boards and felt": 0.03, "shingles": 0.04, "metal sheet": 0.03}


class Shed(Walled):
    """A closed store with one door."""

    words: ClassVar[str] = "shed"
    about: ClassVar[str] = (
        "Board walls, a roof and one door: stops feet, eyes, sun and rain, and its roof can fill a tank."
    )
    group: ClassVar[Group] = "shelter"
    example: ClassVar = {
        "id": "tool-shed", "at": [2, 30], "facing_deg": 90, "width": 2.4, "depth": 1.8, "roof": "single",
        "pitch_deg": 10, "there_from": "2027-09",
    }  # fmt: skip

    weighed: ClassVar[tuple[str, ...]] = ("how", "covering")
    kind: Literal["shed"] = "shed"
    width: Length = length("Width", 2.4, ge=0.8, le=8.0)
    depth: Length = length("Depth", 1.8, ge=0.6, le=12.0)
    roof: Literal["single", "gable"] = field(
        "Roof", "gable", help="a single pitch falls to the back; a gable to both sides"
    )
    eaves_height: Length = length("Height at the eaves", 1.9, ge=1.0, le=4.0)
    pitch_deg: float = degrees("Pitch", 20.0, lt=61.0)
    door_height: Length = length("Clear height of the door", 1.8, ge=1.0, le=3.0)
    covering: Literal["boards and felt", "shingles", "metal sheet"] = field("Roof covering", "boards and felt")
    floor: FloorName | None = field("Floor inside", "boards")

    def skin(self) -> Skin:
        """Return boards on studs."""
        return Skin("boards", 0.07, self.covering, ROOF_M[self.covering], 0.0, (0.045, 0.07), 0.6, "timber")

    def roof_form(self) -> tuple[RoofForm, int]:
        """Return a single pitch to the back, or a gable to both sides."""
        return ("single", 3) if self.roof == "single" else ("gable", 2)
