"""Plants that cover a bed: set in staggered rows over its outline, closing as they grow."""

from __future__ import annotations

import math
from itertools import pairwise

from shapely import Polygon

from quincunx.features._growing import Aged, grown, known, light_and_view, listed
from quincunx.features._plan import bearing, rings
from quincunx.plants.habit import Habit
from quincunx.plants.rows import places_inside
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import XY, AreaFigure, Height, PlantWork, Solid

MOST_PLANTS = 5000
"""A bed that would hold more plants than this has them set wider in the scene; nobody plants so many one by one."""


def stand_cover(
    owner: str,
    shape: Polygon,
    plant_id: str,
    spacing_m: float,
    moment: Moment,
    *,
    age: Aged,
    base_m: float = 0.0,
) -> Stood:
    """Return one low solid over ``shape`` as high and tight as its plants have grown, and the plants themselves.

    The gap through it is what the plants leave open between them: nearly all of the spacing when they are set,
    nothing when they meet.  What dies back for the winter leaves no solid then.
    """
    plant = known(moment, plant_id)
    size = grown(Habit(plant), age, moment)
    at, high_m = places(shape, spacing_m), size.height_m.mid
    row = listed(owner, plant_id, at, age, size, spacing_m=spacing_m)
    work = PlantWork(owner, plant_id, len(at), spacing_m, "pot")
    if high_m < 0.01:
        return Stood(plants=(row,), work=(work,))
    closed = min(size.spread_m.mid / spacing_m, 1.0)
    light, opacity = light_and_view(plant, moment, closed)
    solid = Solid(
        owner,
        "cover",
        shape,
        Height(base_m),
        Height(base_m + high_m),
        gap_m=spacing_m * (1 - closed),
        reluctant=True,
        opacity=opacity,
        transmittance=light,
        grown=True,
    )
    figure = AreaFigure(rings(shape), "grown", owner, "tufts", outline=False)
    return Stood((solid,), plants=(row,), figures=(figure,), work=(work,))


def places(shape: Polygon, spacing_m: float) -> tuple[XY, ...]:
    """Return places in staggered rows along the longest side of ``shape``, half a spacing in from its edge [m].

    A shape too small for any holds one, in its middle.
    """
    step = max(spacing_m, math.sqrt(shape.envelope.area / MOST_PLANTS))
    found = places_inside(shape, step, "triangular", edge_m=step / 2, rows_deg=_longest_side_deg(shape))
    inside = shape.representative_point()
    return found or ((inside.x, inside.y),)


def _longest_side_deg(shape: Polygon) -> float:
    """Return the bearing of the longest side, the first of equals [deg]."""
    corners = rings(shape)[0]
    sides = list(pairwise([*corners, corners[0]]))
    return bearing(*max(sides, key=lambda side: round(math.dist(*side), 3)))
