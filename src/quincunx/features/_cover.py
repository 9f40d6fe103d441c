"""Plants that cover a bed: set in staggered rows over its outline, closing as they grow."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from shapely import Polygon, contains_xy, prepare

from quincunx.features._plan import bearing, rings, turned
from quincunx.plants.catalogue import Plant
from quincunx.plants.growth import size_at
from quincunx.scene.moment import Moment, StandingPlant, Stood
from quincunx.shapes import XY, AreaFigure, Height, PlantWork, Solid

MOST_PLANTS = 5000
"""A bed of more plants than this is given fewer standing places (its count stays true)."""


def stand_cover(
    owner: str, shape: Polygon, plant_id: str, spacing_m: float, moment: Moment, *, age_years: float, base_m: float = 0.0
) -> Stood:
    """Return one low solid over ``shape`` as high and tight as its plants have grown, and the plants themselves.

    The gap through it is what the plants leave open between them: all of the spacing when they are set, nothing
    when they meet.
    """
    known = moment.plant(plant_id)
    plant = known or Plant(id="unknown-plant", name="unknown")
    size = size_at(plant, age_years)
    closed = min(size.spread_m.mid / spacing_m, 1.0)
    light = plant.light(southern=moment.southern)
    opacity = tuple(closed * (1 - share) for share in light)
    solid = Solid(
        owner, "cover", shape, Height(base_m), Height(base_m + size.height_m.mid), gap_m=spacing_m * (1 - closed),
        reluctant=True, opacity=opacity, transmittance=tuple(1 - o for o in opacity), grown=True,
    )  # fmt: skip
    at = staggered(shape, spacing_m)
    high, wide = size.height_m, size.spread_m
    row = StandingPlant(
        owner, plant_id, at, age_years, (high.low, high.mid, high.high), (wide.low, wide.mid, wide.high), len(at)
    )
    figure = AreaFigure(rings(shape), "grown", owner, "tufts", outline=False)
    return Stood((solid,), plants=(row,), figures=(figure,), work=(PlantWork(owner, plant_id, len(at), spacing_m, "pot"),))


def staggered(shape: Polygon, spacing_m: float) -> tuple[XY, ...]:
    """Return places ``spacing_m`` apart in staggered rows along the longest side of ``shape`` [m].

    Rows lie ``spacing_m`` times the square root of three over two apart, so that each plant has six neighbours at
    one distance.  A shape too small for any holds one, at its middle.
    """
    corners = rings(shape)[0]
    along_deg, start = _longest_side(corners)
    flat = [turned(p, -(along_deg - 90.0), start) for p in corners]
    west, east = min(p[0] for p in flat), max(p[0] for p in flat)
    south, north = min(p[1] for p in flat), max(p[1] for p in flat)
    room = max((east - west) * (north - south), 1e-9)
    step = max(spacing_m, (room / MOST_PLANTS) ** 0.5)
    prepare(shape)
    found: list[XY] = []
    y, row = south + step / 2, 0
    while y < north:
        x = west + step / 2 + (step / 2 if row % 2 else 0.0)
        while x < east:
            at = turned((x, y), along_deg - 90.0, start)
            if contains_xy(shape, *at):
                found.append(at)
            x += step
        y, row = y + step * 3**0.5 / 2, row + 1
    inside = shape.representative_point()
    return tuple(found) or ((inside.x, inside.y),)


def _longest_side(corners: Sequence[XY]) -> tuple[float, XY]:
    """Return bearing and start of the longest side, the first of equals."""
    sides = list(pairwise([*corners, corners[0]]))
    start, end = max(sides, key=lambda s: round((s[1][0] - s[0][0]) ** 2 + (s[1][1] - s[0][1]) ** 2, 4))
    return bearing(start, end), start
