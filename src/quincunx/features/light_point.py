"""A light outside."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.features._base import Group
from quincunx.features._placed import Placed
from quincunx.features._plan import area_figure, circle, label, outline_figure, tuple_add
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import Figure, Height, PathFigure, Solid
from quincunx.units.fields import Length, field, length

HEAD_M, RAY_M = 0.12, 0.25
"""Size of a fitting; of the short strokes that mark it in plan [m]."""


class LightPoint(Placed):
    """A lamp on a post, a wall or in the ground."""

    words: ClassVar[str] = "light point"
    about: ClassVar[str] = (
        "A lamp; mains wiring outdoors is for a qualified electrician, its line goes on the buried lines."
    )
    group: ClassVar[Group] = "furnishing"
    example: ClassVar = {
        "id": "gate-light",
        "at": [1, 40],
        "on": "post",
        "height": 0.6,
        "watts": 5,
        "there_from": "2030-03",
    }

    kind: Literal["light-point"] = "light-point"
    on: Literal["post", "wall", "ground"] = field("Stands", "post", help="on a post, on a wall or let into the ground")
    height: Length = length("Height of the lamp", 0.6, ge=0.0, le=5.0)
    watts: float = field("Power", 5.0, unit="W", ge=0, le=500)
    supply: Literal["low voltage", "mains", "sun"] = field("Fed by", "low voltage")
    reach: Length = length("Lights to a distance of", 2.0, ge=0.0, le=20.0)

    def cautions(self) -> tuple[str, ...]:
        """Return whether it is fed from the mains."""
        return ("mains",) if self.supply == "mains" else ()

    def stand(self, moment: Moment) -> Stood:
        """Give the post, or nothing where the lamp is on a wall or in the ground."""
        shape = circle((float(self.at[0]), float(self.at[1])), HEAD_M)
        top = Height(max(float(self.height), 0.05))
        solids = (Solid(self.id, "", shape, top=top),) if self.on == "post" else ()
        return Stood(solids, figures=self._figures())

    def _figures(self) -> tuple[Figure, ...]:
        """Draw the fitting with four short strokes, and how far it lights."""
        at = (float(self.at[0]), float(self.at[1]))
        shape = circle(at, HEAD_M)
        slant = 0.7071
        units = ((slant, slant), (slant, -slant), (-slant, -slant), (-slant, slant))
        rays = [
            PathFigure((tuple_add(at, u, HEAD_M), tuple_add(at, u, RAY_M)), "note", self.id, weight="thin")
            for u in units
        ]
        lit = (
            [outline_figure(circle(at, 2 * float(self.reach)), "note", self.id, "fine", dash=True)]
            if self.reach
            else []
        )
        return (
            area_figure(shape, "built", self.id, "plain", "normal"),
            *rays,
            *lit,
            *label(shape, self.name, "note", self.id),
        )
