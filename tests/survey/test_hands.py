"""Answers to mirror questions help, even where a misreading throws the first stakes about."""

from __future__ import annotations

import pytest

from quincunx.demos import demo_garden
from quincunx.garden import garden_from, garden_text, plain, read_garden
from quincunx.survey import NextTape, Seen, find_misreadings
from quincunx.survey.words import next_tape, worth_taping
from quincunx.units import Style


@pytest.mark.parametrize(
    ("start", "end", "point", "side"),
    [("a", "b", "c", "left"), ("a", "b", "e", "left"), ("a", "b", "f", "left"), ("e", "f", "h", "right")],
)
def test_a_swapped_reading_is_found_whichever_hand_was_told(start: str, end: str, point: str, side: str) -> None:
    survey = demo_garden("kettle-hill").survey
    told = Seen.model_validate({"id": "told", "start": start, "end": end, "point": point, "side": side})
    readings = (*(r for r in survey.readings if r.type != "seen"), told)
    found = find_misreadings(survey.changed(readings=readings))
    assert len(found.adjusted.positions) == 8
    assert [(s.reading, s.slips[0].kind) for s in found.suspects] == [("r5", "swapped")]
    assert not found.adjusted.questions


def test_readings_keep_their_type_in_the_file() -> None:
    garden = demo_garden("ropewalk")
    types = [r["type"] for r in plain(garden)["survey"]["readings"]]
    assert {"distance", "seen", "staff"} <= set(types)
    assert read_garden(garden_text(garden)).survey == garden.survey
    assert garden_from(plain(garden)).survey == garden.survey


def test_a_small_gain_is_told_in_millimetres() -> None:
    said = next_tape(NextTape("a", "b", 18.34, "c", 0.054, 0.046), {"a": "A", "b": "B", "c": "C"}, Style())
    assert said == "Next, tape A to B (about 18.34 m): C would be sure to within 46 mm instead of 54 mm."


def test_a_tape_whose_gain_does_not_show_is_not_worth_taping() -> None:
    tiny = NextTape("a", "b", 18.34, "c", 0.0321, 0.0319)
    assert not worth_taping(tiny, Style())
    assert not worth_taping(tiny, Style(system="feet"))
    assert worth_taping(NextTape("a", "b", 18.34, "c", 0.054, 0.046), Style(system="feet"))
