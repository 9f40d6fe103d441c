"""The question of age over the sheet."""

from __future__ import annotations

from datetime import date

import pytest

from quincunx.board import age
from quincunx.board.asking import answer_json, given_of
from quincunx.board.standing import Standing
from quincunx.demos import demo_garden


@pytest.fixture(scope="module")
def at():
    return Standing.of(demo_garden("ropewalk"), {})


def asked(at, year=2031, **query):
    scene = at.timeline.at(date(year, 8, 31))
    given = given_of(at, age.inputs(at), query)
    return age.answer(at, scene, given), given, scene


def test_may_is_in_flower_and_january_bare(at):
    may, _, _ = asked(at, in_month="5")
    states = {row[0]: row[3] for row in may.below[0].rows}
    assert states["Peonies"] == "in flower"
    january, _, _ = asked(at, in_month="1")
    assert {row[3] for row in january.below[0].rows} <= {"bare", "in leaf", "in flower"}
    assert {row[0]: row[3] for row in january.below[0].rows}["Peonies"] == "bare"


def test_sizes_and_what_is_to_come(at):
    found, given, _ = asked(at, show="size")
    rows = {row[0]: row for row in found.below[0].rows}
    assert "bears not before" in rows["Cobnut 1"][4]
    assert rows["Hedge of the drying green"][4].startswith("closed ")
    assert any(getattr(f, "dash", False) for f in found.figures)
    told = answer_json(found, given, at.garden.style)
    assert told["figures"]
    assert len(told["how"]) == 4


def test_under_the_pointer(at):
    _, given, scene = asked(at)
    assert age.value(at, scene, given, (2.3, 14.4)).startswith("Cobnut 1, ")
    assert age.value(at, scene, given, (9.0, 41.0)) == "Nothing is planted here."


def test_misfits_lead_to_their_place(at):
    found, _, _ = asked(at)
    assert any("cold air" in lead.words for lead in found.leads)
