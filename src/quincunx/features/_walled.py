"""Small buildings with four walls, a door in one of them and a roof: their shared fields and how they stand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from shapely import LineString, Polygon

from quincunx.features._base import Axis
from quincunx.features._floors import FLOORS, FloorName, Lies
from quincunx.features._frames import (
    beside_door,
    door_line,
    door_middle_m,
    door_opening,
    plate_members,
    post_members,
    posts_round,
    wall_solids,
)
from quincunx.features._kit import Built
from quincunx.features._placed import Turned
from quincunx.features._plan import area_figure, direction, mirrored_side, rectangle, tuple_add
from quincunx.features._roofs import fill_solids, roof_figures, roof_members, roof_solids, roof_work
from quincunx.features._slopes import Edge, RoofForm, Slope, drained, edges, rise_at_m, slopes
from quincunx.features._structure import DEAD_KPA, SLIPPERY
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import (
    GROUND,
    Figure,
    FrameWork,
    Height,
    Joint,
    LineWork,
    Member,
    Opening,
    PathFigure,
    Roof,
    Solid,
    Surface,
    Work,
    every_month,
)
from quincunx.units.fields import Length, Slug, degrees, field, length


@dataclass(frozen=True, slots=True)
class Skin:
    """What walls and roof are made of: names, thickness [m], share of sunlight let through, frame [m]."""

    wall: str
    wall_m: float
    roof: str
    roof_m: float
    light: float
    frame_m: tuple[float, float]
    apart_m: float
    frame: str


class Walled(Built, Turned):
    """A rectangular building; subclasses say its skin, its roof and which sides have walls."""

    eaves_height: Length = length("Height at the eaves", 1.8, ge=0.8, le=4.0)
    pitch_deg: float = degrees("Pitch", 25.0, lt=61.0)
    overhang: Length = length("Roof reaches past the walls", 0.1, ge=0.0, le=1.0)
    door_side: int = field("Door in side", 1, ge=1, le=4, help="counted clockwise, seen from above; 1 is the front")
    door_aside: Length = length("Door off the middle of its side", 0.0, ge=-8.0, le=8.0)
    door_width: Length = length("Clear width of the door", 0.75, ge=0.4, le=3.0)
    door_height: Length = length("Clear height of the door", 1.9, ge=1.0, le=3.0)
    door_step: Length = length("Step at the door", 0.0, ge=0.0, le=0.4)
    floor: FloorName | None = field("Floor inside", None)
    sheds_to: Slug | None = field(
        "Its rain goes to", None, help="a water butt or tank; empty: to the ground at the eaves"
    )

    def mirrored(self, axis: Axis) -> dict[str, Any]:
        """Put the door in the side that mirrors its own, as far off its middle the other way."""
        door = {"door_side": mirrored_side(self.door_side, 4), "door_aside": Length(-float(self.door_aside))}
        return {**super().mirrored(axis), **door}

    def features_named(self) -> tuple[str, ...]:
        """Return the tank its rain goes to."""
        return (self.sheds_to,) if self.sheds_to else ()

    def skin(self) -> Skin:
        """Return what it is made of."""
        raise NotImplementedError(f"{type(self).__name__} doesn't say what it is made of")

    def roof_form(self) -> tuple[RoofForm, int]:
        """Return the roof's form and the side it falls to."""
        return "gable", 2

    def leans(self) -> bool:
        """Return whether its back (side 3) is another's wall."""
        return False

    def low_wall(self) -> float:
        """Return the height of a solid low wall under lighter ones [m]."""
        return 0.0

    def joints(self, members: Sequence[Member]) -> tuple[Joint, ...]:
        """Return how its frame is put together."""
        count = {n: sum(m.count for m in members if m.name == n) for n in ("post", "plate", "rafter")}
        return (
            Joint(
                "post on its base",
                "base bolted down, post clear of the ground",
                count["post"],
                (("coach bolt M12", 2),),
            ),
            Joint(
                "plate on the posts", "half-lapped over the post, strapped down", count["post"], (("steel strap", 2),)
            ),
            Joint(
                "rafter on the plate",
                "notched a third of its depth at most, tied down",
                count["rafter"],
                (("framing anchor", 2),),
            ),
        )

    def assumes(self) -> tuple[str, ...]:
        """Return what was taken for granted."""
        return (
            "walls brace it against wind from the side once they are on",
            "the floor inside is level with its threshold",
        )

    def order_of_work(self) -> tuple[str, ...]:
        """Return its own order of work; empty for the usual one."""
        return ()

    def base_work(self) -> tuple[Work, ...]:
        """Return what it stands on besides pads under its posts; most have nothing."""
        return ()

    def sides(self) -> tuple[Edge, ...]:
        """Return the four sides clockwise from the front."""
        return edges(self.plan(), self.facing_deg)

    def eaves(self) -> Polygon:
        """Return the roof's edge in plan; it doesn't reach into a wall it leans on [m]."""
        over = float(self.overhang)
        back = 0.0 if self.leans() else over
        middle = tuple_add((float(self.at[0]), float(self.at[1])), direction(self.facing_deg), (over - back) / 2)
        return rectangle(middle, float(self.width) + 2 * over, float(self.depth) + over + back, self.facing_deg)

    def slopes(self) -> tuple[Slope, ...]:
        """Return the roof's slopes."""
        form, to_side = self.roof_form()
        eaves = self.eaves()
        return slopes(eaves, drained(form, edges(eaves, self.facing_deg), to_side), self.pitch_deg)

    def door(self) -> tuple[Edge, float, float]:
        """Return the door's side, where along it its middle is and its free headroom under the roof [m]."""
        side = self.sides()[self.door_side - 1]
        wide = min(float(self.door_width), side.length_m)
        middle = door_middle_m(side, float(self.door_aside), wide)
        corners = [side.point(middle + s * wide / 2, t) for s in (-1, 1) for t in (0.0, self.skin().wall_m)]
        slopes = self.slopes()
        roof = float(self.eaves_height) + min(rise_at_m(slopes, c) for c in corners)
        return side, middle, min(float(self.door_height), roof)

    def stand(self, moment: Moment) -> Stood:
        """Give walls with the door left free, gable ends, roof slopes and floor, level on the ground at its middle."""
        z0 = moment.ground_z_m(float(self.at[0]), float(self.at[1]))
        side, middle, head = self.door()
        wide, thick = min(float(self.door_width), side.length_m), self.skin().wall_m
        way = door_opening(self.id, side, middle, wide, head, thick, float(self.door_step))
        roof = self.slopes()
        return Stood(
            self._walls(z0, roof) + self._roof(z0, roof),
            self._floor(moment),
            (way,),
            figures=self._figures(roof, way),
            work=self._work(moment, z0, roof),
        )

    def strips(self) -> tuple[tuple[Polygon, ...], Polygon]:
        """Return the walls in plan without the door, and the strip over the door [m]."""
        side, middle, _ = self.door()
        thick, out = self.skin().wall_m, list[Polygon]()
        beside, over = beside_door(side, middle, min(float(self.door_width), side.length_m), thick)
        for n, one in enumerate(self.sides(), start=1):
            if n == self.door_side:
                out += beside
            elif not (n == 3 and self.leans()):
                out.append(one.strip(0.0, one.length_m, thick))
        return tuple(out), over

    def _walls(self, z0: float, roof: tuple[Slope, ...]) -> tuple[Solid, ...]:
        light, eaves, low, (_, _, head) = self.skin().light, z0 + float(self.eaves_height), self.low_wall(), self.door()
        strips, over = self.strips()
        top = Height(eaves, "site")
        out = wall_solids(self.id, "low", strips, GROUND, Height(z0 + low, "site")) if low else ()
        base = Height(z0 + low, "site") if low else GROUND
        out += wall_solids(self.id, "wall", strips, base, top, light=light)
        out += fill_solids(self.id, strips, roof, eaves, light=light)
        above = head - float(self.eaves_height)
        if above < 0:
            out += wall_solids(self.id, "over", (over,), Height(z0 + head, "site"), top, light=light)
        return out + fill_solids(self.id, (over,), roof, eaves, light=light, from_m=max(above, 0.0), part="over-door")

    def _roof(self, z0: float, roof: tuple[Slope, ...]) -> tuple[Solid, ...]:
        skin = self.skin()
        return roof_solids(
            self.id, roof, z0 + float(self.eaves_height), skin.roof_m, light=every_month(skin.light),
            seen=every_month(1 - skin.light), sheds_to=self.sheds_to,
        )  # fmt: skip

    def _floor(self, moment: Moment) -> tuple[Surface, ...]:
        if self.floor is None:
            return ()
        made, inside = FLOORS[self.floor], self.plan().buffer(-self.skin().wall_m, join_style="mitre")
        return (
            Surface(
                self.id,
                "floor",
                inside,
                self.floor,
                firmness=moment.year_months(made.firmness),
                run_off=0.0,
                layer=Lies.RAISED,
            ),
        )

    def _figures(self, roof: tuple[Slope, ...], way: Opening) -> tuple[Figure, ...]:
        side, middle, _ = self.door()
        walls = [area_figure(s, "built", self.id, "plain", "normal") for s in self.strips()[0]]
        inside = (
            [area_figure(self.plan(), "built", self.id, FLOORS[self.floor].pattern, edge=False)] if self.floor else []
        )
        leaf = PathFigure(door_line(side, middle, way.width_m), "way", self.id, weight="normal")
        return (*inside, *walls, leaf, *roof_figures(self.id, self.eaves(), roof))

    def _work(self, moment: Moment, z0: float, roof: tuple[Slope, ...]) -> tuple[Work, ...]:
        skin, high, low = self.skin(), float(self.eaves_height), self.low_wall()
        post, sides = skin.frame_m[0], self.sides()
        corners = posts_round(sides, 60.0, post)
        # Plates lie under the rafters and on the posts.
        heights = [high + rise_at_m(roof, at) - skin.frame_m[1] for at in corners]
        members = post_members(moment, corners, post, [z0 + h for h in heights], skin.frame, z0)
        members += plate_members((*corners, corners[0]), (*heights, heights[0]), skin.frame_m, skin.frame, more_m=post)
        past = float(self.overhang) + post / 2
        members += roof_members(roof, high, skin.apart_m, skin.frame_m, skin.frame, past_m=past)
        top = max(s.rises_m()[1] for s in roof)
        shape = Roof(
            self.eaves().area,
            self.pitch_deg,
            DEAD_KPA.get(skin.roof, 0.3),
            0.0,
            1.0,
            high,
            high + top,
            len(roof),
            skin.roof in SLIPPERY,
        )
        made: list[Work] = [
            FrameWork(
                self.id,
                members,
                corners,
                self.joints(members),
                self.assumes(),
                shape,
                order=self.order_of_work(),
                on_pads=True,
            ),
            *self.base_work(),
        ]
        walls = [e for n, e in enumerate(sides, start=1) if not (n == 3 and self.leans())]
        made += [LineWork(self.id, LineString([e.start, e.end]), high - low, skin.wall_m, skin.wall) for e in walls]
        made += [LineWork(self.id, LineString([e.start, e.end]), low, 0.1, "brick") for e in walls if low]
        return self.built_work((*made, *roof_work(self.id, roof, skin.roof, skin.roof_m)), corners)
