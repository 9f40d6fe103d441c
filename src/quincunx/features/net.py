"""A net over a bed or row."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.features._base import Group
from quincunx.features._lined import Outlined
from quincunx.features._plan import area_figure, outline_figure
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import AreaWork, Cover, Figure, Height, Layer, Solid, every_month
from quincunx.units.fields import Length, field, length

OPACITY = 0.15
"""Share of view and light that a net takes (common practice, no source)."""


class Net(Outlined):
    """A net or fleece on hoops over what grows."""

    words: ClassVar[str] = "net"
    about: ClassVar[str] = "Keeps birds, rabbits or cold off a bed for a while; taut and clear of the plants."
    group: ClassVar[Group] = "temporary"
    # Bird netting 12 to 19 mm, taut, at least 0.3 m clear of the fruit (from memory).
    example: ClassVar = {
        "id": "strawberry-net",
        "outline": [[0, 0], [3, 0], [3, 1.2], [0, 1.2]],
        "hole": 0.015,
        "there_from": "2028-05",
        "there_until": "2028-08",
    }

    kind: Literal["net"] = "net"
    made: Literal["net", "mesh", "fleece"] = field("Made of", "net")
    hole: Length = length("Largest hole through it", 0.015, ge=0.0, le=0.2)
    height: Length = length("Height of its hoops", 0.6, ge=0.05, le=3.0)

    def stand(self, moment: Moment) -> Stood:
        """Give the cover, and a low thing that people walk round."""
        shape = self.plan()
        hole = 0.0 if self.made == "fleece" else float(self.hole)
        solid = Solid(
            self.id,
            "",
            shape,
            top=Height(float(self.height)),
            gap_m=hole,
            reluctant=True,
            opacity=every_month(OPACITY),
            transmittance=every_month(1 - OPACITY),
        )
        figures: tuple[Figure, ...] = (
            area_figure(shape, "built", self.id, "cross", "fine", edge=False),
            outline_figure(shape, "built", self.id, "thin", dash=True),
        )
        work = AreaWork(self.id, shape, (Layer(self.made, 0.0),))
        return Stood((solid,), changes=(Cover(self.id, shape, hole),), figures=figures, work=(work,))
