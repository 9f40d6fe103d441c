"""Which sheets would hold nothing, told without drawing them, against drawing them."""

from __future__ import annotations

from typing import Any

import pytest

from quincunx.garden import garden_from
from quincunx.sheets import SHEETS, pages_of, unfilled
from tests.sheets.outdoors import SHED, demo, job, plot, set_for

BARE: dict[str, Any] = {"format": "quincunx/1", "name": "Bare"}
SEATS = [{"id": "seat", "name": "Seat", "at": [5, 4], "height": 1.2}, {"id": "out", "at": [50, 4], "height": 1.2}]
GARDENS = {
    "bare": garden_from(BARE),
    "first": plot(),
    "jobs": plot(SHED, jobs=[job("den")]),
    "seats": plot(spots=SEATS),
    "outside": plot(spots=SEATS[1:]),
}


@pytest.mark.parametrize("name", GARDENS)
def test_what_is_told_is_what_would_be_drawn(name: str) -> None:
    of = set_for(GARDENS[name])
    drawn = {s.ID for s in SHEETS if next(iter(s.pages(of, None)), None) is not None}
    told = unfilled(of)
    assert set(told) == {s.ID for s in SHEETS} - drawn
    assert all(words.endswith(".") for words in told.values())


def test_of_a_full_garden_those_that_take_long_say_that_they_hold_something() -> None:
    of = demo("ropewalk")
    slow = [s for s in SHEETS if hasattr(s, "has_pages")]
    assert len(slow) >= 5
    assert all(s.has_pages(of) for s in slow)


def test_those_left_out_are_named() -> None:
    of, empty = set_for(GARDENS["bare"]), list[str]()
    pages = list(pages_of(of, empty=empty))
    assert empty == list(unfilled(of))
    assert len(pages) >= 1
    assert next(iter(pages_of(of, ["notes"]))).title == "Notes and photos"
