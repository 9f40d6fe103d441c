"""What happened to a planting, and what it comes to: growth gone, the years in which it closes and bears, crops lost."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from quincunx.grow.aftercare import missing
from quincunx.grow.bearing import bearing
from quincunx.grow.harvest import crops
from quincunx.grow.plantings import planting
from quincunx.grow.reached import When, closed, when
from quincunx.plants.catalogue import Plant
from quincunx.plants.ranges import Range
from quincunx.plants.setbacks import TAKES_YEARS
from quincunx.scene import Timeline
from quincunx.scene.fate import month_of

TOLD = (*TAKES_YEARS, "lost", "replanted")
"""What the journal can say happened to a planting that moves its growth."""


@dataclass(frozen=True, slots=True)
class SetBack:
    """What the journal says of a planting and what it comes to.

    ``happened``: (day, what, how many or None) by day; ``early`` those among them of a day before it was planted, which
    change nothing.  ``years`` of growth taken in all; ``lower_m`` by how much lower it is at the end of the summer
    after the last of it.  ``closes`` and ``bears``: without what happened, and with it; None where that is not asked of
    such a plant.  ``kilograms`` not picked, by year; ``gone``: all of it is lost and not planted again.
    """

    owner: str
    plant: Plant
    happened: tuple[tuple[date, str, float | None], ...]
    early: tuple[tuple[date, str, float | None], ...]
    years: Range
    lower_m: float
    closes: tuple[When, When] | None
    bears: tuple[When, When] | None
    kilograms: Mapping[int, float]
    gone: bool = False


def set_backs(timeline: Timeline) -> tuple[SetBack, ...]:
    """Return what happened to each planting of which the journal tells something, by owner."""
    found = []
    for feature in timeline.features:
        named = feature.plants_named() if feature.id in timeline.fates else ()
        plant = timeline.find(named[0]) if named else None
        if plant is not None and _told(timeline, feature.id):
            found.append(_one(timeline, feature.id, plant))
    return tuple(found)


def _told(timeline: Timeline, owner: str) -> list[tuple[date, str, float | None]]:
    rows = [e for e in timeline.journal if e.about == owner and e.what in TOLD]
    return sorted((date.fromisoformat(e.day), e.what, e.amount) for e in rows)


def _one(timeline: Timeline, owner: str, plant: Plant) -> SetBack:
    kept = [e for e in timeline.journal if not (e.about == owner and e.what in TOLD)]
    frame, find = timeline.frame, timeline.find
    without = Timeline(frame, timeline.features, timeline.jobs, timeline.means, kept, find, goes=timeline.courses)
    happened = _told(timeline, owner)
    early = [h for h in happened if _is_early(without, owner, h[0])]
    real = [h for h in happened if h not in early]
    takes = [TAKES_YEARS[what] for _, what, _ in real if what in TAKES_YEARS]
    years = Range(sum(t[0] for t in takes), sum(t[1] for t in takes), sum(t[2] for t in takes))
    last = real[-1][0] if real else happened[-1][0]
    then = timeline.leaf_date(last.year)
    on = then if last <= then else timeline.leaf_date(last.year + 1)
    was, now = planting(without, owner, on), planting(timeline, owner, on)
    lower = was.standing.height_m[1] - now.standing.height_m[1] if was and now else 0.0
    row = was is not None and was.standing.kept and bool(was.standing.spacing_m)
    bears = plant.edible and plant.woody and bool(plant.harvest_months)
    return SetBack(
        owner, plant, tuple(real), tuple(early), years, max(lower, 0.0),
        (when(without, owner, closed, 1.0), when(timeline, owner, closed, 1.0)) if row else None,
        (bearing(without, owner).when, bearing(timeline, owner).when) if bears else None,
        _fewer(without, timeline, owner), (missing(timeline, owner) or (last, 1.0))[1] == 0.0,
    )  # fmt: skip


def _is_early(without: Timeline, owner: str, day: date) -> bool:
    """Return whether it was not planted by the month of a day, or no longer stood."""
    first, last = without.made_by(owner), without.made_in(owner)
    being_made = first is not None and last is not None and first <= month_of(day) <= last
    return planting(without, owner, day) is None and not being_made


def _fewer(without: Timeline, timeline: Timeline, owner: str) -> dict[int, float]:
    """Return the kilograms not picked of a planting in each year in which there are any."""
    out = {}
    for year in timeline.years:
        was, now = (sum(c.kg.mid for c in crops(t, year) if c.owner == owner) for t in (without, timeline))
        if was - now >= LEAST_KG:
            out[year] = was - now
    return out


LEAST_KG = 0.05
