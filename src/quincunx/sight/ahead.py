"""What is seen ahead of an eye: what fills that part of the view, and which things stand there, the largest first."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from quincunx.scene import Scene
from quincunx.scene.bodies import entries, through
from quincunx.sight.enclosure import COLUMNS, FAR_M, HIGH_DEG, LOW_DEG, ROWS, Mix, ground_met, taken
from quincunx.sight.eyes import Eye
from quincunx.sight.seen import bodies_in, inside

HALF_WIDE_DEG = 32.0
"""Half the width of what is looked at: as much as an ordinary camera takes in, lying flat (common practice, no source)."""
LEAST = 0.004
"""What fills less of the view than this is not told."""


@dataclass(frozen=True, slots=True)
class Ahead:
    """What fills the view ahead (:class:`Mix`), and (owner, share of the view, nearest distance [m]) of what stands there."""

    mix: Mix
    things: tuple[tuple[str, float, float], ...]


def ahead(scene: Scene, eye: Eye, bearing_deg: float, half_wide_deg: float = HALF_WIDE_DEG) -> Ahead:
    """Return what an eye sees that looks along a bearing of the plan [deg], gates shut, from -20 to 27 degrees up."""
    bodies = bodies_in(scene, shut=True)
    up = np.radians(np.linspace(LOW_DEG, HIGH_DEG, ROWS))
    turn = np.radians(bearing_deg + np.linspace(-half_wide_deg, half_wide_deg, COLUMNS // 2))
    u, t = (g.ravel() for g in np.meshgrid(up, turn))
    run = np.column_stack([np.sin(t) * np.cos(u), np.cos(t) * np.cos(u), np.sin(u)]) * FAR_M
    start = np.broadcast_to(eye.xyz, run.shape)
    until = ground_met(scene, start, run)
    shares = bodies.shares(scene.on.month).copy()
    shares[inside(bodies, eye)] = 1.0
    plants, built, left = taken(bodies, shares, start, run, until)
    ends = np.isfinite(until)
    filled = Mix(float(plants.mean()), float(built.mean()), float((left * ends).mean()), float((left * ~ends).mean()))
    if not len(bodies):
        return Ahead(filled, ())
    met = entries(bodies, start, start + run)
    met[met > until[:, None]] = np.inf
    stops = np.where(np.isfinite(met), 1.0 - through(bodies, shares, start, run), 0.0)
    order = np.argsort(met, axis=1, kind="stable")
    sorted_stops = np.take_along_axis(stops, order, axis=1)
    before = np.cumprod(np.concatenate([np.ones((len(run), 1)), 1.0 - sorted_stops[:, :-1]], axis=1), axis=1)
    seen = np.zeros_like(stops)
    np.put_along_axis(seen, order, before * sorted_stops, axis=1)
    owners = np.array(bodies.owners, object)
    found = []
    for owner in sorted(set(owners.tolist())):
        of = owners == owner
        share = float(seen[:, of].sum(axis=1).mean())
        if share >= LEAST:
            near = met[:, of][seen[:, of] > 0.0]
            found.append((str(owner), share, float(near.min()) * FAR_M))
    return Ahead(filled, tuple(sorted(found, key=lambda f: (-f[1], f[0]))))
