"""The months in which a job can be done where none are typed: by what it makes, what it takes away, and the climate.

Plants go in when plants of their kind and stock do; concrete and mortar want a month whose mean is above 5 deg C; what
lies in the ground is not laid in a month that usually freezes; a hedge is not taken out while birds nest in it; nobody
digs or plants where high water stands.  What a
month is like comes from the place's usual weather by month; where that is not known only plants have a season.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from quincunx.garden.flooded import flooded_months
from quincunx.grow.plantings import southern
from quincunx.grow.windows import window
from quincunx.scene import Moment, Timeline
from quincunx.shapes import AreaWork, FrameWork, LineWork, PlantWork, Work
from quincunx.site.climate import Climate
from quincunx.units.dates import MONTHS
from quincunx.works import Job
from quincunx.years.ordering import works_of
from quincunx.years.problem import ALL_YEAR

SETS_C = 5.0
"""Mean of a month above which concrete and mortar are laid [deg C] (common practice, no source: neither is laid at or
below 5 deg C without protection)."""
FREEZES_C = 0.0
"""Mean of the daily lowest temperatures below which a month usually freezes [deg C] (common practice, no source)."""
NESTING = frozenset({3, 4, 5, 6, 7, 8})
"""Northern months in which hedges are left alone for nesting birds (common practice, no source; local law may say
otherwise)."""
WET_LAID = frozenset({"concrete", "bedding mortar"})
MASONRY = frozenset({"brick", "stone", "block"})
"""Materials that are laid wet."""
GROWN_YEARS = 10.0
"""At this age what will be a hedge is one [years]."""
_KNOWN: dict[str, str] = {
    "plants": "the months its plants are set in",
    "cold": "concrete and mortar want more than 5 °C",
    "frost": "nothing is laid on ground that freezes",
    "nests": "a hedge is left alone while birds nest in it",
    "flood": "its ground lies under high water in the others",
}


@dataclass(frozen=True, slots=True)
class Season:
    """The months a job fits in (1-12), and why in words; ``typed`` if the person gave them."""

    months: frozenset[int]
    words: str = ""
    typed: bool = False

    @property
    def span(self) -> str:
        """Name the months: ``March to November``, ``April and September``, ``any month``."""
        if len(self.months) == len(ALL_YEAR):
            return "any month"
        runs = [m for m in sorted(self.months) if (m + 10) % 12 + 1 not in self.months]
        return " and ".join(map(self._run, runs))

    def _run(self, first: int) -> str:
        last = next(m for k in range(12) if (m := (first + k - 1) % 12 + 1) % 12 + 1 not in self.months)
        return MONTHS[first - 1] if first == last else f"{MONTHS[first - 1]} to {MONTHS[last - 1]}"

    @property
    def document(self) -> dict[str, object]:
        """Return it as JSON values."""
        return {"months": sorted(self.months), "span": self.span, "why": self.words, "typed": self.typed}


def season(through: Timeline, job: Job) -> Season:
    """Return the months a job fits in: those typed; else what its works and the climate leave, if that is long enough.

    A season that would be too short for the job, or none at all, is not kept: works of several seasons have to be taken
    apart by the person, and what is planted out of season is found elsewhere.
    """
    if job.window:
        return Season(frozenset(job.window), typed=True)
    months, why = set(ALL_YEAR), list[str]()
    for reason, allowed in _limits(through, job):
        if not allowed >= months:
            months &= allowed
            why += [_KNOWN[reason]] if _KNOWN[reason] not in why else []
    if len(months) == len(ALL_YEAR) or not _long_enough(months, job.months):
        return Season(ALL_YEAR)
    return Season(frozenset(months), "; ".join(why))


def _limits(through: Timeline, job: Job) -> Iterator[tuple[str, set[int]]]:
    """Yield what limits a job, and the months that it leaves."""
    works = works_of(through, job)
    for work in works:
        plant = through.find(work.plant) if isinstance(work, PlantWork) else None
        if plant is not None and isinstance(work, PlantWork) and not plant.annual:
            yield "plants", set(window(plant, work.stock, through.frame).months)
    means, lows = _means(through.frame.climate), through.frame.climate.t_min_c
    if means is not None and any(_wet(work) for work in works):
        yield "cold", {m for m in ALL_YEAR if means[m - 1] > SETS_C}
    if lows is not None and any(isinstance(work, AreaWork) and work.dug for work in works):
        yield "frost", {m for m in ALL_YEAR if lows[m - 1] >= FREEZES_C}
    if any(_is_hedge(through, gone) for gone in job.takes_away):
        yield "nests", set(ALL_YEAR) - set(southern(tuple(sorted(NESTING)), turned=through.southern))
    if under := flooded_months(through, job):
        yield "flood", set(ALL_YEAR) - under


def _means(climate: Climate) -> tuple[float, ...] | None:
    if climate.t_min_c is None or climate.t_max_c is None:
        return None
    return tuple((low + high) / 2 for low, high in zip(climate.t_min_c, climate.t_max_c, strict=True))


def _is_hedge(through: Timeline, feature_id: str) -> bool:
    feature = through.feature(feature_id)
    if feature is None or not feature.plants_named():
        return False
    day = through.leaf_date(through.years[0])
    stood = feature.stand(Moment(day, GROWN_YEARS, through.frame.ground, through.find, 0, through.southern))
    return any(s.grown and s.reluctant for s in stood.solids)


_WET: dict[type, Callable[[Work], bool]] = {
    AreaWork: lambda w: isinstance(w, AreaWork) and any(layer.material in WET_LAID for layer in w.layers),
    LineWork: lambda w: isinstance(w, LineWork) and w.material in MASONRY,
    FrameWork: lambda w: isinstance(w, FrameWork) and bool(w.footings) and not w.on_pads,
}


def _wet(work: Work) -> bool:
    """Tell whether a work takes concrete or mortar: laid wet, built of masonry, or posts set in holes."""
    asked = _WET.get(type(work))
    return asked is not None and asked(work)


def _long_enough(months: set[int], needed: int) -> bool:
    """Tell whether so many months follow each other in a season that may run over the new year."""
    return any(all((m + k - 1) % 12 + 1 in months for k in range(min(needed, 12))) for m in months)
