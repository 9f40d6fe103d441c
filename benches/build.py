"""Measure building: paving counted on a curved outline, and least-waste cutting, against plain use of libraries.

``python benches/build.py [--small] [--json]``.  Seconds are process CPU with wall beside.  The paving's peer is shapely
alone in the same process: every unit of the pattern cut with the outline and its area compared; the cutting's peer is
first-fit decreasing, which proves nothing.  Generators are seeded.
"""

from __future__ import annotations

import argparse
import json
import math
import statistics
import time
from collections.abc import Callable
from itertools import pairwise
from typing import Any

import numpy as np
import shapely
from shapely import Polygon

from quincunx.build.cutting import SAW_M, Stock, cut
from quincunx.build.paving import boxes_over, lay

UNIT_M, JOINT_M, PATTERN = (0.2, 0.1), 0.003, "herringbone 45"
STOCK = (Stock(2.4, 900), Stock(3.0, 1100), Stock(3.6, 1400), Stock(4.8, 1800))


def terrace(area_m2: float) -> Polygon:
    """Return a terrace of an area [m2] with a curved edge, as a person would draw it."""
    angles = np.linspace(0, 2 * math.pi, 240, endpoint=False)
    radius = 1 + 0.12 * np.sin(3 * angles) + 0.06 * np.cos(5 * angles)
    shape = Polygon(np.stack([radius * np.cos(angles) * 1.3, radius * np.sin(angles)], -1))
    return shapely.affinity.scale(shape, *(2 * (math.sqrt(area_m2 / shape.area),)), origin=(0, 0))


def overlay(outline: Polygon) -> tuple[int, int]:
    """Count whole and cut units by shapely alone: each unit's area inside the outline."""
    ring = list(outline.exterior.coords)
    a, b = max(pairwise(ring), key=lambda s: round(math.dist(*s), 6))
    turn = math.atan2(b[1] - a[1], b[0] - a[0]) - math.pi / 4
    west, south, east, north = outline.bounds
    far = max(math.dist(a, (x, y)) for x in (west, east) for y in (south, north))
    boxes = boxes_over((-far, -far, far, far), UNIT_M, JOINT_M, PATTERN, (0.0, 0.0))
    c, s = math.cos(turn), math.sin(turn)
    units = shapely.polygons(boxes @ np.array([[c, s], [-s, c]]) + np.array(a))
    parts = shapely.area(shapely.intersection(units, outline))
    full = parts > UNIT_M[0] * UNIT_M[1] - 1e-6
    return int(full.sum()), int(((parts > 1e-6) & ~full).sum())


def pieces(count: int) -> list[tuple[float, int]]:
    """Return ``count`` pieces in an eighth as many lengths, as a shelter, a fence and four beds give them."""
    chance = np.random.default_rng(11)
    return [(round(float(n), 2), 8) for n in chance.uniform(0.2, 2.9, max(count // 8, 1))]


def first_fit(wanted: list[tuple[float, int]]) -> float:
    """Return what first-fit decreasing from the board cheapest by the metre costs."""
    board = min(STOCK, key=lambda s: (s.price or 0) / s.length_m)
    left: list[float] = []
    for length in sorted((n for n, k in wanted for _ in range(k)), reverse=True):
        for i, room in enumerate(left):
            if length + SAW_M <= room:
                left[i] = room - length - SAW_M
                break
        else:
            left.append(board.length_m - length)
    return len(left) * float(board.price or 0)


def seconds(work: Callable[[], object], rounds: int) -> tuple[float, float]:
    """Return the median CPU and wall seconds of ``work``."""
    cpu, wall = [], []
    for _ in range(rounds):
        a, b = time.process_time(), time.perf_counter()
        work()
        cpu.append(time.process_time() - a)
        wall.append(time.perf_counter() - b)
    return statistics.median(cpu), statistics.median(wall)


def main() -> None:
    """Measure and print; the last line with --json is one object."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--small", action="store_true")
    parser.add_argument("--json", action="store_true")
    given = parser.parse_args()
    outline = terrace(6.0 if given.small else 60.0)
    rounds = 1 if given.small else 7
    laid = lay(outline, UNIT_M, joint_m=JOINT_M, pattern=PATTERN)
    ours = seconds(lambda: lay(outline, UNIT_M, joint_m=JOINT_M, pattern=PATTERN), rounds)
    whole, cut_ = overlay(outline)
    peer = seconds(lambda: overlay(outline), rounds)
    wanted = pieces(16 if given.small else 200)
    done = cut(wanted, STOCK)
    sawn = seconds(lambda: cut(wanted, STOCK), 1 if given.small else 3)
    plain = seconds(lambda: first_fit(wanted), rounds)
    agreement = 1.0 if (laid.whole, laid.cut) == (whole, cut_) else 0.0
    found: dict[str, Any] = {
        "ours_s": ours[0], "ours_wall_s": ours[1], "ratio": peer[0] / ours[0],
        "peers": [{"name": "shapely overlay of every unit", "s": peer[0], "ratio": peer[0] / ours[0], "agreement": agreement}],
        "area_m2": outline.area, "whole": laid.whole, "cut": laid.cut, "cut_units": laid.cut_units,
        "cutting": {"pieces": sum(k for _, k in wanted), "s": sawn[0], "wall_s": sawn[1], "cost": done.cost, "proven": done.proven,
                    "gap": done.gap, "first_fit_cost": first_fit(wanted), "first_fit_s": plain[0]},
    }  # fmt: skip
    print(
        f"{outline.area:.0f} m2 in {PATTERN}: {laid.whole} whole, {laid.cut} cut; {1000 * ours[0]:.1f} ms CPU ({1000 * ours[1]:.1f} wall)"
    )
    print(
        f"shapely overlay of every unit: {whole} whole, {cut_} cut; {1000 * peer[0]:.1f} ms CPU, {peer[0] / ours[0]:.1f} times ours"
    )
    least = "least possible" if done.proven else f"at most {100 * done.gap:.1f} in 100 over the least"
    print(
        f"{sum(k for _, k in wanted)} pieces: {done.cost:.0f}, {least}, {sawn[0]:.2f} s CPU; first fit {first_fit(wanted):.0f}"
    )
    if given.json:
        print(json.dumps(found))


if __name__ == "__main__":
    main()
