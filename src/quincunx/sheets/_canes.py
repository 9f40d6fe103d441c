"""Which things can be tried full size with canes, where to stand, and their canes: shared by the sheet and the board."""

from __future__ import annotations

import math
from dataclasses import dataclass

from quincunx.features import Feature
from quincunx.scene import Scene, Spot, Timeline
from quincunx.shapes import XY
from quincunx.survey.canes import LOW_M, Cane, Nearer, canes, nearer

EYE_M = 1.6
"""The eye of somebody standing, where the spot says no height [m] (common practice, no source)."""
FROM_M = 2.5
"""Nobody judges a thing from nearer than this [m]."""


@dataclass(frozen=True)
class Trial:
    """One thing full size: its canes, the scene it stands in, where to stand (None if no spot serves), its stand-ins."""

    owner: str
    scene: Scene
    canes: tuple[Cane, ...]
    stand: Spot | None
    eye_m: float
    nearer: tuple[Nearer | None, ...]


def coming(through: Timeline, features: tuple[Feature, ...]) -> list[str]:
    """Return the things that rise by the plan's last summer and don't yet at its start: those worth a trial, by id."""
    first, last = through.at(through.leaf_date(through.years[0])), through.at(through.leaf_date(through.years[-1]))
    before, after = _tops(first), _tops(last)
    drawn = [f.id for f in features]
    return [o for o in drawn if after.get(o, 0.0) >= LOW_M + max(0.3, before.get(o, 0.0))]


def _tops(scene: Scene) -> dict[str, float]:
    out: dict[str, float] = {}
    for s in scene.solids:
        inside = s.footprint.representative_point()
        top = s.top.above_ground_m(scene.ground_z_m(inside.x, inside.y))
        out[s.owner] = max(out.get(s.owner, 0.0), top)
    return out


def trial(scene: Scene, owner: str, stand: Spot | None = None) -> Trial:
    """Return the canes of one thing as it stands in ``scene``, seen from ``stand`` (else from the spot that serves best)."""
    found = canes([s for s in scene.solids if s.owner == owner], scene.ground_z_m)
    place = stand or _stand(scene, [c.at for c in found])
    eye = EYE_M if place is None or place.height_m <= 0 else place.height_m
    stood = tuple(None if place is None else nearer(c, place.at, eye, scene.ground_z_m) for c in found)
    return Trial(owner, scene, found, place, eye, stood)


def _stand(scene: Scene, at: list[XY]) -> Spot | None:
    """Return the spot to look from: one with an eye's height first, the nearest that is not too near."""
    if not at:
        return None
    far = {s.id: min(math.dist(s.at, p) for p in at) for s in scene.spots}
    fit = [s for s in scene.spots if far[s.id] >= FROM_M]
    return min(fit, key=lambda s: (s.height_m <= 0, far[s.id], s.id), default=None)
