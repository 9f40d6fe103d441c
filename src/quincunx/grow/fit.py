"""Whether what is planted suits the place, and the place suits it: each misfit with its source and what to do.

All are pure questions about a planting and what is known of the site.  What isn't known is not guessed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from quincunx.grow.exposed import exposed
from quincunx.grow.misfit import PRACTICE, Misfit, name as _name
from quincunx.grow.near import beside, minded
from quincunx.grow.plantings import Planting, plantings
from quincunx.plants.catalogue import Plant
from quincunx.scene import Frame, Timeline
from quincunx.scene._kept import Kept
from quincunx.scene.difference import difference
from quincunx.shapes import Severity
from quincunx.site.country import region_of
from quincunx.site.place import Region


def misfits(timeline: Timeline, year: int, currency: str = "") -> tuple[Misfit, ...]:
    """Return every misfit of what is planted in ``year``, by owner; names of features stand in braces ``{id}``.

    Where the place doesn't tell the country, the ``currency`` may (:func:`quincunx.site.country.country_of`).
    """
    standing = plantings(timeline, year)
    found = [m for one in standing for m in _of_place(one, timeline.frame, currency)]
    found += beside(timeline, year, standing, currency)
    return tuple(sorted(found, key=lambda m: (m.owner, m.kind, m.other)))


def _of_place(one: Planting, frame: Frame, currency: str) -> tuple[Misfit, ...]:
    key = (one.standing, one.plant, frame, currency)
    return _PLACED.get(key, one.on, lambda: tuple(of_place(one, frame, currency)))


_PLACED: Kept[tuple[Misfit, ...]] = Kept(2048)


def same_neighbours(was: Timeline, now: Timeline, year: int) -> bool:
    """Return whether surely the same misfits are found in ``now``, in which some things stand otherwise than they ``was``.

    Beside plantings are looked for other plantings, ways, what they mind of what there are cautions of, and buried lines.
    """
    if minded(now.frame) != minded(was.frame):
        return False
    mine, theirs = plantings(was, year), plantings(now, year)
    if len(mine) != len(theirs) or any(a.standing is not b.standing for a, b in zip(mine, theirs, strict=True)):
        return False
    on, cautioned = was.leaf_date(year), {i for i, _ in minded(was.frame)}
    found = difference(was.at(on), now.at(on))
    lines = [[w for w in scene.work if w.owner in cautioned] for scene in (found.was, found.now)]
    same = found.was.buried == found.now.buried and lines[0] == lines[1]
    return same and found.upright and not found.owners & cautioned


def of_place(one: Planting, frame: Frame, currency: str = "") -> Iterator[Misfit]:
    """Yield how a planting doesn't fit the climate, the soil, the region and who is about."""
    region = region_of(frame.place, currency)
    for found in (
        *(check(one, frame) for check in (_hardy, _acid, _moist, _frost_pocket)),
        *(check(one, region) for check in (_invasive, _restricted)),
    ):
        if found is not None:
            yield found
    yield from exposed(one, frame)
    yield from _poison(one, frame)


def zone_number(zone: str) -> int:
    """Return the whole zone of one written ``8b``."""
    return int(zone.rstrip("ab"))


def _hardy(one: Planting, frame: Frame) -> Misfit | None:
    zone, plant = frame.climate.zone, one.plant
    if zone is None or plant.annual:
        return None
    source = f"USDA zone of the site from its yearly minima; the plant's zones: {plant.known('zone_min')}"
    if plant.zone_min is not None and zone_number(zone) < plant.zone_min:
        words = (
            f"{_name(one)} is hardy to zone {plant.zone_min} and this place is zone {zone}: a usual winter can kill it."
        )
        return Misfit(
            one.owner, "hardy", Severity.FAULT, words, "Choose a hardier plant, or grow it under glass.", source
        )
    if plant.zone_max is not None and zone_number(zone) > plant.zone_max + 1:
        words = f"{_name(one)} does best up to zone {plant.zone_max}; this place is zone {zone}, warmer than it likes."
        return Misfit(one.owner, "warm", Severity.HINT, words, "Ask local growers whether it does well there.", source)
    return None


ACID_MARGIN = 0.3
"""So far outside the range it likes, acidity is worth a word (common practice, no source)."""


def _acid(one: Planting, frame: Frame) -> Misfit | None:
    ph, plant = frame.soil.ph, one.plant
    if ph is None or plant.ph_span is None:
        return None
    low, high = plant.ph_span
    source = f"the pH it likes: {plant.known('ph_span')}"
    if ph < low - ACID_MARGIN:
        words = f"{_name(one)} likes a soil of pH {low:g} to {high:g}; this one is {ph:g}, too acid."
        return Misfit(
            one.owner, "acid", Severity.CARE, words, "Lime the ground the autumn before, by a soil test.", source
        )
    if ph > high + ACID_MARGIN:
        grave = Severity.FAULT if high <= ERICACEOUS else Severity.CARE
        words = f"{_name(one)} likes a soil of pH {low:g} to {high:g}; this one is {ph:g}, too limy."
        return Misfit(one.owner, "limy", grave, words, LIMY_REMEDY[grave], source)
    return None


ERICACEOUS = 5.8
"""What wants a soil below this fails in limy ground (common practice, no source)."""
LIMY_REMEDY = {
    Severity.FAULT: "Grow it in a raised bed filled with acid soil, and water it with rain, or choose another.",
    Severity.CARE: "It may grow less well and its leaves turn yellow: dig in compost, don't lime, or choose what stands lime.",
}


def _moist(one: Planting, frame: Frame) -> Misfit | None:
    drains, likes = frame.soil.drainage, one.plant.moisture
    if drains is None or not likes:
        return None
    source = f"the moisture it likes: {one.plant.known('moisture')}"
    if drains == "waterlogged" and "wet" not in likes and one.plant.woody:
        words = f"{_name(one)} can't stand with its roots in water, and this ground is waterlogged."
        return Misfit(
            one.owner, "wet", Severity.FAULT, words, "Drain the ground or plant on a ridge, or choose another.", source
        )
    if drains == "slow" and set(likes) <= {"dry"}:
        words = f"{_name(one)} likes dry, open soil, and this one drains slowly."
        return Misfit(one.owner, "wet", Severity.CARE, words, "Plant it on a ridge with grit worked in.", source)
    if drains == "fast" and set(likes) <= {"moist", "wet"}:
        words = f"{_name(one)} likes moist soil, and this one dries out fast."
        return Misfit(one.owner, "dry", Severity.CARE, words, "Dig in compost, mulch, and plan to water it.", source)
    return None


POCKET_SHARE, POCKET_M = 0.2, 0.8
"""The lowest fifth of ground that falls by at least so much gathers cold air (common practice, no source)."""
EARLY = frozenset((3, 4, 5))


def _frost_pocket(one: Planting, frame: Frame) -> Misfit | None:
    plant = one.plant
    if not (plant.edible and plant.woody and set(plant.bloom_months) & EARLY):
        return None
    lowest, highest = _LOWEST.get((frame.ground, frame.boundary), None, lambda: _span_m(frame))
    falls = highest - lowest
    x, y = one.standing.at[0]
    above = float(frame.ground.height(x, y)) - lowest
    if falls < POCKET_M or above > POCKET_SHARE * falls:
        return None
    words = f"{_name(one)} flowers in spring and stands in the lowest part of the ground, where cold air gathers."
    return Misfit(
        one.owner, "frost", Severity.CARE, words,
        "Plant it higher up, leave a gap below it for the cold air to flow out, or be ready with fleece.",
        f"{PRACTICE}; heights from your levels",
    )  # fmt: skip


def _span_m(frame: Frame) -> tuple[float, float]:
    """Return the lowest and the highest of the boundary's corners [m]."""
    x, y = zip(*frame.boundary.exterior.coords[:-1], strict=True)
    heights = frame.ground.height(np.array(x), np.array(y))
    return float(heights.min()), float(heights.max())


_LOWEST: Kept[tuple[float, float]] = Kept(16)

PLACES = {
    "us": ("US", "N America", "North American", "California", "Pacific NW", "Alaska", "mid-Atlantic"),
    "europe": ("UK", "Europe"),
}


def _invasive(one: Planting, region: Region | None) -> Misfit | None:
    plant = one.plant
    if region is None or not plant.spreads:
        return None
    where = plant.spreads_where
    named = [r for r, words in PLACES.items() if any(w in where for w in words)]
    here = region in named
    if not here and (named or plant.spreads == "watch"):
        return None
    grave = Severity.CARE if plant.spreads == "yes" and here else Severity.HINT
    words = f"{_name(one)} spreads into the wild ({where})."
    remedy = "Look at the list of your state or country before you buy; choose a sterile form or another plant."
    return Misfit(
        one.owner, "invasive", grave, words, remedy, f"{plant.known('spreads')}; lists differ by state and country"
    )


def _restricted(one: Planting, region: Region | None) -> Misfit | None:
    plant = one.plant
    if region is None or not plant.restricted or ("US" in plant.restricted and region != "us"):
        return None
    return Misfit(
        one.owner, "restricted", Severity.CARE, f"{_name(one)}: {plant.restricted}.",
        "Ask your state's or country's plant health service before you order it.", plant.known("restricted"),
    )  # fmt: skip


def _poison(one: Planting, frame: Frame) -> Iterator[Misfit]:
    plant = one.plant
    who = frame.household.named(_concerned(plant))
    if not who:
        return
    source = f"{plant.known('poison')}; lists of poisonous plants are never complete"
    words = _lower(plant.poison_words)
    if plant.poison == "high":
        words = f"{_name(one)} can kill, and {who} are about: {words}."
        remedy = f"Plant something else while {who} are about, and keep its clippings from them."
        yield Misfit(one.owner, "poison", Severity.DANGER, words, remedy, source)
        return
    taught = frame.household.children and plant.poison == "people"
    grave = Severity.CARE if taught and not plant.edible else Severity.HINT
    remedy = (
        "Teach children not to eat from it, or choose another." if taught else "Keep animals off it, or choose another."
    )
    yield Misfit(one.owner, "poison", grave, f"{_name(one)}, with {who} about: {words}.", remedy, source)


ANIMALS = {"pets": ("dogs", "cats"), "dogs": ("dogs",), "cats": ("cats",), "livestock": ("hens",)}
"""Whom the words of a plant's poison mean in a household."""


def _concerned(plant: Plant) -> tuple[str, ...]:
    """Return the fields of a household whom a plant's poison concerns: of what can kill all, whoever is named."""
    if plant.poison == "high":
        return ("children", "dogs", "cats", "hens")
    if plant.poison not in ("people", "pets"):
        return ()
    named = [who for word, those in ANIMALS.items() if word in plant.poison_words for who in those]
    others = named or "horses" in plant.poison_words
    first = ["children"] if plant.poison == "people" else [] if others else ["dogs", "cats"]
    return tuple(dict.fromkeys((*first, *named)))


def _lower(words: str) -> str:
    return words.replace("HIGHLY TOXIC", "very poisonous").replace("toxic", "poisonous") or "all parts are poisonous"


def gravest(found: Sequence[Misfit]) -> Severity | None:
    """Return the gravest of several misfits, or None."""
    order = (Severity.DANGER, Severity.FAULT, Severity.CARE, Severity.HINT)
    return next((s for s in order if any(m.severity is s for m in found)), None)


def suits(plant: Plant, frame: Frame) -> bool:
    """Return whether a plant would stand the winters of the place, as far as both are known."""
    zone = frame.climate.zone
    return zone is None or plant.zone_min is None or zone_number(zone) >= plant.zone_min
