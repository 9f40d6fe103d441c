"""A raised bed: soil held up by timber, metal or stone."""

from __future__ import annotations

from typing import ClassVar, Literal

from shapely import LineString

from quincunx.features._base import Group
from quincunx.features._cover import stand_cover
from quincunx.features._floors import Lies
from quincunx.features._growing import aged, known
from quincunx.features._lined import Outlined
from quincunx.features._plan import area_figure, inset, label, rim
from quincunx.plants.habit import Habit
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import AreaWork, Figure, Height, Layer, LineWork, Solid, Surface, Work, every_month
from quincunx.units.fields import Length, Slug, field, length

USUAL_M = {"timber": 0.05, "metal": 0.02, "stone": 0.25, "brick": 0.215}
"""Usual thickness of the sides (common practice, no source)."""
BELOW_RIM_M = 0.05
"""How far the soil lies below the rim (common practice, no source)."""
RUN_OFF = 0.05
"""Share of rain that runs off a raised bed (common practice, no source)."""


class RaisedBed(Outlined):
    """Planted soil inside a solid rim, higher than the ground around."""

    words: ClassVar[str] = "raised bed"
    about: ClassVar[str] = (
        "Soil above the ground inside a solid rim: stops feet and barrows, warms early, dries sooner."
    )
    group: ClassVar[Group] = "walls"
    # 1.2 m is reached from both sides: W20, at most 4 ft (read).
    example: ClassVar = {
        "id": "salad-bed",
        "name": "Salad bed",
        "outline": [[0, 0], [2.4, 0], [2.4, 1.2], [0, 1.2]],
        "height": 0.4,
        "there_from": "2027-03",
    }

    weighed: ClassVar[tuple[str, ...]] = ("made",)
    kind: Literal["raised-bed"] = "raised-bed"
    height: Length = length("Height of the rim", 0.4, ge=0.1, le=1.2)
    made: Literal["timber", "metal", "stone", "brick"] = field("Sides of", "timber")
    thickness: Length | None = length("Thickness of the sides", None, ge=0.002, le=0.6, help="empty: as is usual")
    treated: bool = field("Treated timber", False, help="line it where food grows; old treated timber not at all")
    plant: Slug | None = field("Covered with one plant", None, help="empty: plants are placed one by one, or later")
    spacing: Length = length("Distance between plants", 0.3, ge=0.05, le=5.0)

    def plants_named(self) -> tuple[str, ...]:
        """Return the plant that covers it, if any."""
        return (self.plant,) if self.plant else ()

    def cautions(self) -> tuple[str, ...]:
        """Return whether its timber is treated."""
        return ("treated timber",) if self.treated and self.made == "timber" else ()

    def side_m(self) -> float:
        """Return the thickness of its sides [m]."""
        return USUAL_M[self.made] if self.thickness is None else float(self.thickness)

    def habit(self, moment: Moment) -> Habit | None:
        """Return how the plant that covers it grows, if any."""
        return None if self.plant is None else Habit(known(moment, self.plant))

    def stand(self, moment: Moment) -> Stood:
        """Give the rim, the soil inside it, and its cover as grown by then."""
        shape, side, high = self.plan(), self.side_m(), float(self.height)
        inner, soil_m = inset(shape, side), high - min(BELOW_RIM_M, high / 2)
        solid = Solid(self.id, "rim", rim(shape, side), top=Height(high))
        figures: tuple[Figure, ...] = (
            *(() if inner.is_empty else (area_figure(inner, "bed", self.id, edge=False),)),
            area_figure(rim(shape, side), "built", self.id, "stones" if self.made == "stone" else "boards", "normal"),
            *label(shape, self.name, "bed", self.id),
        )
        line = LineString(shape.exterior.coords[:-1])
        work: list[Work] = [LineWork(self.id, line, high, side, f"raised bed {self.made}", closed=True)]
        if inner.is_empty:
            return Stood((solid,), figures=figures, work=tuple(work))
        soil = Surface(
            self.id,
            "soil",
            inner,
            "soil",
            Height(soil_m),
            every_month(0.3),
            planted=True,
            run_off=RUN_OFF,
            layer=Lies.RAISED,
        )
        work.append(
            AreaWork(self.id, inner, (Layer("compost", 0.1), Layer("topsoil", round(max(soil_m - 0.1, 0.0), 4))))
        )
        bare = Stood((solid,), (soil,), figures=figures, work=tuple(work))
        if self.plant is None:
            return bare
        spacing, age = float(self.spacing), aged(moment, self.there_from, 0.0)
        return bare + stand_cover(self.id, inner, self.plant, spacing, moment, age=age, base_m=soil_m)
