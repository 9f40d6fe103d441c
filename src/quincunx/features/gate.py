"""A gate in a wall, fence or hedge."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any, ClassVar, Literal

from quincunx.features._across import Across
from quincunx.features._base import Axis, Group
from quincunx.features._kit import Built, How
from quincunx.features._plan import bearing, direction, tuple_add, turned_deg
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import XY, Figure, FrameWork, Joint, Leaf, Member, Opening, PathFigure, Work
from quincunx.units.fields import Length, field, length

FRAME_M, BOARD_M = (0.045, 0.095), (0.02, 0.12)
"""Rails and boards of a made gate (common practice, no source)."""
OVER_M = 0.05
"""How far posts stand over the leaf [m] (common practice, no source)."""


class Gate(Built, Across):
    """A leaf that opens: cuts the wall it stands in."""

    words: ClassVar[str] = "gate"
    about: ClassVar[str] = (
        "Cuts the wall, fence or hedge it stands in; people go through, animals when it is left open."
    )
    group: ClassVar[Group] = "openings"
    example: ClassVar = {
        "id": "side-gate",
        "at": [3, 0],
        "along_deg": 90,
        "width": 0.9,
        "height": 1.2,
        "there_from": "start",
    }

    weighed: ClassVar[tuple[str, ...]] = ("how",)
    kind: Literal["gate"] = "gate"
    how: How = field("Made, bought whole or hired out", "kit")
    height: Length = length("Height of the leaf", 1.2, ge=0.3, le=3.0)
    under: Length = length("Clear below it", 0.05, ge=0.0, le=0.6)
    hole: Length = length("Largest hole through it", 0.0, ge=0.0, le=0.5)
    step: Length = length("Step at it", 0.0, ge=0.0, le=0.5)
    latch: Literal["none", "latched", "locked", "shut"] = field(
        "Latch", "latched", help="none: pushes open; shut: closed for good, nobody opens it"
    )
    leaves: int = field("Leaves", 1, ge=1, le=2)
    hung_left: bool = field("Hung on the left", True)
    hung_on: Literal["posts", "wall"] = field(
        "Hung on", "posts", help="two posts of its own; or the wall or building beside it, which has to carry it"
    )
    post: Length = length(
        "Thickness of its posts",
        0.1,
        ge=0.05,
        le=0.3,
        help="0.1 m: common practice, no source; a heavy leaf may ask for more",
    )
    post_in_ground: Length = length(
        "Its posts in the ground",
        0.75,
        ge=0.3,
        le=1.5,
        help="0.75 m: common practice, no source; frost may ask for more",
    )

    def mirrored(self, axis: Axis) -> dict[str, Any]:
        """Hang it on the side that mirrors its own, and let it swing the other way."""
        found = super().mirrored(axis)
        return {**found, "along_deg": turned_deg(found["along_deg"], 180.0), "hung_left": not self.hung_left}

    def beside_m(self) -> float:
        """Return the thickness of the posts it is hung on [m]."""
        return float(self.post) if self.hung_on == "posts" else 0.0

    def stand(self, moment: Moment) -> Stood:
        """Give the opening and the cut it makes."""
        leaf = Leaf(float(self.height), float(self.under), float(self.hole))
        hinge: Literal["", "start", "end"] = "" if self.leaves > 1 else "start" if self.hung_left else "end"
        opening = Opening(self.id, self.clear(), float(self.width), None, float(self.step), self.latch, leaf, hinge)
        return Stood(openings=(opening,), changes=(self.cut(),), figures=self._figures(*self.ends()), work=self._work())

    def cautions(self) -> tuple[str, ...]:
        """Return whether it pulls at what stands beside it."""
        return ("hung",) if self.hung_on == "wall" else ()

    def bought_words(self) -> str:
        """Return what it is bought as."""
        return self.words

    def _work(self) -> tuple[Work, ...]:
        """Return the two posts with the gate bought whole, or with leaves of two rails, a brace and boards."""
        start, end = self.ends()
        u = direction(bearing(start, end))
        low, high = float(self.under), float(self.under) + float(self.height)
        posts, set_, order_of_posts, assumes = self._posts(start, end)
        if self.how == "kit":
            hung = FrameWork(self.id, posts, _feet(posts), set_, assumes, order=order_of_posts)
            return (*self.built_work((), _feet(posts)), *((hung,) if posts else ()))
        members = [*posts]
        share = float(self.width) / self.leaves
        for n in range(self.leaves):
            members += _leaf(tuple_add(start, u, n * share), tuple_add(start, u, (n + 1) * share), low, high)
        boards = sum(m.name == "board" for m in members)
        joints = (
            *set_,
            Joint(
                "rails and brace",
                "the brace runs up from the foot of the hinged side",
                3 * self.leaves,
                (("coach bolt M10", 2),),
            ),
            Joint("board on the rails", "screwed twice to each rail", 2 * boards, (("structural screw 6 × 120", 1),)),
            Joint(
                "leaf on its post",
                "hinges bolted through rail and post",
                2 * self.leaves,
                (("gate hinge", 1), ("coach bolt M12", 2)),
            ),
            Joint("latch", "bolted through the post", 1, (("gate latch", 1),)),
        )
        order = (
            *order_of_posts,
            "Make the leaf flat on the ground, diagonals equal, then the brace",
            "Hang it on wedges, bolt the hinges, fix the latch",
        )
        return self.built_work((FrameWork(self.id, tuple(members), _feet(posts), joints, assumes, order=order),))

    def _posts(
        self, start: XY, end: XY
    ) -> tuple[tuple[Member, ...], tuple[Joint, ...], tuple[str, ...], tuple[str, ...]]:
        """Return the hanging and the closing post, how they are set, in which order, and what is taken for granted."""
        if self.hung_on == "wall":
            return (
                (),
                (),
                (),
                ("hung on what stands beside it: have somebody who knows walls say whether that carries it",),
            )
        u, side, deep = direction(bearing(start, end)), float(self.post), float(self.post_in_ground)
        top = float(self.under) + float(self.height) + OVER_M
        names = ("hanging post", "closing post") if self.leaves == 1 else ("hanging post", "hanging post")
        at = [tuple_add(start, u, -side / 2), tuple_add(end, u, side / 2)]
        if not self.hung_left:
            at.reverse()
        posts = tuple(
            Member(name, (*p, -deep), (*p, top), (side, side), "fence post", "post")
            for name, p in zip(names, at, strict=True)
        )
        how = f"{deep * 100:.0f} cm deep in concrete, its top sloped to shed rain"
        order = (
            "Set both posts, the clear width between them checked at top and foot",
            "Leave the concrete a week before anything hangs on it",
        )
        frost = (
            f"posts stand {deep * 100:.0f} cm in the ground, in concrete; frost, soil and a heavy leaf may ask for more"
        )
        assumes = ("the clear width lies between the posts", f"{frost}: your local code decides")
        return posts, (Joint("post in its hole", how, len(posts)),), order, assumes

    def _figures(self, start: XY, end: XY) -> tuple[Figure, ...]:
        """Draw each leaf standing half open, with no swing arc: a thick bar from its hinge."""
        hinge, free = (start, end) if self.hung_left else (end, start)
        figures: list[Figure] = [PathFigure((start, end), "way", self.id, weight="fine", dash=True)]
        share = float(self.width) / self.leaves
        sides = [(hinge, free)] if self.leaves == 1 else [(start, end), (end, start)]
        for here, there in sides:
            turn = 45.0 if here == start else -45.0
            tip = tuple_add(here, direction(bearing(here, there) - turn), share)
            figures.append(PathFigure((here, tip), "built", self.id, weight="thick"))
        return tuple(figures)


def _feet(posts: Sequence[Member]) -> tuple[XY, ...]:
    """Return where posts stand [m]."""
    return tuple((p.start[0], p.start[1]) for p in posts)


def _leaf(start: XY, end: XY, low_m: float, high_m: float) -> list[Member]:
    """Return two rails, a brace from the hinged foot up, and upright boards with small gaps, of one leaf [m]."""
    long, u, play = math.dist(start, end), direction(bearing(start, end)), 0.01
    a, b = tuple_add(start, u, play), tuple_add(end, u, -play)
    z = (low_m + 0.15, high_m - 0.2)
    out = [Member("rail", (*a, h), (*b, h), FRAME_M, "timber") for h in z]
    out.append(Member("gate brace", (*a, z[0] + FRAME_M[1]), (*b, z[1]), FRAME_M, "timber", more_m=FRAME_M[1]))
    count = max(math.floor((long - 2 * play + 0.01) / (BOARD_M[1] + 0.01) + 1e-9), 1)
    for i in range(count):
        at = tuple_add(a, u, (i + 0.5) * (long - 2 * play) / count)
        out.append(Member("board", (*at, low_m), (*at, high_m), BOARD_M, "timber"))
    return out
