"""The question of water: how much each bed needs in a month of a year, what lives on rain, how the tanks fare."""

from __future__ import annotations

import shapely
from shapely import Point, Polygon

from quincunx.board.asking import Answer, Bars, Given, Input, Lead, Option, Row, Table
from quincunx.board.standing import Standing
from quincunx.intents._raining import chances
from quincunx.intents._watering import NO_CLIMATE
from quincunx.review import drips_told
from quincunx.scene import Scene
from quincunx.shapes import XY, AreaFigure, Figure
from quincunx.sheets.water import nearest_in
from quincunx.units import capital, own_units
from quincunx.units.dates import MONTHS
from quincunx.water.spells import YEARS
from quincunx.water.watering import Need, YearWater, drying_of, watering

NAME = "water"
WORDS = "Water"
ASKS = "What must be watered, and how much?"

USUAL, DRY = "usual", "dry"
STEPS = ((60.0, 0), (30.0, 1), (10.0, 2), (0.0, 3))
"""Litres a square metre in the month, and their row of the key."""
DAYS_SHORT = 10.0
"""Days short of water in a usual year that are worth a word."""
HOW = (
    (
        "Reference evapotranspiration by FAO-56 (Penman and Monteith; Hargreaves where only temperatures are known), what each"
        " plant uses of it by FAO-56's Table 12 or Costello's landscape coefficients, the soil's store by texture and roots."
    ),
    (
        f"The daily balance of the soil through {YEARS} made-up years of the place's own monthly rain, each begun with full"
        " soil in mid-winter; eight tenths of what is poured reach the roots. A dry year is one in five."
    ),
    (
        "Beds, rows and soft fruit are watered every year, other plants until they have rooted; lawns are left to the rain"
        " (common practice, no source). Slope, shade and mulch are not counted."
    ),
)


def inputs(at: Standing) -> tuple[Input, ...]:
    """Return what water is asked with: the month, and a usual or a dry year."""
    month = "1" if at.timeline.southern else "7"
    kind = (Option(USUAL, "a usual year"), Option(DRY, "a dry year, one in five"))
    return (
        Input("in_month", "In", "month", month, least=1, most=12),
        Input("kind", "Of", "choice", USUAL, kind),
    )


PREPARING = (
    "How far water is carried follows once this computer has prepared its reckoning, a minute or two the first time."
)


def rough(at: Standing, scene: Scene, given: Given) -> Answer | None:
    """Return the answer without how far water is carried, while what reckons ways is not compiled; None once it is."""
    from quincunx.board.compiling import for_distances

    return None if all(one.has_come() for one in for_distances()) else _answer(at, scene, given, rough=PREPARING)


def ready() -> None:
    """Load, or on a new machine compile, what finds the ways from tap and tank."""
    from quincunx.board.compiling import for_distances, make_ready

    make_ready(*for_distances())


def answer(at: Standing, scene: Scene, given: Given) -> Answer:
    """Return every bed washed by what it needs in the month, and the year's water below."""
    return _answer(at, scene, given)


def _answer(at: Standing, scene: Scene, given: Given, rough: str = "") -> Answer:
    found = _year(at, scene)
    if found is None:
        return Answer(words=NO_CLIMATE)
    month, dry = round(given.value("in_month")), given.choice("kind") == DRY
    figures: list[Figure] = []
    for need in found.needs:
        figures += _drawn(scene, need, _litres(need, month, dry=dry))
    total = (found.dry_by_month_l if dry else found.by_month_l)[month - 1]
    said = f"{at.words.water(total)} in {MONTHS[month - 1]} {found.year}, {'a dry' if dry else 'if it is a usual'} year"
    return Answer(
        words=said, legend=KEY, figures=tuple(figures), below=tuple(_below(at, scene, found, month, dry=dry, ways=not rough)),
        leads=tuple(_leads(at, found)), how=(*_method(at), *HOW), rough=rough,
    )  # fmt: skip


KEY = (
    Row("over 60 l on each m² in the month", 0, "water", "cross"), Row("over 30", 2, "water", "hatch"),
    Row("over 10", 4, "water", "waves"), Row("less", 5, "water", "dots"),
    Row("lives on rain", role="grown", pattern="plain"),
)  # fmt: skip


def _year(at: Standing, scene: Scene) -> YearWater | None:
    found = watering(at.timeline)
    if found is None:
        return None
    years = at.timeline.years
    return found[min(max(scene.on.year, years[0]), years[-1])]


def _litres(need: Need, month: int, *, dry: bool) -> float:
    """Return what a bed needs in a month; in a dry year its share of the month grows as its whole year does."""
    more = need.dry_year_l / need.litres if dry and need.litres > 0 else 1.0
    return need.by_month_l[month - 1] * more


def _drawn(scene: Scene, need: Need, litres: float) -> list[Figure]:
    area = scene.area_of(need.of.owner)
    parts = [p for p in shapely.get_parts(area) if isinstance(p, Polygon)] if area is not None else []
    rings = [tuple((float(x), float(y)) for x, y in p.exterior.coords[:-1]) for p in parts]
    if litres < LEAST_L:
        return [AreaFigure((r,), "grown", need.of.owner, "plain", outline=True, weight="fine") for r in rings]
    row = next(k for least, k in STEPS if litres / need.of.area_m2 >= least)
    shade, pattern = KEY[row].shade, KEY[row].pattern or "plain"
    return [AreaFigure((r,), "water", need.of.owner, pattern, outline=True, shade=shade) for r in rings]


LEAST_L = 0.5
"""Less in a month is nothing [litre]."""


def _below(at: Standing, scene: Scene, found: YearWater, month: int, *, dry: bool, ways: bool) -> list[Table | Bars]:
    months = found.dry_by_month_l if dry else found.by_month_l
    bars = tuple((MONTHS[m][:3], litres, at.words.water(litres)) for m, litres in enumerate(months))
    out: list[Table | Bars] = [Bars(f"Water poured by month in {found.year}", bars)]
    watered = sorted((n for n in found.needs if n.litres > 0), key=lambda n: (-_litres(n, month, dry=dry), n.of.owner))
    sources = nearest_in(scene, at.words, watered) if ways else {}
    rows = tuple(
        (at.words.name(n.of.owner), at.words.area(n.of.area_m2), at.words.water(_litres(n, month, dry=dry)),
         at.words.water(n.dry_year_l if dry else n.litres), _often(n.times), n.of.why, sources.get(n.of.owner, ""))
        for n in watered
    )  # fmt: skip
    head = ("what", "ground", MONTHS[month - 1], "the whole year", "watered", "because", "from, on foot")
    out.append(Table("What is watered", head, rows))
    if found.tanks:
        out.append(_tanks(at, found))
    if lines := drips_told.rows(scene, at.words):
        out.append(Table("Drip lines", drips_told.HEAD, lines))
    return out


def _tanks(at: Standing, found: YearWater) -> Table:
    water = at.words.water
    rows = tuple(
        (at.words.name(t.supply.owner), water(t.supply.litres or 0.0), water(t.runs_in_l), water(t.wanted_l), water(t.given_l),
         water(t.spilled_l), f"{t.met_days:.0f} of {t.wanted_days:.0f}", chances(t.lasts) if t.wanted_l else "not asked")
        for t in found.tanks
    )  # fmt: skip
    head = ("tank", "holds", "runs in", "wanted", "gives", "runs over", "days of watering met", "lasts the summer")
    return Table("Tanks in a usual year", head, rows)


def _leads(at: Standing, found: YearWater) -> list[Lead]:
    """Return what is not watered and long short of water, and the tanks nobody draws from."""
    dry = sorted(
        (n for n in found.needs if not n.of.watered and n.short_days >= DAYS_SHORT), key=lambda n: -n.short_days
    )
    out = [
        Lead(f"{capital(at.words.the(n.of.owner))} lives on rain and is short of it on {n.short_days:.0f} days.", n.of.at, n.of.owner)
        for n in dry[:6]
    ]  # fmt: skip
    for t in found.tanks:
        if not t.supply.waters:
            words = f"Nobody has said what is watered from {at.words.the(t.supply.owner)}."
            out.append(Lead(words, t.supply.at, t.supply.owner))
    return out


def _method(at: Standing) -> tuple[str, ...]:
    dries = drying_of(at.timeline.frame)
    if dries is None:
        return ()
    return (
        f"Here: {dries.method}"
        + (own_units(f", with {', '.join(dries.assumed)}.", at.garden.style) if dries.assumed else "."),
    )


def value(at: Standing, scene: Scene, given: Given, where: XY) -> str:
    """Return what is watered under the pointer and how much."""
    found = _year(at, scene)
    if found is None:
        return NO_CLIMATE
    month, dry = round(given.value("in_month")), given.choice("kind") == DRY
    point = Point(where)
    areas = ((n, scene.area_of(n.of.owner)) for n in found.needs)
    hit = min(((a.area, n.of.owner, n) for n, a in areas if a is not None and a.covers(point)), default=None)
    if hit is None:
        return "Nothing that is watered lies here."
    need = hit[2]
    name = at.words.name(need.of.owner)
    if need.litres <= 0:
        return f"{name} lives on rain; in a usual year it is short of it on {need.short_days:.0f} days."
    litres = _litres(need, month, dry=dry)
    each = f"{litres / need.of.area_m2:.0f} l/m²" if at.garden.style.system == "metric" else ""
    year = at.words.water(need.dry_year_l if dry else need.litres)
    return f"{name}: {at.words.water(litres)} in {MONTHS[month - 1]}{' (' + each + ')' if each else ''}, {year} a year."


def _often(times: float) -> str:
    return "once" if round(times) == 1 else f"{times:.0f} times"
