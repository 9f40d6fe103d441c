"""A phone whose clock is wrong: what it enters is dated by the board's clock, in its own order, and nothing is lost."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from quincunx.garden import apply
from quincunx.review.outdoor_notes import Note, read_notes, turned
from quincunx.review.phone_clock import SLACK, ahead_by, clock_words, moment, set_right
from quincunx.review.together import Together, read_together, taken_on, written
from tests.review.test_outdoor_notes import note, plot

BERLIN, HOBART = ZoneInfo("Europe/Berlin"), ZoneInfo("Australia/Hobart")
NOW = datetime(2027, 4, 3, 10, 30, tzinfo=BERLIN)


def read(*values: dict[str, Any]) -> list[Note]:
    good, wrong = read_notes(values)
    assert not wrong
    return good


def at(moment: datetime) -> dict[str, str]:
    """What a phone in the garden's zone says of a moment."""
    return {"made": moment.astimezone(UTC).isoformat(), "day": moment.date().isoformat()}


@pytest.mark.parametrize("off", [timedelta(days=3), timedelta(days=-9131), timedelta(days=1500), timedelta(hours=-30)])
def test_a_clock_that_is_off_shifts_all_it_dated_in_its_order(off: timedelta) -> None:
    true = [NOW - timedelta(minutes=m) for m in (50, 40, 2)]
    said = read(*(note(n, "ticked", about="build", points=[f"den-{n}"], **at(t + off)) for n, t in enumerate(true, 1)))
    right = set_right(said, NOW + off, NOW, BERLIN)
    assert [datetime.fromisoformat(n.made) for n in right] == true
    assert {n.day for n in right} == {"2027-04-03"}
    assert [n.phone_day for n in right] == [n.day for n in said]
    assert [n.points for n in right] == [n.points for n in said]
    edit = turned(plot(), right).edit
    assert edit is not None
    journal = apply(plot(), edit)[0].journal
    assert [(e.day, e.points[0]) for e in journal] == [("2027-04-03", f"den-{n}") for n in (1, 2, 3)], "no tick is lost"
    assert [e.phone_day for e in journal] == [n.day for n in said]


def test_clocks_that_agree_are_left_alone_whatever_day_it_is_where_the_phone_is() -> None:
    said = read(note(1, "note", text="dew", made="2027-04-03T08:29:00+00:00", day="2027-04-03"))
    for off in (timedelta(), SLACK, -SLACK):
        assert set_right(said, NOW + off, NOW, BERLIN) == said
    east = read(note(1, "note", text="dew", made=NOW.isoformat(), day="2027-04-04"))
    assert set_right(east, NOW, NOW, BERLIN) == east


def test_the_day_is_that_of_the_garden_on_both_sides_of_midnight_and_of_the_world() -> None:
    ahead = timedelta(days=2)
    for zone, moment_, day in (
        (BERLIN, datetime(2027, 4, 3, 0, 5, tzinfo=BERLIN), "2027-04-03"),
        (HOBART, datetime(2027, 4, 3, 23, 55, tzinfo=HOBART), "2027-04-03"),
    ):
        phone = (moment_.astimezone(UTC) + ahead).astimezone(zone)
        (right,) = set_right(read(note(1, "note", text="dew", **at(phone))), phone, moment_, zone)
        assert right.day == day


def test_nothing_in_a_file_was_entered_later_than_now() -> None:
    said = read(
        note(1, "note", text="one", made="2031-05-01T10:00:00Z", day="2031-05-01"),
        note(2, "note", text="two", made="2031-05-01T10:00:01Z", day="2031-05-01"),
        note(3, "note", text="long ago", made="2001-01-01T00:10:00Z", day="2001-01-01"),
    )
    right = set_right(said, None, NOW, BERLIN)
    assert [(n.text, n.day, n.phone_day) for n in right] == [
        ("long ago", "2001-01-01", None),
        ("one", "2027-04-03", "2031-05-01"),
        ("two", "2027-04-03", "2031-05-01"),
    ]
    assert all(datetime.fromisoformat(n.made) <= NOW for n in right)


def test_the_hour_of_a_picture_goes_along() -> None:
    (right,) = set_right(
        read(note(1, "note", text="from the peg", hour=23.5, **at(NOW + timedelta(hours=13)))),
        NOW + timedelta(hours=13), NOW, BERLIN,
    )  # fmt: skip
    assert right.hour == pytest.approx(10.5)


def test_a_phone_days_ahead_makes_nobody_absent() -> None:
    ahead = timedelta(days=12)
    ana = note(1, "here", by="Ana", phone="p1", **at(NOW - timedelta(minutes=20)))
    ben = note(2, "here", by="Ben", phone="p2", **at(NOW + ahead))
    at_first, _ = taken_on(Together(), read(ana), plot(), NOW)
    both, _ = taken_on(at_first, set_right(read(ben), NOW + ahead, NOW, BERLIN), plot(), NOW)
    assert both.people == ("Ana", "Ben")
    # What an older program took in undated by the board is set right by the next word.
    kept, _ = taken_on(Together(), read(ana, ben), plot())
    assert kept.people == ("Ben",)
    cleo = note(3, "here", by="Cleo", phone="p3", **at(NOW))
    healed, _ = taken_on(read_together(written(kept)), read(cleo), plot(), NOW)
    assert healed.people == ("Ana", "Ben", "Cleo")


def test_it_is_said_how_far_a_clock_is_off() -> None:
    assert clock_words(ahead_by(NOW + timedelta(days=3), NOW)).startswith("This phone's clock is about 3 days ahead of")
    assert "about 25 years behind" in clock_words(ahead_by(NOW - timedelta(days=9131), NOW))
    assert "about 1 hour ahead" in clock_words(ahead_by(NOW + timedelta(hours=1), NOW))
    assert clock_words(ahead_by(NOW + SLACK, NOW)) == clock_words(ahead_by(None, NOW)) == ""


@pytest.mark.parametrize("text", ["", "today", "2027-04-03T10:15:00", None, 5, [], "9" * 400])
def test_a_moment_that_can_t_be_read_is_none(text: object) -> None:
    assert moment(text) is None
