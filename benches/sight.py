"""Measure sight: a viewshed and lines between points against ray casting by embree, in the same run.

``python benches/sight.py [--small] [--json]``.  Seconds are process CPU, the least of several; embree runs in a child
process of the same run, by the interpreter named in ``QUINCUNX_PEERS_PYTHON``; without it only we are measured.
"""

from __future__ import annotations

import argparse
import json
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent))

import numpy as np
from _light_garden import DEEP_M, WIDE_M, scene

from quincunx.scene import Scene
from quincunx.scene.bodies import Bodies
from quincunx.scene.lines import pairs_passed
from quincunx.scene.parts import DOME, ELLIPSOID, STANDING
from quincunx.scene.spread import seen_from
from quincunx.sight import View, bodies_in, eye_over, view_of, view_plainly
from quincunx.sight.viewshed import OVER_M

EYES = ((7.1, 9.3, 1.6), (12.1, 18.3, 1.2), (12.6, 10.1, 1.6), (25.2, 31.1, 1.6), (16.7, 15.9, 1.2))
"""Where eyes are, and how high over the ground [m]."""
POINTS = 50


def least(work: Callable[[], object], rounds: int = 9) -> float:
    """Return the least CPU seconds of several rounds."""
    took = []
    for _ in range(rounds):
        start = time.process_time()
        work()
        took.append(time.process_time() - start)
    return min(took)


def looked(here: Scene) -> Scene:
    """Return the garden with each thing's view blocked as its sun is; slats block half of a view, as peers take them."""
    return replace(here, solids=tuple(replace(s, opacity=tuple(1 - t for t in s.transmittance)) for s in here.solids))


def bodies_json(found: Bodies, shares: np.ndarray) -> list[dict[str, Any]]:
    """Return each body as corners or as a round one with what it lets through."""
    out: list[dict[str, Any]] = []
    parts = found.parts
    for p in range(len(found)):
        if parts.kind[p] in (ELLIPSOID, DOME):
            out.append({"round": parts.crown[p].tolist(), "lets": float(shares[p])})
        else:
            ring = parts.corners[parts.first[p] : parts.first[p + 1]]
            stands = bool(parts.kind[p] == STANDING)
            out.append({"corners": ring.tolist(), "stands": stands, "lets": float(shares[p])})
    return out


def points_over(here: Scene) -> np.ndarray:
    """Return points strewn over the garden, at the heights of eyes and things."""
    rng = np.random.default_rng(1)
    xy = np.column_stack([rng.uniform(1, WIDE_M - 1, POINTS), rng.uniform(1, DEEP_M - 1, POINTS)])
    z = here.ground.height(xy[:, 0], xy[:, 1]) + rng.choice([0.5, 1.2, 1.6, 3.0], POINTS)
    return np.column_stack([xy, z])


def peers(found: Bodies, shares: np.ndarray, views: list[View], points: np.ndarray) -> dict[str, Any] | None:
    """Return what embree found of the same bodies, cells and points; None where its interpreter is not named."""
    python = os.environ.get("QUINCUNX_PEERS_PYTHON")
    if not python:
        return None
    with tempfile.TemporaryDirectory() as folder:
        given, out = Path(folder) / "job.npz", Path(folder) / "found.npz"
        eyes = np.array([(*v.eye.at, v.eye.z_m) for v in views])
        cells = views[0].grid.points(OVER_M)
        np.savez(given, job=json.dumps(bodies_json(found, shares)), eyes=eyes, cells=cells, points=points)
        script = Path(__file__).with_name("_sight_peers.py")
        done = subprocess.run([python, str(script), given, out], capture_output=True, text=True, check=False)
        if done.returncode:
            print(f"The libraries did not run: {done.stderr.strip().splitlines()[-1:]}")
            return None
        with np.load(out) as read:
            return {name: read[name] for name in read.files}


def agreement(ours: np.ndarray, other: np.ndarray) -> str:
    """Return how many cells differ, in words."""
    off = np.abs(ours - other) > 1e-3
    return f"{100 * off.mean():.3f} % of {off.size} differ"


def main() -> None:
    """Measure and tell."""
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    asked.add_argument("--small", action="store_true", help="coarse cells and one eye, quickly")
    asked.add_argument("--json", action="store_true", help="one JSON object as the last line")
    args = asked.parse_args()
    cell_m, eyes = (2.0, EYES[:1]) if args.small else (0.25, EYES)
    here, bumps = looked(scene(slats=False)), looked(scene(0.3, slats=False))
    found = bodies_in(here)
    shares = found.shares(8)
    views = [view_of(here, eye_over(here, (x, y), up), cell_m=cell_m) for x, y, up in eyes]
    size = {"bodies": len(found), "porous": int(((shares > 0) & (shares < 1)).sum()), "cells": views[0].share.size,
            "cell_m": cell_m, "eyes": len(eyes), "lines": POINTS * (POINTS - 1) // 2}  # fmt: skip
    print(size)
    times = [
        least(lambda v=v: seen_from(v.grid, found, shares, (*v.eye.at, v.eye.z_m), OVER_M, ground=False)) for v in views
    ]
    ours_s = float(np.mean(times))
    print(f"viewshed on a plane: {min(times) * 1e3:.2f} to {max(times) * 1e3:.2f} ms CPU, mean {ours_s * 1e3:.2f}")
    print(
        f"  as it is called, with all that is kept: {least(lambda: view_of(here, views[0].eye, cell_m=cell_m)) * 1e3:.2f} ms"
    )
    lie = bodies_in(bumps)
    on_bumps = [view_of(bumps, eye_over(bumps, (x, y), up), cell_m=cell_m) for x, y, up in eyes]
    slow = [
        least(lambda v=v: seen_from(v.grid, lie, shares, (*v.eye.at, v.eye.z_m), OVER_M, ground=True), 5)
        for v in on_bumps
    ]
    print(f"viewshed on bumps that hide ground too: {min(slow) * 1e3:.2f} to {max(slow) * 1e3:.2f} ms CPU")
    points = points_over(here)
    pairs_s = least(lambda: pairs_passed(found, shares, points), 21)
    print(f"{size['lines']} lines between {POINTS} points: {pairs_s * 1e3:.2f} ms CPU")
    for name, where, view in (("plane", here, views[0]), ("bumps", bumps, on_bumps[0])):
        plain = view_plainly(where, view.eye, cell_m=cell_m)
        print(f"{name} against plain lines: {agreement(view.share, plain.share)}")
    said = peers(found, shares, views, points)
    rows: list[dict[str, Any]] = []
    if said is not None:
        ours = np.stack([v.share.ravel() for v in views])
        row = {
            "name": "embree, porous things one by one",
            "s": float(said["view_s"]),
            "ratio": float(said["view_s"]) / ours_s,
        }
        rows.append({**row, "agreement": agreement(ours, said["view"])})
        blocked = np.where(shares > 0, 1.0, 0.0)
        opaque_s = float(np.mean([
            least(lambda v=v: seen_from(v.grid, found, blocked, (*v.eye.at, v.eye.z_m), OVER_M, ground=False)) for v in views
        ]))  # fmt: skip
        rows.append({"name": "embree, opaque things only", "s": float(said["opaque_s"]),
                     "ratio": float(said["opaque_s"]) / opaque_s, "agreement": f"ours took {opaque_s * 1e3:.2f} ms"})  # fmt: skip
        both = pairs_passed(found, shares, points)[np.triu_indices(POINTS, 1)]
        rows.append({"name": "embree, lines between points", "s": float(said["pairs_s"]),
                     "ratio": float(said["pairs_s"]) / pairs_s, "agreement": agreement(both, said["pairs"])})  # fmt: skip
        for row in rows:
            faster = "" if row["ratio"] > 1 else ": embree is faster"
            print(f"{row['name']}: {row['s'] * 1e3:.2f} ms CPU, {row['ratio']:.1f} x{faster}; {row['agreement']}")
    else:
        print("The libraries were not measured: name their interpreter in QUINCUNX_PEERS_PYTHON.")
    if args.json:
        ratio = rows[0]["ratio"] if rows else None
        print(json.dumps({"ours_s": ours_s, "peers": rows, "ratio": ratio, "size": size, "pairs_s": pairs_s}))


if __name__ == "__main__":
    main()
