"""The planting plan: every planting numbered on the plan, and the plant schedule with what to order by when."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import Any

from quincunx.grow.plantings import Planting, planting
from quincunx.grow.windows import planting_job, window
from quincunx.plants.catalogue import Plant
from quincunx.plants.growth import mature_height, mature_spread
from quincunx.shapes import XY, PathFigure, PlantWork, TextFigure
from quincunx.sheets._set import Set, north_arrow
from quincunx.sheets.book import Block, Page
from quincunx.sheets.ink import INK
from quincunx.sheets.plan import choose
from quincunx.sheets.svg import Look, draw
from quincunx.units import counted, format_length, month_from_index
from quincunx.units.dates import MONTHS, format_month
from quincunx.years.ordering import PLANTS_MONTHS, REST_MONTHS, ahead

ID = "planting"
WORDS = "The planting plan with its plant schedule: what, how many, how far apart, when to order and to plant"
NEEDS = "Nothing is planted yet. Plant something, and this page numbers it on the plan and lists what to buy."


@dataclass(frozen=True)
class Line:
    """One planting of the schedule: its number, what it is, what is planted of it, and the month (None: there already)."""

    number: int
    one: Planting
    work: PlantWork | None
    month: int | None
    first: int | None = None
    """The first month of the job that plants it, which may take several."""
    ahead: int | None = None
    """So many months before that its plants are ordered, by the list of what to do."""

    @property
    def count(self) -> int:
        """Return how many plants are set, or stand already: at an opening there by then, none."""
        return self.one.standing.count if self.work is None or self.month is None else self.work.count


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:
    """Yield the plan with numbers, then the schedule; nothing where nothing is planted."""
    lines = schedule(of)
    if not lines:
        return
    yield _plan(of, lines, wanted)
    yield Page(
        "Plant schedule", tuple(_table(of, lines)), of.paper.lying(flat=True).size_mm, "numbers as on the planting plan"
    )


def schedule(of: Set) -> tuple[Line, ...]:
    """Return the plantings of the plan, first by when they are planted, then by name."""
    found = []
    for feature in of.timeline.features:
        if not feature.plants_named():
            continue
        span = of.timeline.span(feature.id)
        begins = span.begins if span.begins is not None and span.begins < 10**6 else None
        if span.begins is not None and begins is None:
            continue
        year = of.timeline.years[0] if begins is None else begins // 12 + 1
        on = of.timeline.leaf_date(year)
        one = planting(of.timeline, feature.id, on)
        if one is None:
            continue
        work = next((w for w in of.timeline.stood(feature, on).work if isinstance(w, PlantWork)), None)
        job = None if begins is None else planting_job(of.timeline, feature)
        month = None if begins is None else begins - (1 if job is not None else 0)
        start = None if job is None else of.timeline.first_month(job)
        first = month if start is None else min(start, month or 0)
        early = (
            None
            if job is None
            else max((a.months for a in ahead(of.timeline, job, of.garden.style) if not a.booked), default=None)
        )
        line = Line(0, one, work, month, first, early)
        found.append((month if month is not None else -1, of.words.name(feature.id), line))
    found.sort(key=lambda row: (row[0], row[1], row[2].one.owner))
    return tuple(replace(line, number=n) for n, (_, _, line) in enumerate(found, start=1))


def _plan(of: Set, lines: Sequence[Line], wanted: float | None) -> Page:
    west, south, east, north = _with_crowns(of.bounds, lines)
    paper = of.paper.lying(flat=east - west > north - south)
    scale = choose(of, east - west, north - south, paper.frame_mm, wanted)
    year = of.timeline.years[-1]
    look = Look(scale.number, of.garden.style)
    ground = [f for f in of.summer(year).figures if not isinstance(f, TextFigure)]
    ring = [f for f in of.frame() if isinstance(f, PathFigure) and f.owner == "boundary"]
    step = look.metres(9.0)
    mark = north_arrow((east - step * 0.7, north - step * 1.2), step)
    svg = draw([*ground, *ring, *mark], (west, south, east, north), look, _numbers(lines, look, north))
    block = {
        "t": "drawing", "svg": svg, "w": 1000 * (east - west) / scale.number, "h": 1000 * (north - south) / scale.number,
    }  # fmt: skip
    note = f"numbers as in the plant schedule · as in late summer {year} · {scale.said}"
    return Page(
        "Planting plan",
        (block,),
        paper.size_mm,
        note,
        scale.said,
        f"{scale.said} · plants drawn as wide as they are then",
    )


OVER_M = 4.0
"""So far crowns are drawn past the edge of the plan [m]."""


def _with_crowns(bounds: tuple[float, float, float, float], lines: Sequence[Line]) -> tuple[float, float, float, float]:
    """Return the plan's bounds, wider where a crown comes to hang over them [m]."""
    west, south, east, north = bounds
    reach = [(x, y, line.one.standing.spread_m[1] / 2) for line in lines for x, y in line.one.standing.at]
    return (
        max(min([west, *(x - r for x, _, r in reach)]), west - OVER_M),
        max(min([south, *(y - r for _, y, r in reach)]), south - OVER_M),
        min(max([east, *(x + r for x, _, r in reach)]), east + OVER_M),
        min(max([north, *(y + r for _, y, r in reach)]), north + OVER_M),
    )


def _numbers(lines: Sequence[Line], look: Look, north_m: float) -> str:
    """Return each planting's number in a white disc, as SVG in metres, moved aside where two would lie on each other."""
    taken: list[XY] = []
    radius = look.metres(2.2)
    out = []
    for line in lines:
        at = line.one.standing.at
        x, y = at[len(at) // 2]
        spot = next((p for p in _around((x, y), radius) if all(math.dist(p, q) > 2.0 * radius for q in taken)), (x, y))
        taken.append(spot)
        sx, sy = spot[0], north_m - spot[1]
        if spot != (x, y):
            out.append(
                f'<path d="M{x:.3f} {north_m - y:.3f}L{sx:.3f} {sy:.3f}" stroke="{INK}" stroke-width="{look.metres(0.2):.4f}"/>'
            )
        out.append(
            f'<circle cx="{sx:.3f}" cy="{sy:.3f}" r="{radius:.3f}" fill="#ffffff" stroke="{INK}" stroke-width="{look.metres(0.25):.4f}"/>'
            f'<text x="{sx:.3f}" y="{sy + 0.42 * radius:.3f}" font-size="{look.metres(2.6):.3f}" font-weight="600"'
            f' text-anchor="middle" fill="{INK}">{line.number}</text>'
        )
    return "".join(out)


def _around(at: XY, radius: float) -> Iterator[XY]:
    """Yield the place itself, then places round it, farther and farther."""
    yield at
    for far in (2.2, 3.4, 5.0, 7.0):
        for k in range(12):
            a = math.pi * k / 6
            yield (at[0] + far * radius * math.sin(a), at[1] + far * radius * math.cos(a))


def _table(of: Set, lines: Sequence[Line]) -> Iterator[Block]:
    rows = [_row(of, line) for line in lines]
    yield {
        "t": "table",
        "head": ["", "plant", "where", "number", "apart", "as", "grows to", "order by", "plant in", "season"],
        "rows": rows, "widths": [0, 3.3, 1.9, 0.75, 0.75, 1.15, 2.3, 1.15, 1.3, 1.9],
        "align": ["right", "left", "left", "right", "right", "left", "left", "left", "left", "left"], "size": 7.6, "inset": 1.1,
    }  # fmt: skip
    total = sum(line.count for line in lines if line.month is not None)
    yield {
        "t": "text",
        "s": f"{counted(total, 'plant')} to buy or raise. Before planting: turf smothered for a summer or stripped, the ground loosened"
        " a spade deep and left to settle for some weeks; roots never dry; firm in and water."
        " Of hedges the list of what to buy has a few more, for losses.",
    }
    yield {"t": "small", "s": HOW}


HOW = (
    "Heights and spreads are those of a garden plant left to itself, low to high; what is clipped is as it is kept;"
    " sizes, seasons and spacings are from"
    " published lists where there are any, else from memory: the board says which. Order bare-root plants about three"
    " months ahead. Have buried lines located before you dig."
)


def _row(of: Set, line: Line) -> list[Any]:
    plant, standing, style = line.one.plant, line.one.standing, of.garden.style
    variety = f" “{standing.variety}”" if standing.variety else ""
    name: dict[str, Any] = {"s": f"{plant.botanical or plant.name}{variety}\n{plant.name}"}
    stock = line.work.stock if line.work is not None else ""
    size = _grows_to(of, line)
    if line.month is None:
        when, order, season, stock = "there already", "", "", ""
    else:
        usual = REST_MONTHS if "pot" in stock else PLANTS_MONTHS
        first = line.month if line.first is None else line.first
        when = _months(first, line.month)
        early = usual if line.ahead is None else line.ahead
        order = "" if plant.annual else format_month(month_from_index(first - early))
        right = window(plant, stock, of.timeline.frame)
        season = ", ".join(MONTHS[m - 1][:3] for m in right.months)
        if plant.annual:
            stock, when = stock_words(plant, stock), each_year(of, plant, stock, line.month)
        else:
            season += f"; {MONTHS[right.if_hard[0] - 1][:3]} if winters are hard" if right.if_hard else ""
            season = season if line.month % 12 + 1 in right.right else f"out of season: better {season}"
    apart = format_length(standing.spacing_m, style) if standing.spacing_m else ""
    return [
        {"s": str(line.number), "bold": True}, name, of.words.name(line.one.owner), str(line.count), apart, stock, size,
        order, when, season,
    ]  # fmt: skip


def stock_words(plant: Plant, stock: str) -> str:
    """Return as what a plant is bought: what lives for a year as seed or young plants."""
    return "seed or young plants" if plant.annual else stock


def each_year(of: Set, plant: Plant, stock: str, month: int) -> str:
    """Return in which years and months a plant that lives for a year is set, in ground that is ready in ``month``."""
    right = window(plant, stock, of.timeline.frame).months
    return f"each year from {_first_year(month, right)}"


def _months(first: int, last: int) -> str:
    """Write a month, or the span of a job that takes several: ``February to March 2028``."""
    end = format_month(month_from_index(last))
    if first >= last:
        return end
    year = "" if first // 12 == last // 12 else f" {first // 12}"
    return f"{MONTHS[first % 12]}{year} to {end}"


def _first_year(month: int, season: Sequence[int]) -> int:
    """Return the first year whose season is not past in a month."""
    year, before = divmod(month, 12)
    return year if any(m > before for m in season) else year + 1


def _grows_to(of: Set, line: Line) -> str:
    """Return how high and wide a planting comes: what is kept small as it is kept, the rest left to itself."""
    plant, standing, style = line.one.plant, line.one.standing, of.garden.style
    if not standing.kept:
        tall, wide = mature_height(plant), mature_spread(plant)
        return f"{_span(of, tall.low, tall.high)} high, {_span(of, wide.low, wide.high)} wide"
    last = planting(of.timeline, line.one.owner, of.timeline.leaf_date(of.timeline.years[-1]) + GROWN)
    grown = standing if last is None else last.standing
    if not standing.spacing_m:
        return f"kept to {format_length(grown.height_m[1], style)}"
    return f"clipped to {format_length(grown.height_m[1], style)}"


GROWN = timedelta(days=366 * 15)
"""After so long what is clipped has come to its height."""


def _span(of: Set, low: float, high: float) -> str:
    style = of.garden.style
    a, b = format_length(low, style, kind="long"), format_length(high, style, kind="long")
    if a == b:
        return a
    unit = b.rpartition(" ")[2]
    return f"{a.removesuffix(f' {unit}')} to {b}"
