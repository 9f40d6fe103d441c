"""In which months what is planted, by the climate of the place.

Bare-root plants go in while they are dormant and the soil can be worked: through a mild winter (about November to
March), but only in spring, before anything grows, where winters are hard (Iowa State University Extension and Outreach,
Yard and Garden, "When should bare-root trees be planted?", 24 March 2023).  A latitude doesn't tell which: at 60 degrees
north Bergen's winters are mild and Helsinki's hard (from memory).  Where neither temperatures nor zone are known that is
said, and a month that is right in either case is not called wrong.
Pot-grown plants go in spring and autumn, tender sowings after the last frost.  Where nothing else is cited: common
practice, no source; the limits below are stated so that they can be argued with.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from quincunx.grow.plantings import southern
from quincunx.plants.catalogue import Plant
from quincunx.scene import Frame, Stands, Timeline
from quincunx.shapes import PlantWork
from quincunx.site.climate import Climate
from quincunx.site.seasons import day_words
from quincunx.works import Job

MILD_C = -0.5
"""A winter whose coldest month has at least this mean temperature leaves the soil workable on most days [deg C]."""
WORKS_C = 3.0
"""From this mean temperature of a month on the soil can be worked in spring where winters are hard [deg C]."""
DORMANT = (11, 12, 1, 2, 3)
POTS = (3, 4, 5, 9, 10, 11)
SOWN = (4, 5, 6)
EVERGREENS = (3, 4, 9, 10)
"""Northern months (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Window:
    """The months in which something is planted, and the words why."""

    months: tuple[int, ...]
    words: str
    if_hard: tuple[int, ...] = ()
    """The months instead where winters are hard, if it isn't known whether they are."""

    @property
    def right(self) -> frozenset[int]:
        """The months that may be right, as far as is known."""
        return frozenset((*self.months, *self.if_hard))


UNSURE = "how cold the winters are is not known here: where the ground freezes for weeks, only in spring"


def hard_winter(climate: Climate) -> bool | None:
    """Return whether the soil freezes for weeks in a usual winter; None if neither temperatures nor zone are known."""
    if climate.t_min_c is not None and climate.t_max_c is not None:
        means = [(low + high) / 2 for low, high in zip(climate.t_min_c, climate.t_max_c, strict=True)]
        return min(means) < MILD_C
    zone = climate.zone
    return None if zone is None else int(zone.rstrip("ab")) <= HARD_ZONE


HARD_ZONE = 6
"""Where only the zone is known: up to this one winters are taken as hard (common practice, no source)."""


def window(plant: Plant, stock: str, frame: Frame) -> Window:
    """Return the months in which ``plant`` is set as ``stock`` (``bare root``, ``pot``, ``whip`` ...) at a place."""
    turned = frame.latitude_deg < 0
    hard = hard_winter(frame.climate)
    if plant.annual:
        return _sown(frame, turned=turned)
    if "pot" in stock or plant.dies_back:
        cold = " not in winter, the ground is frozen" if hard else " or in a mild spell of winter"
        months = tuple(m for m in POTS if not (hard and m in (3, 11)))
        return Window(southern(months, turned=turned), f"pot-grown: spring or autumn,{cold}")
    if plant.evergreen:
        return Window(southern(EVERGREENS, turned=turned), "evergreen: spring or early autumn, while the soil is warm")
    if hard:
        return Window(_spring(frame.climate, turned=turned), "bare root: in spring, as soon as the soil works")
    months, words = southern(DORMANT, turned=turned), "bare root: in the dormant months, not in frozen ground"
    if hard is None:
        return Window(months, f"{words}; {UNSURE}", _spring(frame.climate, turned=turned))
    return Window(months, words)


def _spring(climate: Climate, *, turned: bool) -> tuple[int, ...]:
    """Return the first two months after mid-winter, those of the place, that are warm enough to work the soil."""
    if climate.t_min_c is None or climate.t_max_c is None:
        return southern((4, 5), turned=turned)
    means = [(low + high) / 2 for low, high in zip(climate.t_min_c, climate.t_max_c, strict=True)]
    warm = [m for m in southern((2, 3, 4, 5, 6), turned=turned) if means[m - 1] >= WORKS_C]
    return tuple(warm[:2]) or southern((5, 6), turned=turned)


def _sown(frame: Frame, *, turned: bool) -> Window:
    frosts = frame.climate.frosts
    if not frosts:
        return Window(southern(SOWN, turned=turned), "sown or set out each spring, tender things after the last frost")
    last = int(frosts[0].last_spring[:2])
    months = (last, last % 12 + 1)
    return Window(months, f"sown or set out each year after the last frost (about {day_words(frosts[0].last_spring)})")


@dataclass(frozen=True, slots=True)
class OutOfSeason:
    """A planting planned for a month in which it isn't done: ``month`` counts from January of year 0."""

    owner: str
    plant: Plant
    month: int
    window: Window
    by_job: bool


def planting_job(timeline: Timeline, feature: Stands) -> Job | None:
    """Return the job that plants ``feature``; None if it has none, or says itself from when it is there."""
    return None if feature.there_from else timeline.job_of(feature.id)


def _planted(timeline: Timeline) -> Iterator[tuple[Stands, Job | None, int, Plant, Window]]:
    """Yield each planting still planned that has a season: its job, its month (from January of year 0), plant and window."""
    for feature in timeline.features:
        begins = timeline.span(feature.id).begins
        if begins is None or begins >= 10**6 or not feature.plants_named():
            continue
        job = planting_job(timeline, feature)
        month = begins - 1 if job is not None else begins
        for work in timeline.stood(feature, timeline.leaf_date(month // 12 + 1)).work:
            plant = timeline.find(work.plant) if isinstance(work, PlantWork) else None
            if plant is not None and not plant.annual and isinstance(work, PlantWork):
                yield feature, job, month, plant, window(plant, work.stock, timeline.frame)


def out_of_season(timeline: Timeline) -> tuple[OutOfSeason, ...]:
    """Return what is planned to be planted in a month in which it isn't; sown things and what stands are left out."""
    found = []
    for feature, job, month, plant, right in _planted(timeline):
        planned = {(month - k) % 12 + 1 for k in range(job.months if job is not None else 1)}
        if not planned & right.right:
            found.append(OutOfSeason(feature.id, plant, month, right, job is not None))
    return tuple(found)


def unsure(timeline: Timeline) -> tuple[str, ...]:
    """Return what is planted bare-rooted in a month right only where winters are mild, while nothing says whether they are."""
    found = (f.id for f, _, month, _, right in _planted(timeline) if right.if_hard and month % 12 + 1 in right.months)
    return tuple(dict.fromkeys(found))
