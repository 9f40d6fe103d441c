"""What plants want done, month by month, and how long it takes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from quincunx.grow.aftercare import After, aftercare
from quincunx.grow.harvest import Crop, crops
from quincunx.grow.plantings import Planting, plantings, southern
from quincunx.plants.tables import rows_of
from quincunx.scene import Timeline

POME = ("Malus", "Pyrus", "Cydonia", "Mespilus")
STONE = ("Prunus",)
QUICK_M = 0.45
"""A hedge that shoots so much a year wants a second clip (common practice, no source)."""

TREE_M = 8.0
"""What is sold for hedges and grows this high when left to itself is cared for as a tree [m] (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Chore:
    """One line of the list of care: whom it is for (marks), when (northern months), the words, minutes for one."""

    id: str
    marks: frozenset[str]
    months: tuple[int, ...]
    words: str
    minutes: float
    per: str
    since: float
    until: float


@dataclass(frozen=True, slots=True)
class Care:
    """A chore in one month: its words, for which plantings, and the hours it takes."""

    month: int
    id: str
    words: str
    owners: tuple[str, ...]
    hours: float


@cache
def chores() -> tuple[Chore, ...]:
    """Return the list of care."""
    return tuple(
        Chore(
            r["id"], frozenset(r["for"].split()), tuple(int(m) for m in r["months"].split()), r["words"],
            float(r["minutes"]), r["per"], float(r["from"]), float(r["to"]),
        )
        for r in rows_of("care.csv")
    )  # fmt: skip


def marks(one: Planting) -> frozenset[str]:
    """Return what a planting is as far as its care goes."""
    plant, standing = one.plant, one.standing
    genus = plant.botanical.split(" ")[0]
    found: set[str] = {plant.form}
    if standing.kept and standing.spacing_m:
        found = {"clipped"} | ({"quick"} if plant.hedge_growth_m >= QUICK_M else set())
    elif plant.form == "hedge":
        found = {"tree" if plant.height_m >= TREE_M else "shrub"}
    elif plant.form == "row":
        found = {"cane"}
    if plant.woody:
        found.add("woody")
    if plant.edible:
        found.add("edible")
    if "clipped" not in found and genus in POME + STONE:
        found.add("pome" if genus in POME else "stone")
    if plant.form == "herb":
        found.add("annual" if plant.annual else "lasting")
    if genus == "Fragaria":
        found.add("runners")
    if not found & {"pome", "stone", "edible"}:
        found.add("plain")
    return frozenset(found)


def care(timeline: Timeline, year: int, now: int | None = None) -> tuple[Care, ...]:
    """Return the care of all plants in a year, month by month, alike chores together.

    A chore is due when a planting's age in that month lies in the chore's years; what is picked takes its time by the
    kilogram.  What was lost is planted again no earlier than in month ``now`` (from January of year 0), if that is given.
    """
    found: dict[tuple[int, str], tuple[Chore, list[str], float]] = {}
    for one in plantings(timeline, year):
        mine = marks(one)
        for chore in chores():
            if chore.per == "kg" or not chore.marks <= mine:
                continue
            for month in southern(chore.months, turned=timeline.southern):
                age = one.years_at(month)[1]
                if chore.since <= age < chore.until or (age >= 0 and chore.since == 0 and age < chore.until):
                    _add(found, month, chore, one.owner, chore.minutes * _times(one, chore) / 60)
    pick = next(c for c in chores() if c.per == "kg")
    for crop in crops(timeline, year):
        for month, kg in _picked(crop).items():
            _add(found, month, pick, crop.owner, pick.minutes * kg / 60)
    out = [Care(m, c.id, c.words, tuple(dict.fromkeys(o)), h) for (m, _), (c, o, h) in found.items()]
    order = {c.id: k for k, c in enumerate(chores())}
    return tuple(sorted((*_after(timeline, year, now), *out), key=lambda c: (c.month, order.get(c.id, -1))))


def _after(timeline: Timeline, year: int, now: int | None) -> Iterator[Care]:
    """Yield what is done in a year after what the journal says happened; it comes first in its month."""
    alike: dict[tuple[int, str, str], list[After]] = {}
    for one in aftercare(timeline, now) if timeline.fates else ():
        if one.month // 12 == year:
            alike.setdefault((one.month % 12 + 1, one.id, one.words), []).append(one)
    for (month, name, words), those in alike.items():
        yield Care(month, name, words, tuple(dict.fromkeys(a.owner for a in those)), sum(a.hours for a in those))


def _add(
    found: dict[tuple[int, str], tuple[Chore, list[str], float]], month: int, chore: Chore, owner: str, hours: float
) -> None:
    _, owners, so_far = found.get((month, chore.id), (chore, [], 0.0))
    found[month, chore.id] = (chore, [*owners, owner], so_far + hours)


def _times(one: Planting, chore: Chore) -> float:
    standing = one.standing
    return standing.count * (standing.spacing_m or 1.0) if chore.per == "m" else float(standing.count)


def _picked(crop: Crop) -> Mapping[int, float]:
    return {m: kg.mid for m, kg in enumerate(crop.months, start=1) if kg.mid > 0}


def hours_by_month(found: Sequence[Care]) -> tuple[float, ...]:
    """Return the hours of care in each month [h]."""
    return tuple(sum(c.hours for c in found if c.month == m) for m in range(1, 13))
