"""The question of water over the sheet."""

from __future__ import annotations

from datetime import date

import pytest

from quincunx.board import water
from quincunx.board.asking import given_of
from quincunx.board.standing import Standing
from quincunx.demos import demo_garden
from quincunx.kernels import Kernel


@pytest.fixture(scope="module")
def at():
    return Standing.of(demo_garden("ropewalk"), {})


def told(at, of, **query):
    scene = at.timeline.at(date(2031, 8, 31))
    return of(at, scene, given_of(at, water.inputs(at), query))


def of_beds(answer):
    (table,) = (b for b in answer.below if getattr(b, "head", ("",))[0] == "what")
    return {row[0]: row for row in table.rows}


def test_every_bed_says_how_much_and_from_where(at):
    found = told(at, water.answer, in_month="7")
    beds = of_beds(found)
    assert found.rough == ""
    assert "in July 2031" in found.words
    (table,) = (b for b in found.below if getattr(b, "head", ("",))[0] == "what")
    assert table.head[-1] == "from, on foot"
    assert {row[-1].split(", ")[0] for row in beds.values()} == {"Garden tap", "Water butt"}
    dry = of_beds(told(at, water.answer, in_month="7", kind="dry"))
    assert set(dry) >= set(beds)


def test_on_a_new_computer_how_far_water_is_carried_follows(at, monkeypatch):
    kept = Kernel.has_come
    monkeypatch.setattr(Kernel, "has_come", lambda one: "_ears" not in one.name and kept(one))
    found = told(at, water.rough, in_month="7")
    assert found is not None
    assert found.rough == water.PREPARING
    beds, whole = of_beds(found), of_beds(told(at, water.answer, in_month="7"))
    assert set(beds) == set(whole)
    assert all(row[:-1] == whole[name][:-1] and row[-1] == "" for name, row in beds.items())


def test_once_it_is_compiled_there_is_no_rough_answer(at, monkeypatch):
    monkeypatch.setattr(Kernel, "has_come", lambda _: True)
    assert told(at, water.rough) is None
