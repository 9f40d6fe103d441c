"""What a job's plants give, as part of its worth: points for the kilograms picked in each year after it is done.

Only where the person has said what ten kilograms a year matter.  Yields, ages at bearing and the way a crop rises are
those of :mod:`quincunx.grow.harvest`, its middle figures.  What the journal says was lost gives nothing until it is planted
again, as the care calendar has it or as it was in truth, and grows from then; pollination and browsing are not counted here.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from datetime import date, timedelta

from quincunx.garden import Garden
from quincunx.garden.through_time import timeline
from quincunx.grow.harvest import crop_share, full_kg
from quincunx.grow.plantings import planting
from quincunx.plants.catalogue import Plant
from quincunx.scene import Timeline
from quincunx.scene.fate import Fate, month_of
from quincunx.units.dates import month_from_index
from quincunx.works import Job
from quincunx.years.grown import set_anew

KILOGRAMS = 10.0
"""The person says what so many kilograms a year matter [kg]."""
MIDDLE = 0.5
"""The crop of a year is that of an age in its middle [years]."""
MOST_YEARS = 20
"""From this age on a crop counts as it is then [years]."""


def kilograms(garden: Garden) -> dict[str, tuple[float, ...]]:
    """Return, by job, the kilograms its plants give in each year after it is done [kg]; jobs that give none are left out."""
    first = month_from_index(garden.means.first_year * 12)
    jobs = tuple(j.model_copy(update={"start": first}) for j in garden.jobs)
    through = timeline(garden.model_copy(update={"jobs": jobs, "journal": ()}))
    on = through.leaf_date(through.years[-1])
    known = timeline(garden) if garden.journal else None
    found = {}
    for job in garden.jobs:
        years = [0.0] * MOST_YEARS
        for feature in _makes(job):
            one = planting(through, feature, on)
            if one is None or not one.plant.harvest_months:
                continue
            full, lives = full_kg(one).mid, tuple(_lives(known, job, feature))
            for k in range(MOST_YEARS):
                years[k] += full * sum(share * _crop(one.plant, lived, k + MIDDLE) for share, lived in lives)
        if any(years):
            found[job.id] = tuple(years)
    return found


Life = tuple[float, float]
"""From when to when a plant grows, in years after its job is done."""
FOR_GOOD: tuple[Life, ...] = ((0.0, math.inf),)


def _lives(known: Timeline | None, job: Job, feature: str) -> Iterator[tuple[float, tuple[Life, ...]]]:
    """Yield shares of a planting, and when those grow: what was lost, and comes again, lives more than once."""
    fate = None if known is None else known.fates.get(feature)
    done = None if known is None else known.last_month(job)
    if known is None or fate is None or done is None:
        yield 1.0, FOR_GOOD
        return
    anew, begun = set_anew(known, feature), done + 1
    again = anew.month if anew is not None and not anew.was else None

    def years(month: int) -> float:
        return (month - begun) / 12

    whole, since = list[Life](), 0.0
    for first, last in fate.gone:
        whole.append((since, years(first)))
        back = again if last is None else last
        since = math.inf if back is None else years(back)
    whole.append((since, math.inf))
    losses = [(month_of(day), many) for day, what, many in fate.happened if what == "lost" and many]
    count = _count(known, feature, fate)
    returns = sorted(month_of(day) for day in (*fate.anew, *_made_good(fate)))
    left = 1.0
    for month, many in losses if count else ():
        share = min(many / count, left)
        back = next((m for m in returns if m >= month), again)
        left -= share
        yield share, tuple(_parted(whole, years(month), math.inf if back is None else years(back)))
    yield left, tuple(whole)


def _made_good(fate: Fate) -> Iterator[date]:
    """Yield the days on which some of the plants that were lost were planted again."""
    return (day for day, what, many in fate.happened if what == "replanted" and many)


def _parted(lives: Sequence[Life], lost: float, back: float) -> Iterator[Life]:
    """Yield the lives of plants that were lost beside the others, and planted again, in years after the job is done."""
    for since, until in lives:
        if since <= lost < until:
            yield since, lost
            if back < until:
                yield back, until
        else:
            yield since, until


def _count(known: Timeline, feature: str, fate: Fate) -> float:
    """Return how many plants there were before any was lost."""
    first = min((day for day, what, _ in fate.happened if what == "lost"), default=None)
    one = (
        None
        if first is None
        else planting(known, feature, first - timedelta(days=32)) or planting(known, feature, first)
    )
    return float(one.standing.count) if one is not None else 0.0


def _crop(plant: Plant, lived: Sequence[Life], at: float) -> float:
    """Return the share of a full crop, so many years after the job is done."""
    age = next((at - since for since, until in lived if since <= at < until), None)
    return 0.0 if age is None else crop_share(plant, (age,) * 3).mid


def _makes(job: Job) -> tuple[str, ...]:
    return tuple(dict.fromkeys(target.partition("/")[0] for target in job.does))


def points(garden: Garden, points_of_ten: int) -> dict[str, tuple[int, ...]]:
    """Return, by job, the points of its harvest in each year after it is done; nothing if ten kilograms count for nothing."""
    if not points_of_ten:
        return {}
    return {
        job: tuple(round(points_of_ten * kg / KILOGRAMS) for kg in years) for job, years in kilograms(garden).items()
    }
