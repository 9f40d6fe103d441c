"""A built wall of brick, stone or block."""

from __future__ import annotations

from typing import ClassVar, Literal

from shapely import LineString

from quincunx.features._base import Group
from quincunx.features._lined import Lined
from quincunx.features._plan import area_figure
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import Height, LineWork, Solid
from quincunx.units.fields import Length, field, length


class Wall(Lined):
    """A wall along a line."""

    words: ClassVar[str] = "wall"
    about: ClassVar[str] = "Brick, stone or block: stops feet, eyes, sun and wind as soon as it is built."
    group: ClassVar[Group] = "walls"
    opens: ClassVar[bool] = True
    example: ClassVar = {
        "id": "kitchen-wall", "line": [[0, 0], [6, 0]], "height": 1.8, "thickness": 0.33, "there_from": "start",
    }  # fmt: skip

    weighed: ClassVar[tuple[str, ...]] = ("material",)
    kind: Literal["wall"] = "wall"
    closed: bool = field("Comes back to its start", False)
    height: Length = length("Height", 1.8, ge=0.1, le=6.0)
    thickness: Length = length("Thickness", 0.215, ge=0.05, le=1.5)
    material: Literal["brick", "stone", "block", "rendered"] = field("Made of", "brick")

    def is_closed(self) -> bool:
        """Return whether the wall comes back to its start."""
        return self.closed

    def stand(self, moment: Moment) -> Stood:
        """Give one solid as high as the wall."""
        shape = self.along(float(self.thickness))
        solid = Solid(self.id, "", shape, top=Height(float(self.height)))
        high, thick = float(self.height), float(self.thickness)
        work = LineWork(self.id, LineString(self.course()), high, thick, self.material, self.closed)
        return Stood(solids=(solid,), figures=(area_figure(shape, "wall", self.id, "hatch", "thick"),), work=(work,))
