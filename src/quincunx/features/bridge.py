"""A bridge: boards on beams from bank to bank, over a ditch or a stream."""

from __future__ import annotations

import math
from typing import ClassVar, Literal

from shapely import LineString, Polygon

from quincunx.features._base import Group
from quincunx.features._decking import guard_joint, guard_members
from quincunx.features._floors import FLOORS, Lies
from quincunx.features._frames import wall_solids
from quincunx.features._kit import Built
from quincunx.features._lined import Sharp
from quincunx.features._plan import area_figure, bearing, direction, label, strip, tuple_add, xy
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import XY, DropWork, Figure, FrameWork, Height, Joint, Member, PathFigure, Plane, Surface, Work
from quincunx.units.fields import Length, field, length

SILL_M = (0.1, 0.2)
RAIL_STRIP_M = 0.06
CLEAR_M = 0.05
"""Sills under the beams, and how far beams lie clear of the bank (common practice, no source)."""


class Bridge(Built, Sharp):
    """A straight footbridge from one bank to the other."""

    words: ClassVar[str] = "bridge"
    about: ClassVar[str] = (
        "Boards on beams over a ditch or a stream: feet and barrows cross on it; the water goes on below."
    )
    group: ClassVar[Group] = "ground"
    example: ClassVar = {
        "id": "ditch-bridge", "line": [[0, 0], [0, 2.4]], "width": 1.0, "below": 0.6, "there_from": "2029-04",
    }  # fmt: skip

    weighed: ClassVar[tuple[str, ...]] = ("how",)
    kind: Literal["bridge"] = "bridge"
    width: Length = length("Width", 1.0, ge=0.4, le=4.0)
    rests: Length = length("Rests on each bank", 0.4, ge=0.15, le=1.5, help="how far in from both ends the sills lie")
    below: Length | None = length(
        "Drop below it", None, ge=0.0, le=6.0, help="from the boards to the bottom; empty: as the ground lies"
    )
    beams: int = field("Beams", 3, ge=2, le=12)
    beam_wide: Length = length("Width of the beams", 0.075, ge=0.04, le=0.3)
    beam_deep: Length = length("Depth of the beams", 0.2, ge=0.08, le=0.5)
    board_wide: Length = length("Width of a board", 0.145, ge=0.06, le=0.3)
    board_thick: Length = length("Thickness of the boards", 0.038, ge=0.02, le=0.08)
    board_gap: Length = length("Gap between boards", 0.01, ge=0.0, le=0.025)
    guard_height: Length = length("Height of the guard on both sides", 0.0, ge=0.0, le=1.5, help="0: none")
    guard_gap: Length = length("Holes in the guard", 0.09, ge=0.02, le=0.5)
    pad: Length = length("Pads under the sills", 0.4, ge=0.2, le=1.0, help="one side of the square")

    def ends(self) -> tuple[XY, XY]:
        """Return its two ends [m]."""
        points = xy(self.line)
        return points[0], points[-1]

    def plan(self) -> Polygon:
        """Return its boards in plan [m]."""
        return strip(self.ends(), float(self.width))

    def span_m(self) -> float:
        """Return the clear span between the sills [m]."""
        return max(math.dist(*self.ends()) - 2 * float(self.rests), 0.0)

    def rows(self) -> tuple[tuple[XY, XY], ...]:
        """Return the middle lines of the beams [m]."""
        a, b = self.ends()
        aside, free = direction(bearing(a, b) + 90.0), float(self.width) - float(self.beam_wide)
        steps = [-free / 2 + free * i / (self.beams - 1) for i in range(self.beams)]
        return tuple((tuple_add(a, aside, s), tuple_add(b, aside, s)) for s in steps)

    def feet(self) -> tuple[XY, ...]:
        """Return where its sills are carried: near both ends of each sill [m]."""
        a, b = self.ends()
        along, aside = direction(bearing(a, b)), direction(bearing(a, b) + 90.0)
        half = max(float(self.width) / 2 - 0.1, 0.1)
        sills = tuple_add(a, along, float(self.rests) / 2), tuple_add(b, along, -float(self.rests) / 2)
        return tuple(tuple_add(s, aside, side * half) for s in sills for side in (-1, 1))

    def stand(self, moment: Moment) -> Stood:
        """Give the boards as a level floor from bank to bank, over whatever lies below, and its guards."""
        a, b = self.ends()
        top = max(moment.ground_z_m(*a), moment.ground_z_m(*b)) + CLEAR_M
        shape, up, made = self.plan(), Height(top, "site"), FLOORS["boards"]
        lie = Plane(a[0], a[1], up, 0.0, 0.0)
        floor = Surface(
            self.id,
            "",
            shape,
            "boards",
            lie,
            moment.year_months(made.firmness),
            run_off=made.run_off,
            layer=Lies.BRIDGE,
        )
        high = float(self.guard_height)
        rails = wall_solids(
            self.id, "guard", [strip(s, RAIL_STRIP_M) for s in self._edges()], up, Height(top + high, "site"), light=0.6,
            gap_m=float(self.guard_gap),
        ) if high else ()  # fmt: skip
        middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        drop = top - moment.ground_z_m(*middle) if self.below is None else float(self.below)
        return Stood(rails, (floor,), figures=self._figures(), work=self._work(max(drop, 0.0)))

    def _edges(self) -> tuple[tuple[XY, XY], ...]:
        a, b = self.ends()
        aside, out = direction(bearing(a, b) + 90.0), float(self.width) / 2 - RAIL_STRIP_M / 2
        return tuple((tuple_add(a, aside, s * out), tuple_add(b, aside, s * out)) for s in (-1, 1))

    def _figures(self) -> tuple[Figure, ...]:
        shape = self.plan()
        beams = tuple(PathFigure(r, "below", self.id, weight="fine", dash=True) for r in self.rows())
        edges = tuple(
            PathFigure(e, "built", self.id, weight="thick" if self.guard_height else "normal") for e in self._edges()
        )
        return (
            area_figure(shape, "way", self.id, "boards", "normal"),
            *beams,
            *edges,
            *label(shape, self.name, "way", self.id),
        )

    def _work(self, drop_m: float) -> tuple[Work, ...]:
        a, b = self.ends()
        long, wide = math.dist(a, b), float(self.width)
        deep, thick = float(self.beam_deep), float(self.board_thick)
        rows, feet = self.rows(), self.feet()
        strip_m = wide / (self.beams - 1)
        floor = CLEAR_M
        low = floor - thick - deep
        members = [
            Member(
                "beam", (*s, low), (*e, low), (float(self.beam_wide), deep), "timber", carries="floor", strip_m=strip_m,
                span_m=self.span_m(),
            )
            for s, e in rows
        ]  # fmt: skip
        members += [
            Member(
                "sill", (*feet[i], low - SILL_M[0]), (*feet[i + 1], low - SILL_M[0]), (SILL_M[1], SILL_M[0]), "timber"
            )
            for i in (0, 2)
        ]
        step = float(self.board_wide) + float(self.board_gap)
        count = math.floor((long + float(self.board_gap)) / step + 1e-9)
        along, aside = direction(bearing(a, b)), direction(bearing(a, b) + 90.0)
        for i in range(count):
            at = tuple_add(a, along, (i + 0.5) * long / count)
            s, e = tuple_add(at, aside, -wide / 2), tuple_add(at, aside, wide / 2)
            members.append(
                Member("board", (*s, floor - thick), (*e, floor - thick), (float(self.board_wide), thick), "timber", carries="floor",
                       strip_m=step, span_m=max(strip_m - float(self.beam_wide), 0.0))
            )  # fmt: skip
        if self.guard_height:
            members += guard_members(self._edges(), floor, float(self.guard_height), float(self.guard_gap))
        joints = (
            Joint("beam on the sills", "laid on a strip of felt, bolted down through an angle", 2 * len(rows), (("coach bolt M12", 2),)),
            Joint("sill on its pads", "bolted to both pads", 4, (("coach bolt M12", 1),)),
            Joint("board on the beams", "screwed twice over each beam", count * len(rows), (("structural screw 6 × 120", 2),)),
            *guard_joint(members),
        )  # fmt: skip
        assumes = (
            "the banks are firm and don't wash away, and the pads stand well back from their edges; floods and ice are left out",
            f"sills lie {float(self.rests) * 100:.0f} cm in from the ends at most, above the highest usual water",
            "people and barrows cross it, no machine",
        )
        order = ("Bolt the sills down, level across",
                 "Carry the beams over one by one, two people, from both banks", "Screw the boards from one bank to the other",
                 *(("Bolt the guard posts through the outer beams, then rails and balusters",) if self.guard_height else ()))  # fmt: skip
        frame = FrameWork(
            self.id, tuple(members), feet, joints, assumes, None, float(self.pad), order=order, floor_m2=long * wide
        )
        made = self.built_work((frame,), feet)
        edges = () if self.guard_height else tuple(LineString(e) for e in self._edges())
        return (
            *made,
            DropWork(self.id, "the bridge", drop_m, float(self.guard_height), float(self.guard_gap), edges=edges),
        )
