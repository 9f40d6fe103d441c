"""What the garden says about loads, and what its works were looked up to be."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from shapely import MultiPoint, Point
from shapely.geometry.base import BaseGeometry

from quincunx.build import Ground
from quincunx.build.ground_rules import both
from quincunx.build.screening import Loads, Screened, screen
from quincunx.build.weather import bearing_of
from quincunx.garden.document import Garden
from quincunx.scene import Timeline
from quincunx.shapes import AreaWork, FrameWork, LiftWork, LineWork, Work
from quincunx.site.country import region_of
from quincunx.site.place import Region

LOCATE = (
    "Have the lines located and marked before you dig (in many countries a free call), and dig by hand there."
    " Where they really lie may differ from this plan."
)
"""What to do where buried lines are drawn near what is dug."""
NEAR_M = 0.6
"""Hand-dig zone either side of a mark: 18 to 24 in (APWA and Common Ground Alliance practice; from memory)."""


HOLE_M = 0.3
"""So far round its stem the ground is dug for a plant set or lifted, a spade's width and more [m] (common practice, no source)."""


def loads_of(garden: Garden) -> Loads:
    """Return whose rules are near, the snow and its edition, the ground and what it bears."""
    site = garden.site
    snow, wind = site.climate.snow_load, site.climate.design_wind
    region = region_of(site.place) if site.place is not None else _by_money(garden)
    return Loads(
        region,
        None if snow is None else snow.ground_kn_m2,
        "" if snow is None else snow.edition,
        None if wind is None else wind.speed_m_s,
        Ground(site.climate.frost_depth_m),
        bearing_of(site.soil.texture, stony=site.soil.stony),
    )


def _by_money(garden: Garden) -> Region:
    """Return whose rules are likely where no place is given, by what is paid with; dollars are paid in the US as a rule."""
    return "us" if garden.style.currency == "USD" else "other"


def looked_up(garden: Garden, works: Iterable[Work], through: Timeline | None = None) -> tuple[Screened, ...]:
    """Return what was looked up for some works of the garden, the gravest first.

    With the timeline ``through`` buried lines within reach of what is dug come first, and treated timber after them.
    """
    works = tuple(works)
    near = (*_lines(garden, through, works), *_treated(garden, works)) if through is not None else ()
    return (*near, *screen(works, loads_of(garden)))


def dug_ground(work: Work) -> list[BaseGeometry]:
    """Return the ground a work digs into [m]."""
    if isinstance(work, AreaWork):
        return [work.outline] if work.dug else []
    if isinstance(work, LineWork):
        return [work.course]
    if isinstance(work, FrameWork):
        return [Point(at) for at in work.footings]
    if isinstance(work, LiftWork):
        return [MultiPoint(work.at).buffer(HOLE_M)]
    return []


def _lines(garden: Garden, through: Timeline, works: tuple[Work, ...]) -> Iterator[Screened]:
    """Yield each line in the ground that lies within reach of what some works dig."""
    services = [f for f in garden.features if f.group == "services"]
    if not services or not works:
        return
    names, own = {f.id: f.called for f in services}, {w.owner for w in works}
    dug = [(w.owner, shape) for w in works for shape in dug_ground(w)]
    for line in (b for f in services for b in through.as_made(f).buried):
        reach = NEAR_M + line.sure_to_m
        owner = next((o for o, shape in dug if shape.dwithin(line.line, reach)), None)
        if owner is not None and line.owner not in own:
            deep = "at a depth nobody has noted" if line.depth_m is None else f"{both(line.depth_m)} down"
            why = f"{line.carries}, {deep}: have it located and marked before you dig, and dig by hand within {both(reach)} of the mark"
            yield Screened(
                f"{names[line.owner]} within reach of the dig", "unknown", None, why, "APWA and Common Ground Alliance practice (from memory)",
                owner,
            )  # fmt: skip


def _treated(garden: Garden, works: tuple[Work, ...]) -> Iterator[Screened]:
    owners = {w.owner for w in works}
    for feature in garden.features:
        if feature.id in owners and "treated timber" in feature.cautions():
            why = "line the sides where food grows; timber treated before 2004 may hold arsenic: not at all; sleepers with creosote neither"
            yield Screened("treated timber beside food", "unknown", None, why, "US EPA; UC ANR Pub. 8128", feature.id)
