"""How much of a target an eye sees, and what hides the rest."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray

from quincunx.scene import Scene
from quincunx.scene.bodies import Bodies, bodies_of, entries, passed
from quincunx.scene.parts import parts_of
from quincunx.shapes import XY, Leaf, Monthly, Opening, Solid, every_month
from quincunx.shapes.heights import Height
from quincunx.sight._ground import ground_hides
from quincunx.sight.eyes import Eye, Target

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

HALF = 0.5
"""A line counts as seen where at least this much of it gets through."""
GROUND = ""
"""The owner that stands for the ground itself among what hides."""


@dataclass(frozen=True, eq=False)
class Seen:
    """What an eye sees of a target in a month: the share of each of its points (rows up, columns across) that gets through.

    ``hides`` gives, for each owner (empty: the ground), the share of the target that it alone would hide.
    """

    eye: Eye
    target: Target
    through: Floats
    hides: tuple[tuple[str, float], ...]

    @cached_property
    def share(self) -> float:
        """Return the share of the target that is seen, what is seen dimly counted in part."""
        return float(self.through.mean())

    @cached_property
    def height_share(self) -> float:
        """Return the share of its height that is seen somewhere; of ground, that of its surface."""
        return float((self.through >= HALF).any(axis=1).mean()) if not self.target.flat else self._plain

    @cached_property
    def width_share(self) -> float:
        """Return the share of its width that is seen somewhere; of ground, that of its surface."""
        return float((self.through >= HALF).any(axis=0).mean()) if not self.target.flat else self._plain

    @property
    def _plain(self) -> float:
        return float((self.through >= HALF).mean())

    @property
    def clearest(self) -> XY:
        """Return the point of the target that is seen best, in plan [m]."""
        x, y, _ = self.target.lines[int(self.through.argmax())]
        return float(x), float(y)


def view_lets(solid: Solid) -> Monthly:
    """Return the share of a view that a solid lets through, by month."""
    return tuple(1.0 - o for o in solid.opacity)


_KEPT: OrderedDict[tuple[object, ...], Bodies] = OrderedDict()
_MOST = 24


def bodies_in(scene: Scene, *, shut: bool = False) -> Bodies:
    """Return all that stands in a scene's sight, kept for the next time; ``shut``: with every gate's leaf in it."""
    key = (scene.key, shut)
    if key not in _KEPT:
        leaves = tuple(leaf for o in scene.openings if shut and (leaf := leaf_of(o)) is not None)
        _KEPT[key] = bodies_of(parts_of((*scene.solids, *leaves), scene.ground, view_lets))
        while len(_KEPT) > _MOST:
            _KEPT.popitem(last=False)
    return _KEPT[key]


def near_lines(solids: tuple[Solid, ...], start: Floats, end: Floats) -> tuple[Solid, ...]:
    """Return the solids that stand, in plan, where some line from ``start`` to ``end`` may go."""
    plan = shapely.convex_hull(shapely.multipoints(np.vstack([start[:, :2], end[:, :2]])))
    around = shapely.buffer(plan, 0.01, quad_segs=1)
    shapely.prepare(around)
    meets = shapely.intersects(around, np.array([s.footprint for s in solids], dtype=object))
    return tuple(s for s, met in zip(solids, meets.tolist(), strict=True) if met)


LEAF_M = 0.05
"""Thickness of a gate's leaf (common practice, no source)."""
BARS = 0.5
"""Share of a view that a leaf with holes blocks (common practice, no source)."""


def leaf_of(opening: Opening) -> Solid | None:
    """Return a shut gate's leaf as a solid; None for a way that always stands open."""
    leaf: Leaf | None = opening.leaf
    if leaf is None:
        return None
    shape = opening.clear.buffer(LEAF_M / 2, cap_style="flat")
    blocks = every_month(1.0 if leaf.gap_m < 0.02 else BARS)
    return Solid(opening.owner, "leaf", shape, Height(leaf.under_m), Height(leaf.height_m), opacity=blocks)


def seen(scene: Scene, eye: Eye, target: Target, month: int | None = None, *, shut: bool = False) -> Seen:
    """Return what an eye sees of a target through what is porous, on the ground as it lies.

    ``month`` (default: that of the scene's date) says how far plants are in leaf.  Gates stand open, or ``shut``.  The
    target hides nothing of itself; whatever the eye is inside of (its own window's wall) hides nothing either.
    """
    end = target.lines
    start = np.broadcast_to(eye.xyz, end.shape)
    solids = near_lines(scene.solids, start, end)
    leaves = tuple(o for o in scene.openings if shut and o.leaf is not None)
    of = month or scene.on.month
    key = (*map(id, solids), *map(id, leaves), scene.ground.key(), of, eye, target.ref, end.tobytes())
    if key not in _SEEN:
        standing = (*solids, *(leaf for o in leaves if (leaf := leaf_of(o)) is not None))
        found = bodies_of(parts_of(standing, scene.ground, view_lets))
        _SEEN[key] = (_look(scene, eye, target, found, of), solids, leaves)
        while len(_SEEN) > _MOST_SEEN:
            _SEEN.popitem(last=False)
    return _SEEN[key][0]


_SEEN: OrderedDict[tuple[object, ...], tuple[Seen, tuple[Solid, ...], tuple[Opening, ...]]] = OrderedDict()
"""Views by the very things that stand near them, which are held so that their identities stay theirs."""
_MOST_SEEN = 512


def _look(scene: Scene, eye: Eye, target: Target, found: Bodies, month: int) -> Seen:
    end = target.lines
    start = np.broadcast_to(eye.xyz, end.shape)
    shares = found.shares(month).copy()
    shares[found.of(target.ref) | inside(found, eye)] = 1.0
    hidden = ground_hides(scene.ground, start, end)
    got = np.where(hidden, 0.0, passed(found, shares, start, end))
    return Seen(eye, target, got.reshape(target.points.shape[:2]), _hiding(found, shares, start, end, hidden))


def inside(bodies: Bodies, eye: Eye) -> Bools:
    """Return which bodies belong to a thing that the eye is inside of."""
    out = np.zeros(len(bodies), bool)
    if not len(bodies):
        return out
    up = np.array([0.0, 0.0, 1e-6])
    met = entries(bodies, (eye.xyz - up)[None], (eye.xyz + up)[None])[0] < np.inf
    owners = bodies.owners
    inner = {owners[p] for p in np.flatnonzero(met)}
    return np.array([o in inner for o in owners], bool)


def _hiding(bodies: Bodies, shares: Floats, start: Floats, end: Floats, hidden: Bools) -> tuple[tuple[str, float], ...]:
    """Return what each owner alone hides, most first."""
    met = (entries(bodies, start, end) < np.inf) & (shares < 1.0)
    out: dict[str, float] = {GROUND: float(hidden.mean())} if hidden.any() else {}
    owners = np.array(bodies.owners, object)
    for owner in sorted(set(owners[met.any(axis=0)])):
        of = owners == owner
        least = np.where(met[:, of], shares[of], 1.0).min(axis=1)
        out[str(owner)] = float((1.0 - least).mean())
    return tuple(sorted(((o, s) for o, s in out.items() if s > 0.005), key=lambda pair: (-pair[1], pair[0])))
