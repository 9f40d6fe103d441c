"""Boards on joists, beams and posts, and the guard beside a drop: what a deck and a bridge share.  Heights in metres."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from shapely import LineString, Polygon

from quincunx.features._plan import direction, posts_along, xy
from quincunx.shapes import XY, Joint, Member

RAIL_M = (0.045, 0.095)
BALUSTER_M = (0.03, 0.03)
GUARD_POST_M = 0.09
GUARD_BAY_M = 1.5
"""Rails, balusters and posts of a guard, and how far its posts stand apart (common practice, no source)."""


def lines_across(shape: Polygon, step_m: float, along_deg: float, *, ends: bool = True) -> tuple[tuple[XY, XY], ...]:
    """Return parallel lines running ``along_deg`` over a shape, evenly at most ``step_m`` apart [m].

    With ``ends`` the first and last lie along its edges, just inside.
    """
    u, v = direction(along_deg), direction(along_deg + 90.0)
    across = [x * v[0] + y * v[1] for x, y in shape.exterior.coords]
    inside = 0.03 if ends else 0.0
    low, high = min(across) + inside, max(across) - inside
    count = max(math.ceil((high - low) / step_m - 1e-9), 1)
    out = []
    for i in range(count + 1):
        t = low + (high - low) * i / count
        a, b = ((v[0] * t + u[0] * s, v[1] * t + u[1] * s) for s in (-500.0, 500.0))
        cut = LineString([a, b]).intersection(shape)
        pieces = (
            [cut]
            if isinstance(cut, LineString)
            else [g for g in getattr(cut, "geoms", []) if isinstance(g, LineString)]
        )
        out += [(xy(p.coords)[0], xy(p.coords)[-1]) for p in pieces if p.length > 0.1]
    return tuple(out)


def guard_members(
    runs: Sequence[Sequence[XY]], floor_m: float, high_m: float, gap_m: float, material: str = "timber"
) -> tuple[Member, ...]:
    """Return posts, two rails and balusters along runs, from the floor up; holes between balusters are ``gap_m``."""
    out = []
    for run in runs:
        posts = posts_along(run, GUARD_BAY_M)
        for x, y in posts:
            size = (GUARD_POST_M, GUARD_POST_M)
            out.append(Member("guard post", (x, y, floor_m - 0.2), (x, y, floor_m + high_m), size, material))
        for a, b in pairwise(posts):
            levels = (floor_m + 0.08, floor_m + high_m)
            out.extend(Member("rail", (*a, z), (*b, z), RAIL_M, material) for z in levels)
            free = math.dist(a, b) - GUARD_POST_M
            count = max(math.ceil((free - gap_m) / (gap_m + BALUSTER_M[0]) - 1e-9), 1)
            for i in range(count):
                s = (
                    GUARD_POST_M / 2
                    + (i + 1) * (free - count * BALUSTER_M[0]) / (count + 1)
                    + (i + 0.5) * BALUSTER_M[0]
                ) / math.dist(a, b)
                at = (a[0] + (b[0] - a[0]) * s, a[1] + (b[1] - a[1]) * s)
                out.append(Member("baluster", (*at, floor_m + 0.08), (*at, floor_m + high_m), BALUSTER_M, material))
    return tuple(out)


def guard_joint(members: Sequence[Member]) -> tuple[Joint, ...]:
    """Return how the posts of a guard are held: what a person leans on."""
    posts = sum(m.count for m in members if m.name == "guard post")
    rails = sum(m.count for m in members if m.name in ("rail", "baluster"))
    if not posts:
        return ()
    return (
        Joint(
            "guard post to the frame",
            "bolted through the outer joist, twice, never screwed only",
            posts,
            (("coach bolt M12", 2),),
        ),
        Joint("rails and balusters", "screwed at both ends", rails, (("structural screw 6 × 120", 2),)),
    )
