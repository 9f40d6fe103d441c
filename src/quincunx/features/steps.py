"""Steps along a straight line from their foot to their head."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import ClassVar, Literal

from shapely import LineString, Polygon

from quincunx.features._base import Group
from quincunx.features._floors import FLOORS, FloorName, Lies
from quincunx.features._lined import Climbing
from quincunx.features._plan import area_figure, bearing, direction, strip, tuple_add
from quincunx.features._rails import Railed
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import (
    GROUND,
    XY,
    AreaWork,
    Cut,
    Figure,
    FlightWork,
    LineWork,
    PathFigure,
    Risers,
    Surface,
    Work,
    every_month,
)
from quincunx.units.fields import Length, field, length

RULE_M = 0.66
"""Tread and two risers together: 26 in (garden rule after T. Church, Gardens Are for People; chart in a gardening
magazine, issue 99, May 2012).  Guides give 0.63 m to 0.68 m."""
LOWEST_M, HIGHEST_M = 0.1, 0.178
"""Risers people climb well outdoors: 4 in to 7 in (same chart; 4 in is its lowest pair)."""
MOST_STEPS = 200


@dataclass(frozen=True, slots=True)
class Flight:
    """``count`` steps of ``rise_m`` and ``going_m``."""

    count: int
    rise_m: float
    going_m: float

    @property
    def rule_m(self) -> float:
        """Return tread and two risers together [m]: about 0.63 to 0.68 walks well."""
        return self.going_m + 2 * self.rise_m


def work_out(
    fall_m: float, run_m: float, *, count: int | None = None, rise_m: float | None = None, going_m: float | None = None
) -> Flight:
    """Return the flight that climbs ``fall_m`` in ``run_m`` [m], keeping whatever was fixed.

    All risers are equal.  A ``rise_m`` is a wish: the nearest one that divides the fall is taken.  Without it the
    number of steps is the one whose tread and two risers come nearest to the rule, none of them higher than 0.178 m.
    """
    fall = fall_m if fall_m > 1e-3 or count is None or rise_m is None else count * rise_m
    if fall <= 1e-3:
        return Flight(1, 0.0, going_m or run_m)
    steps = count or (max(round(fall / rise_m), 1) if rise_m else _steps(fall, run_m, going_m))
    steps = min(steps, MOST_STEPS)
    return Flight(steps, fall / steps, going_m or run_m / steps)


def _steps(fall_m: float, run_m: float, going_m: float | None) -> int:
    fewest = max(math.ceil(fall_m / HIGHEST_M - 1e-9), 1)
    most = max(math.floor(fall_m / LOWEST_M + 1e-9), fewest)
    likely = range(fewest, min(most, MOST_STEPS) + 1)
    return min(likely, key=lambda n: (abs((going_m or run_m / n) + 2 * fall_m / n - RULE_M), n), default=MOST_STEPS)


def going_for(rise_m: float) -> float:
    """Return the tread that the rule asks for with a riser [m]."""
    return RULE_M - 2 * rise_m


class Steps(Railed, Climbing):
    """A straight flight of equal steps, drawn from its foot to its head."""

    words: ClassVar[str] = "steps"
    about: ClassVar[str] = "Equal steps up a slope or through a terrace edge; wheels don't pass, water runs down them."
    group: ClassVar[Group] = "ground"
    example: ClassVar = {
        "id": "orchard-steps",
        "name": "Orchard steps",
        "line": [[0, 0], [0, 1.44]],
        "width": 1.2,
        "fall": 0.6,
        "there_from": "2028-04",
    }

    weighed: ClassVar[tuple[str, ...]] = ("floor",)
    kind: Literal["steps"] = "steps"
    width: Length = length("Width", 1.2, ge=0.4, le=10.0)
    count: int | None = field("Number of steps", None, ge=1, le=MOST_STEPS, help="empty: worked out")
    rise: Length | None = length("Height of each", None, ge=0.05, le=0.3, help="empty: worked out")
    going: Length | None = length("Depth of each tread", None, ge=0.2, le=3.0, help="empty: the line shared out")
    floor: FloorName = field("Made of", "brick")

    def flight(self, moment: Moment) -> Flight:
        """Return the flight as it is built."""
        foot, head, fall = self.ends(moment)
        rise = float(self.rise) if self.rise is not None else None
        going = float(self.going) if self.going is not None else None
        return work_out(fall, math.dist(foot, head), count=self.count, rise_m=rise, going_m=going)

    def plan(self, moment: Moment) -> Polygon:
        """Return the flight in plan, first riser to the back of the last tread [m]."""
        flight, (foot, head, _) = self.flight(moment), self.ends(moment)
        end = tuple_add(foot, direction(bearing(foot, head)), flight.count * flight.going_m)
        return strip((foot, end), float(self.width))

    def stand(self, moment: Moment) -> Stood:
        """Give the treads, and cut them through a terrace edge that is in their way."""
        flight, shape, (foot, head, _) = self.flight(moment), self.plan(moment), self.ends(moment)
        up = bearing(foot, head)
        lie = Risers(up, flight.count, flight.rise_m, flight.going_m) if flight.rise_m else GROUND
        floor = FLOORS[self.floor]
        treads = Surface(self.id, "", shape, self.floor, lie, every_month(1.0), run_off=0.9, layer=Lies.STEPS)
        edges = [self._riser(foot, up, i * flight.going_m) for i in range(flight.count)]
        figures: list[Figure] = [area_figure(shape, "way", self.id, floor.pattern, "normal")]
        figures += [PathFigure(edge, "way", self.id, weight="thin") for edge in edges]
        middle = tuple_add(foot, direction(up), flight.count * flight.going_m)
        figures.append(PathFigure((foot, middle), "note", self.id, weight="fine", arrow=True))
        rails = self.rail_lines(foot, middle, float(self.width)) if flight.rise_m else ()
        figures += self.rail_figures(rails)
        # A riser of boards is a board on edge, pegged; no fence.
        riser = "edging board" if floor.pattern == "boards" else self.floor
        work: tuple[Work, ...] = (
            AreaWork(self.id, shape, floor.layers, "running" if floor.unit_m else "none", floor.unit_m, floor.joint_m),
            *(LineWork(self.id, LineString(edge), flight.rise_m, 0.1, riser) for edge in edges if flight.rise_m),
            *(
                (
                    FlightWork(
                        self.id, flight.count, flight.rise_m, flight.going_m, float(self.width),
                        len(rails), float(self.rail_height) if rails else 0.0,
                    ),
                )
                if flight.rise_m
                else ()
            ),
            *self.rail_work(rails, flight.count * flight.rise_m),
        )  # fmt: skip
        return Stood(
            self.rail_solids(rails),
            surfaces=(treads,),
            changes=(
                Cut(
                    self.id,
                    shape,
                    needed=False,
                    only="retaining",
                    way=self._way(flight, foot, up),
                    step_m=flight.rise_m,
                ),
            ),
            figures=tuple(figures),
            work=work,
        )

    @staticmethod
    def _way(flight: Flight, foot: XY, up_deg: float) -> LineString:
        """Return the line up the middle of the flight [m]."""
        return LineString([foot, tuple_add(foot, direction(up_deg), flight.count * flight.going_m)])

    def _riser(self, foot: XY, up_deg: float, along_m: float) -> tuple[XY, XY]:
        """Return the line of the riser ``along_m`` up the flight, from its left to its right."""
        at = tuple_add(foot, direction(up_deg), along_m)
        right = direction(up_deg + 90)
        return tuple_add(at, right, -float(self.width) / 2), tuple_add(at, right, float(self.width) / 2)
