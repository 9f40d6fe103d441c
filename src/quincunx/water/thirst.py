"""What wants water: each bed and planting, how much of the ground it covers, what it uses, and whether one waters it."""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass

import shapely
from shapely import Point, Polygon
from shapely.geometry.base import BaseGeometry

from quincunx.plants.catalogue import Plant
from quincunx.scene import Frame, Scene, StandingPlant
from quincunx.scene._kept import Kept
from quincunx.scene.difference import Difference
from quincunx.shapes import XY, Slab, Surface, united
from quincunx.water.roofs import roofs_of
from quincunx.water.soil import holds

Twelve = tuple[float, ...]
Find = Callable[[str], Plant | None]

BARE_K = 0.3
"""What soil without leaf gives off against ETo (FAO-56, Table 12: first stage of berries and vines; read)."""
MIXED_K = (0.7, 1.05, 0.95)
"""First, middle and last of the season of small vegetables (FAO-56, Table 12; read): a bed of this and that."""
MIXED_ROOTS_M, MIXED_P = 0.4, 0.35
"""Roots and p of small vegetables: 0.3 to 0.6 m and 0.3 to 0.45 (FAO-56, Table 22; read in part)."""
SPECIES_K = {"dry": 0.2, "medium": 0.5, "moist": 0.6, "wet": 0.8}
"""ks, the species factor, by the moisture a plant likes: L. R. Costello and others, A guide to estimating irrigation
water needs of landscape plantings in California (WUCOLS), 2000: low 0.1 to 0.3, moderate 0.4 to 0.6, high 0.7 to 0.9
(from memory); density and microclimate factors are 1, since the ground is counted that leaves cover."""
ROOTS_M = {"tree": 1.0, "hedge": 0.8, "climber": 0.8, "shrub": 0.7, "row": 0.6, "herb": 0.4, "grass": 0.4}
"""Roots where the catalogue doesn't say [m] (common practice, no source)."""
EASY = 0.5
"""p where no table says it (FAO-56, Table 22, for most fruit; read)."""
ANNUAL_EASY = 0.4
PLANTED_ROOTS_M, DEEPER_M = 0.25, 0.15
"""Roots when planted, and how much deeper they go each year [m] (common practice, no source)."""
WOODY_YEARS, SOFT_YEARS = 2.0, 1.0
"""So long after planting woody and other plants are watered; then they live on rain (common practice, no source)."""
SUMMER = (5, 6, 7, 8, 9)
"""Northern months in which young plants are watered (common practice, no source)."""
SWELLS = ("row", "herb", "shrub")
"""What is picked from these is watered every year; trees find their own (common practice, no source)."""
LEAST_M2 = 0.1
"""The ground that is watered round the smallest plant [m2]."""
SOIL = ("soil", "earth")


@dataclass(frozen=True, slots=True)
class Thirst:
    """One bed or planting: ``k`` against ETo and ``season`` (when it may be watered) by month, the rest as numbers.

    ``watered``: whether one waters it; ``why`` says it.  ``taw_mm`` is the water in its roots' reach when the soil is
    full, ``rained`` 0 under a roof.
    """

    owner: str
    at: XY
    area_m2: float
    k: Twelve
    season: tuple[bool, ...]
    watered: bool
    why: str
    taw_mm: float
    p: float
    rained: float


def thirsts(scene: Scene, find: Find, frame: Frame) -> tuple[Thirst, ...]:
    """Return what wants water in a garden as it stands, by owner; grass is not watered and not among them."""
    return _KEPT.get((scene,), None, lambda: _thirsts(scene, find, frame))


_KEPT: Kept[tuple[Thirst, ...]] = Kept(128)


def same_watered(found: Difference, find: Find) -> bool:
    """Return whether in both scenes of a difference surely the same is watered, and as much.

    No roof and no bed may differ, and what is planted otherwise must live on rain, outside of every bed.
    """
    parts = [
        one for side in (found.gone, found.come) for one in (*side["solids"], *side["surfaces"], *side["supplies"])
    ]
    if any((isinstance(p, Surface) and p.planted) or isinstance(getattr(p, "form", None), Slab) for p in parts):
        return False
    beds = [s.area for s in found.was.surfaces if s.planted and s.material in SOIL]
    return all(_on_rain(one, find) for one in _planted(found)) and not _any_in(found, beds)


def same_in_beds(found: Difference, owners: Collection[str]) -> bool:
    """Return whether nothing planted otherwise in two scenes stands in some beds, which themselves are as they were."""
    return not _any_in(found, [s.area for s in found.was.surfaces if s.planted and s.owner in owners])


def _any_in(found: Difference, beds: Sequence[BaseGeometry]) -> bool:
    return any(bed.covers(Point(_middle(one))) for one in _planted(found) for bed in beds)


def _planted(found: Difference) -> list[StandingPlant]:
    """Return what is planted otherwise, as it was and as it is."""
    return [one for side in (found.gone, found.come) for one in side["plants"] if one.count]


def _on_rain(one: StandingPlant, find: Find) -> bool:
    plant = find(one.plant)
    return plant is None or not _who_waters(plant, one)[0]


def _thirsts(scene: Scene, find: Find, frame: Frame) -> tuple[Thirst, ...]:
    covered = united([r.shape for r in roofs_of(scene)])
    shapely.prepare(covered)
    beds = [s for s in scene.surfaces if s.planted and s.material in SOIL]
    soil = holds(frame.soil.texture, stony=frame.soil.stony)[1]
    grown = list(_grown(scene, find, frame, covered, {b.owner: b for b in beds}, soil))
    full = {p.owner for p in scene.plants}
    mine = [_bed(b, frame, covered, soil, grown) for b in beds if b.owner not in full]
    return tuple(sorted([*grown, *(b for b in mine if b is not None)], key=lambda t: t.owner))


def _grown(
    scene: Scene, find: Find, frame: Frame, covered: Polygon, beds: dict[str, Surface], soil: float
) -> Iterator[Thirst]:
    for one in scene.plants:
        plant = find(one.plant)
        if plant is None or not one.count:
            continue
        area = covers_m2(one, woody=plant.woody)
        if one.owner in beds:
            area = min(area, float(beds[one.owner].area.area))
        watered, why = _who_waters(plant, one)
        roots = _roots_m(plant, one)
        rained = 0.0 if covered.covers(Point(one.at[0])) else 1.0
        yield Thirst(
            one.owner, _middle(one), area, uses(plant, southern=frame.latitude_deg < 0),
            _season(plant, frame), watered, why, 1000.0 * soil * roots, ANNUAL_EASY if plant.annual else EASY, rained,
        )  # fmt: skip


def covers_m2(one: StandingPlant, *, woody: bool = False) -> float:
    """Return the ground that a planting's leaves cover [m2]: each plant's crown, no wider along the row than its place.

    Round a young woody plant more is watered than it covers: a quarter of a square metre, or its half of the row.
    """
    wide, place = one.spread_m[1], one.spacing_m
    each = min(wide, place) * wide if place else math.pi / 4 * wide**2
    least = min(ROUND_M2, place / 2.0 if place else ROUND_M2) if woody else 0.0
    return max(one.count * max(each, least), LEAST_M2)


ROUND_M2 = 0.25
"""The ground that is watered round one young woody plant [m2] (common practice, no source)."""


def uses(plant: Plant, *, southern: bool = False) -> Twelve:
    """Return what a plant uses against ETo in each month: FAO-56's Kc where the catalogue has it, else Costello's KL."""
    ks = [SPECIES_K[m] for m in plant.moisture] or [SPECIES_K["medium"]]
    middle = sum(ks) / len(ks)
    first, mid, last = plant.kc if plant.kc is not None else (middle, middle, middle)
    if plant.evergreen and plant.kc is None:
        return (middle,) * 12
    months = [m for m, full in enumerate(plant.in_leaf()) if full > 0]
    return _turned(_staged(months, first, mid, last), southern=southern)


def _staged(months: list[int], first: float, mid: float, last: float) -> list[float]:
    """Return coefficients by month, counted from 0: half grown in the first month, ripe in the last, bare outside."""
    k = [min(BARE_K, mid)] * 12
    for m in months:
        k[m] = mid
    if len(months) > 2:
        k[months[0]], k[months[-1]] = (first + mid) / 2.0, last
    return k


def _turned(northern: list[float], *, southern: bool) -> Twelve:
    return tuple(northern[6:] + northern[:6]) if southern else tuple(northern)


def _who_waters(plant: Plant, one: StandingPlant) -> tuple[bool, str]:
    """Return whether one waters a planting, and why (or why not)."""
    if plant.annual:
        return True, "sown or set each year"
    if plant.harvest_months and plant.form in SWELLS:
        return True, "picked: it swells with water"
    years = WOODY_YEARS if plant.woody else SOFT_YEARS
    if one.age_years < years:
        return True, "young: until it has rooted"
    return False, "rooted: it lives on rain"


def _season(plant: Plant, frame: Frame) -> tuple[bool, ...]:
    """Return the months in which it may be watered: in leaf, and in summer only while it is watered for being young."""
    southern = frame.latitude_deg < 0
    leaf = [share > 0 for share in plant.in_leaf(southern=southern)]
    summer = [m + 1 in SUMMER for m in range(12)]
    summer = summer[6:] + summer[:6] if southern else summer
    young = not plant.annual and not plant.harvest_months
    return tuple(a and (b or not young) for a, b in zip(leaf, summer, strict=True))


def _roots_m(plant: Plant, one: StandingPlant) -> float:
    full = sum(plant.root_depth_m) / 2.0 if plant.root_depth_m is not None else ROOTS_M[plant.form]
    return full if plant.annual else min(full, PLANTED_ROOTS_M + DEEPER_M * one.age_years)


def _middle(one: StandingPlant) -> XY:
    x, y = (sum(c) / len(one.at) for c in zip(*one.at, strict=True))
    return (x, y)


def _bed(bed: Surface, frame: Frame, covered: Polygon, soil: float, grown: list[Thirst]) -> Thirst | None:
    """Return a bed without plants of its own, sown with this and that each year, less what stands in it by itself."""
    inside = sum(t.area_m2 for t in grown if bed.area.covers(Point(t.at)))
    area = float(bed.area.area) - inside
    if area < LEAST_M2:
        return None
    months = growing_months(frame)
    rained = 0.0 if covered.covers(bed.area.representative_point()) else 1.0
    at = bed.area.representative_point()
    season = tuple(m in months for m in range(12))
    k = _staged(list(months), *MIXED_K)
    return Thirst(
        bed.owner, (at.x, at.y), area, tuple(k), season, True, "sown or set each year",
        1000.0 * soil * MIXED_ROOTS_M, MIXED_P, rained,
    )  # fmt: skip


WARM_C = 9.0
"""A month with at least this mean temperature is one in which beds are full [deg C] (common practice, no source)."""


def growing_months(frame: Frame) -> tuple[int, ...]:
    """Return the months, from 0 and in their order, in which beds of this and that are full."""
    low, high = frame.climate.t_min_c, frame.climate.t_max_c
    southern = frame.latitude_deg < 0
    start = 6 if southern else 0
    order = [(start + k) % 12 for k in range(12)]
    if low is None or high is None:
        return tuple(m for m in order if (m - start) % 12 in range(3, 10))
    return tuple(m for m in order if (low[m] + high[m]) / 2.0 >= WARM_C)
