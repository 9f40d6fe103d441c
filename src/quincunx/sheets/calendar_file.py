"""The plan as a calendar file (iCalendar, RFC 5545): each job over its months, and by when to order for it.

The same garden gives the same bytes: identities come from the garden's name and the job's id, and no clock is
read, so the time stamp is the plan's first day.  A calendar program that has taken the file in once keeps each
entry's identity; where it compares stamps it may keep the older entry, so take the old calendar out first.
"""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Iterator
from typing import TYPE_CHECKING

from quincunx.garden.shared import told
from quincunx.sheets._lifted import lift_words
from quincunx.sheets._set import Set
from quincunx.sheets.work_list import lift_by, order_by
from quincunx.sheets.year_page import first_month, worth_giving, year_of
from quincunx.units import format_hours, format_money
from quincunx.units.dates import first_day, last_day, month_from_index
from quincunx.years.months import Run, runs_of

if TYPE_CHECKING:
    import icalendar

NAMES = uuid.uuid5(uuid.NAMESPACE_URL, "urn:quincunx:calendar")
"""The space our identities live in (RFC 9562: version 5, from a name)."""


def calendar_file(of: Set) -> bytes:
    """Return the calendar: one all-day entry a job that has a month, one for each thing to order before it, one a year's page.

    An entry lasts from the first day of the job's first month to the last day of its last; it doesn't mark the
    person as busy.
    """
    import icalendar

    calendar = icalendar.Calendar()
    calendar.add("prodid", "-//Quincunx//Garden plan//EN")
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("name", of.garden.name)
    calendar.add("x-wr-calname", of.garden.name)
    stamp = dt.datetime(of.timeline.years[0], 1, 1, tzinfo=dt.UTC)
    jobs = (event for run in runs_of(of.garden) for event in _events(of, run))
    for event in (*jobs, *_year_pages(of)):
        event.add("dtstamp", stamp)
        event.add("transp", "TRANSPARENT")
        calendar.add_component(event)
    return bytes(calendar.to_ical())


def identity(garden: str, what: str) -> str:
    """Return the lasting identity of an entry, from the garden's name and what it is about."""
    return str(uuid.uuid5(NAMES, f"{garden}\n{what}"))


def _events(of: Set, run: Run) -> Iterator[icalendar.Event]:
    import icalendar

    job, garden = run.job, of.garden
    if run.start is None or run.end is None:
        return
    event = icalendar.Event()
    event.add("uid", identity(garden.name, f"job {job.id}"))
    event.add("summary", job.name)
    event.add("dtstart", first_day(month_from_index(run.start)))
    event.add("dtend", first_day(month_from_index(run.end)))
    event.add("description", _about(of, run))
    event.add("categories", ["large work" if job.large else "work", *(["done"] if run.state == "done" else [])])
    yield event
    seen: dict[str, int] = {}
    for month, words in order_by(of, run):
        seen[words[:1]] = seen.get(words[:1], 0) + 1
        until = last_day(month)
        event = icalendar.Event()
        event.add("uid", identity(garden.name, f"order {job.id} {words[:1]}{seen[words[:1]]}"))
        event.add("summary", words)
        event.add("dtstart", until)
        event.add("dtend", until + dt.timedelta(days=1))
        event.add("categories", ["order"])
        yield event
    yield from _lifts(of, run)


def _year_pages(of: Set) -> Iterator[icalendar.Event]:
    """Yield for each year the day from which its page to give away is due: the season has ended.

    Of years that are over only those of which there is something to give.
    """
    import icalendar

    over = 0 if of.today is None else year_of(of.garden.site.place, dt.date(of.today // 12, of.today % 12 + 1, 1))
    for year in (y for y in of.timeline.years if y >= over or worth_giving(of.garden, y)):
        day = dt.date(year, first_month(of.garden.site.place), 1)
        event = icalendar.Event()
        event.add("uid", identity(of.garden.name, f"page of {year}"))
        event.add("summary", f"The page of {year} to give away: {of.garden.name}")
        event.add("dtstart", day)
        event.add("dtend", day + dt.timedelta(days=1))
        event.add(
            "description",
            "It is made beside the garden's file when the garden is opened, or by: quincunx give FILE --when-due."
            " Nothing is sent by itself.",
        )
        event.add("categories", ["page"])
        yield event


def _lifts(of: Set, run: Run) -> Iterator[icalendar.Event]:
    """Yield the months in which plants are lifted before a job."""
    import icalendar

    for n, (first, last, words) in enumerate(lift_by(of, run), 1):
        event = icalendar.Event()
        event.add("uid", identity(of.garden.name, f"lift {run.job.id} {n}"))
        event.add("summary", words)
        event.add("dtstart", first_day(first))
        event.add("dtend", last_day(last) + dt.timedelta(days=1))
        event.add("categories", ["work"])
        yield event


def _about(of: Set, run: Run) -> str:
    job, garden = run.job, of.garden
    hours, money = sum(of.courses[job.id].hours.values()), sum(of.courses[job.id].cost.values())
    lines = [f"- {task}" for task in (*job.tasks, *lift_words(of, job))]
    if hours:
        lines.append(f"{format_hours(hours, garden.style)} of own work")
    if money:
        lines.append(format_money(money, garden.style, whole=True))
    if theirs := told(garden, [job]):
        lines.append(theirs)
    if job.large:
        lines.append("A large work")
    return "\n".join([*lines, *([job.note] if job.note else [])])
