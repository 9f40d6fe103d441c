"""What the ground itself hides: exact along single lines, by a sweep of rays over a grid."""

from __future__ import annotations

from collections import OrderedDict

import numpy as np
from numpy.typing import NDArray

from quincunx.scene.convex import is_plane
from quincunx.site.ground import Ground

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

STEP_M = 0.2
"""How close the ground along a line is looked at [m]."""
LEAST, MOST = 24, 200
"""Points looked at on a line."""
OVER_M = 0.01
"""Ground hides what lies behind it where it stands this much over the line [m]."""


def ground_hides(ground: Ground, start: Floats, end: Floats) -> Bools:
    """Return which lines from ``start`` to ``end`` (n, 3), both over the ground, pass below it somewhere [m]."""
    if is_plane(ground) or not len(start):
        return np.zeros(len(start), bool)
    key = (ground.key(), start.tobytes(), end.tobytes())
    if key not in _KEPT:
        _KEPT[key] = _hides(ground, start, end)
        while len(_KEPT) > _MOST:
            _KEPT.popitem(last=False)
    return _KEPT[key].copy()


_KEPT: OrderedDict[tuple[bytes, bytes, bytes], Bools] = OrderedDict()
_MOST = 128


def _hides(ground: Ground, start: Floats, end: Floats) -> Bools:
    run = end - start
    longest = float(np.hypot(run[:, 0], run[:, 1]).max())
    shares = np.linspace(0.0, 1.0, int(np.clip(longest / STEP_M, LEAST, MOST)))[1:-1]
    x = start[:, :1] + run[:, :1] * shares
    y = start[:, 1:2] + run[:, 1:2] * shares
    z = start[:, 2:] + run[:, 2:] * shares
    return np.asarray((ground.height(x, y) > z + OVER_M).any(axis=1))
