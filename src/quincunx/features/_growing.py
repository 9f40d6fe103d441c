"""What kinds that grow share: the plant they mean, its age, how it is listed and how it hides and shades."""

from __future__ import annotations

from collections.abc import Sequence

from quincunx.plants.catalogue import Plant
from quincunx.plants.growth import Size
from quincunx.scene.moment import Moment, StandingPlant
from quincunx.shapes import XY, Monthly

UNKNOWN = Plant(id="unknown-plant", name="unknown", height_m=1.5, spread_m=1.0)
"""Stands in for a plant nobody has described: a middling shrub."""


def known(moment: Moment, plant_id: str, otherwise: Plant = UNKNOWN) -> Plant:
    """Return the plant called ``plant_id``, or what stands in for it."""
    return moment.plant(plant_id) or otherwise


def light_and_view(plant: Plant, moment: Moment, cover: float = 1.0) -> tuple[Monthly, Monthly]:
    """Return the share of sunlight let through and the share of a view blocked, by month.

    ``cover`` is the share of the solid's outline that the plants really fill.
    """
    through = tuple(1.0 - cover * (1.0 - share) for share in plant.light(southern=moment.southern))
    return through, tuple(1.0 - share for share in through)


def listed(owner: str, plant_id: str, at: Sequence[XY], age_years: float, size: Size) -> StandingPlant:
    """Return the plants as they stand, for the schedules and the engines."""
    return StandingPlant(owner, plant_id, tuple(at), age_years, size.height_m.triple, size.spread_m.triple, len(at))
