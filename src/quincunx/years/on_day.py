"""The garden as it is read in a month: what is left of begun jobs goes on from then."""

from __future__ import annotations

from quincunx.garden import Garden, timeline
from quincunx.scene import Stood, Timeline
from quincunx.works import Course, courses, is_work


def on_day(
    garden: Garden, month: int, shared: dict[object, Stood] | None = None, through: Timeline | None = None
) -> Garden:
    """Return the garden as it is read in ``month`` (from January of year 0).

    Whoever shows or orders a garden's money and hours reads it so first.  The file holds nothing of it.  Its timeline is
    ``through``, or one is made where it is needed, of what ``shared`` keeps.
    """
    done = {e.about for e in garden.journal if e.what == "done"}
    begun = {e.about for e in garden.journal if is_work(e)} - done
    fits = dict[str, frozenset[int]]()
    if any(job.id in begun and not job.window for job in garden.jobs):
        from quincunx.years.seasons import season

        stands = through or timeline(garden, shared)
        fits = {job.id: season(stands, job).months for job in garden.jobs if job.id in begun}
    return garden.model_copy(update={"means": garden.means.read_in(month, fits)})


def courses_of(garden: Garden) -> dict[str, Course]:
    """Return how each job goes, by id."""
    return courses(garden.means, garden.jobs, garden.journal)
