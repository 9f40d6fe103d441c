"""Dates that can't be kept any more, of musts and of jobs, each in one sentence: what is asked, why not, what to do."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from quincunx.garden.document import Garden
from quincunx.garden.happened import happened_until
from quincunx.garden.sources import sources
from quincunx.intents import Intent, Words
from quincunx.scene import Timeline
from quincunx.units.dates import format_month, month_from_index, month_index
from quincunx.works import is_work

NEVER = 10**6
"""A month that does not come."""


@dataclass(frozen=True, slots=True)
class TooLate:
    """A must or job whose date is past or can't be met: what it names, the year asked for, why not (``words``), what to do."""

    id: str
    about: tuple[str, ...]
    year: int
    words: str
    remedy: str

    @property
    def sentence(self) -> str:
        """Return both as one sentence."""
        return f"{self.words.rstrip('.')}; {self.remedy[:1].lower()}{self.remedy[1:]}"


def too_late(garden: Garden, through: Timeline, words: Words, today: int | None = None) -> tuple[TooLate, ...]:
    """Return the musts with a date that can't be kept from ``today`` on (a month from January of year 0), then the jobs.

    Without ``today`` time stands at the last work written down, or at the plan's beginning.  What was reached in its year
    is not late.  How long things take to grow is by their usual year.
    """
    now = 12 * garden.means.first_year + happened_until(garden) if today is None else today
    starts = _to_begin(garden, through, now)
    found = []
    for must in garden.intents:
        if not must.muted:
            late = _past(must, through, words, now) or _grows(garden, must, through, words, (now, starts))
            found += [late or _asked_before(must, through, words, now)]
    return (*(one for one in found if one is not None), *_gone_by(garden))


def stands_at(garden: Garden, today: int) -> int:
    """Return the month time stands at: ``today`` (from January of year 0), the last work written down or the plan's first."""
    return max(today, 12 * garden.means.first_year + happened_until(garden))


def _gone_by(garden: Garden) -> Iterator[TooLate]:
    """Tell of jobs set to a month before the plan begins of which the journal doesn't know."""
    first, known = garden.means.first_year, {e.about for e in garden.journal}
    for job in garden.jobs:
        if job.start is not None and month_index(job.start) + job.months <= 12 * first and job.id not in known:
            set_ = "booked" if job.booked else "planned"
            yield TooLate(
                job.id, (job.id,), int(job.start[:4]),
                f"“{job.name}” is {set_} for {format_month(job.start)}, before the plan begins in {first}.",
                "Write in the journal that it was done, or give it another month.",
            )  # fmt: skip


def _to_begin(garden: Garden, through: Timeline, now: int) -> dict[str, int]:
    """Return the month in which each thing still to come is begun, as planned.

    What something has become of (browsed, planted again, ...) stands, whether or not the journal knows of its job.
    """
    begun = {e.about for e in garden.journal if is_work(e)}
    jobs = {
        target.partition("/")[0]: month_index(job.start)
        for job in garden.jobs
        if job.start is not None and job.id not in begun
        for target in job.does
    }
    made = {target.partition("/")[0] for job in garden.jobs for target in job.does}
    for feature in garden.features:
        begins = through.span(feature.id).begins
        if feature.id not in made and begins is not None and now < begins < NEVER:
            jobs[feature.id] = begins - 1
    return {thing: month for thing, month in jobs.items() if thing not in through.fates}


def _past(must: Intent, through: Timeline, words: Words, now: int) -> TooLate | None:
    """Tell of a must whose year is over, unless it was reached by then."""
    by = must.asked_by()
    if by is None or by >= now // 12:
        return None
    reached = must.reached_in(through)
    if reached is not None and reached <= max(by, through.years[0]):
        return None
    said = f"“{must.sentence(words).rstrip('.')}” asks for a year that is past"
    if reached is None:
        return TooLate(
            must.id, must.things(), by, f"{said}, and as planned it is not in sight.",
            "Plan what it needs and set a later year, or take the must out.",
        )  # fmt: skip
    return TooLate(
        must.id, must.things(), by, f"{said}; as planned it comes in {reached}.", _later(max(reached, now // 12))
    )


def _later(year: int) -> str:
    return f"Set the must to {year} or later, or take it out."


def _grows(
    garden: Garden, must: Intent, through: Timeline, words: Words, when: tuple[int, dict[str, int]]
) -> TooLate | None:
    """Tell of what can't grow in time any more, even if it is planted as soon as its month comes again."""
    by, (now, starts) = must.asked_by(), when
    if by is None or by < now // 12:
        return None
    late = {}
    for thing, spare in must.spare_years(through).items():
        sooner = (starts[thing] - now) // 12 if thing in starts else 0
        if spare + sooner < 0:
            late[thing] = (by - spare - sooner, sooner)
    if not late:
        return None
    last = max(late, key=lambda t: (late[t][0], t))
    year, sooner = late[last]
    said = f"“{must.sentence(words).rstrip('.')}” can't be kept any more"
    if last not in starts:
        why, larger = f"as {words.the(last)} stands, it comes in {year}", ""
    else:
        month = format_month(month_from_index(starts[last] - 12 * sooner))
        who = "" if set(late) == set(must.things()) else f"{words.the(last)} is "
        why, larger = f"even if {who}planted in {month} it comes in {year}", _larger(garden, through, last, year - by)
    return TooLate(must.id, tuple(late), by, f"{said}: {why}.", f"{_later(year)[:-1]}{larger}.")


def _larger(garden: Garden, through: Timeline, thing: str, late: int) -> str:
    """Name the stock that is so many years sooner than what is drawn, so that it would still be in time."""
    found = sources(garden, through, thing)
    drawn = found[0].reached.usually if found else None
    if drawn is None:
        return ""
    other = [s for s in found[1:] if s.reached.usually is not None and s.reached.usually <= drawn - late]
    return f" (in time even so: {other[0].words.rstrip('.')})" if other else ""


def _asked_before(must: Intent, through: Timeline, words: Words, now: int) -> TooLate | None:
    """Tell of a must asked from a past year on of things that only come later."""
    asked = must.from_year
    if asked is None or asked >= now // 12:
        return None
    missing = [t for t in must.things() if through.feature(t) is not None and _first(through, t) > now // 12]
    if not missing:
        return None
    last = max(missing, key=lambda t: (_first(through, t), t))
    first, said = (
        _first(through, last),
        f"“{must.sentence(words).rstrip('.')}” is asked from {asked} on, which is past, but {words.the(last)}",
    )
    if first == NEVER:
        return TooLate(must.id, tuple(missing), asked, f"{said} is not in the plan.", "Plan it, or take the must out.")
    return TooLate(
        must.id, tuple(missing), asked, f"{said} stands from {first}.", f"Ask it from {first} on, or give it no year."
    )


def _first(through: Timeline, thing: str) -> int:
    first = through.first_year([thing])
    return NEVER if first is None else first
