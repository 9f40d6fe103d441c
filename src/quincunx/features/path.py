"""A path along a line, which may be finished again later: woodchip now, brick in year five."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, ClassVar, Literal

from pydantic import Field
from shapely import Polygon

from quincunx.features._base import Feature, Group
from quincunx.features._floors import FLOORS, Finish, Lies, floor_surface, floor_work, other_floors
from quincunx.features._lined import Lined
from quincunx.features._plan import area_figure, outline_figure
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import Height
from quincunx.units.fields import Length, field, length


class Path(Lined):
    """A way along a centreline with a width and one or more finishes."""

    words: ClassVar[str] = "path"
    about: ClassVar[str] = "A made way along a line; later finishes keep the level and the depth dug at the start."
    group: ClassVar[Group] = "ground"
    example: ClassVar = {
        "id": "long-walk",
        "line": [[0, 0], [0, 12]],
        "width": 1.2,
        "finishes": [{"id": "chip", "floor": "woodchip"}, {"id": "brick", "floor": "brick"}],
        "there_from": "2027-04",
    }

    kind: Literal["path"] = "path"
    width: Length = length("Width", 1.2, ge=0.2, le=8.0)
    finishes: Annotated[tuple[Finish, ...], Field(min_length=1)] = field("Finishes, first to last", (Finish(),))
    level: Length = length("Finished level above the ground", 0.0, ge=-0.5, le=1.0)

    def finish_ids(self) -> tuple[str, ...]:
        """Return the finishes, first to last."""
        return tuple(f.id for f in self.finishes)

    def also_weighed(self) -> Iterator[tuple[str, str, Feature]]:
        """Yield it with every other floor it might have from the start."""
        return other_floors(self, self.finishes)

    def plan(self) -> Polygon:
        """Return the path in plan [m]."""
        return self.along(float(self.width))

    def stand(self, moment: Moment) -> Stood:
        """Give the floor of the finish laid by then."""
        finish = self.finishes[min(max(moment.stage, 0), len(self.finishes) - 1)]
        shape, lie = self.plan(), Height(float(self.level))
        surface = floor_surface(self.id, finish.id, shape, finish.floor, moment, Lies.PATH, lie)
        pattern = FLOORS[finish.floor].pattern
        figures = (area_figure(shape, "way", self.id, pattern), outline_figure(shape, "way", self.id))
        return Stood(surfaces=(surface,), figures=figures, work=(floor_work(self.id, shape, finish, self.finishes),))
