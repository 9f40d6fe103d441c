"""This month and the next: what to begin and go on with, what to order by when, and what can be done in the wet.

What is wet work and what is not is common practice, no source: soil that sticks to the boots is not dug, trodden or
planted, mortar and timber finishes want dry days, while timber can be cut under cover and orders written indoors.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from quincunx.garden import Garden
from quincunx.scene import Timeline
from quincunx.shapes import AreaWork, FrameWork, KitWork, LineWork, PlantWork, Work
from quincunx.units import format_hours, format_money
from quincunx.units.dates import format_day, format_month, month_from_index, month_index
from quincunx.works import Course
from quincunx.years.months import Run, runs_of
from quincunx.years.on_day import courses_of, on_day
from quincunx.years.ordering import ahead, works_of
from quincunx.years.seasons import season

MONTHS_SHOWN = 2
RANK = {"write": -1, "order": 0, "book": 0, "go on": 1, "begin": 2, "wait": 3, "pay": 4}
SILENT = 3
"""From so many jobs on that were to begin since the last line of the journal, it is the journal that is behind."""
NAMED = 4
"""So many of them are named; the rest are counted."""


@dataclass(frozen=True, slots=True)
class Soon:
    """One thing to do: ``month`` from January of year 0, ``kind`` write, order, book, go on, begin, wait or pay.

    ``late`` says that it was due; what is late and out of its season waits.  *Write* is about no job (``job`` is ""): the
    journal is behind.  ``things`` are what is to be ordered or booked, each as its line of the costs is written.
    """

    month: int
    kind: str
    job: str
    words: str
    hours: float = 0.0
    money: int = 0
    late: bool = False
    things: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Wet:
    """What of a job can be done on a wet weekend; ``words`` say how, or why not."""

    job: str
    possible: bool
    words: str


def soon(garden: Garden, through: Timeline, month: int, months: int = MONTHS_SHOWN) -> tuple[Soon, ...]:
    """Return what is to be done from ``month`` on (from January of year 0), in the order to do it.

    Within a month what is to be ordered comes first, then what goes on, then what begins.  Orders that were due
    before and whose job has not begun come in the first month, marked late.  Where several jobs were to begin since the
    journal was last written in, that is said once, with what to do, in place of each of them.  The garden is read in ``month``.
    """
    garden = on_day(garden, month, through=through)
    found, untold = list[Soon](), _untold(garden, month)
    if untold:
        found.append(Soon(month, "write", "", _behind(garden, month, untold), late=True))
    goes = courses_of(garden)
    for run in runs_of(garden):
        if run.start is None or run.end is None or run.state == "done" or run in untold:
            continue
        found += _orders(garden, through, run, (month, months))
        found += _waits(through, run, month) or _works(garden, run, goes[run.job.id], (month, months))
    return tuple(sorted(found, key=lambda s: (s.month, RANK[s.kind], not s.late, s.job, s.words)))


def _last_line(garden: Garden, month: int) -> str | None:
    """Return the day of the last line of the journal before the end of ``month``."""
    return max((e.day for e in garden.journal if month_index(e.day[:7]) <= month), default=None)


def _untold(garden: Garden, month: int) -> tuple[Run, ...]:
    """Return the jobs that were to begin between the last line of the journal and ``month``, if they are many."""
    last = _last_line(garden, month)
    since = garden.means.first_year * 12 if last is None else month_index(last[:7])
    found = [
        (r.start, r.job.id, r) for r in runs_of(garden) if r.state in ("planned", "booked") and r.start is not None
    ]
    late = tuple(run for start, _, run in sorted(found, key=lambda f: f[:2]) if since <= start < month)
    return late if len(late) >= SILENT else ()


def _behind(garden: Garden, month: int, untold: tuple[Run, ...]) -> str:
    """Say since when the journal is silent, which jobs were to begin, and what to do."""
    last = _last_line(garden, month)
    since = "yet" if last is None else f"since {format_day(date.fromisoformat(last))}"
    named = [f"{r.job.name} ({format_month(month_from_index(r.start or 0))})" for r in untold[:NAMED]]
    more = len(untold) - NAMED
    names = "; ".join([*named, *([f"{more} more"] if more > 0 else [])])
    return (
        f"Nothing is written in the journal {since}, and {len(untold)} jobs were to have begun by now: {names}. "
        "Write down what is done or begun (As it went; one touch there says that all went as planned). What was not begun "
        "finds another month when you plan the rest again."
    )


def _orders(garden: Garden, through: Timeline, run: Run, span: tuple[int, int]) -> list[Soon]:
    month, months = span
    if run.state == "begun" or run.start is None or run.start < month:
        return []
    found = []
    paid = any(e.about == run.job.id and e.what == "spent" for e in garden.journal)
    for each in ahead(through, run.job, garden.style):
        by = run.start - each.months
        late = by < month
        if by >= month + months or (late and paid):
            continue
        verb = "Book" if each.booked else "Order"
        when = "now: it should have been" if late else f"by the end of {format_month(month_from_index(by))}"
        done = f" {'booked' if each.booked else 'ordered'} by {format_month(month_from_index(by))}" if late else ""
        words = f"{verb} for “{run.job.name}” {when}{done}. It begins in {format_month(month_from_index(run.start))}."
        found.append(Soon(max(by, month), verb.casefold(), run.job.id, words, late=late, things=each.what))
    return found


def _waits(through: Timeline, run: Run, month: int) -> list[Soon]:
    """Say of a job that did not begin when its season comes again; nothing if it can begin in this month."""
    if run.state not in ("planned", "booked") or run.start is None or run.start >= month:
        return []
    fits, length = season(through, run.job).months, run.job.months
    again = next((m for m in range(month, month + 13) if all((m + u) % 12 + 1 in fits for u in range(length))), None)
    if again is None or again == month:
        return []
    was, then = (format_month(month_from_index(m)) for m in (run.start, again))
    words = (
        f"“{run.job.name}” was to begin in {was} and did not; its season comes again in {then}. Plan the rest again."
    )
    return [Soon(month, "wait", run.job.id, words, late=True)]


def _works(garden: Garden, run: Run, goes: Course, span: tuple[int, int]) -> list[Soon]:
    month, months = span
    if run.start is None or run.end is None:
        return []
    found = list[Soon]()
    if run.state == "begun":
        return list(_goes_on(garden, run, goes, range(month, month + months)))
    hours, money, end = goes.to_do, goes.to_pay, run.end
    late = run.state in ("planned", "booked") and run.start < month
    for at in range(month, month + months):
        if late and at > month:
            continue
        if not late and not run.start <= at < end:
            found += _bill(garden, run, at, money.get(at, 0))
            continue
        begin = late or at == run.start
        left = end - at
        time, sum_ = hours.get(run.start if late else at, 0.0), money.get(run.start if late else at, 0)
        said = [format_hours(time, garden.style)] if time else []
        said += [format_money(sum_, garden.style, whole=True)] if sum_ else []
        more = f", {left} months to go" if not begin and left > 1 else ", the last month" if not begin else ""
        was = f" It was to begin in {format_month(month_from_index(run.start))}." if late else ""
        verb = "Begin" if begin else "Go on with"
        what = f" ({', '.join(said)})" if said else ""
        words = f"{verb} “{run.job.name}”{more}{what}.{was}"
        found.append(Soon(at, "begin" if begin else "go on", run.job.id, words, time, sum_, late))
    return found


def _goes_on(garden: Garden, run: Run, goes: Course, span: range) -> Iterator[Soon]:
    """Yield in which months of ``span`` a begun job goes on and is paid for; what is left past its planned end is said once."""
    start, planned = run.start or 0, (run.start or 0) + run.job.months
    over = planned <= span.start
    if over:
        yield _overrun(garden, run, goes, span.start)
    works = sorted(goes.to_do) if run.job.hours else range(start, planned)
    for at in span:
        sum_ = goes.to_pay.get(at, 0)
        if over or at not in works:
            yield from _bill(garden, run, at, sum_)
            continue
        time, left = goes.to_do.get(at, 0.0), sum(m >= at for m in works)
        said = [format_hours(time, garden.style)] if time else []
        said += [format_money(sum_, garden.style, whole=True)] if sum_ else []
        more = f", {left} months to go" if left > 1 else ", the last month"
        what = f" ({', '.join(said)})" if said else ""
        words = f"Go on with “{run.job.name}”{more}{what}."
        yield Soon(at, "go on", run.job.id, words, time, sum_)


def _bill(garden: Garden, run: Run, month: int, due: int) -> Iterator[Soon]:
    if due:
        words = f"Pay what is due for “{run.job.name}”: {format_money(due, garden.style, whole=True)}."
        yield Soon(month, "pay", run.job.id, words, 0.0, due)


def _overrun(garden: Garden, run: Run, goes: Course, month: int) -> Soon:
    """Return what was begun and should have been over: it goes on until the journal says that it is done."""
    hours, end = sum(goes.to_do.values()), (run.start or 0) + run.job.months
    left = f" ({format_hours(hours, garden.style)} left of those planned)" if hours else ""
    words = (
        f"Go on with “{run.job.name}”{left}. It was to be over by the end of {format_month(month_from_index(end - 1))}:"
        " if it is done, write that down."
    )
    return Soon(month, "go on", run.job.id, words, hours, late=True)


def wet(garden: Garden, through: Timeline, tasks: tuple[Soon, ...]) -> tuple[Wet, ...]:
    """Return for each job at hand what of it can be done on a wet weekend; orders can always be written."""
    jobs = {j.id: j for j in garden.jobs}
    at_hand = list(dict.fromkeys(t.job for t in tasks if t.kind in ("begin", "go on")))
    return tuple(_wet(name, jobs[name].name, works_of(through, jobs[name])) for name in at_hand)


def _wet(job: str, name: str, works: tuple[Work, ...]) -> Wet:
    if any(isinstance(w, FrameWork) and w.members for w in works):
        return Wet(
            job,
            possible=True,
            words=f"“{name}”: cut and drill the timber under cover; leave the post holes for a dry day.",
        )
    if any(isinstance(w, KitWork) for w in works):
        return Wet(
            job,
            possible=True,
            words=f"“{name}”: lay out the kit's parts under cover and count them; put it up on a dry, still day.",
        )
    if any(isinstance(w, PlantWork) for w in works):
        return Wet(
            job,
            possible=False,
            words=f"“{name}”: leave it. Wet soil is not dug, trodden or planted; heel bare roots in or keep them covered and damp.",
        )
    if any(isinstance(w, (AreaWork, LineWork)) for w in works):
        return Wet(
            job,
            possible=False,
            words=f"“{name}”: leave it. Neither digging nor mortar does well in the wet; sort and stack the materials.",
        )
    return Wet(
        job, possible=False, words=f"“{name}”: look at its steps; nothing of it is known to be work under cover."
    )
