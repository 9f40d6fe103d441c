"""Jobs that were to begin before a month and of which the journal says nothing: named, and written down as planned if so."""

from __future__ import annotations

from calendar import monthrange
from collections.abc import Iterator
from dataclasses import dataclass

from quincunx.garden import Edit, Garden, Op, plain
from quincunx.plants.setbacks import SAID
from quincunx.units import format_month
from quincunx.units.dates import month_index
from quincunx.works import Entry
from quincunx.years.months import Run, runs_of
from quincunx.years.on_day import courses_of

MOST_NAMED = 3
MOST_LETTERS = 60
"""An id is no longer than this."""


@dataclass(frozen=True)
class Unsaid:
    """What the journal says nothing of: the jobs, what that means in a few sentences, the edit that writes them as planned."""

    jobs: tuple[str, ...]
    sentence: str
    edit: Edit


def unsaid(garden: Garden, month: str) -> Unsaid | None:
    """Return the jobs that were to begin before ``month`` (``2028-06``) and stand nowhere in the journal; None if none do."""
    now = month_index(month)
    runs = [r for r in runs_of(garden) if r.state in ("planned", "booked") and r.start is not None and r.start < now]
    if not runs:
        return None
    names = "; ".join(f"“{r.job.name}”" for r in runs[:MOST_NAMED])
    more = f" and {len(runs) - MOST_NAMED} more" if len(runs) > MOST_NAMED else ""
    head = "one job" if len(runs) == 1 else f"{len(runs)} jobs"
    sentence = (
        f"The journal says nothing of {head} that {'was' if len(runs) == 1 else 'were'} to begin before"
        f" {format_month(month)} ({names}{more}), so {'it counts' if len(runs) == 1 else 'they count'} as not begun."
    )
    taken = {e.id for e in garden.journal}
    ops = tuple(
        Op(do="put", part="journal", id=e.id, value=plain(e))
        for run in runs
        for e in _as_planned(garden, run, now, taken)
    )
    edit = Edit(label=f"Journal: as planned until {format_month(month)}"[:200], ops=ops)
    return Unsaid(tuple(r.job.id for r in runs), " ".join((sentence, *_yet(garden, runs))), edit)


def _as_planned(garden: Garden, run: Run, now: int, taken: set[str]) -> Iterator[Entry]:
    """Yield the line that says of a job that it went as planned so far: done with its sum and hours, or begun.

    Its id is one that is not ``taken``, and is taken from then on.
    """
    start, end = run.start or 0, run.end or 0
    done = end <= now
    month = end - 1 if done else start
    year, of = divmod(month, 12)
    day = f"{year:04d}-{of + 1:02d}-{monthrange(year, of + 1)[1] if done else 1:02d}"
    stem, nth = f"as-planned-{run.job.id}", 1
    name = stem[:MOST_LETTERS].rstrip("-")
    while name in taken:
        nth += 1
        name = f"{stem[: MOST_LETTERS - 1 - len(str(nth))].rstrip('-')}-{nth}"
    taken.add(name)
    if done:
        cost = sum(courses_of(garden)[run.job.id].to_pay.values())
        yield Entry(
            id=name, day=day, what="done", about=run.job.id, sum=cost or None, hours=run.job.hours or None
        )  # fmt: skip
    else:
        yield Entry(id=name, day=day, what="begun", about=run.job.id)


def _yet(garden: Garden, runs: list[Run]) -> Iterator[str]:
    """Yield what the journal says of plants that only such a job could have planted."""
    named = {f.id: f.name for f in garden.features}
    for run in runs:
        makes = {target.partition("/")[0] for target in run.job.does}
        told = next((e for e in garden.journal if e.about in makes and e.what in SAID), None)
        if told is not None and told.about is not None:
            what = f"{named.get(told.about) or told.about.replace('-', ' ')} {SAID[told.what]}"
            yield f"Yet it says that {what}, which “{run.job.name}” was to plant: was that done?"
            return
