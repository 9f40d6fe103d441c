"""What a phone dates by a clock that is wrong, set right by the board's: one machine's clock for what several enter.

A phone that hands in over the line says what its clock shows as it does so: what that is off is taken from the moment and the
day of each note.  A file may lie for days before it is taken in, so that nothing is known of its phone's clock but this: nothing
was entered later than now.  The day the phone said stays beside the one it was set to.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, date, datetime, timedelta, tzinfo

from quincunx.review.outdoor_notes import Note

SLACK = timedelta(minutes=5)
"""Clocks that differ by no more count as alike (our own choice): a request takes a moment, and nobody dates by the minute."""


def moment(text: object) -> datetime | None:
    """Return the moment a phone says it is; None where it says none that can be read."""
    if not isinstance(text, str):
        return None
    try:
        found = datetime.fromisoformat(text)
    except ValueError:
        return None
    return found if found.tzinfo is not None else None


def ahead_by(sent: datetime | None, now: datetime) -> timedelta:
    """Return by how much a phone's clock is ahead of the board's, which shows ``now``; nothing where both are alike, or it isn't known."""
    off = timedelta() if sent is None else sent.astimezone(UTC) - now.astimezone(UTC)  # not by the faces of two clocks
    return off if abs(off) > SLACK else timedelta()


def set_right(notes: Iterable[Note], sent: datetime | None, now: datetime, zone: tzinfo) -> list[Note]:
    """Return ``notes`` dated by the board's clock, which shows ``now``, those of one moment in their order; ``zone`` is the garden's.

    ``sent`` is what the phone's clock showed as it handed them in, None where that isn't known.
    """
    now = now.astimezone(UTC)
    ahead = ahead_by(sent, now)
    return sorted((_dated(n, ahead, now, zone) for n in notes), key=lambda n: datetime.fromisoformat(n.made))


def _dated(note: Note, ahead: timedelta, now: datetime, zone: tzinfo) -> Note:
    said, today = datetime.fromisoformat(note.made), now.astimezone(zone).date()
    made, day, hour = said, note.day, note.hour
    if ahead:
        made = _back(said, ahead, now)
        day = made.astimezone(zone).date().isoformat()
        if hour is not None:
            hour = (hour - ahead.total_seconds() / 3600.0) % 24.0
    if made > now + SLACK:
        made = now
    if date.fromisoformat(day) > today + timedelta(days=1):  # a phone further east may have the next day already
        day = today.isoformat()
    if (made, day) == (said, note.day):
        return note
    kept = note.day if day != note.day else note.phone_day
    return note.changed(made=made.isoformat(), day=day, hour=hour, phone_day=kept)


def _back(said: datetime, ahead: timedelta, now: datetime) -> datetime:
    """Return the moment a note was entered by the board's clock; now where no calendar has it."""
    try:
        return said - ahead
    except OverflowError:
        return now


def clock_words(ahead: timedelta) -> str:
    """Say by how much a phone's clock is wrong and what comes of it; nothing where it is not."""
    if not ahead:
        return ""
    side = "ahead of" if ahead > timedelta() else "behind"
    return (
        f"This phone's clock is about {_long(abs(ahead))} {side} the board's: what you enter is dated by the board's. "
        "Set the phone's day, time and time zone."
    )


def _long(span: timedelta) -> str:
    for size, name in ((365.25 * 86_400, "year"), (86_400, "day"), (3600, "hour"), (60, "minute")):
        count = round(span.total_seconds() / size)
        if span.total_seconds() >= size:
            return f"{count} {name}{'s' if count != 1 else ''}"
    return "a minute"
