"""Who has which step: the last word of each counts in whatever order it is handed in; two who took one step are told."""

from __future__ import annotations

import itertools
from typing import Any

import pytest

from quincunx.garden import apply
from quincunx.review.outdoor_notes import Note, read_notes, turned
from quincunx.review.together import (
    MOST_PEOPLE,
    Here,
    Together,
    counting,
    proof_key,
    read_together,
    taken_on,
    together_json,
    told,
    written,
)
from tests.review.test_outdoor_notes import note, plot, taken


def has(n: int, by: str, *, on: bool = True, key: str = "den-1", **more: Any) -> dict[str, Any]:
    return note(n, "has", by=by, phone=more.pop("phone", by.lower()), about="build", points=[key], on=on, **more)


def notes(*values: dict[str, Any]) -> list[Note]:
    good, wrong = read_notes(values)
    assert not wrong
    return good


def having(at: Together) -> list[tuple[str, str]]:
    return [(h.key, h.by) for h in at.having]


def test_taking_a_step_is_no_edit_of_the_garden() -> None:
    _, found = taken(plot(), has(1, "Ana"), note(2, "here", by="Ana", phone="ana"))
    assert found.edit is None
    assert len(found.ids) == 2


@pytest.mark.parametrize("order", list(itertools.permutations(range(4))))
def test_the_last_word_counts_in_any_order_and_twice(order: tuple[int, ...]) -> None:
    said = notes(has(1, "Ana"), has(2, "Ana", on=False), has(3, "Ana"), has(4, "Ben", key="den-2"))
    at = Together()
    for i in (*order, *order):
        at, _ = taken_on(read_together(written(at)), [said[i]], plot())
    assert having(at) == [("den-1", "Ana"), ("den-2", "Ben")]
    at, _ = taken_on(at, notes(has(5, "ana", on=False, phone="another")), plot())
    assert having(at) == [("den-2", "Ben")], "one name is one person, on whichever phone"
    assert at.people == ("Ben",)


@pytest.mark.parametrize("order", list(itertools.permutations(range(3))))
def test_a_phone_whose_clock_is_an_hour_slow_is_heard(order: tuple[int, ...]) -> None:
    said = notes(
        has(1, "Ana", nth=1, phone="board", made="2027-04-03T10:00:00Z"),
        has(2, "Ana", nth=2, on=False, made="2027-04-03T09:01:00Z"),
        has(3, "Ben", nth=3, made="2027-04-03T09:02:00Z"),
    )
    at = Together()
    for i in order:
        at, _ = taken_on(at, [said[i]], plot())
    assert having(at) == [("den-1", "Ben")]
    assert together_json(at, plot())["nth"] == 3


def test_two_who_took_one_step_are_told_unless_it_needs_two() -> None:
    at, met = taken_on(Together(), notes(has(1, "Ana")), plot())
    assert not met
    at, met = taken_on(at, notes(has(2, "Ben")), plot())
    assert list(met.values()) == ["Ana has this too: agree who does it, and let it go on the other phone."]
    at, met = taken_on(at, notes(has(3, "Cleo", key="den-2", people=2), has(4, "Ben", key="den-2", people=2)), plot())
    assert not met, "a tape over 5 m is for two"
    at, met = taken_on(at, notes(has(5, "Ana", key="den-2", people=2)), plot())
    assert "Ben and Cleo have this too" in next(iter(met.values())) or "Cleo and Ben have this too" in str(met)
    lines = list(told(at, plot()))
    assert lines[0].startswith("Build the den: den-1: Ana and Ben, too many")
    assert lines[1].startswith("Build the den: den-2: ")


def test_a_step_ticked_meanwhile_is_told_to_whoever_takes_it() -> None:
    ticked = turned(plot(), notes(note(1, "ticked", about="build", points=["den-1"], by="Ben", phone="ben"))).edit
    assert ticked is not None
    garden = apply(plot(), ticked)[0]
    at, met = taken_on(Together(), notes(has(2, "Ana")), garden)
    assert list(met.values()) == ["Ben ticked this already."]
    shown = together_json(at, garden)
    assert [t["by"] for t in shown["ticks"]] == ["Ben"]
    assert [h["by"] for h in shown["having"]] == ["Ana"]
    assert list(told(at, garden)) == []


def test_two_phones_of_one_name_are_told() -> None:
    at, met = taken_on(Together(), notes(note(1, "here", by="Ana", phone="one")), plot())
    assert not met
    _, met = taken_on(at, notes(note(2, "here", by="ana", phone="two")), plot())
    assert next(iter(met.values())).startswith("Another phone is called ana too")


@pytest.mark.parametrize(
    ("value", "sentence"),
    [
        (note(1, "has", about="build", points=["den-1"]), "It doesn't say who: a first name does."),
        (note(1, "has", by="Ana"), "It doesn't say which step of which job."),
        (note(1, "here", by="..."), "It doesn't say who: a first name does."),
    ],
)
def test_who_and_what_must_be_said(value: dict[str, Any], sentence: str) -> None:
    found = turned(plot(), notes(value))
    assert list(found.wrong.values()) == [sentence]


def test_what_lies_there_unreadable_is_begun_anew() -> None:
    held = '{"having": [{"job": "j", "key": "k", "by": "Ana", "phone": "p", "made": %s}]}'
    assert read_together(held % '"2026-11-28T10:00:00+00:00"').held[0].by == "Ana"
    for made in ('"yesterday"', '"2026-11-28T10:00:00"', "7", "null"):
        assert read_together(held % made) == Together()
    assert read_together("{") == read_together(None) == read_together('{"having": [{"x": 1}]}') == Together()


def test_whoever_came_first_is_forgotten_first_whatever_clock_they_keep() -> None:
    many = [Here(f"p{k}", f"phone{k}", "2026-11-28T09:30:00+00:00") for k in range(MOST_PEOPLE - 1)]
    early, late = "2026-11-28T10:00:00+02:00", "2026-11-28T09:00:00-01:00"  # 8:00 and 10:00 in Greenwich
    at = Together(here=(*many, Here("early", "e", early)))
    came = notes(note(1, "here", by="late", phone="l", made=late))
    left = taken_on(at, came, plot())[0].here
    assert [h.by for h in left if h.by in {"early", "late"}] == ["late"]
    assert len(left) == MOST_PEOPLE


def test_a_name_that_a_phone_changed_after_its_clock_was_set_right_counts() -> None:
    """The clock ran an hour fast when it said the first name: what is said next comes after it all the same."""
    first = note(1, "here", by="Ana", phone="p1", nth=1, made="2027-04-03T11:00:00Z")
    then = note(2, "here", by="Anna", phone="p1", nth=2, made="2027-04-03T10:05:00Z")
    for order in ((first, then), (then, first)):
        at = Together()
        for one in order:
            at, _ = taken_on(read_together(written(at)), notes(one), plot())
        assert at.people == ("Anna",)


def test_a_name_written_with_other_marks_is_the_same_name() -> None:
    """An accent is one letter on one phone and two on another (Unicode, UAX 15)."""
    at, met = taken_on(
        Together(),
        notes(note(1, "here", by="Zo\u00eb", phone="p1"), note(2, "here", by="Zoe\u0308", phone="p2")),
        plot(),
    )
    assert len(at.people) == 1
    assert len(met) == 2
    assert len(together_json(at, plot())["alike"]) == 1


def test_a_length_that_was_read_is_a_step_that_is_done_whichever_end_is_first() -> None:
    key = proof_key(("den-1", "den-2"))
    assert key == proof_key(("den-2", "DEN-1")) != proof_key(("den-1", "den-3"))
    at, _ = taken_on(Together(), notes(has(1, "Ana", key=key, text="1 to 2 must read 4 m")), plot())
    assert list(told(at, plot())) == ["Build the den: 1 to 2 must read 4 m: Ana"]
    read = note(2, "measured", by="Ben", phone="ben", about="build", points=["den-2", "den-1"], length="4.02")
    garden, _ = taken(plot(), read)
    (tick,) = together_json(at, garden)["ticks"]
    assert tick == {"job": "build", "key": key, "text": "", "by": "Ben", "phone": "ben", "m": 4.02}
    assert list(told(at, garden)) == []


def test_without_money_the_words_of_a_line_are_not_sent() -> None:
    line = note(1, "ticked", by="Ana", phone="ana", about="build", points=["buy/aa"], text="Bolts, £12")
    garden, _ = taken(plot(), line)
    assert "£12" in str(together_json(Together(), garden))
    (tick,) = together_json(Together(), garden, money=False)["ticks"]
    assert (tick["key"], tick["text"]) == ("buy/aa", "")


def test_who_was_there_another_saturday_is_not_there_today() -> None:
    before = note(1, "here", by="Ben", phone="p1", made="2027-03-20T10:00:00Z")
    at, _ = taken_on(Together(), notes(before), plot())
    assert at.people == ("Ben",)
    again = note(2, "here", by="ben", phone="p2", made="2027-04-03T10:00:00Z")
    at, _ = taken_on(at, notes(again, note(3, "here", by="Ana", phone="p3", made="2027-04-03T09:00:00Z")), plot())
    assert at.people == ("Ana", "ben")
    assert together_json(at, plot())["alike"] == [], "the phone of another Saturday is nobody's namesake"
    at, _ = taken_on(at, notes(has(4, "Cleo", phone="p4", made="2027-01-09T10:00:00Z")), plot())
    assert at.people == ("Ana", "ben", "Cleo"), "who has a step still is named, however long ago they took it"


def test_a_length_misread_on_one_phone_is_set_right_by_another_and_who_read_what_is_kept() -> None:
    def read(n: int, by: str, length: str, **more: Any) -> dict[str, Any]:
        points = ["den-1", "den-2"] if n % 2 else ["den-2", "den-1"]
        return note(n, "measured", by=by, phone=by.lower(), about="build", points=points, length=length, **more)

    garden, _ = taken(plot(), read(1, "Ben", "4.62"), read(2, "Ana", "4.02"))
    assert [(t["by"], t["m"]) for t in together_json(Together(), garden)["ticks"]] == [("Ben", 4.62), ("Ana", 4.02)]
    right, _ = taken(garden, read(3, "Ana", "4.02", instead=True))
    assert [(t["by"], t["m"]) for t in together_json(Together(), right)["ticks"]] == [("Ana", 4.02)]
    assert [(e.by, e.instead) for e in right.journal] == [("Ben", False), ("Ana", False), ("Ana", True)]
    # Whoever reads it otherwise after that is heard again; another length is left alone.
    again, _ = taken(right, read(4, "Ben", "4.61"), {**read(5, "Ben", "3"), "points": ["den-1", "den-3"]})
    assert [(t["by"], t["m"]) for t in together_json(Together(), again)["ticks"]] == [
        ("Ana", 4.02), ("Ben", 4.61), ("Ben", 3.0),
    ]  # fmt: skip
    assert len(counting(again.journal)) == 3


def test_only_a_length_can_be_set_right() -> None:
    garden, _ = taken(plot(), note(1, "note", text="dew", instead=True))
    assert not garden.journal[0].instead
