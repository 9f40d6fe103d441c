"""The care of the plants as a calendar file (iCalendar, RFC 5545): one entry a month and chore, on its first day."""

from __future__ import annotations

import datetime as dt

from quincunx.grow.care import care
from quincunx.sheets._set import Set
from quincunx.sheets.calendar_file import identity
from quincunx.sheets.care import names
from quincunx.units import capital, format_hours


def care_calendar(of: Set) -> bytes:
    """Return the calendar of care of all years of the plan; the same garden gives the same bytes."""
    import icalendar

    calendar = icalendar.Calendar()
    calendar.add("prodid", "-//Quincunx//Care of the plants//EN")
    calendar.add("version", "2.0")
    calendar.add("name", f"{of.garden.name}: care")
    stamp = dt.datetime(of.timeline.years[0], 1, 1, tzinfo=dt.UTC)
    for year in of.timeline.years:
        for one in care(of.timeline, year, of.today):
            event = icalendar.Event()
            first = dt.date(year, one.month, 1)
            until = dt.date(year + one.month // 12, one.month % 12 + 1, 1)
            event.add("uid", identity(of.garden.name, f"care {year}-{one.month} {one.id}"))
            event.add("summary", f"{capital(one.words)}: {names(of, one.owners)}")
            event.add("dtstart", first)
            event.add("dtend", until)
            event.add("description", f"About {format_hours(round(one.hours * 4) / 4, of.garden.style)}")
            event.add("categories", ["care"])
            event.add("dtstamp", stamp)
            event.add("transp", "TRANSPARENT")
            calendar.add_component(event)
    return bytes(calendar.to_ical())
