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
from quincunx.site.codes import ASK, WORDS as KINDS, held
from quincunx.site.country import country_of, region_of
from quincunx.site.country_names import country_name
from quincunx.site.place import Region

FREE_CALL = "in many countries a free call"
LOCATING = "Have the lines located and marked before you dig"
LOCATE = f"{LOCATING} ({FREE_CALL}), and dig by hand there. Where they really lie may differ from this plan."
"""What to do where buried lines are drawn near what is dug; :func:`in_place` says how in the garden's country."""
NEAR_M = 0.6
"""Hand-dig zone either side of a mark: 18 to 24 in (APWA and Common Ground Alliance practice; from memory)."""


HOLE_M = 0.3
"""So far round its stem the ground is dug for a plant set or lifted, a spade's width and more [m] (common practice, no source)."""


def loads_of(garden: Garden) -> Loads:
    """Return whose rules are near, the snow and its edition, the ground and what it bears."""
    site, where = garden.site, country(garden)
    snow, wind = site.climate.snow_load, site.climate.design_wind
    return Loads(
        _region(garden),
        None if snow is None else snow.ground_kn_m2,
        "" if snow is None else snow.edition,
        None if wind is None else wind.speed_m_s,
        ground_of(garden),
        bearing_of(site.soil.texture, stony=site.soil.stony, country=where),
        where,
    )


def country(garden: Garden) -> str | None:
    """Return the country whose codes are shown: the place's, else by money paid in one country; None if neither tells."""
    return country_of(garden.site.place, garden.style.currency)


def whose_codes(garden: Garden) -> str:
    """Say whose codes are named, and what to do where that is the wrong country."""
    where = country(garden)
    if where is None:
        return (
            "Which country the garden lies in isn't known, so figures of others are named: write the town or the country"
            " under “Given” on the board."
        )
    if not any(held(where, kind).own for kind in KINDS):
        return f"No code of {country_name(where)} is in our table, so figures of others are named as theirs: {ASK}."
    return (
        f"The codes named are those of {country_name(where)}, as far as our table has them;"
        " if that is wrong, write the country under “Given” on the board."
    )


def ground_of(garden: Garden) -> Ground:
    """Return how deep the ground freezes, as written down, and how deep footings go at least where the garden is."""
    return Ground(garden.site.climate.frost_depth_m, held(country(garden), "footing").figures["least_m"])


def _region(garden: Garden) -> Region:
    """Return by whose formulas structures are reckoned; without a place by what is paid with."""
    return region_of(garden.site.place, garden.style.currency) or "other"


def in_place(text: str, garden: Garden) -> str:
    """Return a caution with how lines are located where the garden is, in place of what holds in many countries."""
    code = held(country(garden), "lines")
    return text.replace(FREE_CALL, code.row.words) if code.own and code.row is not None else text


def by_whom(garden: Garden) -> str:
    """Return who says that lines are located first, and whose the width of the zone is that is dug by hand."""
    code = held(country(garden), "lines")
    zone = "hand-dig zone: APWA and Common Ground Alliance practice of the United States, from memory"
    return f"{code.cited()}, {zone}" if code.own and code.country != "US" else zone


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
                f"{names[line.owner]} within reach of the dig", "unknown", None, why, by_whom(garden),
                owner,
            )  # fmt: skip


def _treated(garden: Garden, works: tuple[Work, ...]) -> Iterator[Screened]:
    owners = {w.owner for w in works}
    for feature in garden.features:
        if feature.id in owners and "treated timber" in feature.cautions():
            code = held(country(garden), "treated")
            old = "older timber, in some countries new timber too, may be treated with arsenic: not at all; ask what yours holds"
            told = old if code.row is None else code.row.words
            why = f"line the sides where food grows; {told}; sleepers with creosote neither"
            source = "common practice, no source" if code.row is None else code.cited()
            yield Screened("treated timber beside food", "unknown", None, why, source, feature.id)
