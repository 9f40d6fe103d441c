"""A pergola: posts, beams and open slats along a line."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any, ClassVar, Literal

from shapely import LineString, Polygon

from quincunx.features._base import Axis, Group
from quincunx.features._frames import post_figures, post_members
from quincunx.features._kit import Built
from quincunx.features._lined import Lined
from quincunx.features._plan import bearing, direction, outline_figure, rectangle, strip, tuple_add, xy
from quincunx.features._structure import DEAD_KPA
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import (
    XY,
    Figure,
    FrameWork,
    Height,
    Joint,
    Member,
    PathFigure,
    Roof,
    Slats,
    Solid,
    Work,
    every_month,
)
from quincunx.units.fields import Length, degrees, field, length

BEAM_M = (0.045, 0.145)
"""Section of the beams and, by depth, of slats (common practice, no source; build screens the span)."""
TIMBER = "timber"
SHARP_DEG = 20.0
"""A corner turning more than this gets a post of its own."""


class Pergola(Built, Lined):
    """Posts in pairs along a line, beams on them and slats across."""

    words: ClassVar[str] = "pergola"
    about: ClassVar[str] = "Posts with open slats over a way: half shade, no shelter from rain, something to climb on."
    group: ClassVar[Group] = "shelter"
    example: ClassVar = {
        "id": "vine-walk",
        "line": [[0, 0], [0, 6]],
        "width": 2.4,
        "clear_height": 2.3,
        "there_from": "2028-04",
    }

    weighed: ClassVar[tuple[str, ...]] = ("how",)
    kind: Literal["pergola"] = "pergola"
    width: Length = length("Width over the posts", 2.4, ge=0.6, le=8.0)
    clear_height: Length = length("Clear height under the beams", 2.3, ge=1.8, le=5.0)
    post: Length = length("Post", 0.1, ge=0.05, le=0.6, help="one side of the square")
    bay: Length = length("Between posts, at most", 2.4, ge=0.8, le=5.0)
    stands_on: Literal["both sides", "left posts only", "right posts only"] = field(
        "Posts", "both sides", help="with posts on one side only the other beam is fixed to a wall"
    )
    slat_depth: Length = length("Depth of the slats", 0.145, ge=0.01, le=0.4)
    slat_thickness: Length = length("Thickness of the slats", 0.045, ge=0.005, le=0.2)
    slat_gap: Length = length("Clear between slats", 0.4, ge=0.01, le=2.0)
    slat_tilt_deg: float = degrees("Slats lean from upright", 0.0, lt=90.0)
    lengthwise: bool = field("Slats run along, not across", False)
    past: Length = length("Slats reach past the posts", 0.3, ge=0.0, le=1.0)

    def _offset(self, by_m: float) -> tuple[XY, ...]:
        """Return the line moved ``by_m`` to its right, corners mitred [m]."""
        pts = self.course()
        rights = [direction(bearing(a, b) + 90.0) for a, b in pairwise(pts)]
        out = []
        for i, p in enumerate(pts):
            (ax, ay), (bx, by) = rights[max(i - 1, 0)], rights[min(i, len(rights) - 1)]
            scale = by_m / max(1.0 + ax * bx + ay * by, 0.2)
            out.append((p[0] + (ax + bx) * scale, p[1] + (ay + by) * scale))
        return tuple(out)

    def mirrored(self, axis: Axis) -> dict[str, Any]:
        """Stand on the side that mirrors its own."""
        other = {"left posts only": "right posts only", "right posts only": "left posts only"}
        return {**super().mirrored(axis), "stands_on": other.get(self.stands_on, self.stands_on)}

    def _rows(self) -> tuple[tuple[XY, ...], ...]:
        """Return the two beam lines, left then right [m]."""
        half = (float(self.width) - float(self.post)) / 2
        return self._offset(-half), self._offset(half)

    def posts(self) -> tuple[XY, ...]:
        """Return where the posts stand [m]."""
        left, right = (_posts_on(row, float(self.bay)) for row in self._rows())
        return {"both sides": left + right, "left posts only": left, "right posts only": right}[self.stands_on]

    def roofs(self) -> tuple[tuple[Polygon, float], ...]:
        """Return each leg's slatted roof in plan [m] and the bearing of the leg [deg]."""
        reach = float(self.width) / 2 + float(self.past)
        left, right, pts = self._offset(-reach), self._offset(reach), self.course()
        return tuple(
            (Polygon([left[i], left[i + 1], right[i + 1], right[i]]), bearing(pts[i], pts[i + 1]))
            for i in range(len(pts) - 1)
        )

    def _slat_lines(self, roof: Polygon, along_deg: float) -> tuple[tuple[XY, XY], ...]:
        """Return the middle line of each slat of a leg [m]."""
        run_deg = along_deg if self.lengthwise else along_deg + 90.0
        step, middle = float(self.slat_gap) + float(self.slat_thickness), roof.centroid.coords[0]
        u, v = direction(run_deg), direction(run_deg + 90.0)
        reach = max(abs((x - middle[0]) * v[0] + (y - middle[1]) * v[1]) for x, y in roof.exterior.coords)
        most = math.floor((reach - float(self.slat_thickness) / 2) / step + 1e-9)
        found = []
        for i in range(-most, most + 1):
            at = tuple_add(middle, v, i * step)
            cut = LineString([tuple_add(at, u, -500.0), tuple_add(at, u, 500.0)]).intersection(roof)
            if isinstance(cut, LineString) and cut.length > 0.05:
                a, b = xy(cut.coords)
                found.append((a, b))
        return tuple(found)

    def stand(self, moment: Moment) -> Stood:
        """Give the posts as real solids and one slatted roof a leg; both follow the ground."""
        clear, beam, deep = float(self.clear_height), BEAM_M[1], float(self.slat_depth)
        open_share = float(self.slat_gap) / (float(self.slat_gap) + float(self.slat_thickness))
        posts = self.posts()
        solids = [
            Solid(self.id, f"post{n}", self._post(at), top=Height(clear)) for n, at in enumerate(posts, start=1)
        ] + [
            Solid(self.id, f"beam{n}", strip(row, BEAM_M[0]), Height(clear), Height(clear + beam))
            for n, row in enumerate(self._rows(), start=1)
        ]
        for n, (roof, along_deg) in enumerate(self.roofs(), start=1):
            run_deg = (along_deg if self.lengthwise else along_deg + 90.0) % 180.0
            form = Slats(run_deg, deep, float(self.slat_gap), self.slat_tilt_deg, float(self.slat_thickness))
            solids.append(
                Solid(
                    self.id, f"slats{n}", roof, Height(clear + beam), Height(clear + beam + deep), form,
                    float(self.slat_gap), opacity=every_month(1 - open_share), transmittance=every_month(open_share),
                )
            )  # fmt: skip
        return Stood(tuple(solids), figures=self._figures(posts), work=self._work(moment, posts))

    def _turn_deg(self, at: XY) -> float:
        """Return the bearing of the leg nearest to a post [deg]."""
        pts = self.course()
        legs = [(LineString(leg).distance(LineString([at, at])), i) for i, leg in enumerate(pairwise(pts))]
        i = min(legs)[1]
        return bearing(pts[i], pts[i + 1])

    def _post(self, at: XY) -> Polygon:
        return rectangle(at, float(self.post), float(self.post), self._turn_deg(at))

    def _figures(self, posts: tuple[XY, ...]) -> tuple[Figure, ...]:
        roofs = self.roofs()
        slats = [line for roof, along in roofs for line in self._slat_lines(roof, along)]
        drawn: list[Figure] = [outline_figure(roof, "roof", self.id, "thin", dash=True) for roof, _ in roofs]
        drawn += [PathFigure(line, "roof", self.id, weight="fine") for line in slats]
        drawn += [PathFigure(row, "roof", self.id, weight="thin", dash=True) for row in self._rows()]
        drawn += [f for at in posts for f in post_figures(self.id, (at,), float(self.post), self._turn_deg(at))]
        return tuple(drawn)

    def _work(self, moment: Moment, posts: tuple[XY, ...]) -> tuple[Work, ...]:
        """Return posts, beams from post to post, and slats cut to length."""
        z, post = float(self.clear_height), float(self.post)
        tops = [moment.ground_z_m(*at) + z for at in posts]
        members = [
            m
            for at, top in zip(posts, tops, strict=True)
            for m in post_members(moment, (at,), post, (top,), TIMBER, top - z)
        ]
        strip = float(self.width) / 2 + float(self.past)
        for row in self._rows():
            at = _posts_on(row, float(self.bay))
            members += [
                Member("beam", (*a, z), (*b, z), BEAM_M, TIMBER, carries="slats", strip_m=strip)
                for a, b in pairwise(at)
                if math.dist(a, b) > 1e-6
            ]
        section = (float(self.slat_thickness), float(self.slat_depth))
        top, step = z + BEAM_M[1], float(self.slat_gap) + float(self.slat_thickness)
        span = None if self.lengthwise else float(self.width) - post
        slats = [
            Member(
                "slat",
                (*a, top),
                (*b, top),
                section,
                TIMBER,
                carries="slats",
                strip_m=step,
                span_m=span,
                past_m=float(self.past),
            )
            for roof, along in self.roofs()
            for a, b in self._slat_lines(roof, along)
        ]
        members += slats
        area = sum(roof.area for roof, _ in self.roofs())
        shape = Roof(area, 0.0, DEAD_KPA["slats"], float(self.slat_gap) / step, 0.0, z, top + float(self.slat_depth))
        joints = (
            Joint(
                "post on its base",
                "base bolted to the pad, post 5 cm clear of the ground",
                len(posts),
                (("coach bolt M12", 2),),
            ),
            Joint("beam on the posts", "butted over the post, strapped both sides", len(posts), (("steel strap", 2),)),
            Joint(
                "slat on the beams",
                "notched over the beam, screwed from above",
                len(slats),
                (("structural screw 6 × 150", 2),),
            ),
        )
        return self.built_work((FrameWork(self.id, tuple(members), posts, joints, (), shape),), posts)


def _posts_on(row: tuple[XY, ...], bay_m: float) -> tuple[XY, ...]:
    """Return posts at the ends and sharp corners of a row, in equal bays between, also round a bend [m]."""
    turns = [
        (bearing(b, c) - bearing(a, b) + 180.0) % 360.0 - 180.0 for a, b, c in zip(row, row[1:], row[2:], strict=False)
    ]
    cuts = [0, *(i for i, turn in enumerate(turns, start=1) if abs(turn) > SHARP_DEG), len(row) - 1]
    out = [row[0]]
    for a, b in pairwise(cuts):
        run = LineString(row[a : b + 1])
        bays = max(math.ceil(run.length / bay_m - 1e-9), 1)
        out += xy(run.interpolate(i / bays, normalized=True).coords[0] for i in range(1, bays + 1))
    return tuple(out)
