"""How plantings look in a month: in flower, in fruit, in leaf, bare; and how that is drawn."""

from __future__ import annotations

from typing import Literal

from shapely import Point

from quincunx.grow.bloom import flowers, green
from quincunx.grow.harvest import crop_share
from quincunx.grow.plantings import Planting, southern
from quincunx.shapes import AreaFigure, Figure, Pattern, Role

State = Literal["in flower", "in fruit", "in leaf", "bare"]
LOOKS: dict[State, tuple[Role, Pattern]] = {
    "in flower": ("held", "dots"), "in fruit": ("built", "cross"), "in leaf": ("grown", "tufts"), "bare": ("bed", "plain"),
}  # fmt: skip
"""Role and pattern of each state, so that colour is never the only sign."""
MOST_DRAWN = 150
"""Of one planting so many plants are drawn one by one."""
LEAST_M = 0.1


def state(one: Planting, month: int, *, turned: bool) -> State:
    """Return how a planting looks in a calendar month of its year: flower before fruit before leaf."""
    if flowers(one, month, turned=turned):
        return "in flower"
    if fruits(one, month, turned=turned):
        return "in fruit"
    return "in leaf" if green(one, month, turned=turned) else "bare"


def fruits(one: Planting, month: int, *, turned: bool) -> bool:
    """Return whether something is there to be picked of a planting in a month, as far as its age goes."""
    picked = one.plant.edible and month in southern(one.plant.harvest_months, turned=turned)
    return picked and not one.standing.set_back and crop_share(one.plant, one.years_at(month)).mid > 0


def drawn(one: Planting, role: Role, pattern: Pattern, shade: int | None = None) -> list[Figure]:
    """Return each plant of a planting as wide as it is."""
    wide = max(one.standing.spread_m[1], LEAST_M)
    out: list[Figure] = []
    for x, y in one.standing.at[:MOST_DRAWN]:
        ring = tuple((float(a), float(b)) for a, b in Point(x, y).buffer(wide / 2, quad_segs=4).exterior.coords[:-1])
        out.append(AreaFigure((ring,), role, one.owner, pattern, True, "fine", shade=shade))
    return out
