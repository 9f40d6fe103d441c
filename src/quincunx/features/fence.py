"""A fence: boards, pickets, mesh, wire or hurdles on posts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from shapely import LineString

from quincunx.features._base import Group
from quincunx.features._lined import Lined
from quincunx.features._plan import area_figure, posts_along, rectangle
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import XY, Figure, FrameWork, Height, Joint, LineWork, Member, Pattern, Solid, every_month
from quincunx.units.fields import Length, field, length

Sort = Literal["boards", "pickets", "mesh", "wire", "hurdles"]


@dataclass(frozen=True, slots=True)
class Build:
    """How a sort of fence is usually built: largest hole [m], thickness [m], share of a view it blocks, pattern."""

    hole_m: float
    thickness_m: float
    opacity: float
    pattern: Pattern


BUILDS: dict[str, Build] = {
    "boards": Build(0.0, 0.04, 1.0, "boards"),
    "pickets": Build(0.06, 0.05, 0.55, "boards"),
    "mesh": Build(0.05, 0.02, 0.1, "cross"),
    "wire": Build(0.25, 0.02, 0.03, "plain"),
    "hurdles": Build(0.02, 0.06, 0.95, "hatch"),
}
"""Common practice, no source."""


class Fence(Lined):
    """A fence along a line, unbroken from end to end unless a gate or a gap cuts it."""

    words: ClassVar[str] = "fence"
    about: ClassVar[str] = (
        "Boards, pickets, mesh, wire or hurdles on posts: stops whoever can't jump it, creep under it or slip "
        "through it, as soon as it is built. Snow takes from its height."
    )
    group: ClassVar[Group] = "walls"
    opens: ClassVar[bool] = True
    example: ClassVar = {
        "id": "nuttery-fence",
        "line": [[0, 0], [6, 0], [6, 5]],
        "sort": "mesh",
        "height": 1.5,
        "there_from": "2027-10",
    }

    weighed: ClassVar[tuple[str, ...]] = ("sort",)
    kind: Literal["fence"] = "fence"
    sort: Sort = field("Sort", "boards")
    closed: bool = field("Comes back to its start", False)
    # Against roe and muntjac 1.5 m, red and fallow 1.8 m (treeterms.co.uk, read); white-tailed deer at least 8 ft
    # (ask.extension.org, question 668208, read).
    height: Length = length("Height", 1.2, ge=0.2, le=3.5)
    under: Length = length("Clear below it", 0.03, ge=0.0, le=0.6)
    hole: Length | None = length("Largest hole through it", None, ge=0.0, le=0.6, help="empty: as usual for its sort")
    post_spacing: Length = length("Posts at most this far apart", 1.8, ge=0.5, le=5.0)
    post: Length = length("Thickness of the posts", 0.075, ge=0.03, le=0.3)
    post_in_ground: Length = length("Posts in the ground", 0.6, ge=0.2, le=1.5)

    def is_closed(self) -> bool:
        """Return whether the fence comes back to its start."""
        return self.closed

    def posts(self) -> tuple[XY, ...]:
        """Return where the posts stand [m]: at both ends, at every corner and evenly between."""
        if not self.rounding:
            return posts_along(self.line, float(self.post_spacing), closed=self.closed)
        points = [*self.course(), *(self.course()[:1] if self.closed else ())]
        line = LineString(points)
        count = max(int(line.length / float(self.post_spacing) - 1e-9) + 1, 1)
        marks = [line.interpolate(i / count, normalized=True) for i in range(count if self.closed else count + 1)]
        return tuple((p.x, p.y) for p in marks)

    def stand(self, moment: Moment) -> Stood:
        """Give one solid with the holes and the clearance below that it has."""
        build = BUILDS[self.sort]
        shape, high = self.along(build.thickness_m), float(self.height)
        hole = build.hole_m if self.hole is None else float(self.hole)
        # The clearance can't take all of a very low fence.
        solid = Solid(
            self.id,
            "",
            shape,
            Height(min(float(self.under), high / 2)),
            Height(high),
            gap_m=hole,
            opacity=every_month(build.opacity),
            transmittance=every_month(1 - build.opacity),
        )
        squares = [rectangle(at, float(self.post), float(self.post), 0.0) for at in self.posts()]
        figures: tuple[Figure, ...] = (
            area_figure(shape, "wall", self.id, build.pattern, "normal"),
            *(area_figure(square, "wall", self.id, weight="fine") for square in squares),
        )
        run = LineWork(
            self.id, LineString(self.course()), high, build.thickness_m, self.sort, self.closed, self.posts()
        )
        return Stood((solid,), figures=figures, work=(run, self._frame()))

    def _frame(self) -> FrameWork:
        side, deep, high = float(self.post), float(self.post_in_ground), float(self.height)
        posts = tuple(
            Member("post", (x, y, -deep), (x, y, high), (side, side), "fence post", "post") for x, y in self.posts()
        )
        joints = (
            Joint("post in its hole", f"{deep * 100:.0f} cm deep in concrete, its top sloped to shed rain", len(posts)),
        )
        return FrameWork(self.id, posts, self.posts(), joints)
