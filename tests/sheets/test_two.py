"""What needs two people is said on the Saturday page: long tapes, pieces that are handed up; nothing where one can do it all."""

from __future__ import annotations

from typing import Any

from quincunx.garden import Garden
from quincunx.review import Review
from quincunx.sheets import prepare
from quincunx.sheets._outdoors import base_of, planned_whole
from quincunx.sheets._two import for_two
from tests.board.garden import small

FEET = {"units": "feet", "currency": "USD"}


def said(garden: Garden) -> str:
    of = prepare(garden, judged=Review((), ()))
    return for_two(of, planned_whole(of, of.garden.jobs[0], base_of(of))).replace("\xa0", " ")


def shelter(**more: Any) -> Garden:
    roofed = {"kind": "roofed-shelter", "id": "shelter", "name": "Shelter", "at": [6, 5], "width": 4, "depth": 3}
    job = {"id": "build", "name": "Build the shelter", "does": ["shelter"], "start": "2027-04"}
    return small(features=[roofed], jobs=[job], intents=[], **more)


def test_long_tapes_and_pieces_handed_up_are_named() -> None:
    words = said(shelter())
    assert words.startswith("Needs two: ")
    assert "(a tape over 5.00 m)" in words
    assert "a ridge handed up; more on the phone’s page" in words
    assert "a tape over 16' 0\"" in said(shelter(writing=FEET))


def test_nothing_is_said_where_one_can_do_it() -> None:
    near = {"kind": "compost-bay", "id": "bay", "at": [1.2, 1.2]}
    job = {"id": "set", "name": "Set the bay", "does": ["bay"], "start": "2027-04"}
    survey_free = small(
        boundary=[[0, 0], [3, 0], [3, 3], [0, 3]], features=[near], jobs=[job], intents=[], rooms=[], spots=[]
    )
    assert said(survey_free) == ""
