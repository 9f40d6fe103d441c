"""A deck: a floor of boards on joists, beams and posts, above the ground."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise
from typing import Annotated, ClassVar, Literal

from pydantic import Field
from shapely import LineString

from quincunx.features._base import Group
from quincunx.features._decking import guard_joint, guard_members, lines_across
from quincunx.features._floors import FLOORS, Lies
from quincunx.features._frames import post_figures, wall_solids
from quincunx.features._kit import Built
from quincunx.features._lined import Outlined
from quincunx.features._plan import area_figure, bearing, biggest, inset, label, posts_along, strip, xy
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import (
    XY,
    AreaWork,
    DropWork,
    Figure,
    FrameWork,
    Height,
    Joint,
    Layer,
    Member,
    PathFigure,
    Solid,
    Surface,
    Work,
)
from quincunx.units.fields import Length, field, length

LOW_M = 0.25
"""A deck whose boards lie lower than this has no beams: its joists lie on pads (common practice, no source)."""
CLEAR_M = 0.05
"""So far a beam keeps clear of the ground: as high as a post stands on its base (common practice, no source)."""
RAIL_STRIP_M, EDGE_M = 0.06, 0.04


class Deck(Built, Outlined):
    """A floor of boards that stands on posts over pads."""

    words: ClassVar[str] = "deck"
    about: ClassVar[str] = (
        "A raised floor of boards on posts: level over sloping ground; feet step up to it, a guard stands where it is high."
    )
    group: ClassVar[Group] = "ground"
    example: ClassVar = {
        "id": "evening-deck", "outline": [[0, 0], [3.6, 0], [3.6, 2.4], [0, 2.4]], "floor_height": 0.45,
        "there_from": "2029-05",
    }  # fmt: skip

    weighed: ClassVar[tuple[str, ...]] = ("how",)
    kind: Literal["deck"] = "deck"
    floor_height: Length = length("Boards above the ground at its middle", 0.4, ge=0.08, le=3.0)
    board_wide: Length = length("Width of a board", 0.12, ge=0.06, le=0.3)
    board_thick: Length = length("Thickness of the boards", 0.028, ge=0.018, le=0.06)
    board_gap: Length = length("Gap between boards", 0.006, ge=0.0, le=0.02)
    joist_wide: Length = length("Width of the joists", 0.045, ge=0.03, le=0.1)
    joist_deep: Length = length("Depth of the joists", 0.145, ge=0.07, le=0.3)
    joists_apart: Length = length("Joists apart, at most", 0.4, ge=0.2, le=0.8)
    beam_wide: Length = length("Width of the beams", 0.09, ge=0.045, le=0.3)
    beam_deep: Length = length("Depth of the beams", 0.145, ge=0.07, le=0.4)
    beams_apart: Length = length("Beams apart, at most", 1.8, ge=0.6, le=4.0)
    post: Length = length("Post", 0.1, ge=0.07, le=0.3, help="one side of the square")
    bay: Length = length("Between posts along a beam, at most", 1.5, ge=0.6, le=4.0)
    pad: Length = length("Pads under the posts", 0.4, ge=0.2, le=1.5, help="one side of the square")
    guard_height: Length = length("Height of the guard", 0.0, ge=0.0, le=1.5, help="0: none")
    guard_gap: Length = length("Holes in the guard", 0.09, ge=0.02, le=0.3)
    open_sides: tuple[Annotated[int, Field(ge=1, le=60)], ...] = field(
        "Sides where one comes up", (), help="counted from the first corner: no guard, and steps or the ground lead up"
    )
    fixed_to_house: bool = field("Fixed to a house", False)

    def on_fewer_pads(self) -> tuple[str, float, Deck] | None:
        """Return the deck as high as beams and posts ask for, where it lies too low for them; None where it doesn't."""
        if float(self.floor_height) >= LOW_M:
            return None
        deep = sum(float(d) for d in (self.board_thick, self.joist_deep, self.beam_deep)) + CLEAR_M
        high = self.within("floor_height", math.ceil(100 * max(deep, LOW_M) - 1e-6) / 100)
        words = str(type(self).model_fields["floor_height"].title)
        return words, float(high), self.model_copy(update={"floor_height": high})

    def sides(self) -> tuple[tuple[XY, XY], ...]:
        """Return its sides in the order they were drawn [m]."""
        corners = xy(self.outline)
        return tuple(pairwise((*corners, corners[0])))

    def guarded(self) -> tuple[tuple[XY, XY], ...]:
        """Return the sides with a guard [m]."""
        if not self.guard_height:
            return ()
        return tuple(s for n, s in enumerate(self.sides(), start=1) if n not in self.open_sides)

    def joist_deg(self) -> float:
        """Return the bearing of the joists: across the longest side, so that boards run along it [deg]."""
        a, b = max(self.sides(), key=lambda s: round(math.dist(*s), 4))
        return (bearing(a, b) + 90.0) % 180.0

    def beams(self) -> tuple[tuple[XY, XY], ...]:
        """Return the beams across the joists [m]."""
        return lines_across(inset(self.plan(), float(self.post) / 2), float(self.beams_apart), self.joist_deg() + 90.0)

    def stand(self, moment: Moment) -> Stood:
        """Give the boards as a level floor, and the guard."""
        shape = self.plan()
        middle = shape.centroid
        top = moment.ground_z_m(middle.x, middle.y) + float(self.floor_height)
        lie, made = Height(top, "site"), FLOORS["boards"]
        floor = Surface(
            self.id,
            "",
            shape,
            "boards",
            lie,
            moment.year_months(made.firmness),
            run_off=made.run_off,
            layer=Lies.RAISED,
        )
        edges = [
            strip(s, EDGE_M).intersection(shape) for n, s in enumerate(self.sides(), 1) if n not in self.open_sides
        ]
        rim = tuple(
            Solid(self.id, f"edge{n}", biggest(e), top=lie)
            for n, e in enumerate((e for e in edges if not e.is_empty), 1)
        )
        strips = tuple(strip(s, RAIL_STRIP_M).intersection(shape) for s in self.guarded())
        guard = wall_solids(
            self.id, "guard", [biggest(s) for s in strips if not s.is_empty], lie, Height(top + float(self.guard_height), "site"),
            light=0.6, gap_m=float(self.guard_gap),
        )  # fmt: skip
        return Stood(rim + guard, (floor,), figures=self._figures(), work=self._work(moment, top))

    def _figures(self) -> tuple[Figure, ...]:
        shape = self.plan()
        beams = tuple(PathFigure(b, "below", self.id, weight="fine", dash=True) for b in self.beams())
        rails = tuple(PathFigure(s, "built", self.id, weight="thick") for s in self.guarded())
        posts = post_figures(self.id, self._posts(), float(self.post), self.joist_deg())
        return (
            area_figure(shape, "way", self.id, "boards", "normal"),
            *beams,
            *posts,
            *rails,
            *label(shape, self.name, "way", self.id),
        )

    def _posts(self) -> tuple[XY, ...]:
        if float(self.floor_height) < LOW_M:
            return ()
        return tuple(p for b in self.beams() for p in posts_along(b, float(self.bay)))

    def _joists(self) -> tuple[tuple[XY, XY], ...]:
        return lines_across(self.plan(), float(self.joists_apart), self.joist_deg())

    def _members(self, moment: Moment, top_z: float) -> Iterator[Member]:
        """Yield posts, beams, joists and guard; heights are above the ground at its middle [m]."""
        under = float(self.floor_height) - float(self.board_thick) - float(self.joist_deep)
        raised = float(self.floor_height) >= LOW_M
        if raised:
            low = under - float(self.beam_deep)
            ground = top_z - float(self.floor_height)
            for x, y in self._posts():
                foot = moment.ground_z_m(x, y) - ground
                size = (float(self.post), float(self.post))
                yield Member("post", (x, y, min(foot, low - 0.02)), (x, y, low), size, "timber", "post")
            for a, b in self.beams():
                bays = max(math.ceil(math.dist(a, b) / float(self.bay) - 1e-9), 1)
                yield Member(
                    "beam", (*a, low), (*b, low), (float(self.beam_wide), float(self.beam_deep)), "timber", carries="floor",
                    strip_m=self._beam_step(), span_m=math.dist(a, b) / bays,
                )  # fmt: skip
        for a, b in self._joists():
            span = min(self._beam_step(), math.dist(a, b)) if raised else min(math.dist(a, b), 1.2)
            yield Member(
                "joist", (*a, under), (*b, under), (float(self.joist_wide), float(self.joist_deep)), "timber", carries="floor",
                strip_m=float(self.joists_apart), span_m=span,
            )  # fmt: skip
        yield from guard_members(
            self.guarded(), float(self.floor_height), float(self.guard_height), float(self.guard_gap)
        )

    def _beam_step(self) -> float:
        """Return how far the beams really lie apart [m]."""
        beams = self.beams()
        if len(beams) < 2:
            return float(self.beams_apart)
        return float(LineString(beams[0]).distance(LineString(beams[1])))

    def _work(self, moment: Moment, top_z: float) -> tuple[Work, ...]:
        shape, members = self.plan(), tuple(self._members(moment, top_z))
        posts, joists = self._posts(), self._joists()
        pads = posts or tuple(p for j in joists for p in posts_along(j, 1.2))
        joints = (
            *(_post_joints(len(posts)) if posts else ()),
            Joint(
                "joist on the beams", "laid over each beam, held from both sides", len(joists) * max(len(self.beams()), 1),
                (("framing anchor", 2),),
            ),
            *guard_joint(members),
        )  # fmt: skip
        assumes = (
            "boards run along the longest side, joists across them",
            "beams and joists are in one piece, or joined over a post or a beam",
            "nothing heavier stands on it than people and chairs",
        )
        order = ("Set the beams on the posts, level both ways", "Lay the joists, crown upwards", "Lay the boards, heart side down, with even gaps",
                 *(("Bolt the guard posts before the outer boards, then rails and balusters",) if self.guarded() else ()))  # fmt: skip
        frame = FrameWork(
            self.id,
            members,
            pads,
            joints,
            assumes,
            None,
            float(self.pad),
            order=order if posts else order[1:],
            on_pads=True,
            floor_m2=float(shape.area),
        )
        unit = (2.4, float(self.board_wide))
        boards = AreaWork(
            self.id, shape, (Layer("boards", float(self.board_thick)),), "running", unit, float(self.board_gap)
        )
        made = self.built_work((frame, boards), pads)
        drop = max(top_z - moment.ground_z_m(*c) for c in xy(self.outline))
        return (
            *made,
            DropWork(
                self.id,
                "the deck",
                max(drop, 0.0),
                float(self.guard_height),
                float(self.guard_gap),
                float(shape.area),
                self.fixed_to_house,
                tuple(LineString(s) for s in self.sides() if s not in self.guarded()),
            ),
        )


def _post_joints(count: int) -> tuple[Joint, ...]:
    bolt = (("coach bolt M12", 2),)
    return (
        Joint("post on its base", "base bolted to the pad, post 5 cm clear of the ground", count, bolt),
        Joint("beam on the posts", "set on the post or notched half into it, bolted", count, bolt),
    )
