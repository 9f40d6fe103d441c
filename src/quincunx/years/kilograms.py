"""What a job's plants give, as part of its worth: points for the kilograms picked in each year after it is done.

Only where the person has said what ten kilograms a year matter.  Yields, ages at bearing and the way a crop rises are
those of :mod:`quincunx.grow.harvest`, its middle figures; pollination and setbacks are not counted here.
"""

from __future__ import annotations

from quincunx.garden import Garden
from quincunx.garden.through_time import timeline
from quincunx.grow.harvest import crop_share, full_kg
from quincunx.grow.plantings import planting
from quincunx.units.dates import month_from_index
from quincunx.works import Job

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
    found = {}
    for job in garden.jobs:
        years = [0.0] * MOST_YEARS
        for feature in _makes(job):
            one = planting(through, feature, on)
            if one is None or not one.plant.harvest_months:
                continue
            full = full_kg(one).mid
            for k in range(MOST_YEARS):
                years[k] += full * crop_share(one.plant, (k + MIDDLE,) * 3).mid
        if any(years):
            found[job.id] = tuple(years)
    return found


def _makes(job: Job) -> tuple[str, ...]:
    return tuple(dict.fromkeys(target.partition("/")[0] for target in job.does))


def points(garden: Garden, points_of_ten: int) -> dict[str, tuple[int, ...]]:
    """Return, by job, the points of its harvest in each year after it is done; nothing if ten kilograms count for nothing."""
    if not points_of_ten:
        return {}
    return {
        job: tuple(round(points_of_ten * kg / KILOGRAMS) for kg in years) for job, years in kilograms(garden).items()
    }
