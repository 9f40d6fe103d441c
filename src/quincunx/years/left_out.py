"""The garden as it would be if one job were never done: neither it nor any job that waits for it or needs it."""

from __future__ import annotations

from quincunx.garden import Garden
from quincunx.years.comes_true import waiting_for


def left_out(garden: Garden, job: str) -> Garden:
    """Return the garden without a job and all behind it: what they make isn't there, what they take away stays.

    What another job makes at its own time is untouched.  KeyError if there is no such job.
    """
    if all(j.id != job for j in garden.jobs):
        raise KeyError(job)
    gone = waiting_for(garden, job)
    return garden.model_copy(update={"jobs": tuple(j for j in garden.jobs if j.id not in gone)})
