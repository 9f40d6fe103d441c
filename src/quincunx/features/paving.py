"""Paving over an area, which may be finished again later."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, ClassVar, Literal

from pydantic import Field

from quincunx.features._base import Feature, Group
from quincunx.features._floors import FLOORS, Finish, Lies, floor_surface, floor_work, other_floors
from quincunx.features._lined import Outlined
from quincunx.features._plan import area_figure, label
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import Figure, Height, Plane
from quincunx.units.fields import Length, degrees, field, length


class Paving(Outlined):
    """A laid floor inside an outline: its units, the pattern they lie in, and what lies under them."""

    words: ClassVar[str] = "paving"
    about: ClassVar[str] = (
        "A hard floor to sit and work on in any weather; sheds its rain the way it falls. "
        "Later finishes keep its level and the depth dug at the start."
    )
    group: ClassVar[Group] = "ground"
    bearings: ClassVar[tuple[str, ...]] = ("falls_deg",)
    example: ClassVar = {
        "id": "terrace",
        "name": "Terrace",
        "outline": [[0, 0], [6, 0], [6, 3.6], [0, 3.6]],
        "finishes": [
            {"id": "first-gravel", "floor": "gravel"},
            {
                "id": "brick",
                "floor": "brick",
                "pattern": "herringbone",
                "base": "sand",
                "unit_long": 0.2,
                "unit_wide": 0.1,
            },
        ],
        "falls_deg": 180,
        "there_from": "2028-05",
    }

    kind: Literal["paving"] = "paving"
    finishes: Annotated[tuple[Finish, ...], Field(min_length=1)] = field(
        "Finishes, first to last", (Finish(id="first", floor="flags"),)
    )
    level: Length = length("Finished level above the ground", 0.0, ge=-0.5, le=1.0)
    # A fall of about 1 in 60 to 1 in 80 sheds water off paving (common practice, no source).
    falls: float = field("Fall, as a share of the distance", 0.0125, unit="ratio", ge=0.0, le=0.1)
    falls_deg: float = degrees("Falls towards", 180.0)

    def finish_ids(self) -> tuple[str, ...]:
        """Return the finishes, first to last."""
        return tuple(f.id for f in self.finishes)

    def also_weighed(self) -> Iterator[tuple[str, str, Feature]]:
        """Yield it with every other floor it might have from the start."""
        return other_floors(self, self.finishes)

    def stand(self, moment: Moment) -> Stood:
        """Give the floor of the finish laid by then."""
        finish = self.finishes[min(max(moment.stage, 0), len(self.finishes) - 1)]
        shape = self.plan()
        surface = floor_surface(self.id, finish.id, shape, finish.floor, moment, Lies.PAVING, self._lie())
        pattern = FLOORS[finish.floor].pattern
        figures: tuple[Figure, ...] = (
            area_figure(shape, "way", self.id, pattern, "normal"),
            *label(shape, self.name, "way", self.id),
        )
        work = (floor_work(self.id, shape, finish, self.finishes),)
        return Stood(surfaces=(surface,), figures=figures, work=work)

    def _lie(self) -> Height | Plane:
        """Return how it lies: with the ground, unless a level was given for its middle."""
        if not self.level:
            return Height(0.0)
        middle = self.plan().centroid
        return Plane(middle.x, middle.y, Height(float(self.level)), self.falls_deg, self.falls)
