"""The water page: what each bed needs by month, from which tank or tap and how far that is, and how long the tanks last."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Any

from quincunx.intents import Words
from quincunx.intents._raining import chances
from quincunx.review import drips_told
from quincunx.scene import Scene
from quincunx.sheets._set import Set
from quincunx.sheets.book import Block, Page
from quincunx.units import capital, own_marks, own_units
from quincunx.units.dates import MONTHS
from quincunx.water.drying import Drying
from quincunx.water.soil import holds
from quincunx.water.spells import YEARS
from quincunx.water.watering import Need, TankYear, YearWater, drying_of, size_for, watering

ID = "water"
WORDS = "Water: what each bed needs by month and year, from which tap or tank, and how long the tanks last"
NEEDS = (
    "This page needs the monthly rain and temperatures of the place (the site's climate; on the board: Given, The place) and something that is"
    " watered: a bed, a row, a young tree."
)

CAN_L = 10.0
"""A can [litre]."""
WEEK = 7.0 / 31.0
LASTS = 0.8
"""What size of tank would last is told for so many years [share]."""
MOST_ON_RAIN = 12


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:  # noqa: ARG001 - a table has no scale
    """Yield one page for the last year of the plan, with the years before it in a line each."""
    found, dries = watering(of.timeline), drying_of(of.timeline.frame)
    if found is None or dries is None or not any(n.litres for w in found.values() for n in w.needs):
        return
    last = found[of.timeline.years[-1]]
    blocks: list[Block] = [
        {"t": "heading", "s": "By year"}, _years(of, found),
        {"t": "heading", "s": f"By bed in {last.year}"}, _beds(of, last), *_on_rain(of, last),
        *_tanks(of, last), *_drips(of, last), {"t": "heading", "s": "By month"}, _months(of, last, dries), {"t": "small", "s": how(of, dries)},
    ]  # fmt: skip
    yield Page("Water", tuple(blocks), of.paper.size_mm, f"{of.timeline.years[0]} to {of.timeline.years[-1]}")


def how(of: Set, dries: Drying) -> str:
    """Return how the figures are known, and what they leave out."""
    soil = of.timeline.frame.soil
    assumed = own_units(f", with {', '.join(dries.assumed)}", of.garden.style) if dries.assumed else ""
    unknown = "" if soil.texture else " (the texture is not known: loam is taken)"
    return (
        f"Drying by {dries.method}{assumed}. The soil holds {holds(soil.texture, stony=soil.stony)[1]:.0%} of its volume"
        f" for roots{unknown}; its daily balance is FAO-56's (chapter 8) through {YEARS} made-up years of the place's own"
        " monthly rain, each begun with full soil in mid-winter. Of what is poured eight tenths reach the roots. Beds, rows"
        " and soft fruit are watered every year, other plants until they have rooted (two summers; one for what is not"
        " woody); lawns are left to the rain. Coefficients are FAO-56's (Table 12) where the catalogue has them, else"
        " Costello's for landscapes. A thumb in the soil knows better than any table. Water from a butt is not for drinking;"
        " keep its lid shut."
    )


def _years(of: Set, found: dict[int, YearWater]) -> Block:
    years = list(found)
    water = of.words.water
    rows: list[list[Any]] = [
        ["in a usual year", *(water(sum(found[y].by_month_l)) for y in years)],
        ["in a dry one (1 in 5)", *(water(sum(found[y].dry_by_month_l)) for y in years)],
        ["of that from tanks", *(water(sum(t.given_l for t in found[y].tanks)) for y in years)],
    ]
    return {
        "t": "table", "head": ["", *(str(y) for y in years)], "rows": rows, "widths": [1.7, *(1 for _ in years)],
        "align": ["left", *("right" for _ in years)], "size": 8, "inset": 1.2,
    }  # fmt: skip


def _beds(of: Set, last: YearWater) -> Block:
    """Return a line for each bed that is watered, those that need most first."""
    watered = sorted((n for n in last.needs if n.litres > 0), key=lambda n: (-n.litres, n.of.owner))
    sources = nearest(of, last, watered)
    rows: list[list[Any]] = []
    for need in watered:
        week = max(need.by_month_l) * WEEK
        cans = f"{week / CAN_L:.1f}".replace(".", of.garden.style.decimal_mark)
        rows.append([
            of.words.name(need.of.owner), of.words.area(need.of.area_m2), of.words.water(week), cans,
            of.words.water(need.litres), of.words.water(need.dry_year_l), f"{need.times:.0f}", sources.get(need.of.owner, ""),
        ])  # fmt: skip
    return {
        "t": "table",
        "head": ["what", "ground", "a week at the most", f"cans of {of.words.water(CAN_L)}", "a year", "a dry year", "times", "from, on foot"],
        "rows": rows, "widths": [2.0, 0.8, 0.9, 0.7, 0.8, 0.8, 0.5, 2.2],
        "align": ["left", *["right"] * 6, "left"], "size": 7.6, "inset": 1.0,
    }  # fmt: skip


def nearest(of: Set, last: YearWater, needs: Sequence[Need]) -> dict[str, str]:
    """Return for each bed the tank that waters it, else the nearest tap, how far that is on foot and whether a hose reaches."""
    return nearest_in(of.summer(last.year), of.words, needs)


def nearest_in(scene: Scene, words: Words, needs: Sequence[Need]) -> dict[str, str]:
    """Return the same of a garden as it stands on a date."""
    from quincunx.walk.distances import distance_table
    from quincunx.walk.reach import walk_of

    person = words.walker("person")
    supplies = list(scene.supplies)
    if not supplies or not needs or person is None:
        return {}
    refs = [s.owner for s in supplies] + [n.of.owner for n in needs]
    metres = distance_table(walk_of(scene, person, polite=True), refs).length_m
    out = {}
    for k, need in enumerate(needs):
        mine = [i for i, s in enumerate(supplies) if need.of.owner in s.waters]
        chosen = mine or [i for i, s in enumerate(supplies) if s.litres is None]
        far = [(float(metres[i, len(supplies) + k]), supplies[i]) for i in chosen]
        if not far:
            continue
        there, supply = min(far, key=lambda pair: (pair[0], pair[1].owner))
        said = words.name(supply.owner)
        said += f", {words.distance(there)}" if math.isfinite(there) else ", no way on foot"
        if supply.hose_m is not None:
            said += ", the hose reaches" if there <= supply.hose_m else ", beyond the hose"
        out[need.of.owner] = said
    return out


def _on_rain(of: Set, last: YearWater) -> Iterator[Block]:
    """Yield who lives on rain, those that are short of water longest first."""
    dry = sorted((n for n in last.needs if not n.of.watered), key=lambda n: (-n.short_days, n.of.owner))
    some = [f"{of.words.name(n.of.owner)} ({n.short_days:.0f})" for n in dry if n.short_days >= 1][:MOST_ON_RAIN]
    if some:
        yield {"t": "text", "s": f"Lives on rain, with days short of water in a usual year: {', '.join(some)}."}


def _tanks(of: Set, last: YearWater) -> Iterator[Block]:
    if not last.tanks:
        return
    yield {"t": "heading", "s": "Tanks"}
    rows = [_tank(of, t) for t in last.tanks]
    yield {
        "t": "table", "head": ["", "holds", "roof", "runs in", "wanted", "gives", "runs over", "days of watering met", "lasts"],
        "rows": rows, "widths": [1.4, 0.8, 0.8, 0.9, 0.9, 0.9, 0.9, 1.0, 1.2], "align": ["left", *["right"] * 6, "left", "left"],
        "size": 7.6, "inset": 1.0,
    }  # fmt: skip
    for tank in last.tanks:
        told = tank_words(of, tank)
        if told:
            yield {"t": "text", "s": told}


def _drips(of: Set, last: YearWater) -> Iterator[Block]:
    rows = [list(row) for row in drips_told.rows(of.summer(last.year), of.words)]
    if rows:
        yield {"t": "heading", "s": "Drip lines"}
        yield {
            "t": "table", "head": list(drips_told.HEAD), "rows": rows, "widths": [1.6, 0.8, 0.7, 0.8, 1.4, 1.2, 0.9, 0.9],
            "align": ["left", *["right"] * 3, "left", *["right"] * 3], "size": 7.6, "inset": 1.0,
        }  # fmt: skip


def _tank(of: Set, tank: TankYear) -> list[Any]:
    water = of.words.water
    return [
        of.words.name(tank.supply.owner), water(tank.supply.litres or 0.0), of.words.area(tank.roof_m2),
        water(tank.runs_in_l), water(tank.wanted_l), water(tank.given_l), water(tank.spilled_l),
        f"{tank.met_days:.0f} of {tank.wanted_days:.0f}", chances(tank.lasts) if tank.wanted_l else "not asked",
    ]  # fmt: skip


def tank_words(of: Set, tank: TankYear) -> str:
    """Return what to do about a tank: nothing is counted on it, it runs dry, it is larger than it need be."""
    name = of.words.the(tank.supply.owner)
    lead = capital(name)
    if not tank.supply.waters:
        return f"Nobody has said what is watered from {name}: write it at the tank, and it is counted."
    if tank.wanted_l <= 0 or tank.lasts >= LASTS - 1e-9 or chances(tank.lasts) == chances(LASTS):
        return ""
    first = MONTHS[max(range(12), key=lambda m: tank.short_from[m])]
    size = size_for(tank.flow, LASTS)
    if size is None:
        return f"{lead} mostly runs dry in {first}. No larger one would do: it needs more roof, or less to water."
    return f"{lead} mostly runs dry in {first}; one of {of.words.water(size)} would last 8 years in 10."


def _months(of: Set, last: YearWater, dries: Drying) -> Block:
    rain = of.timeline.frame.climate.rain_mm or (0.0,) * 12
    water = of.words.water
    inches = of.garden.style.system == "feet"
    rows: list[list[Any]] = [
        [f"rain, {'in' if inches else 'mm'}", *(_depth(of, mm) for mm in rain)],
        [f"drying (ETo), {'in' if inches else 'mm'}", *(_depth(of, mm) for mm in dries.by_month_mm)],
        ["usual year", *(water(v).split(" ")[0] if v >= 0.5 else "" for v in last.by_month_l)],
        ["dry year", *(water(v).split(" ")[0] if v >= 0.5 else "" for v in last.dry_by_month_l)],
    ]
    unit = water(1.0).split(" ")[-1]
    rows[2][0], rows[3][0] = f"watered in a usual year, {unit}", f"in a dry one, {unit}"
    return {
        "t": "table", "head": ["", *(m[:3] for m in MONTHS)], "rows": rows, "widths": [2.4, *(1 for _ in MONTHS)],
        "align": ["left", *["right"] * 12], "size": 7.6, "inset": 1.0,
    }  # fmt: skip


def _depth(of: Set, mm: float) -> str:
    """Write a depth of water to the millimetre, or to a tenth of an inch."""
    return own_marks(f"{mm / 25.4:.1f}", of.garden.style) if of.garden.style.system == "feet" else f"{mm:.0f}"
