"""Sun as board and sheets show it: fields with their bands, tiles of a seat, rows of roofs, and how it is known."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from quincunx.intents import Words
from quincunx.light.sky import MONTHS, YEAR, Days, Sky, Suns, local_hours, suns
from quincunx.scene import Scene, Timeline
from quincunx.shapes import Amounts, Band, Solid, united
from quincunx.units import format_area, format_hours

if TYPE_CHECKING:
    from shapely import Polygon

    from quincunx.light import PointShade
    from quincunx.light.hours import Cast
    from quincunx.light.roofs import RoofSun, Spot
    from quincunx.water import Weather

Singles = NDArray[np.float32]

HOURS = (
    Band(0.0, "under 2 hours", 0), Band(2.0, "2 to 4 hours", 2), Band(4.0, "4 to 6 hours: part sun", 3),
    Band(6.0, "6 to 8 hours: full sun", 5), Band(8.0, "8 hours and more", 6),
)  # fmt: skip
"""Bands of hours a day; 4 and 6 are the usual limits of part and full sun (see ``light/data/sun_classes.json``)."""
LIGHT = (
    Band(0.0, "under 5 mol", 0), Band(5.0, "5 to 10 mol", 1), Band(10.0, "10 to 20 mol", 2), Band(20.0, "20 to 30 mol", 4),
    Band(30.0, "30 to 40 mol", 5), Band(40.0, "40 mol and more", 6),
)  # fmt: skip
"""Bands of the light of a day for plants [mol/m2]; outdoors it is 5 to 60 through a year (Korczynski and others 2002)."""
OPEN_SKY = (
    Band(0.0, "under a fifth", 0), Band(20.0, "a fifth to two", 2), Band(40.0, "two to three fifths", 3),
    Band(60.0, "three to four fifths", 5), Band(80.0, "four fifths and more", 6),
)  # fmt: skip
LIT = (Band(0.0, "shade", 0), Band(20.0, "thin shade", 2), Band(60.0, "light shade", 4), Band(95.0, "sun", 6))
TILE_HOURS = tuple(range(4, 22))
"""The hours of the day shown of a seat."""
EVERY_SUN = (
    "A sun every ten minutes of every day of the month, through crowns as leafy as they are then, through slats and under "
    "roofs, over the ground as it lies; the ground and a far skyline hide it too."
)
RISING = (
    "Sunrise and sunset are when the sun's middle stands 0.833 degrees below the level, over open country, by the clock, summer "
    "time included. A sun lower than one degree counts for nothing."
)
ROUGH_M, ROUGH_MIN = 1.0, 60.0
LIT_M = 0.2
TALL_M = 1.0
"""What stands higher than this on its ground, and lets no light through, has no sun told on it [m]."""


def sky_over(timeline: Timeline) -> Sky:
    """Return the sky over a garden."""
    return Sky.over(timeline.frame)


def warm_months(timeline: Timeline) -> tuple[int, ...]:
    """Return the three warmest months of a garden's place."""
    from quincunx.light.roofs import warmest

    return warmest(sky_over(timeline), timeline.frame.climate.t_max_c)


@lru_cache(maxsize=16)
def fair_hours(sky: Sky) -> tuple[float, float]:
    """Return the full hours by the clock between which the sun is up on the longest of the year's middle days."""
    some = suns(sky, MONTHS, "mid", 10.0)
    hour = local_hours(sky, some.times)
    return (float(hour.min()), float(hour.max() + 1)) if len(hour) else (0.0, 24.0)


def buildings(scene: Scene) -> list[Polygon]:
    """Return the outlines of what stands high and dense on its ground: no sun is told there [m]."""

    def dense(s: Solid) -> bool:
        on_ground = s.base.datum == "ground" and s.base.value_m <= 0.01
        high = s.top.datum == "site" or s.top.value_m > TALL_M
        return on_ground and high and not s.grown and max(s.transmittance) < 0.05 and s.footprint.area > 0.5

    return [s.footprint for s in scene.solids if dense(s)]


def hours_over(
    scene: Scene, sky: Sky, month: int, *, days: Days = "all", cell_m: float = 0.25, cloudy: bool = False
) -> Amounts:
    """Return the hours of sun on clear days of a month over the ground inside the boundary; ``cloudy`` on average ones."""
    from quincunx.light import sun_hours

    grid = sun_hours(scene, month, cell_m=cell_m, days=days, sky=sky)
    hours = grid.hours if cloudy else grid.clear
    return _shown(scene, Amounts(grid.x0_m, grid.y0_m, grid.cell_m, hours[0], "h", HOURS))


def light_over(scene: Scene, sky: Sky, month: int, *, cell_m: float = 0.25) -> Amounts:
    """Return the light of a day for plants around the 15th of a month over the ground inside the boundary [mol/m2]."""
    from quincunx.light import daily_light

    grid = daily_light(scene, month, cell_m=cell_m, sky=sky)
    return _shown(scene, Amounts(grid.x0_m, grid.y0_m, grid.cell_m, grid.mol[0], "mol", LIGHT, 0))


def open_sky_over(scene: Scene, sky: Sky, month: int, *, cell_m: float = 0.25) -> Amounts:
    """Return how much of a grey sky's light reaches the ground inside the boundary, of what open ground gets [%]."""
    from quincunx.light import sky_view

    grid = sky_view(scene, month, cell_m=cell_m, sky=sky)
    seen = (100 * grid.seen[0]).astype(np.float32)
    return _shown(scene, Amounts(grid.x0_m, grid.y0_m, grid.cell_m, seen, "% of the sky's light", OPEN_SKY, 0))


def rough_hours(scene: Scene, sky: Sky, month: int) -> Amounts:
    """Return the same roughly, without compiled kernels: cells of a metre, a sun an hour of the 15th."""
    from quincunx.light._field import field_of
    from quincunx.light._rays import Bodies
    from quincunx.scene.parts import kept_parts

    field, some = field_of(scene, ROUGH_M), suns(sky, (month,), "mid", ROUGH_MIN)
    parts = kept_parts(scene.solids, scene.ground)
    x, y = np.meshgrid(field.x_m, field.y_m)
    points = np.column_stack([x.ravel(), y.ravel(), field.z_m.ravel()])
    share = Bodies.of(parts).shares(points, some.towards, parts.through(some.towards, some.month))
    hours = (share @ some.hours).reshape(field.z_m.shape).astype(np.float32)
    return _shown(scene, Amounts(field.x0_m, field.y0_m, field.cell_m, hours, "h", HOURS))


def lit_now(scene: Scene, sky: Sky, when: datetime) -> Amounts:
    """Return the share of the sun that reaches each place at a moment [%]; all shade while it is below the skyline."""
    from quincunx.light.hours import NOTHING_KEPT

    cast, towards = _cast(scene), sky.direction(when)
    out = np.zeros((1, *cast.field.z_m.shape), np.float32)
    if sky.seen(towards)[0]:
        month = when.astimezone(sky.clock()).month
        stamp = np.zeros(1, "datetime64[us]")
        one = Suns(towards, np.array([month], np.int64), np.array([100.0]), stamp)
        cast.add(one, np.zeros(1, np.int64), out, NOTHING_KEPT)
    f = cast.field
    return replace(_shown(scene, Amounts(f.x0_m, f.y0_m, f.cell_m, out[0], "% of the sun", LIT, 0)), lined=False)


@lru_cache(maxsize=4)
def _kept_cast(key: str, held: _Held) -> Cast:  # noqa: ARG001 - the key stands for the scene
    from quincunx.light._field import field_of
    from quincunx.light.hours import Cast
    from quincunx.scene.parts import kept_parts

    return Cast(field_of(held.scene, LIT_M), kept_parts(held.scene.solids, held.scene.ground))


class _Held:
    """A scene that goes by its key alone, so that what is made of it is kept while it is the same."""

    def __init__(self, scene: Scene) -> None:
        self.scene = scene

    def __hash__(self) -> int:
        return hash(self.scene.key)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Held) and self.scene.key == other.scene.key


def _cast(scene: Scene) -> Cast:
    return _kept_cast(scene.key, _Held(scene))


def _shown(scene: Scene, of: Amounts) -> Amounts:
    return of.within(scene.boundary, buildings(scene))


def sun_up_words(sky: Sky, day: date) -> str:
    """Return when the sun is up on a day, by the sky's clock: ``up from 5:09 to 20:51, 15 h 42``; polar days in words."""
    from quincunx.site.sun import sun_day

    found, clock = sun_day(sky.latitude_deg, sky.longitude_deg, day), sky.clock()

    def said(when: datetime) -> str:
        local = when.astimezone(clock)
        return f"{local.hour}:{local.minute:02d}"

    if found.state == "up all day":
        return "up all day and night: it does not set"
    if found.state == "never up":
        return "never up: it does not rise"
    rises = "" if found.sunrise is None else f" from {said(found.sunrise)}"
    sets = "" if found.sunset is None else f" to {said(found.sunset)}"
    minutes = round(found.day_length_h * 60)
    return f"up{rises}{sets}, {minutes // 60} h {minutes % 60:02d}"


def how_hours(sky: Sky, month: int) -> tuple[str, ...]:
    """Return how hours of sun are worked out, for those who ask."""
    share = "" if sky.sunshine is None else (
        f" The place has sun for {100 * sky.sunshine[month - 1]:.0f} % of the daylight in this month: of these hours so much "
        "comes on an average day."
    )  # fmt: skip
    return (
        EVERY_SUN,
        f"On the 15th the sun is {sun_up_words(sky, date(YEAR, month, 15))}. {RISING}",
        f"Clear days.{share} Light that comes from the rest of the sky or back from walls is not counted.",
        "Full sun from 6 hours and part sun from 4 are the usual limits; sources differ.",
    )  # fmt: skip


def cloud_words(sky: Sky, month: int) -> str:
    """Return how much of a month's clear hours an average day has, as a sentence; empty where nobody has written it."""
    if sky.sunshine is None:
        return ""
    return f"with its cloud {100 * sky.sunshine[month - 1]:.0f} % of these hours on an average day"


def how_light(sky: Sky) -> tuple[str, ...]:
    """Return how the light of a day is worked out, for those who ask."""
    cloud = (
        "Clear days: the place's share of sunshine is not written."
        if sky.sunshine is None
        else "Sun and cloud as they are here on average."
    )
    return (
        (
            "What plants use of the sun's and the sky's light, in moles of photons on a square metre a day, around the 15th. Open "
            "ground gets what FAO Irrigation and Drainage Paper 56, equations 21 to 37, says; 0.45 of it is light that plants use, "
            "4.57 micromoles a joule (McCree 1972; Thimijan and Heins 1983)."
        ),
        f"{cloud} How much comes from the sky and not the sun is Page's 1961 line (from memory).",
        "Light thrown back by walls and ground is not counted: beside a white wall there is more.",
    )


def seat_tiles(
    seat: PointShade,
) -> tuple[tuple[str, ...], tuple[str, ...], tuple[tuple[float | None, ...], ...], tuple[str, ...]]:
    """Return the columns (hours), rows (months), cells (share of sun) and sentences of a seat's picture."""
    from quincunx.units.dates import MONTHS as NAMES

    cells, read = [], []
    for row, month in enumerate(seat.months):
        light = [None if np.isnan(seat.share[row, h]) else 1.0 - float(seat.share[row, h]) for h in TILE_HOURS]
        cells.append(tuple(light))
        sunny = [h for h, v in zip(TILE_HOURS, light, strict=True) if v is not None and v > 0.5]
        read.append(f"{NAMES[month - 1]}: {_spans(sunny)}")
    rows = tuple(NAMES[m - 1][:3] for m in seat.months)
    return tuple(str(h) for h in TILE_HOURS), rows, tuple(cells), tuple(read)


def _spans(hours: Sequence[int]) -> str:
    """Return hours as spans: ``sun from 9 to 12 and from 17 to 19``."""
    spans: list[list[int]] = []
    for h in hours:
        if spans and spans[-1][1] == h:
            spans[-1][1] = h + 1
        else:
            spans.append([h, h + 1])
    return "sun " + " and ".join(f"from {a} to {b}" for a, b in spans) if spans else "no sun to speak of"


def roof_rows(
    timeline: Timeline, scene: Scene, spot: Spot, found: Sequence[RoofSun], words: Words
) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...], str]:
    """Return head and rows of a table of roofs side by side, and what it comes to; with rain where that is known."""
    from quincunx.water import Weather

    weather = Weather.of(timeline.frame.climate, timeline.frame.north_offset_deg)
    style = words.style
    open_winter = found[0].winter_h
    head = ("Roof", "Shade 12 to 16", "Sun before 10", "Winter sun at the seat", "Ground made darker", "Beds lose")
    rows, dry = [], list[float]()
    for one in found:
        less = open_winter - one.winter_h
        winter = format_hours(one.winter_h, style) + (f" (−{format_hours(less, style)})" if less > 0.02 else "")
        row = (one.roof.words, f"{100 * one.shade:.0f} %", format_hours(one.morning_h, style), winter,
               format_area(one.darker_m2, style) if one.darker_m2 else "none", _lost(scene, spot, one, weather, words))  # fmt: skip
        if weather is not None:
            dry.append(_dry(scene, spot, one, weather))
        rows.append((*row, f"{100 * dry[-1]:.0f} % of it") if weather is not None else row)
    return ((*head, "Dry when it rains") if dry else head), tuple(rows), _comes_to(found, dry, words)


def _lost(scene: Scene, spot: Spot, one: RoofSun, weather: Weather | None, words: Words) -> str:
    """Return what the beds around lose most under a roof: light over the growing months, and half their rain or more."""
    from quincunx.water.rain_shadow import rain_shadow

    said = [f"{words.the(owner)}: {format_hours(h, words.style)} of sun" for owner, h in one.beds[:1]]
    if weather is not None and one.roof.solids:
        dark = rain_shadow(scene, one.roof.solids, weather, spot.plan())
        said += [f"{words.the(owner)}: half the rain on {words.area(m2)}" for owner, m2 in dark[:1]]
    return "; ".join(said) or "nothing"


def _dry(scene: Scene, spot: Spot, one: RoofSun, weather: Weather) -> float:
    """Return the share of the rainy hours in which the seat stays dry under a roof."""
    from quincunx.water import dryness
    from quincunx.water.shelter import people_on

    roofed = replace(scene, solids=(*scene.solids, *one.roof.solids))
    people = people_on(scene, shapely.Point(spot.at).buffer(0.3, cap_style="square"))
    return dryness(roofed, people, weather, tuple(range(1, 13))).whole


def _comes_to(found: Sequence[RoofSun], dry: Sequence[float], words: Words) -> str:
    """Return what roofs come to: slats against the first that keeps rain off, or against the first solid one."""
    by = {one.roof.id: n for n, one in enumerate(found)}
    slats, solid = found[by["slats"]], found[by["solid"]]
    less = slats.morning_h - solid.morning_h
    more = f" and leave {format_hours(less, words.style)} more of the morning sun" if less > 0.05 else ""
    wet = (
        f", but keep no rain off; under the solid one the seat is dry in {round(10 * dry[by['solid']])} of 10 rainy hours"
        if dry
        else ""
    )
    return (
        f"slats keep off {100 * slats.shade:.0f} % of the sun, a solid roof {100 * solid.shade:.0f} %; slats cost "
        f"{format_hours(max(found[0].winter_h - slats.winter_h, 0.0), words.style)} of winter sun a day{more}{wet}"
    )


@dataclass(frozen=True, slots=True)
class BedSun:
    """A bed's mean hours of sun a day over the growing months, (year, hours) with None while it doesn't stand."""

    owner: str
    hours: tuple[tuple[int, float | None], ...]


BEDS_M = 0.5
HELD_M = 2.0
MOST = 0.8


def beds_by_year(timeline: Timeline) -> tuple[BedSun, ...]:
    """Return the sun of every planted ground in each year of the plan, in leaf, on clear days of the growing months.

    The 15th stands for its month; what grows in a bed itself does not count as shading it.
    """
    from quincunx.light import sun_hours

    sky = sky_over(timeline)
    months = (10, 11, 12, 1, 2, 3) if timeline.southern else (4, 5, 6, 7, 8, 9)
    found: dict[str, dict[int, float]] = {}
    for year in timeline.years:
        scene = timeline.at(timeline.leaf_date(year))
        areas = _planted(scene)
        if not areas:
            continue
        low = replace(scene, solids=tuple(s for s in scene.solids if not (s.grown and _in(s, areas))))
        grid = sun_hours(low, months, cell_m=BEDS_M, height_m=0.35, step_min=20.0, sky=sky)
        mean = grid.clear.mean(axis=0)
        rows, columns = mean.shape
        x, y = np.meshgrid(
            grid.x0_m + (np.arange(columns) + 0.5) * BEDS_M, grid.y0_m + (np.arange(rows) + 0.5) * BEDS_M
        )
        for owner, area in areas.items():
            inside = shapely.contains_xy(area, x, y)
            if inside.any():
                found.setdefault(owner, {})[year] = float(mean[inside].mean())
    return tuple(BedSun(o, tuple((y, h.get(y)) for y in timeline.years)) for o, h in sorted(found.items()))


def _planted(scene: Scene) -> dict[str, BaseGeometry]:
    areas: dict[str, list[BaseGeometry]] = {}
    for s in scene.surfaces:
        if s.planted:
            areas.setdefault(s.owner, []).append(s.area)
    return {owner: united(shapes) for owner, shapes in areas.items()}


def _in(solid: Solid, areas: dict[str, BaseGeometry]) -> bool:
    """Return whether something grown belongs to a bed: most of its ground lies in it, or it is low and touches it."""
    shape = solid.footprint
    touched = [area for area in areas.values() if area.intersects(shape)]
    most = any(shapely.area(shapely.intersection(area, shape)) > MOST * shape.area for area in touched)
    return most or (bool(touched) and solid.top.value_m < HELD_M)


def wanted_by(timeline: Timeline, owner: str) -> tuple[str, ...]:
    """Return the light that what grows in a bed at the end of the plan likes: "full", "part", "shade" as all of it bears."""
    scene = timeline.at(timeline.leaf_date(timeline.years[-1]))
    area = _planted(scene).get(owner)
    if area is None:
        return ()
    likes: list[tuple[str, ...]] = []
    for standing in scene.plants:
        plant = timeline.find(standing.plant)
        if plant is not None and plant.sun and any(area.covers(shapely.Point(at)) for at in standing.at[:3]):
            likes.append(plant.sun)
    common = set(likes[0]).intersection(*likes[1:]) if likes else set()
    return tuple(word for word in ("full", "part", "shade") if word in common)
