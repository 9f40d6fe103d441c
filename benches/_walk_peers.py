"""The other side of the walk benchmark: general-purpose libraries, run by their own interpreter.

Reads a JSON job on stdin (polygons, points, sizes), writes one JSON object with seconds of CPU and what was found.
"""

from __future__ import annotations

import json
import sys
import time
from typing import Any


def exact(job: dict[str, Any]) -> dict[str, Any]:
    """Return every way by extremitypathfinder: an exact visibility graph in pure Python and NumPy."""
    import numpy as np
    from extremitypathfinder import PolygonEnvironment

    start = time.process_time()
    env = PolygonEnvironment()
    env.store(np.array(job["outline"]), [np.array(h) for h in job["holes"]], validate=False)
    prepared = time.process_time() - start
    lengths, paths = [], []
    start = time.process_time()
    for a, b in job["pairs"]:
        path, length = env.find_shortest_path(tuple(job["points"][a]), tuple(job["points"][b]))
        lengths.append(length)
        paths.append([[float(x), float(y)] for x, y in path])
    return {"prepare_s": prepared, "query_s": time.process_time() - start, "lengths": lengths, "paths": paths}


def raster(job: dict[str, Any]) -> dict[str, Any]:
    """Return rooms, ways at two widths and widest ways on a grid, by scikit-image and SciPy."""
    import numpy as np
    import shapely
    from scipy import ndimage
    from skimage.graph import MCP_Geometric

    cell = job["cell_m"]
    start = time.process_time()
    open_ground = shapely.from_wkt(job["open"])
    shut_ground = shapely.from_wkt(job["shut"])
    x0, y0, x1, y1 = open_ground.bounds
    nx, ny = round((x1 - x0) / cell), round((y1 - y0) / cell)
    gx, gy = np.meshgrid(x0 + (np.arange(nx) + 0.5) * cell, y0 + (np.arange(ny) + 0.5) * cell)
    at = [(int((y - y0) / cell), int((x - x0) / cell)) for x, y in job["points"]]
    rooms = ndimage.label(shapely.contains_xy(shut_ground, gx, gy))[1]
    clear = (
        ndimage.distance_transform_edt(np.pad(shapely.contains_xy(open_ground, gx, gy), 1))[1:-1, 1:-1] * cell
        - cell / 2
    )
    lengths = []
    for width in job["widths_m"]:
        cost = np.where(clear >= width / 2, 1.0, -1.0)
        for i, source in enumerate(at):
            far = MCP_Geometric(cost, fully_connected=True).find_costs([source])[0] * cell
            lengths.append([float(far[p]) for p in at[i + 1 :]])
    widest = np.zeros((len(at), len(at)))
    for width in np.arange(2 * cell, job["up_to_m"], cell):
        label = ndimage.label(clear >= width / 2, np.ones((3, 3)))[0]
        own = np.array([label[p] for p in at])
        widest[(own[:, None] == own[None]) & (own[:, None] > 0)] = width
    return {"s": time.process_time() - start, "rooms": int(rooms), "lengths": lengths, "widest": widest.tolist()}


def main() -> None:
    """Do the jobs asked for."""
    jobs = json.load(sys.stdin)
    out = {name: {"exact": exact, "raster": raster}[name](job) for name, job in jobs.items()}
    json.dump(out, sys.stdout)


if __name__ == "__main__":
    main()
