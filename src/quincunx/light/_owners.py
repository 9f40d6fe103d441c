"""What each thing keeps off some points, by itself: kept while the thing stays the same.

The sun that reaches a point is the product of what all things let through, so a thing that has changed is all that has
to be looked at anew, in the next year as under the pointer.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache, partial

import numpy as np
from numpy.typing import NDArray

from quincunx.light._rays import Bodies
from quincunx.light.sky import Days, Sky, suns
from quincunx.scene._kept import Kept
from quincunx.scene.parts import Parts, kept_parts
from quincunx.shapes import Solid
from quincunx.site.ground import Ground

Floats = NDArray[np.float64]

Asked = tuple[Sky, tuple[int, ...], Days, float]
"""Which suns: the sky, the months, the days of each and the minutes between suns."""


@dataclass(frozen=True, slots=True)
class OwnerShade:
    """What one thing does to the light of some points (n) from those ``suns`` (k) that any of them sees it before.

    ``through`` (n, k) is the share that comes through all of it, ``off`` (n, k) the most any one part keeps off.
    """

    owner: str
    suns: NDArray[np.int64]
    through: Floats
    off: Floats


def owners_shade(solids: Sequence[Solid], ground: Ground, points: Floats, asked: Asked) -> list[OwnerShade]:
    """Return what each owner of ``solids`` keeps off ``points`` (n, 3); owners that keep off nothing are left out."""
    own: dict[str, list[Solid]] = {}
    for solid in solids:
        own.setdefault(solid.owner, []).append(solid)
    of = _question(ground.key(), points.tobytes(), asked)
    new = {owner for owner, mine in own.items() if not _KEPT.has(tuple(mine), of)}
    made = _cast([s for owner in own if owner in new for s in own[owner]], ground, points, asked) if new else {}

    def of_one(owner: str) -> OwnerShade | None:
        # One that was kept a moment ago may have been let go meanwhile.
        return made.get(owner) if owner in new else _cast(own[owner], ground, points, asked).get(owner)

    found = [_KEPT.get(tuple(mine), of, partial(of_one, owner)) for owner, mine in own.items()]
    return [one for one in found if one is not None]


@lru_cache(maxsize=256)
def _question(*_asked: object) -> object:
    """Return a mark that is the same for the same question, and quick to compare."""
    return object()


def _cast(solids: Sequence[Solid], ground: Ground, points: Floats, asked: Asked) -> dict[str, OwnerShade]:
    """Return what keeps sun off, by owner, all cast together."""
    some = suns(*asked)
    bodies = _bodies(kept_parts(solids, ground))
    parts = bodies.parts
    through = parts.through(some.towards, some.month)
    hits = bodies.hits(points, some.towards, through)
    owner = np.array([parts.solids[k].owner for k in parts.solid], object)
    out = {}
    for name in dict.fromkeys(owner[hits.any(axis=(1, 2))].tolist()):
        mine = owner == name
        hit = hits[mine]
        met = np.flatnonzero(hit.any(axis=(0, 1)))
        share = np.where(hit[:, :, met], through[mine][:, None, met], 1.0)
        out[name] = OwnerShade(
            name, met, share.prod(axis=0, dtype=np.float64), 1.0 - share.min(axis=0).astype(np.float64)
        )
    return out


def _bodies(parts: Parts) -> Bodies:
    """Return parts as faces: the same things are asked about from several spots."""
    return _BODIES.get((parts,), None, lambda: Bodies.of(parts))


_KEPT: Kept[OwnerShade | None] = Kept(8192)
_BODIES: Kept[Bodies] = Kept(64)
