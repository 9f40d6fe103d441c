"""Ground that floods: what high water covers, by the line it left."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.features._base import Group
from quincunx.features._floors import FLOORS, Lies
from quincunx.features._lined import Outlined
from quincunx.features._natural import Natural
from quincunx.features._plan import label, outline_figure
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import Figure, Surface
from quincunx.units.fields import Length, Month, field, length


class FloodGround(Natural, Outlined):
    """Ground that lies under water when the water is high."""

    words: ClassVar[str] = "ground that floods"
    about: ClassVar[str] = (
        "Ground that high water covers for a while: peg the line that twigs and silt were left at, and tape to the pegs. "
        "What is built, planted or walked on there is looked at; nothing is made of it."
    )
    group: ClassVar[Group] = "ground"
    example: ClassVar = {
        "id": "high-water", "name": "High water", "outline": [[0, 0], [16, 0], [15, 4], [6, 5.5], [0, 3]],
        "months": [2, 3, 4],
    }  # fmt: skip

    kind: Literal["flood-ground"] = "flood-ground"
    months: tuple[Month, ...] = field(
        "Floods in these months", (), help="months at the place itself; none: in any month"
    )
    deep: Length = length("Depth of the water", 0.3, ge=0.01, le=10.0, help="at the deepest, when it is high")

    def stand(self, moment: Moment) -> Stood:
        """Give the ground as the lowest of all, soft as bare earth and no ground at all while it floods.

        It is drawn as a line only: filled, it would hide the ways and beds it covers.
        """
        shape = self.plan()
        wet = tuple(sorted(set(self.months))) or tuple(range(1, 13))
        usual = moment.year_months(FLOORS["earth"].firmness)
        firm = usual if len(wet) == len(usual) else tuple(0.0 if n in wet else f for n, f in enumerate(usual, 1))
        ground = Surface(
            self.id, "", shape, self.kind, firmness=firm, run_off=FLOORS["earth"].run_off, layer=Lies.FLOOD_GROUND,
            floods_m=float(self.deep), floods_in=wet,
        )  # fmt: skip
        figures: tuple[Figure, ...] = (
            outline_figure(shape, "water", self.id, "normal", dash=True),
            *label(shape, self.name, "water", self.id),
        )
        return Stood(surfaces=(ground,), figures=figures)
