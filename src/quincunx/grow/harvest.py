"""What the garden gives: kilograms by month and year, from the first crop to the full one.

The crop of a plant rises in a straight line from a tenth in the year of its first crop to all of it in the year of its
full one, and falls off when it is older than it is worth keeping (common practice, no source).  The yields, the years
to them and the months are the catalogue's, each with its source.  A figure is always a range.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from quincunx.grow.partners import Partner, partners
from quincunx.grow.plantings import Planting, plantings, southern
from quincunx.plants.catalogue import Plant
from quincunx.plants.ranges import Range
from quincunx.scene import Timeline

FIRST_SHARE = 0.1
"""The first crop as a share of a full one (common practice, no source)."""
SEASON_YEARS = (0.0, 0.25, 0.5)
"""A plant set in the dormant season has seen a season more than its age in years says: surely, as a rule, at most."""
FALLS_OFF = 0.5
"""Share of its life in which a plant past its best falls off to nothing (common practice, no source)."""
NOTHING = Range(0.0, 0.0, 0.0)
ANNUAL_AGE = 0.1
"""Sown things give from so many years after sowing [years]: the picking months say the rest."""


@dataclass(frozen=True, slots=True)
class Crop:
    """What one planting gives in one year: ``kg`` in all, and in each month (low, middle, high).

    ``share`` is what part of a full crop that is; ``weighed`` is False for what is cut or picked but not weighed.
    ``partner`` says how it is pollinated, ``picking`` in which calendar months it is picked; ``set_back`` that this year's crop is lost.
    """

    owner: str
    plant: Plant
    year: int
    kg: Range
    months: tuple[Range, ...]
    share: Range
    weighed: bool
    partner: Partner | None = None
    set_back: bool = False
    count: int = 1
    picking: tuple[int, ...] = ()

    @property
    def picked(self) -> bool:
        """Return whether there is as a rule something to pick."""
        return self.share.mid > 0


def crops(timeline: Timeline, year: int) -> tuple[Crop, ...]:
    """Return the crops of ``year`` by owner; what gives nothing yet is in it with a share of 0."""
    standing = plantings(timeline, year)
    by_owner = partners(standing)
    turned = timeline.southern
    found = [_crop(one, year, by_owner.get(one.owner), turned=turned) for one in standing if one.plant.harvest_months]
    return tuple(sorted(found, key=lambda c: c.owner))


def _crop(one: Planting, year: int, partner: Partner | None, *, turned: bool) -> Crop:
    plant, picked = one.plant, southern(one.plant.harvest_months, turned=turned)
    full = full_kg(one)
    shares = [crop_share(plant, one.years_at(m)) if m in picked else NOTHING for m in range(1, 13)]
    if one.standing.set_back:
        shares = [NOTHING] * 12
    if partner is not None and not partner.sure:
        none = partner.state == "none"
        shares = [Range(0.0, 0.0 if none else s.mid, s.high) for s in shares]
    each = tuple(
        Range(*(s * kg / len(picked) for s, kg in zip(share.triple, full.triple, strict=True))) for share in shares
    )
    best = max(shares, key=lambda s: s.mid)
    return Crop(
        one.owner, plant, year, total(each), each, best, plant.crop_kg is not None, partner, one.standing.set_back,
        one.standing.count, picked,
    )  # fmt: skip


def full_kg(one: Planting) -> Range:
    """Return what all plants of a planting give together when in full crop [kg]; nothing where no figure is known."""
    if one.plant.crop_kg is None:
        return NOTHING
    low, high = one.plant.crop_kg
    standing = one.standing
    times = standing.count * ((standing.spacing_m or one.plant.spacing_m) if one.plant.crop_per == "m" else 1.0)
    return Range(low * times, (low + high) / 2 * times, high * times)


def crop_share(plant: Plant, grown_years: tuple[float, float, float]) -> Range:
    """Return the share of a full crop at an age by growth (low, middle, high) [years]."""
    if grown_years[1] < 0:
        return NOTHING
    if plant.annual or (plant.first_crop_years is None and not plant.woody):
        return Range(*(1.0 if a >= ANNUAL_AGE else 0.0 for a in grown_years))
    first = plant.first_crop_years or (3.0, 5.0)
    full = plant.full_crop_years or (first[0] + 3, first[1] + 5)
    begins = (first[1], (first[0] + first[1]) / 2, first[0])
    ends = (full[1], (full[0] + full[1]) / 2, full[0])
    shares = [
        _ramp(age + extra, begin, end) * _left(plant, age)
        for age, extra, begin, end in zip(grown_years, SEASON_YEARS, begins, ends, strict=True)
    ]
    return Range(*sorted(shares))


def _ramp(age: float, begin: float, end: float) -> float:
    if age < begin - 1e-9:
        return 0.0
    return 1.0 if age >= end else FIRST_SHARE + (1 - FIRST_SHARE) * (age - begin) / max(end - begin, 1e-9)


def _left(plant: Plant, age: float) -> float:
    """Return what is left of the crop of a plant that is past its best."""
    if plant.life_years is None:
        return 1.0
    best = sum(plant.life_years) / 2
    return max(0.0, min(1.0, 1.0 - (age - best) / (FALLS_OFF * best)))


def total(ranges: Iterable[Range]) -> Range:
    """Return ranges added up, low with low and high with high."""
    low = mid = high = 0.0
    for r in ranges:
        low, mid, high = low + r.low, mid + r.mid, high + r.high
    return Range(low, mid, high)


@dataclass(frozen=True, slots=True)
class YearHarvest:
    """All crops of a year: kilograms in all and by month, and the months with much and with nothing."""

    year: int
    crops: tuple[Crop, ...]
    kg: Range
    months: tuple[Range, ...]

    @property
    def gaps(self) -> tuple[int, ...]:
        """Return the months in which nothing at all is picked."""
        cut = {m for c in self.crops if c.picked and not c.weighed for m in c.picking}
        return tuple(m for m in range(1, 13) if self.months[m - 1].mid <= 0 and m not in cut)

    @property
    def gluts(self) -> tuple[int, ...]:
        """Return the months in which more than a quarter of the year's kilograms comes at once (and over 10 kg)."""
        most = max(GLUT_SHARE * self.kg.mid, GLUT_KG)
        return tuple(m for m in range(1, 13) if self.months[m - 1].mid > most)

    @property
    def begun(self) -> int:
        """Return how many plantings give something."""
        return sum(c.picked for c in self.crops)


GLUT_SHARE, GLUT_KG = 0.25, 10.0
"""A month with more than this share of the year's harvest, and more than so many kilograms, is a glut."""


def harvest(timeline: Timeline, year: int) -> YearHarvest:
    """Return the harvest of a year."""
    found = crops(timeline, year)
    months = tuple(total(c.months[m] for c in found) for m in range(12))
    return YearHarvest(year, found, total(months), months)


def harvests(timeline: Timeline) -> Mapping[int, YearHarvest]:
    """Return the harvest of each year of the plan."""
    return {year: harvest(timeline, year) for year in timeline.years}
