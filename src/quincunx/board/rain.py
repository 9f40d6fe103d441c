"""The question of rain: how much of it reaches the ground, what stays dry, under which roof, where it drips."""

from __future__ import annotations

import numpy as np

from quincunx.board.asking import Answer, Bars, Given, Input, Lead, Option, Row, Table
from quincunx.board.standing import Standing
from quincunx.board.under_roofs import indoors
from quincunx.intents._raining import NO_WEATHER, chances, months_words, side_words, weather_of
from quincunx.review.shelters import compared
from quincunx.scene import Scene
from quincunx.shapes import Amounts, Band, Figure, PathFigure
from quincunx.units import EIGHT_SIDES, capital, format_area
from quincunx.units.dates import MONTHS
from quincunx.water import ORDINARY_MM_H, Rains, Weather, Wetting, drips, one_rain, run_off, sitting, wetting
from quincunx.water.roofs import TOLD_M, drip_points
from quincunx.water.shelter import wetting_plainly

NAME = "rain"
WORDS = "Rain"
ASKS = "What stays dry when it blows?"

ROUGH_M, FINE_M = 1.5, 0.25
BANDS = (
    Band(0.0, "dry: less than a tenth of the rain", 6),
    Band(10.0, "sheltered: less than half", 4),
    Band(50.0, "some of it kept off", 2),
    Band(90.0, "as wet as the open", 0),
)
YEAR, ONE = "year", "one"
FALLS = (
    "Rain falls in straight slanting lines: drops as large as A. C. Best found (1950), falling as fast as A. N. Dingle and "
    "Y. Lee measured (1972), both from memory; at 45 degrees it wets about as far in as the eaves are high."
)
WINDS = (
    "The winds of a month spread round its mean as Rayleigh's distribution (from memory), brought from 10 m down to 2 m by "
    "FAO-56, equation 47. Half of the rainy hours are drizzle of 0.5 mm an hour, a third ordinary rain of 1.5, the rest "
    "downpours of 5 (rounded, from memory)."
)
LIMITS = (
    "Walls, roofs, boards, glass and canvas stop rain; slats, nets and all that grows let it through. Wind that a wall stills, "
    "or that swirls round an edge, is not counted, nor is splash."
)
CAUGHT = "Of the rain on a roof's plan, 0.85 runs off (0.75 to 0.9: Texas manual on rainwater harvesting, 2005; from memory)."


def inputs(at: Standing) -> tuple[Input, ...]:
    """Return what rain is asked with: a year's rains or one, its side and wind, and a place to sit."""
    seats = _seats(at)
    rains = (Option(YEAR, "all the rain of a year"), Option(ONE, "one rain"))
    sides = tuple(Option(str(n), side) for n, side in enumerate(EIGHT_SIDES))
    hard = (Option("0.5", "drizzle"), Option(str(ORDINARY_MM_H), "ordinary rain"), Option("5", "a downpour"))
    middle = at.timeline.frame.boundary.representative_point()
    return (
        Input("rain", "Which rain", "choice", YEAR if weather_of(at.timeline) else ONE, rains),
        Input("side", "Wind from the", "choice", "5", sides, when=("rain", (ONE,))),
        Input("wind", "Wind at head height", "number", "3", unit="m/s", least=0, most=20, when=("rain", (ONE,))),
        Input("hard", "How hard", "choice", str(ORDINARY_MM_H), hard, when=("rain", (ONE,))),
        Input("seat", "Sitting at", "place", seats[0].id if seats else f"{middle.x:.2f},{middle.y:.2f}", seats),
    )


def _seats(at: Standing) -> tuple[Option, ...]:
    """Return the places to sit: those that a must about rain names, then the spots, those with an eye first."""
    scene = at.timeline.at(at.timeline.leaf_date(at.timeline.years[-1]))
    asked = {str(m.place) for m in at.garden.intents if "rain" in m.reads and hasattr(m, "place")}
    areas = {ref: scene.area_of(ref) for ref in sorted(asked) if scene.spot(ref) is None}
    out = [Option(ref, scene.name_of(ref), (a.centroid.x, a.centroid.y)) for ref, a in areas.items() if a is not None]
    spots = sorted(at.timeline.frame.spots, key=lambda s: (s.id not in asked, s.height_m == 0, s.name))
    return (*out, *(Option(s.id, s.name, s.at) for s in spots))


def _rains(at: Standing, given: Given) -> Rains | None:
    if given.choice("rain") == ONE:
        return one_rain(given.value("wind"), 45.0 * int(given.choice("side")), float(given.choice("hard")))
    weather = weather_of(at.timeline)
    return None if weather is None else weather.rains().fewer()


def rough(at: Standing, scene: Scene, given: Given) -> Answer | None:
    """Return a coarse answer while what is compiled is not loaded yet; None once it is."""
    rains = _rains(at, given)
    if _READY or rains is None:
        return None
    few = rains if len(rains.slant) == 1 else rains.fewer(1)
    found = wetting_plainly(scene, few, cell_m=ROUGH_M)
    return _answer(at, scene, given, found, "A first look in wide steps; a finer one follows.")


_READY: list[bool] = []


def ready() -> None:
    """Load, or on a new machine compile, what a fine answer needs."""
    from quincunx.board.compiling import make_ready
    from quincunx.scene.spread import along

    make_ready(along)
    _READY[:] = [True]


def answer(at: Standing, scene: Scene, given: Given) -> Answer:
    """Return how wet each piece of ground gets, how dry the seat stays, and what runs off."""
    rains = _rains(at, given)
    if rains is None:
        return Answer(words=NO_WEATHER)
    return _answer(at, scene, given, wetting(scene, rains, cell_m=FINE_M))


def _answer(at: Standing, scene: Scene, given: Given, found: Wetting, why_rough: str = "") -> Answer:
    grid = found.grid
    values = (100.0 * found.share).astype(np.float32)
    field = Amounts(grid.x0_m, grid.y0_m, grid.cell_m, values, "%", BANDS, 0).within(scene.boundary, indoors(scene))
    known = field.values[np.isfinite(field.values)]
    dry_m2 = float((known < 10.0).sum()) * grid.cell_m**2
    which = "a year's rain" if given.choice("rain") == YEAR else "this rain"
    words = f"How much of {which} reaches the ground; {format_area(dry_m2, at.garden.style)} stay dry"
    below, weather = _below(at, scene, given) if not why_rough else ((), None)
    del weather
    drops: list[Figure] = []
    leads = []
    for drip in (d for d in drips(scene) if d.fall_m > TOLD_M):
        drops.append(PathFigure(drip_points(drip), "water", drip.owner, weight="thick", dash=True))
        if drip.strikes:
            middle = drip.line.interpolate(0.5, normalized=True)
            text = f"{capital(at.words.the(drip.owner))} drips on {at.words.both(drip.strikes)}."
            leads.append(Lead(text, (middle.x, middle.y), drip.owner))
    return Answer(
        words=words,
        legend=(Row("a drip line: no gutter to a tank", role="water"),) if drops else (),
        figures=tuple(drops),
        field=field,
        below=below,
        leads=tuple(leads),
        how=(FALLS, WINDS, LIMITS, CAUGHT),
        rough=why_rough,
    )


def _below(at: Standing, scene: Scene, given: Given) -> tuple[tuple[Table | Bars, ...], Weather | None]:
    weather = weather_of(at.timeline)
    if weather is None:
        return (), None
    place, out = given.place("seat"), list[Table | Bars]()
    if place.id and sitting(scene, place.id) is not None:
        out += _seat(at, scene, place.id, weather)
    months = run_off(scene, weather.rain_mm)
    total = [(MONTHS[m.month - 1][:3], sum(litres for _, litres in m.roofs)) for m in months]
    if any(litres for _, litres in total):
        rows = tuple((name, litres, at.words.water(litres)) for name, litres in total)
        out.append(Bars("What runs off the roofs in a month", rows))
    return tuple(out), weather


def _seat(at: Standing, scene: Scene, place: str, weather: Weather) -> list[Table | Bars]:
    """Return how dry a seat stays under each roof thought of, and by month as it stands."""
    every = tuple(range(1, 13))
    found = compared(
        at.garden, at.timeline, place, weather, every, scene.on.year if scene.on.year in at.timeline.years else None
    )
    if not found:
        return []
    rows = tuple(
        (capital(r.words), f"{r.dry.dry_h:.0f} of {sum(h for _, h, _ in r.dry.by_month):.0f} h", chances(r.dry.whole),
         format_area(r.roof_m2, at.garden.style) if r.roof_m2 else "none",
         "–" if r.dry.whole > 0.98 else side_words(r.dry.wettest_deg).removeprefix("from "))
        for r in found
    )  # fmt: skip
    head = ("Under", "dry", "that is", "roof", "wet mostly from")
    table = Table(
        f"Rainy hours of a year in which somebody at {at.words.the(place)} stays dry, seat to head", head, rows
    )
    best = max(found, key=lambda r: r.dry.whole)
    bars = tuple(
        (MONTHS[m - 1][:3], 100.0 * share, f"{100 * share:.0f} % of {hours:.0f} h")
        for m, hours, share in best.dry.by_month
    )
    return [table, *([Bars(f"The driest of these by month: {best.words}", bars)] if best.dry.whole > 0 else [])]


__all__ = ["ASKS", "NAME", "WORDS", "answer", "inputs", "months_words", "ready", "rough"]
