"""The day it is at the garden."""

from __future__ import annotations

import os
from datetime import UTC, date, datetime

from quincunx.site import Place, zone_of


def today(place: Place | None) -> date:
    """Return the day it is at the garden; in universal time where its place is not known.

    ``QUINCUNX_TODAY`` (2028-06-15) says another one: tests are not to change with the calendar.
    """
    said = os.environ.get("QUINCUNX_TODAY")
    if said:
        return date.fromisoformat(said)
    return datetime.now(UTC if place is None else zone_of(place)).date()


def moment(place: Place | None) -> datetime:
    """Return the moment it is, as the garden's clocks show it; on the day that ``QUINCUNX_TODAY`` says, at this time of day."""
    zone = UTC if place is None else zone_of(place)
    now = datetime.now(zone)  # as it is: of the hour that comes twice in autumn it knows which it is
    return datetime.combine(today(place), now.time(), zone) if os.environ.get("QUINCUNX_TODAY") else now


def as_shown(moment: str, place: Place | None) -> str:
    """Return a moment (2027-10-31T01:30:00Z) as the garden's clocks show it: ``2027-10-31 02:30``."""
    zone = UTC if place is None else zone_of(place)
    return f"{datetime.fromisoformat(moment).astimezone(zone):%Y-%m-%d %H:%M}"


def this_month(place: Place | None) -> int:
    """Return the present month in the garden, from January of year 0."""
    day = today(place)
    return 12 * day.year + day.month - 1
