"""Measure walking: rooms, graph, ground at two widths, every way and every widest way, against libraries.

``python benches/walk.py [--small] [--json]``.  Seconds are process CPU; the libraries run in a child process of the
same run, by the interpreter named in ``QUINCUNX_PEERS_PYTHON``; without it only we are measured, and it is said.
"""

from __future__ import annotations

import argparse
import json
import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent))

import numpy as np
import shapely
from _walk_garden import scene

from quincunx.scene import Scene
from quincunx.walk.distances import Distances, distances
from quincunx.walk.graph import room_graph
from quincunx.walk.reach import Walk, forget
from quincunx.walk.rooms import rooms_of
from quincunx.walk.walkers import builtin
from quincunx.walk.widths import Widths

UP_TO_M, CELL_M, ROUNDS = 3.0, 0.05, 9


def update(here: Scene) -> dict[str, Any]:
    """Return everything about feet in one scene, worked out from nothing."""
    forget()
    person, barrow = builtin()["person"], builtin()["barrow"]
    spots = [s.at for s in here.spots]
    rooms = rooms_of(here, person)
    closed = [rooms.closed(r) for r in here.rooms]
    graph = room_graph(here, person)
    walk = Walk(here, person)
    tables = [distances(list(w.free.stand), spots) for w in (walk, Walk(here, barrow))]
    return {
        "closed": closed, "doors": len(graph.doors), "lengths": [t.length_m for t in tables],
        "widest": Widths(walk.free, UP_TO_M).table(spots), "walk": walk, "rooms": rooms,
    }  # fmt: skip


def seconds(work: Callable[[int], object], rounds: int) -> tuple[float, float]:
    """Return the median CPU and wall seconds of ``work(round)``."""
    cpu, wall = [], []
    for k in range(rounds):
        a, b = time.process_time(), time.perf_counter()
        work(k)
        cpu.append(time.process_time() - a)
        wall.append(time.perf_counter() - b)
    return statistics.median(cpu), statistics.median(wall)


def exact_job(found: dict[str, Any], *, small: bool) -> tuple[dict[str, Any], list[Any]]:
    """Return the exact peer's job, and the same ground for us: the largest piece, corners in few straight lines."""
    open_ground = shapely.buffer(found["walk"].free.open, -0.225, quad_segs=2)
    inside = shapely.box(0.1, 0.1, 39.9, 29.9)
    piece = max(shapely.get_parts(shapely.intersection(open_ground, inside)), key=lambda p: p.area)
    piece = shapely.orient_polygons(piece)
    points = [s.at for s in found["walk"].scene.spots if piece.covers(shapely.Point(s.at))]
    pairs = [(i, j) for i in range(len(points)) for j in range(i + 1, len(points))][: 12 if small else None]
    rings = [np.asarray(r.coords)[:-1].tolist() for r in piece.interiors]
    outline = np.asarray(piece.exterior.coords)[:-1].tolist()
    return {"outline": outline, "holes": rings, "points": points, "pairs": pairs}, [piece]


def peers(jobs: dict[str, Any]) -> dict[str, Any] | None:
    """Return what the libraries found, or None where their interpreter is not named."""
    python = os.environ.get("QUINCUNX_PEERS_PYTHON")
    if not python:
        return None
    script = Path(__file__).with_name("_walk_peers.py")
    done = subprocess.run([python, str(script)], input=json.dumps(jobs), capture_output=True, text=True, check=False)
    if done.returncode:
        print(f"The libraries did not run: {done.stderr.strip().splitlines()[-1:]}")
        return None
    return dict(json.loads(done.stdout))


def against(found: dict[str, Any], ours_s: float, *, small: bool) -> list[dict[str, Any]]:
    """Return one row for each library that ran."""
    job, piece = exact_job(found, small=small)
    table = distances(piece, job["points"])
    ways_s, _ = seconds(lambda _: distances(piece, job["points"]), ROUNDS)
    spots = [s.at for s in found["walk"].scene.spots]
    raster_job = {
        "cell_m": 0.2 if small else CELL_M, "open": found["walk"].free.open.wkt, "points": spots, "up_to_m": UP_TO_M,
        "shut": found["rooms"].walk.free.open.wkt, "widths_m": [0.45, 0.7],
    }  # fmt: skip
    said = peers({"exact": job, "raster": raster_job})
    if said is None:
        return []
    exact_s = said["exact"]["prepare_s"] + said["exact"]["query_s"]
    rows: list[dict[str, Any]] = [
        {"name": "extremitypathfinder", "s": exact_s, "ratio": exact_s / ways_s, "ours_s": ways_s,
         "agreement": _exact_words(table, job, piece[0], said["exact"])},
        {"name": "raster (scikit-image, SciPy)", "s": said["raster"]["s"], "ratio": said["raster"]["s"] / ours_s,
         "ours_s": ours_s, "agreement": _raster_words(found, said["raster"], len(spots))},
    ]  # fmt: skip
    return rows


def _exact_words(table: Distances, job: dict[str, Any], ground: shapely.Polygon, said: dict[str, Any]) -> str:
    """Compare ways; where a library's leaves the ground (it crosses a barrier) say so instead."""
    ours = np.array([table.length_m[a, b] for a, b in job["pairs"]])
    ways = [shapely.LineString(p if len(p) > 1 else p * 2) for p in said["paths"]]
    through = shapely.length(shapely.difference(ways, shapely.buffer(ground, 1e-6, join_style="mitre"))) > 1e-3
    worst = float(np.abs(ours - np.array(said["lengths"], float))[~through].max())
    text = f"{len(ours) - through.sum()} of {len(ours)} ways, largest difference {worst:.1e} m"
    return text + (f"; {through.sum()} of the library's lead through a barrier" if through.any() else "")


def _raster_words(found: dict[str, Any], said: dict[str, Any], n: int) -> str:
    ours = np.array([t[i, j] for t in found["lengths"] for i in range(n) for j in range(i + 1, n)])
    theirs = np.array([length for row in said["lengths"] for length in row])
    both = np.isfinite(ours) & np.isfinite(theirs)
    more = float(np.mean(theirs[both] / ours[both] - 1)) * 100
    off = ~np.eye(n, dtype=bool)
    gap = np.array(said["widest"])[off] - found["widest"][off]
    missed = int((np.isfinite(ours) != np.isfinite(theirs)).sum())
    widest = f"widest {float(gap.mean()) * 100:+.1f} cm on average"
    return f"ways {more:+.1f} % on average, {missed} found by one only; {widest}"


def main() -> None:
    """Measure and tell."""
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    asked.add_argument("--small", action="store_true", help="a small garden, quickly")
    asked.add_argument("--json", action="store_true", help="one JSON object as the last line")
    args = asked.parse_args()
    years = [scene(small=args.small, shrub_m=0.35 + 0.05 * k) for k in range(10)]
    update(years[0])
    fresh = [scene(small=args.small) for _ in range(ROUNDS)]
    ours_s, wall_s = seconds(lambda k: update(fresh[k]), ROUNDS)
    found = update(years[0])
    ten_s, _ = seconds(lambda _: [update(y) for y in years], 1)
    here = years[0]
    size = {
        "barriers": len(here.solids), "openings": len(here.openings), "rooms": len(here.rooms), "spots": len(here.spots),
        "ways": 2 * len(here.spots) * (len(here.spots) - 1) // 2,
    }  # fmt: skip
    print(f"{size}")
    print(f"ours: {ours_s * 1e3:.1f} ms CPU, {wall_s * 1e3:.1f} ms wall; ten years {ten_s:.3f} s CPU")
    rows = against(found, ours_s, small=args.small)
    for row in rows:
        print(
            f"{row['name']}: {row['s']:.2f} s CPU against {row['ours_s'] * 1e3:.1f} ms, {row['ratio']:.0f} x; {row['agreement']}"
        )
    if not rows:
        print("The libraries were not measured: name their interpreter in QUINCUNX_PEERS_PYTHON.")
    if args.json:
        ratio = rows[0]["ratio"] if rows else None
        print(
            json.dumps(
                {"ours_s": ours_s, "wall_s": wall_s, "ten_years_s": ten_s, "peers": rows, "ratio": ratio, "size": size}
            )
        )


if __name__ == "__main__":
    main()
