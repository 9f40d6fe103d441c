"""Measure sun hours: a year on a plane and on bumps, every day, a drag, against ray casting and burnt shadow outlines.

``python benches/light.py [--small] [--json]``.  Seconds are process CPU, the least of several; the libraries run in a
child process of the same run, by the interpreter named in ``QUINCUNX_PEERS_PYTHON``; without it only we are measured.

What was tried for speed, on this garden (a plane of 860 suns, 98 parts, 1.4 million runs of 15 cells), and what it gave:

- Kernels' helpers lent their arrays, not counting who holds them (58 calls a part and sun before): a quarter less.
- Rows of prisms written in whole cells, ``np.ceil`` for ``math.ceil`` (which makes integers, one at a time): a tenth.
- On bumps, ends of rows found from the row before, not every cell tried: a tenth; all sides asked in every row: slower
  by half than trying the cells.  Squares of 8 by 8 cells sorted into sure and doubtful: nothing, most are doubtful.
- Ellipses on bumps in single precision: two or three in a hundred.
- Runs painted in blocks of 8 by a mask or a table of shares, or counted up in steps of 32: slower than plain runs, as
  the compiler unrolls short loops and does several cells at a time only in longer ones.
- Not tried after reckoning: sums along rows of what begins and ends (a look-up for each of 16 million cells costs more
  than painting 21 million), bits for opaque things (four milliseconds saved in painting, as many lost in reading).
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
from _light_garden import scene
from shapely.affinity import translate

from quincunx.light import MONTHS, Sky, prepare, sun_hours, suns, update
from quincunx.light._field import field_of
from quincunx.light.hours import NOTHING_KEPT, Cast
from quincunx.scene import Scene
from quincunx.scene.parts import DOME, ELLIPSOID, STANDING, Parts, parts_of

ROUNDS = 9
NEAR_M = 0.01
"""Cells this near to the edge of a thing's outline are ties: methods differ there by which side they take."""


def least(work: Callable[[], object], rounds: int = ROUNDS) -> float:
    """Return the least CPU seconds of several rounds."""
    took = []
    for _ in range(rounds):
        start = time.process_time()
        work()
        took.append(time.process_time() - start)
    return min(took)


def cast_of(here: Scene, cell_m: float) -> Cast:
    """Return the parts and grid of a scene."""
    return Cast(field_of(here, cell_m), parts_of(here.solids, here.ground))


def exact(cast: Cast, months: tuple[int, ...]) -> np.ndarray:
    """Return the hours by every cell's ray against the sides of every part, in float64."""
    out = np.zeros((len(months), *cast.field.z_m.shape), np.float32)
    for k, month in enumerate(months):
        some = suns(Sky(51.5), (month,))
        cast._add_plainly(some, np.zeros(len(some.hours), np.int64), out[k : k + 1], NOTHING_KEPT)  # noqa: SLF001
    return out


def bodies(parts: Parts) -> list[dict[str, Any]]:
    """Return each part as corners or as a round body, for the libraries."""
    out: list[dict[str, Any]] = []
    for p in range(len(parts)):
        if parts.kind[p] in (ELLIPSOID, DOME):
            out.append({"round": parts.crown[p].tolist()})
        else:
            ring = parts.corners[parts.first[p] : parts.first[p + 1]]
            out.append({"corners": ring.tolist(), "stands": bool(parts.kind[p] == STANDING)})
    return out


def peers(cast: Cast, months: tuple[int, ...]) -> dict[str, Any] | None:
    """Return what the libraries found on the same parts, suns and cells; None where their interpreter is not named."""
    python = os.environ.get("QUINCUNX_PEERS_PYTHON")
    if not python:
        return None
    some, f = suns(Sky(51.5), months), cast.field
    job = {"bodies": bodies(cast.parts), "plane": f.plane, "cell_m": f.cell_m}
    with tempfile.TemporaryDirectory() as folder:
        given, found = Path(folder) / "job.npz", Path(folder) / "found.npz"
        slot = np.array([months.index(m) for m in some.month])
        np.savez(
            given, job=json.dumps(job), towards=some.towards, slot=slot, hours=some.hours, x=f.x_m, y=f.y_m,
            through=cast.parts.through(some.towards, some.month), months=len(months),
        )  # fmt: skip
        script = Path(__file__).with_name("_light_peers.py")
        done = subprocess.run([python, str(script), given, found], capture_output=True, text=True, check=False)
        if done.returncode:
            print(f"The libraries did not run: {done.stderr.strip().splitlines()[-1:]}")
            return None
        with np.load(found) as read:
            return {name: read[name] for name in read.files}


def ties(cast: Cast) -> np.ndarray:
    """Return the cells within a centimetre of the edge of a thing's outline in plan."""
    import shapely

    edges = shapely.union_all([s.footprint.boundary for s in cast.parts.solids])
    x, y = np.meshgrid(cast.field.x_m, cast.field.y_m)
    return np.asarray(shapely.dwithin(shapely.points(x, y), edges, NEAR_M))


def compared(ours: np.ndarray, other: np.ndarray, tied: np.ndarray) -> str:
    """Return the mean and greatest difference in words, ties left out."""
    off = np.abs(ours - other)[:, ~tied]
    return f"mean {off.mean():.4f} h, greatest {off.max():.2f} h of {tied.sum()} ties left out"


def dragged(here: Scene, cell_m: float, steps: int, rounds: int) -> tuple[float, float, float]:
    """Return the seconds to prepare, the worst frame's and the greatest difference from cold while a tree moves."""
    prepared_s = least(lambda: prepare(here, "tree07", cell_m=cell_m), min(rounds, 3))
    ready, worst, off = prepare(here, "tree07", cell_m=cell_m), 0.0, 0.0
    for k in range(steps):
        shift = 0.4 * k - 2
        moved = tuple(
            replace(s, footprint=translate(s.footprint, shift, 0.3 * k)) if s.owner == "tree07" else s
            for s in here.solids
        )
        there = replace(here, solids=moved)
        worst = max(worst, least(lambda there=there: update(ready, there), min(rounds, 5)))
        off = max(off, float(np.abs(update(ready, there).hours - sun_hours(there, cell_m=cell_m).hours).max()))
    return prepared_s, worst, off


def rows(cast: Cast, hours: np.ndarray, ours_s: float, months: tuple[int, ...]) -> list[dict[str, Any]]:
    """Return one row for each library that ran."""
    said, tied = peers(cast, months), ties(cast)
    if said is None:
        return []
    names = {
        "embree": "embree by trimesh, porous things one by one and culled",
        "burnt": "shapely hulls burnt by rasterio",
    }
    return [
        {"name": names[key], "s": float(said[f"{key}_s"]), "ratio": float(said[f"{key}_s"]) / ours_s,
         "agreement": compared(hours, said[key], tied)}
        for key in names
    ]  # fmt: skip


def main() -> None:
    """Measure and tell."""
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    asked.add_argument("--small", action="store_true", help="coarse cells and one month, quickly")
    asked.add_argument("--json", action="store_true", help="one JSON object as the last line")
    args = asked.parse_args()
    cell_m, months = (2.0, (6,)) if args.small else (0.25, MONTHS)
    rounds = 1 if args.small else ROUNDS
    here, bumps = scene(), scene(0.3)
    cast = cast_of(here, cell_m)
    hours = sun_hours(here, months, cell_m=cell_m).hours
    some = suns(Sky(51.5), months)
    size = {
        "solids": len(here.solids), "parts": len(cast.parts), "suns": len(some.hours), "cells": hours[0].size,
        "cell_m": cell_m,
    }  # fmt: skip
    print(size)
    ours_s = least(lambda: sun_hours(here, months, cell_m=cell_m), rounds)
    out, slot = np.zeros_like(hours), np.array([months.index(m) for m in some.month])
    others = {"bumps": bumps, "no slats": scene(slats=False), "no glass": scene(glass=False)}
    figures = {"plane": ours_s, "plane, cast only": least(lambda: cast.add(some, slot, out), rounds)}
    for name, one in others.items():
        sun_hours(one, months, cell_m=cell_m)
        figures[name] = least(lambda one=one: sun_hours(one, months, cell_m=cell_m), rounds)
    level = cast_of(bumps, cell_m)
    figures["bumps, cast only"] = least(lambda: level.add(some, slot, out), rounds)
    level.field.__dict__["span"] = (*level.field.span[:2], 0.0)
    level.__dict__.pop("world", None)
    figures["bumps, cast only, ground hides nothing"] = least(lambda: level.add(some, slot, out), rounds)
    level.field.__dict__.pop("span")
    sun_hours(here, months, cell_m=cell_m, days="all")
    figures["every day"] = least(lambda: sun_hours(here, months, cell_m=cell_m, days="all"), min(rounds, 2))
    for name, took in figures.items():
        print(f"{name}: {took * 1e3:.1f} ms CPU")
    checked = months if args.small else (1, 4, 6)
    for name, one in (("plane", cast), ("bumps", cast_of(bumps, cell_m)))[1 if args.small else 0 :]:
        mine = sun_hours(here if name == "plane" else bumps, checked, cell_m=cell_m).hours
        print(f"{name} against rays in space: {compared(mine, exact(one, checked), ties(one))}")
    prepared_s, frame_s, off = dragged(here, cell_m, 1 if args.small else 8, rounds)
    print(
        f"drag of a tree: prepared in {prepared_s * 1e3:.1f} ms, frame {frame_s * 1e3:.1f} ms at worst, {off:.4f} h off"
    )
    found = rows(cast, hours, ours_s, months)
    for row in found:
        print(f"{row['name']}: {row['s']:.2f} s CPU, {row['ratio']:.0f} x; {row['agreement']}")
    if not found:
        print("The libraries were not measured: name their interpreter in QUINCUNX_PEERS_PYTHON.")
    if args.json:
        ratio = found[0]["ratio"] if found else None
        print(json.dumps({"ours_s": ours_s, "peers": found, "ratio": ratio, "size": size, "drag_frame_s": frame_s}))


if __name__ == "__main__":
    main()
