"""When a planting gives its first crop."""

from __future__ import annotations

from dataclasses import dataclass

from quincunx.grow.harvest import crop_share
from quincunx.grow.partners import partners
from quincunx.grow.plantings import planting, plantings, southern
from quincunx.grow.reached import MOST_YEARS, When
from quincunx.scene import Timeline


@dataclass(frozen=True, slots=True)
class Bearing:
    """When a planting first bears; ``unsure`` where nobody can tell whether it sets fruit; ``why`` says so."""

    when: When
    unsure: bool = False
    why: str = ""


def bearing(timeline: Timeline, feature_id: str) -> Bearing:
    """Return when a planting gives its first crop: by its growth, what set it back, and who pollinates it."""
    found: list[int | None] = [None, None, None]
    first = timeline.years[0]
    plant = None
    for year in range(first, first + MOST_YEARS + 1):
        one = planting(timeline, feature_id, timeline.leaf_date(year))
        if one is None:
            continue
        plant = one.plant
        months = southern(plant.harvest_months, turned=timeline.southern)
        if not months:
            return Bearing(When(), why="nothing is picked of it")
        if not one.standing.set_back:
            last = max(months, key=lambda m: one.years_at(m)[1])
            shares = crop_share(plant, one.years_at(last))
            for k, share in enumerate(reversed(shares.triple)):
                if share > 0 and found[k] is None:
                    found[k] = year
        if None not in found:
            break
    when = When(*found)
    if plant is None:
        return Bearing(when)
    year = min(when.usually or timeline.years[-1], timeline.years[-1])
    partner = partners(plantings(timeline, year)).get(feature_id)
    if partner is None or partner.sure:
        return Bearing(when, why=_how(plant.known("first_crop_years")))
    if partner.state == "perhaps":
        return Bearing(when, unsure=True, why=f"whether it sets fruit can't be told, {partner.why}")
    return Bearing(When(), why=f"it sets no fruit alone, {partner.why}")


def _how(known: str) -> str:
    return "" if known == "from memory" else "by the age at which it usually bears"
