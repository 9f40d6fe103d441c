"""Second thoughts on a draft that fits badly: stakes are lifted one by one and set where their readings meet best."""

from __future__ import annotations

import numpy as np

from quincunx.survey._gauge import Gauge, capped_at, relax_softly
from quincunx.survey._model import Row, Rows, evaluate
from quincunx.survey._normal import Array
from quincunx.survey._start import Sides, fit, spots_for

ROUNDS = 4


def reseated(rows: Rows, xy: Array, cost: float, sides: Sides, gauge: Gauge) -> Array:
    """Return places that fit better than ``xy`` (n, 2) if lifting single stakes finds any, else ``xy`` itself.

    ``cost`` is the capped sum of squares at ``xy``.
    """
    touching: dict[int, list[Row]] = {}
    for row in rows.listed:
        for p in row.points:
            touching.setdefault(p, []).append(row)
    movable = [s for s in sorted(touching) if s not in gauge.fixed and s != gauge.toward and len(touching[s]) > 2]
    for _ in range(ROUNDS):
        far = np.abs(evaluate(rows, xy)[0]) > 5.0 * rows.sd
        near = {int(p) for p in rows.points[far].ravel() if p >= 0}
        trial = _lifted(touching, [s for s in movable if s in near], xy, sides)
        if trial is None:
            break
        trial = relax_softly(rows, trial, gauge)
        lower = capped_at(rows, trial)
        if lower >= cost - 1e-6:
            break
        xy, cost = trial, lower
    return xy


def _lifted(touching: dict[int, list[Row]], movable: list[int], xy: Array, sides: Sides) -> Array | None:
    at = {s: (float(xy[s, 0]), float(xy[s, 1])) for s in range(len(xy))}
    moved = False
    for stake in movable:
        here = touching[stake]
        now = fit(stake, at[stake], here, at, sides)
        if now < 4.0 * len(here) ** 0.5:
            continue
        best = min((fit(stake, spot, here, at, sides), spot) for spot in spots_for(stake, here, at))
        if best[0] < now - 6.0:
            at[stake], moved = best[1], True
    return np.array([at[s] for s in range(len(xy))]) if moved else None
