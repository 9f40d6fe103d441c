"""Who walks with difficulty is offered the musts made for them, once each is not there yet."""

from typing import Any

from quincunx.garden import garden_from, timeline
from quincunx.intents import INTENTS, intent_kind
from quincunx.review._easing import check
from quincunx.review._view import View
from quincunx.review.read import words_for
from quincunx.shapes import Severity
from quincunx.site.household import Household


def found(*musts: dict[str, Any], **about: bool):
    data = {
        "format": "quincunx/1", "name": "Plot", "boundary": [[0, 0], [20, 0], [20, 15], [0, 15]],
        "means": {"first_year": 2027, "years": 3}, "site": {"household": about}, "intents": list(musts),
        "spots": [{"id": "door", "name": "door", "at": [1, 1]}, {"id": "heap", "name": "heap", "at": [9, 9]}],
    }  # fmt: skip
    garden = garden_from(data)
    through = timeline(garden)
    return list(check(View(garden, through, words_for(garden, through))))


def test_nobody_is_offered_anything_unless_somebody_is_unsteady():
    assert found() == []
    assert found(children=True, dogs=True) == []


def test_the_musts_that_are_there_are_not_offered_again():
    (told,) = found(unsteady=True)
    eases = [k for k in INTENTS if k.eases]
    assert {intent_kind(k) for k in eases} >= {"step-free", "rests-on-the-way", "handrail-on-the-way", "bed-at-hand"}
    assert told.severity is Severity.HINT
    assert all(f"“{k.words}”" in told.remedy for k in eases)
    seats = {"kind": "rests-on-the-way", "id": "sit", "start": "door", "end": "heap"}
    (less,) = found(seats, unsteady=True)
    assert "somewhere to sit" not in less.remedy
    assert "something to hold" in less.remedy


def test_poison_is_told_of_who_eats_and_not_of_who_is_unsteady():
    assert Household(unsteady=True).named() == ""
    assert not Household(unsteady=True).anyone
    assert Household(unsteady=True, hens=True).named() == "hens"
