"""Rooms of gardens made at random, against ground eroded by a plain geometry library."""

import os

import numpy as np
import pytest
import shapely
from shapely import Point, Polygon, box

from quincunx.scene import Room
from quincunx.shapes import Solid
from quincunx.walk.links import links
from quincunx.walk.places import OUTSIDE
from quincunx.walk.rooms import leaks, rooms_of
from tests.walk.grounds import gate, known, scene, wall

SLOW = os.environ.get("QUINCUNX_SLOW") == "1"
PERSON = known("person")
BODY_M = float(PERSON.body_width)
PLOT = box(0, 0, 12, 12)
WALLS = ((0.0, 0.0, 12.0, 0.0), (0.0, 12.0, 12.0, 12.0), (0.0, 0.0, 0.0, 12.0), (12.0, 0.0, 12.0, 12.0))
ROOMS = tuple(
    Room(f"room-{i}", f"room {i}", at) for i, at in enumerate([(2.0, 2.0), (9.5, 2.5), (2.5, 9.0), (9.0, 9.5)])
)


def runs(rng: np.random.Generator) -> tuple[list[Solid], list[tuple[float, float, float, float]]]:
    """Return walls round and across a plot, of which some have a gap, and where gates stand in some of them."""
    across = [*WALLS, (6.0, 0.0, 6.0, 6.0), (6.0, 6.0, 6.0, 12.0), (0.0, 6.0, 6.0, 6.0), (6.0, 6.0, 12.0, 6.0)]
    solids, gates = [], []
    for k, (x0, y0, x1, y1) in enumerate(across):
        thick, long = rng.uniform(0.05, 0.3), abs(x1 - x0) + abs(y1 - y0)
        at, wide = rng.uniform(0.6, long - 1.8), 0.0
        if rng.random() < 0.4:  # a gap that may or may not be wide enough
            wide = rng.uniform(0.2, 0.9)
        for a, b in ((0.0, at), (at + wide, long)) if wide else ((0.0, long),):
            flat = x1 > x0
            line = shapely.LineString([(x0 + a, y0), (x0 + b, y0)] if flat else [(x0, y0 + a), (x0, y0 + b)])
            grown = line.buffer(thick / 2, cap_style="flat")
            west, south, east, north = grown.bounds
            solids.append(wall(f"wall-{k}", west, south, east, north))
        if not wide and rng.random() < 0.5:
            gates.append((x0 + at, y0, x0 + at + 0.9, y0) if x1 > x0 else (x0, y0 + at, x0, y0 + at + 0.9))
    for n in range(int(rng.integers(0, 6))):
        x, y = rng.uniform(1.0, 11.0, 2)
        if all(abs(x - r.inside[0]) + abs(y - r.inside[1]) > 1.2 for r in ROOMS):
            solids.append(wall(f"post-{n}", x, y, x + rng.uniform(0.05, 0.6), y + rng.uniform(0.05, 0.6)))
    return solids, gates


def eroded(solids: list[Solid], gates: list[tuple[float, float, float, float]]) -> list[Polygon]:
    """Return the ground a person stands on if no gate lets anybody through: shapely (GEOS) alone.

    A gate cuts all that stands within 0.6 m of its line; its leaf is drawn 1 cm thick from post to post.
    """
    lines = [shapely.LineString([g[:2], g[2:]]) for g in gates]
    cuts = shapely.union_all([line.buffer(0.6, cap_style="flat") for line in lines])
    leaves = shapely.union_all([line.buffer(0.01, cap_style="square") for line in lines])
    walls = shapely.union_all([s.footprint for s in solids]).difference(cuts)
    ground = box(-4, -4, 16, 16).difference(walls).difference(leaves)
    left = shapely.get_parts(shapely.buffer(ground, -BODY_M / 2, quad_segs=64))
    return [p for p in left if isinstance(p, Polygon)]


@pytest.mark.parametrize("seed", range(1000) if SLOW else range(0, 1000, 100))
def test_which_rooms_hang_together_is_what_erosion_says(seed):
    rng = np.random.default_rng(seed)
    solids, gates = runs(rng)
    here = scene(PLOT, solids=solids, more=[gate(f"gate-{i}", g[:2], g[2:]) for i, g in enumerate(gates)], rooms=ROOMS)
    rooms, left = rooms_of(here, PERSON), eroded(solids, gates)
    if np.any(np.abs(links(rooms.walk.free.found, 1.2).length_m - BODY_M) < 2e-3):
        return  # a place within 2 mm of the body: erosion with drawn arcs can't tell
    home = {r.id: next(k for k, p in enumerate(left) if p.covers(Point(r.inside))) for r in ROOMS}
    home[OUTSIDE] = next(k for k, p in enumerate(left) if p.covers(Point(-2, -2)))
    for room in ROOMS:
        truth = {name for name, piece in home.items() if piece == home[room.id] and name != room.id}
        assert set(rooms.joined(room)) == truth
        assert rooms.closed(room) == (not truth)
        found = leaks(rooms, room)
        assert bool(found) == bool(truth)
        assert all(leak.width_m is None or leak.width_m >= BODY_M - 1e-6 for leak in found)
