"""Handrails along steps and ramps: fields, what stands, how they are drawn and what they are made of.

Left and right are as seen going up.  Rails run outside the clear width, and 30 cm past foot and head: 12 in, 2010 ADA
Standards 505.10 (from memory).
"""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any, Literal

from quincunx.features._base import Axis, Feature
from quincunx.features._plan import area_figure, bearing, direction, posts_along, rectangle, strip, tuple_add
from quincunx.shapes import XY, Figure, FrameWork, Height, Joint, Member, Solid
from quincunx.units.fields import Length, field, length

Side = Literal["none", "left", "right", "both"]

RAIL_M = (0.045, 0.045)
"""Width and depth of a rail that a hand closes round once its edges are rounded: 45 to 50 mm (common practice, no source)."""
POST_M, IN_GROUND_M, BAY_M = 0.075, 0.6, 1.2
"""Posts of a rail, how deep they stand and how far apart (common practice, no source)."""
BAYS = 2
"""A piece of rail goes over so many bays."""
PAST_M = 0.3
"""How far a rail runs past the first and the last riser [m]."""
CLEAR_M = 0.005
"""How far posts stand clear of the treads' sides [m]."""


class Railed(Feature):
    """A straight way up that may have handrails."""

    rail: Side = field("Handrail", "none", help="left or right as seen going up")
    rail_height: Length = length(
        "Height of the handrail", 0.9, ge=0.5, le=1.2, help="above the front edges of the treads, or above the ramp"
    )

    def mirrored(self, axis: Axis) -> dict[str, Any]:
        """Put a rail on one side on the other."""
        other = {"left": "right", "right": "left"}.get(self.rail, self.rail)
        return {**super().mirrored(axis), "rail": other}

    def rail_lines(self, foot: XY, head: XY, wide_m: float) -> tuple[tuple[XY, XY], ...]:
        """Return the middle lines of its rails in plan, from below the foot to past the head [m]."""
        up = bearing(foot, head)
        along, right = direction(up), direction(up + 90.0)
        out = wide_m / 2 + POST_M / 2 + CLEAR_M
        sides = {"none": (), "left": (-1,), "right": (1,), "both": (-1, 1)}[self.rail]
        low, high = tuple_add(foot, along, -PAST_M), tuple_add(head, along, PAST_M)
        return tuple((tuple_add(low, right, s * out), tuple_add(high, right, s * out)) for s in sides)

    def rail_solids(self, lines: tuple[tuple[XY, XY], ...]) -> tuple[Solid, ...]:
        """Return what stands of the rails: what is under them lets look and rain through."""
        top = float(self.rail_height)
        return tuple(
            Solid(self.id, f"rail{n}", strip(line, RAIL_M[0]), Height(top - RAIL_M[1]), Height(top))
            for n, line in enumerate(lines, start=1)
        )

    def rail_figures(self, lines: tuple[tuple[XY, XY], ...]) -> tuple[Figure, ...]:
        """Draw each rail with its posts."""
        return tuple(
            figure
            for line in lines
            for figure in (
                area_figure(strip(line, RAIL_M[0]), "built", self.id, weight="fine"),
                *(
                    area_figure(rectangle(at, POST_M, POST_M, bearing(*line)), "built", self.id, weight="fine")
                    for at in posts_along(line, BAY_M)
                ),
            )
        )

    def rail_work(self, lines: tuple[tuple[XY, XY], ...], rise_m: float) -> tuple[FrameWork, ...]:
        """Return posts and rails to be cut, the rails as long as they are on the slope that climbs ``rise_m`` [m]."""
        if not lines:
            return ()
        top, members, feet = float(self.rail_height), list[Member](), list[XY]()
        for a, b in lines:
            posts = posts_along((a, b), BAY_M)
            feet += posts
            size = (POST_M, POST_M)
            members += [
                Member("rail post", (*p, -IN_GROUND_M), (*p, top - RAIL_M[1]), size, "fence post", "post")
                for p in posts
            ]
            level = math.dist(a, b)
            longer = math.hypot(level - 2 * PAST_M, rise_m) + 2 * PAST_M - level
            at = top - RAIL_M[1] / 2
            ends = [*posts[:-1:BAYS], posts[-1]]  # joined over a post, so that no piece is longer than a board
            for c, d in pairwise(ends):
                more = longer * math.dist(c, d) / level
                members.append(Member("handrail", (*c, at), (*d, at), RAIL_M, "timber", more_m=more))
        joints = (
            Joint("rail post in its hole", f"{IN_GROUND_M * 100:.0f} cm deep in concrete", len(feet)),
            Joint("handrail on its posts", "screwed from below, so that no head meets the hand", len(feet),
                  (("structural screw 6 × 120", 2),)),
        )  # fmt: skip
        assumes = (
            "people lean their weight on a handrail: have posts and fixings judged by somebody who builds them",
            "a handrail is no guard beside a drop",
            "edges are rounded, ends turned down or to the post so that no sleeve catches",
        )
        order = (
            "Mark where the posts stand, in line and clear of the side",
            "Dig the holes as deep as the joints say; set the first and the last post in concrete, plumb, then those between in line",
            "Leave the concrete a week before the rail goes on",
            "Fix the rail at one height all along, ends turned down; no point of a screw comes through where the hand goes",
            "Pull at it with all your weight at each post before anybody relies on it",
        )
        return (FrameWork(self.id, tuple(members), tuple(feet), joints, assumes, order=order, order_is_whole=True),)
