"""Which sheets would hold nothing, told without drawing them, against drawing them."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest

from quincunx.demos import demo_garden
from quincunx.garden import garden_from
from quincunx.sheets import SHEETS, pages_of, shelter, unfilled
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


def test_each_is_looked_at_in_a_turn_of_its_own() -> None:
    begun, ended = list[int](), list[int]()

    @contextmanager
    def turn() -> Iterator[None]:
        assert len(begun) == len(ended), "one after another"
        begun.append(1)
        yield
        ended.append(1)

    of = set_for(GARDENS["first"])
    assert unfilled(of, turn) == unfilled(of)
    assert len(ended) == len(SHEETS)


def test_where_the_weather_is_not_known_nothing_is_told_of_shelter() -> None:
    garden = demo_garden("ropewalk")
    of = set_for(
        garden.model_copy(update={"site": garden.site.model_copy(update={"climate": type(garden.site.climate)()})})
    )
    assert shelter.has_pages(demo("ropewalk"))
    assert not shelter.has_pages(of)
    assert list(shelter.pages(of)) == []


def test_those_left_out_are_named() -> None:
    of, empty = set_for(GARDENS["bare"]), list[str]()
    pages = list(pages_of(of, empty=empty))
    assert empty == list(unfilled(of))
    assert len(pages) >= 1
    assert next(iter(pages_of(of, ["notes"]))).title == "Notes and photos"
