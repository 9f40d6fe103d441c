"""Notes from outdoors become one edit; each is taken once, what can't be stays with its sentence, nothing is lost."""

from __future__ import annotations

import base64
from typing import Any

import pytest

from quincunx.garden import Garden, GardenError, apply, garden_from
from quincunx.review.outdoor_notes import MOST_PICTURE, Note, read_notes, turned
from quincunx.survey import Problem
from tests.photos import a_photo

JPEG = a_photo()


def plot(**more: Any) -> Garden:
    data = {
        "format": "quincunx/1",
        "name": "Plot",
        "boundary": [[0, 0], [9, 0], [9, 9]],
        "features": [{"kind": "shed", "id": "den", "name": "Den", "at": [6, 5], "width": 3, "depth": 2.4}],
        "jobs": [{"id": "build", "name": "Build the den", "does": ["den"], "start": "2027-04"}],
        **more,
    }
    return garden_from(data)


def note(n: int, what: str, *, made: str | None = None, **more: Any) -> dict[str, Any]:
    moment = made or f"2027-04-03T10:{n % 60:02d}:00.000Z"
    return {"id": f"n{n:023d}", "made": moment, "day": "2027-04-03", "what": what, **more}


def taken(garden: Garden, *values: dict[str, Any], known: frozenset[str] = frozenset()) -> tuple[Garden, Any]:
    notes, wrong = read_notes(values)
    assert not wrong
    found = turned(garden, notes, known)
    return (garden if found.edit is None else apply(garden, found.edit)[0]), found


def test_every_kind_of_note_finds_its_place() -> None:
    after, found = taken(
        plot(),
        note(1, "reading", text="A B 4.20"),
        note(2, "ticked", about="build", points=["den-1"], text="Den, corner 1"),
        note(3, "measured", about="build", points=["den-1", "den-3"], length="3.88", text="1 to 3"),
        note(4, "hours", about="build", hours=3.5),
        note(5, "spent", about="build", sum=4250),
        note(6, "harvest", amount=2.5, unit="kg", text="windfalls"),
        note(7, "browsed", about="den"),
        note(8, "note", text="the gate sticks", picture=JPEG),
        note(9, "done", about="build"),
    )
    assert [r.id for r in after.survey.readings] == ["r1"]
    assert [s.name for s in after.survey.stakes] == ["A", "B"]
    by = {e.what: e for e in after.journal}
    assert len(after.journal) == 8
    assert by["ticked"].points == ("den-1",)
    length = by["measured"].length
    assert length is not None
    assert (float(length), length.typed) == (3.88, "3.88")
    assert by["hours"].hours == 3.5
    assert by["spent"].sum == 4250
    assert (by["harvest"].amount, by["harvest"].unit) == (2.5, "kg")
    assert by["note"].picture == f"photo-n{8:023d}"
    assert found.pictures[0][2:] == ("image/jpeg", base64.b64decode(JPEG.partition(",")[2]))
    assert len(found.ids) == 9
    assert found.edit is not None
    assert found.edit.label == "From outdoors: 9 notes"


def test_a_note_known_already_changes_nothing() -> None:
    given = [note(1, "reading", text="A B 4.20"), note(2, "hours", about="build", hours=2)]
    after, found = taken(plot(), *given)
    again, nothing = taken(after, *given, known=frozenset(found.ids))
    assert nothing.edit is None
    assert again == after


def test_a_tick_is_made_once_and_taken_back_by_the_later_word() -> None:
    tick: dict[str, Any] = {"about": "build", "points": ["den-1"], "text": "Den, corner 1"}
    once, _ = taken(plot(), note(1, "ticked", **tick), note(2, "ticked", **tick))
    assert len(once.journal) == 1
    none, _ = taken(once, note(3, "ticked", on=False, **tick))
    assert none.journal == ()
    # Handed in out of order: the moment it was entered counts.
    after, _ = taken(plot(), note(5, "ticked", on=False, **tick), note(4, "ticked", **tick))
    assert after.journal == ()
    back, _ = taken(plot(), note(4, "ticked", on=False, **tick), note(5, "ticked", **tick))
    assert len(back.journal) == 1


def test_moments_of_two_zones_are_put_in_order() -> None:
    tick: dict[str, Any] = {"about": "build", "points": ["den-1"]}
    first = note(1, "ticked", made="2027-04-03T12:00:00+02:00", **tick)  # 10:00 UTC
    second = note(2, "ticked", made="2027-04-03T10:30:00+00:00", on=False, **tick)
    assert taken(plot(), second, first)[0].journal == ()


@pytest.mark.parametrize(
    ("value", "says"),
    [
        (note(1, "reading", text="A B"), "A B 12.34"),
        (note(1, "reading", text="A B 1,2,3"), "1,2,3"),
        (note(1, "measured", about="build", length="wide"), "wide"),
        (note(1, "ticked", about="build"), "what was ticked"),
        (note(1, "spent", about="build"), "how much was spent"),
        (note(1, "spent", about="build", sum=0), "how much was spent"),
        (note(1, "hours", about="build", text="hard ground"), "how many hours"),
        (note(1, "harvest", amount=0), "what was picked"),
        (note(1, "note", text=" "), "The note is empty"),
        (note(1, "note", picture="data:image/gif;base64,AAAA"), "neither a JPEG"),
        (note(1, "note", picture="data:image/png;base64,AAAA"), "can't be read"),
        (note(1, "note", picture="data:image/jpeg;base64,!!"), "can't be read"),
        (note(1, "note", picture="data:image/jpeg;base64,/9j/4AAA"), "it is damaged, or no JPEG or PNG"),
    ],
)
def test_what_can_not_be_taken_stays_with_its_sentence(value: dict[str, Any], says: str) -> None:
    after, found = taken(plot(), value, note(2, "note", text="fine"))
    assert says in found.wrong[value["id"]]
    assert found.ids == (f"n{2:023d}",)
    assert len(after.journal) == 1


def test_a_picture_too_large_is_refused() -> None:
    huge = "data:image/jpeg;base64," + base64.b64encode(b"\xff\xd8\xff" + b"\0" * MOST_PICTURE).decode()
    _, wrong = read_notes([note(1, "note", picture=huge)])
    found = {} if wrong else turned(plot(), read_notes([note(1, "note", picture=huge)])[0]).wrong
    assert (wrong | found).keys() == {f"n{1:023d}"}


def test_what_was_said_of_a_thing_that_is_gone_is_kept_in_words() -> None:
    after, found = taken(plot(), note(1, "lost", about="old-plum", text="storm"))
    assert found.ids
    assert after.journal[0].about is None
    assert after.journal[0].text == "storm (about old-plum, which is no longer there)"


@pytest.mark.parametrize(
    "value",
    [
        note(1, "dance"),
        {**note(1, "note"), "id": "../x"},
        {**note(1, "note"), "made": "yesterday"},
        {**note(1, "note"), "made": "2027-04-03T10:00:00"},
        {**note(1, "note"), "day": "2027-13-40"},
        {**note(1, "note"), "more": 1},
        note(1, "hours", hours=-1),
        "text",
        None,
    ],
)
def test_what_is_no_note_is_named_and_no_error(value: Any) -> None:
    good, wrong = read_notes([value, note(2, "note", text="fine")])
    assert len(good) == 1
    assert all(w.endswith(".") for w in wrong.values())
    assert len(wrong) == 1


def test_an_id_taken_in_the_journal_by_something_else_gets_a_fresh_one() -> None:
    there = {"id": f"n{1:023d}", "day": "2027-01-01", "what": "note", "text": "older"}
    after, _ = taken(plot(journal=[there]), note(1, "note", text="newer"))
    assert [e.text for e in after.journal] == ["older", "newer"]


def test_the_same_note_twice_in_one_hand_over_is_one() -> None:
    notes, _ = read_notes([note(1, "note", text="x"), note(1, "note", text="x")])
    assert notes == [Note.model_validate(note(1, "note", text="x"))]


def test_pictures_taken_from_a_peg_go_into_its_book_in_order() -> None:
    peg = {"id": "gate-peg", "name": "From the gate", "at": [1, 1], "look_at": [6, 5]}
    old = {"picture": "photo-old", "day": "2026-06-20"}
    before = plot(pegs=[{**peg, "photos": [old]}])
    one = note(1, "note", about="gate-peg", text="Picture: From the gate", picture=JPEG)
    two = note(2, "note", about="gate-peg", text="Picture: From the gate", picture=JPEG)
    after, found = taken(before, one, two)
    names = [p[0] for p in found.pictures]
    assert [(p.picture, p.day) for p in after.pegs[0].photos] == [
        ("photo-old", "2026-06-20"),
        (names[0], "2027-04-03"),
        (names[1], "2027-04-03"),
    ]
    assert not after.journal
    again, later = taken(after, one, two, known=frozenset(found.ids))
    assert later.edit is None
    assert again.pegs[0].photos == after.pegs[0].photos
    gone, _ = taken(plot(), one)  # the peg was pulled out meanwhile: the journal keeps the picture
    assert gone.journal[0].picture == names[0]
    assert "no longer there" in gone.journal[0].text


def test_no_line_is_left_out_unsaid_when_all_are_put_together(monkeypatch: pytest.MonkeyPatch) -> None:
    problem = Problem(1, "A B 4.20", "it can't stand beside the others")
    monkeypatch.setattr("quincunx.review.outdoor_notes.with_readings", lambda *_: (None, (problem,)))
    with pytest.raises(GardenError, match=r"A B 4\.20: it can't stand beside the others"):
        taken(plot(), note(1, "reading", text="A B 4.20"))
