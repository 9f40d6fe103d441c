"""What is planted, year by year, without standing up the whole garden."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Protocol

from quincunx.plants.catalogue import Plant
from quincunx.scene import StandingPlant, Stands, Timeline

DAYS_A_YEAR = 365.25


class Grows(Protocol):
    """What says which plants it is and what it grows on."""

    def plants_named(self) -> tuple[str, ...]:
        """Return the ids of its plants."""
        ...

    def features_named(self) -> tuple[str, ...]:
        """Return the ids of other features it refers to."""
        ...


@dataclass(frozen=True, slots=True)
class Planting:
    """One planting as it stands on a date: what stands, its plant, and its feature's name."""

    standing: StandingPlant
    plant: Plant
    on: date

    @property
    def owner(self) -> str:
        """Return the id of the feature it is."""
        return self.standing.owner

    def years_at(self, month: int) -> tuple[float, float, float]:
        """Return its age by growth in the middle of a calendar month of the same year: low, middle, high [years].

        Negative before it was planted.
        """
        shift = (date(self.on.year, month, 15) - self.on).days / DAYS_A_YEAR
        if self.standing.age_years + shift < 0:
            return (-1.0, -1.0, -1.0)
        low, mid, high = self.standing.grown_years
        return (max(low + shift, 0.0), max(mid + shift, 0.0), max(high + shift, 0.0))


def growing(timeline: Timeline) -> tuple[Stands, ...]:
    """Return the features that name a plant."""
    return tuple(f for f in timeline.features if f.plants_named())


def plantings(timeline: Timeline, year: int) -> tuple[Planting, ...]:
    """Return what is planted at the end of the summer of ``year``; plants nobody knows are left out."""
    on = timeline.leaf_date(year)
    return tuple(p for feature in growing(timeline) for p in _of(timeline, feature, on))


def planting(timeline: Timeline, feature_id: str, on: date) -> Planting | None:
    """Return the planting a feature is on a date; None if it is none, or doesn't stand."""
    feature = timeline.feature(feature_id)
    return None if feature is None else next(_of(timeline, feature, on), None)


def _of(timeline: Timeline, feature: Stands, on: date) -> Iterator[Planting]:
    if not timeline.stands_on(feature.id, on):
        return
    for standing in timeline.plants_on(feature, on):
        plant = timeline.find(standing.plant)
        if plant is not None and standing.count:
            yield Planting(standing, plant, on)


def climbed(feature: Grows) -> tuple[str, ...]:
    """Return the ids of what a planted thing grows on; nothing for what stands by itself."""
    return feature.features_named() if feature.plants_named() else ()


def southern(months: tuple[int, ...], *, turned: bool) -> tuple[int, ...]:
    """Return northern months as they fall in this half of the world."""
    return tuple((m + 5) % 12 + 1 for m in months) if turned else months
