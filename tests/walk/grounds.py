"""Small made-up gardens for the tests of walking: walls, hedges, gates straight from shapes, without any kind."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date

from shapely import LineString, Polygon, box

from quincunx.scene import Frame, Moment, Room, Scene, Spot, Stood, Timeline, assemble
from quincunx.shapes import Cut, Height, Latch, Leaf, Opening, Solid, Surface
from quincunx.site.ground import Ground
from quincunx.walk.walkers import Walker, find_walker
from quincunx.works import Means

ON = date(2027, 8, 31)
LEAF = Leaf(1.2)


@dataclass(frozen=True)
class Thing:
    """A feature of no kind: what it gives is written down."""

    id: str
    give: Callable[[Moment], Stood]
    there_from: str | None = "start"
    there_until: str | None = None

    @property
    def name(self) -> str:
        return self.id

    def finish_ids(self) -> tuple[str, ...]:
        return ()

    def plants_named(self) -> tuple[str, ...]:
        return ()

    def stands_before(self) -> bool:
        return False

    def stand(self, moment: Moment) -> Stood:
        return self.give(moment)


def wall(
    owner: str,
    x0: float,
    y0: float,
    x1: float,
    y1: float,
    high_m: float = 1.8,
    *,
    gap_m: float = 0.0,
    base_m: float = 0.0,
) -> Solid:
    return Solid(owner, "", box(x0, y0, x1, y1), Height(base_m), Height(high_m), gap_m=gap_m)


def hedge(owner: str, x0: float, y0: float, x1: float, y1: float, high_m: float = 1.8, gap_m: float = 0.08) -> Solid:
    return Solid(owner, "", box(x0, y0, x1, y1), top=Height(high_m), gap_m=gap_m, reluctant=True, grown=True)


def gate(
    owner: str,
    start: tuple[float, float],
    end: tuple[float, float],
    *,
    latch: Latch = "latched",
    leaf: Leaf | None = LEAF,
) -> Stood:
    """Return an opening and the cut it makes, 1.2 m deep across its line."""
    line = LineString([start, end])
    opening = Opening(owner, line, line.length, latch=latch, leaf=leaf)
    return Stood(openings=(opening,), changes=(Cut(owner, line.buffer(0.6, cap_style="flat")),))


def scene(
    world: Polygon,
    *,
    solids: Iterable[Solid] = (),
    surfaces: Iterable[Surface] = (),
    more: Iterable[Stood] = (),
    rooms: Iterable[Room] = (),
    spots: Iterable[Spot] = (),
    snow_m: float = 0.0,
    ground: Ground | None = None,
) -> Scene:
    blank = Scene(ON, world, ground or Ground.flat(), rooms=tuple(rooms), spots=tuple(spots), snow_m=snow_m)
    return assemble(blank, [Stood(tuple(solids), tuple(surfaces)), *more])


def timeline(
    world: Polygon,
    things: Iterable[Thing],
    *,
    rooms: Iterable[Room] = (),
    spots: Iterable[Spot] = (),
    years: int = 4,
    snow_m: float = 0.0,
    means: Means | None = None,
) -> Timeline:
    made = tuple(things)
    names = [(t.id, t.id.replace("-", " ")) for t in made]
    names += [(r.id, r.name) for r in rooms] + [(s.id, s.name) for s in spots]
    snow = (snow_m, snow_m, *(0.0,) * 9, snow_m)
    frame = Frame(world, Ground.flat(), tuple(rooms), tuple(spots), tuple(sorted(names)), snow_by_month_m=snow)
    return Timeline(frame, made, means=means or Means(first_year=2027, years=years))


def known(walker_id: str) -> Walker:
    """Return one of the package's walkers."""
    found = find_walker(walker_id)
    assert found is not None
    return found


def still(stood: Stood) -> Callable[[Moment], Stood]:
    """Return a feature's answer that is the same at any moment."""
    return lambda moment: stood
