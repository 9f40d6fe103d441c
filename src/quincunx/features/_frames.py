"""Posts, plates and walls that built shelters share.  Heights are above the floor unless they say otherwise [m]."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from shapely import LineString, Polygon

from quincunx.features._plan import area_figure, direction, posts_along, rectangle, tuple_add
from quincunx.features._slopes import Edge
from quincunx.scene.moment import Moment
from quincunx.shapes import XY, AreaFigure, Height, Leaf, Member, Opening, Solid, every_month


def posts_round(sides: Sequence[Edge], bay_m: float, post_m: float) -> tuple[XY, ...]:
    """Return posts round a plan, their outer faces in its sides: one at each corner, equal bays between [m]."""
    inner = [_inset_corner(sides[i - 1], side, post_m / 2) for i, side in enumerate(sides)]
    return posts_along(inner, bay_m, closed=True)


def _inset_corner(before: Edge, after: Edge, by_m: float) -> XY:
    """Return the corner between two edges moved in until it lies ``by_m`` inside both [m]."""
    (ax, ay), (bx, by) = direction(before.out_deg), direction(after.out_deg)
    scale = by_m / (1.0 + ax * bx + ay * by)
    return (after.start[0] - (ax + bx) * scale, after.start[1] - (ay + by) * scale)


def post_solids(
    owner: str, posts: Sequence[XY], post_m: float, turn_deg: float, tops_z_m: Sequence[float]
) -> tuple[Solid, ...]:
    """Return the posts as real square solids, each from the ground to its top over the site's datum [m]."""
    ends = enumerate(zip(posts, tops_z_m, strict=True), start=1)
    return tuple(
        Solid(owner, f"post{n}", rectangle(at, post_m, post_m, turn_deg), top=Height(top, "site"))
        for n, (at, top) in ends
    )


def post_figures(owner: str, posts: Sequence[XY], post_m: float, turn_deg: float) -> tuple[AreaFigure, ...]:
    """Draw the posts true to size."""
    return tuple(
        area_figure(rectangle(at, post_m, post_m, turn_deg), "built", owner, "hatch", "normal") for at in posts
    )


def post_members(
    moment: Moment, posts: Sequence[XY], post_m: float, tops_z_m: Sequence[float], material: str, floor_z_m: float
) -> tuple[Member, ...]:
    """Return the posts as pieces, each from its own ground to its top, both given over the site's datum [m].

    Heights of the pieces are above ``floor_z_m``, as those of the rest of the frame are.
    """
    section = (post_m, post_m)
    ends = [(at, moment.ground_z_m(*at) - floor_z_m, top - floor_z_m) for at, top in zip(posts, tops_z_m, strict=True)]
    return tuple(Member("post", (*at, foot), (*at, top), section, material, "post") for at, foot, top in ends)


def plate_members(
    posts: Sequence[XY],
    heights_m: Sequence[float],
    section_m: tuple[float, float],
    material: str,
    name: str = "plate",
    more_m: float = 0.0,
) -> tuple[Member, ...]:
    """Return the beams from post to post along a line, each end at its post's height; the first again closes it [m].

    Each is ``more_m`` longer than the posts' middles are apart.
    """
    ends = [(*at, h) for at, h in zip(posts, heights_m, strict=True)]
    return tuple(
        Member(name, a, b, section_m, material, more_m=more_m) for a, b in pairwise(ends) if math.dist(a, b) > 1e-6
    )


def wall_solids(
    owner: str,
    part: str,
    strips: Sequence[Polygon],
    base: Height,
    top: Height,
    *,
    light: float = 0.0,
    gap_m: float = 0.0,
) -> tuple[Solid, ...]:
    """Return upright walls over ``strips``; ``light`` is the share of sun and of a view let through."""
    blocks = every_month(1.0 - light)
    return tuple(
        Solid(owner, f"{part}{n}", s, base, top, gap_m=gap_m, opacity=blocks, transmittance=every_month(light))
        for n, s in enumerate(strips, start=1)
    )


def beside_door(side: Edge, middle_m: float, width_m: float, thick_m: float) -> tuple[tuple[Polygon, ...], Polygon]:
    """Return the wall left and right of a door in a side, and the strip over the door [m]."""
    a, b = middle_m - width_m / 2, middle_m + width_m / 2
    ends = [(0.0, a), (b, side.length_m)]
    return tuple(side.strip(s, e, thick_m) for s, e in ends if e - s > 1e-6), side.strip(a, b, thick_m)


def door_middle_m(side: Edge, wanted_m: float, width_m: float) -> float:
    """Return the middle of a door along a side, ``wanted_m`` from the side's middle but kept within it [m]."""
    half = max((side.length_m - width_m) / 2, 0.0)
    return side.length_m / 2 + min(max(wanted_m, -half), half)


def door_opening(
    owner: str, side: Edge, middle_m: float, width_m: float, height_m: float, thick_m: float, step_m: float
) -> Opening:
    """Return the way in through a door of its own wall [m], latched when shut."""
    a, b = (side.point(middle_m + s * width_m / 2, thick_m / 2) for s in (-1, 1))
    return Opening(owner, LineString([a, b]), width_m, height_m, step_m, "latched", Leaf(height_m, 0.01))


def door_line(side: Edge, middle_m: float, width_m: float) -> tuple[XY, XY]:
    """Return a door's leaf drawn ajar, hung at its start: a bar from the hinge [m]."""
    hinge = side.point(middle_m - width_m / 2)
    return hinge, tuple_add(hinge, direction(side.out_deg + 30.0), width_m)
