"""The upkeep of all that stands and grows, month by month: care of plants, mowing, beds, floors, watering."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from quincunx.plants.tables import rows_of

if TYPE_CHECKING:
    from quincunx.garden.document import Garden
    from quincunx.garden.edits import Edit
    from quincunx.scene import Scene, Timeline

Twelve = tuple[float, ...]
POURED_MIN_L = 0.1
"""Minutes to carry or run a litre to its bed: a can of ten a minute, the walk with it (common practice, no source)."""
QUARTER_H = 0.25
"""Hours set aside in the plan are rounded to this [h]."""


@dataclass(frozen=True, slots=True)
class Line:
    """One sort of upkeep: its words and its hours in each month [h]."""

    words: str
    months: Twelve

    @property
    def hours(self) -> float:
        """Return its hours in the whole year [h]."""
        return sum(self.months)


@dataclass(frozen=True, slots=True)
class Tending:
    """The upkeep of a year: its lines, the longest first, and what is not in them."""

    year: int
    lines: tuple[Line, ...]
    without: str = ""

    @property
    def months(self) -> Twelve:
        """Return the hours of each month [h]."""
        return tuple(sum(x.months[m] for x in self.lines) for m in range(12))

    @property
    def hours(self) -> float:
        """Return the hours of the year [h]."""
        return sum(self.months)


def tending(timeline: Timeline, now: int | None = None) -> dict[int, Tending]:
    """Return the upkeep of every year of the plan, from what stands and grows at the end of its summer.

    Care of plants goes by :mod:`quincunx.grow.care`, floors and grass by square metres, watering by the litres of a
    usual year; where the climate is not known watering is left out, and said so.  ``now`` is the present month, from
    January of year 0, before which nothing lost is planted again.
    """
    from quincunx.grow.care import care, hours_by_month
    from quincunx.water.watering import watering

    poured = watering(timeline)
    out = {}
    for year in timeline.years:
        lines = [Line("care of the plants", hours_by_month(care(timeline, year, now)))]
        lines += _floors(timeline.at(timeline.leaf_date(year)), southern=timeline.southern)
        if poured is not None:
            lines.append(Line("watering", tuple(v * POURED_MIN_L / 60 for v in poured[year].by_month_l)))
        kept = sorted((x for x in lines if x.hours > 0), key=lambda x: (-x.hours, x.words))
        without = "" if poured is not None else "watering: the place's rain and temperatures are not written down"
        out[year] = Tending(year, tuple(kept), without)
    return out


def _floors(scene: Scene, *, southern: bool) -> list[Line]:
    """Return the upkeep of floors, grass, beds and water that show, by square metres."""
    areas = _shown_m2(scene)
    out = []
    for row in rows_of("tending.csv"):
        northern = {int(m) for m in row["months"].split()}
        usual = {(m + 5) % 12 + 1 for m in northern} if southern else northern
        by_month = [0.0] * 12
        for (material, wanted), area in areas.items():
            if material == row["material"]:
                hours = area * float(row["minutes"]) * float(row["times"]) / 60
                for month in wanted or usual:
                    by_month[month - 1] += hours
        if any(by_month):
            out.append(Line(row["words"], tuple(by_month)))
    return out


def shown_m2(scene: Scene) -> Mapping[str, float]:
    """Return how much of each material shows inside the boundary [m2]: where surfaces lie over each other, the higher."""
    out: dict[str, float] = {}
    for (material, _), area in _shown_m2(scene).items():
        out[material] = out.get(material, 0.0) + area
    return out


def _shown_m2(scene: Scene) -> dict[tuple[str, tuple[int, ...]], float]:
    """Return what shows [m2] by its material and the months in which it is to be tended (empty: as usual)."""
    import shapely
    from shapely import Polygon

    hidden = Polygon()
    out: dict[tuple[str, tuple[int, ...]], float] = {}
    for surface in sorted(scene.surfaces, key=lambda s: -s.layer):
        seen = shapely.intersection(shapely.difference(surface.area, hidden), scene.boundary)
        what = surface.material, surface.tended_in
        out[what] = out.get(what, 0.0) + float(seen.area)
        hidden = shapely.union(hidden, surface.area)
    return out


def set_aside(found: Mapping[int, Tending]) -> Edit:
    """Return the edit that sets the reckoned upkeep aside in the plan, in place of what was typed, year by year."""
    from quincunx.garden.edits import change

    years = [{"year": y, "hours": _quarters(u.months)} for y, u in sorted(found.items())]
    return change("means", None, {"upkeep_other_years": years}, "Set the reckoned upkeep aside")


def _quarters(months: Sequence[float]) -> list[float]:
    return [round(h / QUARTER_H) * QUARTER_H for h in months]


def too_much(garden: Garden, found: Tending) -> tuple[int, ...]:
    """Return the months (1 to 12) whose upkeep alone takes more hours than there are."""
    given = garden.means.given(found.year)
    return tuple(m for m, h in enumerate(found.months, start=1) if any(given) and h > given[m - 1] + QUARTER_H)
