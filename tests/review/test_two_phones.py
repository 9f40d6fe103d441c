"""Two phones hand in the same Saturday: in either order, in pieces, twice, and the garden holds what both read."""

from __future__ import annotations

import itertools
from typing import Any

import pytest

from quincunx.garden import Garden
from quincunx.review.ground import measure
from quincunx.review.met_changed import met_changed
from quincunx.review.outdoor_notes import Note, read_notes
from quincunx.survey import Distance, Staff, points_of
from tests.review.test_outdoor_notes import plot, taken

ADA, BEN = "ada0000001", "ben0000002"


def by(phone: str, n: int, what: str, **more: Any) -> dict[str, Any]:
    name = {ADA: "Ada", BEN: "Ben"}[phone]
    return {
        "id": f"{phone}{n:04d}", "made": f"2027-04-03T10:{n:02d}:00Z", "day": "2027-04-03", "what": what, "by": name,
        "phone": phone, **more,
    }  # fmt: skip


def handed_in(garden: Garden, *parts: list[dict[str, Any]]) -> Garden:
    known: frozenset[str] = frozenset()
    for part in parts:
        garden, found = taken(garden, *part, known=known)
        known |= set(found.ids)
    return garden


def read_by(garden: Garden) -> list[tuple[str, str | None]]:
    return [(r.by, r.length.typed) for r in garden.survey.readings if isinstance(r, Distance)]


def test_both_readings_of_one_line_are_kept_with_who_read_them_in_either_order() -> None:
    ada = [by(ADA, 1, "reading", text="A B 12.34"), by(ADA, 2, "reading", text="B C 9")]
    ben = [by(BEN, 1, "reading", text="A B 12.36"), by(BEN, 3, "reading", text="B C 9")]
    for parts in itertools.permutations((ada, ben)):
        for again in ((), parts, parts[::-1]):  # handed in twice, in either order
            after = handed_in(plot(), *parts, *again)
            assert sorted(read_by(after)) == [("Ada", "12.34"), ("Ada", "9"), ("Ben", "12.36"), ("Ben", "9")]


def test_a_name_that_could_be_mistaken_for_notation_does_no_harm() -> None:
    odd = by(ADA, 1, "reading", text="A B 12.34  # wet") | {"by": "A # [b] by laser 3"}
    after, found = taken(plot(), odd)
    (read,) = after.survey.readings
    assert not found.wrong
    assert (read.by, read.note, read.instrument) == ("A b by laser 3", "wet", None)


def test_two_who_level_at_once_have_a_book_each_also_in_pieces() -> None:
    ada = [by(ADA, n, "reading", text=t) for n, t in enumerate(["back A 1.4", "between B 1.1", "fore C 0.9"], 1)]
    ben = [by(BEN, n, "reading", text=t) for n, t in enumerate(["back A 1.2", "fore D 1.6"], 1)]
    for parts in ([ada[:1], ben, ada[1:]], [ben[:1], ada[:2], ben[1:], ada[2:]], [[*ada, *ben]]):
        after = handed_in(plot(), *parts)
        m = measure(after)
        assert {r.book for r in after.survey.readings if isinstance(r, Staff)} == {f"phone-{ADA}", f"phone-{BEN}"}
        assert m.levels is not None
        z = m.levels.levels
        assert z["c"] - z["a"] == pytest.approx(0.5)
        assert z["d"] - z["a"] == pytest.approx(-0.4)
        assert not any(b.fault for b in m.books)


@pytest.mark.parametrize("tail", [" by staff", " [staff]", " read by Cleo", " by staff  # windy", "  # in book nine"])
def test_a_sight_goes_to_the_book_of_its_phone_whatever_else_its_line_says(tail: str) -> None:
    ada = [by(ADA, n, "reading", text=f"{t}{tail}") for n, t in enumerate(["back A 1.4", "fore C 0.9"], 1)]
    after, found = taken(plot(), *ada)
    assert not found.wrong
    assert [(r.book, r.by) for r in after.survey.readings if isinstance(r, Staff)] == [
        (f"phone-{ADA}", "Cleo" if "Cleo" in tail else "Ada")
    ] * 2
    assert {r.note for r in after.survey.readings} == {tail.partition("#")[2].strip()}
    assert {s.name for s in after.survey.stakes} >= {"A", "C"}
    back = by(ADA, 3, "unread", text=ada[1]["text"])
    assert len(taken(after, back)[0].survey.readings) == 1


def test_of_a_note_in_several_lines_each_is_signed_and_goes_to_the_book() -> None:
    text = "back A 1.4\nfore C 0.9\nA B 12.34  # wet\nB C D: 3; 4; 5"
    after, found = taken(plot(), by(ADA, 1, "reading", text=text))
    assert not found.wrong
    assert [(r.type, r.by, r.note) for r in after.survey.readings] == [
        ("staff", "Ada", ""), ("staff", "Ada", ""), ("distance", "Ada", "wet"), *[("distance", "Ada", "")] * 3,
    ]  # fmt: skip
    assert {r.book for r in after.survey.readings if isinstance(r, Staff)} == {f"phone-{ADA}"}
    assert not taken(after, by(ADA, 2, "unread", text=text))[0].survey.readings


def test_a_reading_is_taken_back_by_the_phone_that_read_it_and_no_other_goes() -> None:
    ada = [by(ADA, n, "reading", text="A B 12.34") for n in (1, 2)]
    ben = [by(BEN, 1, "reading", text="A B 12.34")]
    again = [by(ADA, 3, "unread", text="A B 12.34")]
    for parts in ([ada, ben, again], [[*ada, *again], ben], [ada, [*again, *ben], again], [ben, ada, again, again]):
        assert sorted(read_by(handed_in(plot(), *parts))) == [("Ada", "12.34"), ("Ben", "12.34")]


def test_taking_back_what_was_changed_at_the_board_takes_nothing_and_is_told() -> None:
    back = by(ADA, 9, "unread", text="A B 7.77")
    assert "changed or taken out at the board" in met_changed(staked(), notes(back))[back["id"]]
    assert handed_in(staked(), [back]) == staked()
    assert not met_changed(staked(), notes(by(ADA, 9, "unread", text="A B 9")))
    assert not met_changed(plot(), notes(by(ADA, 1, "reading", text="A B 7.77"), back)), "both came together"


def test_a_stake_that_only_a_reading_taken_back_named_goes_with_it() -> None:
    after = handed_in(staked(), [by(ADA, 30, "reading", text="A Q 3")], [by(ADA, 31, "unread", text="A Q 3")])
    assert "q" not in {s.id for s in after.survey.stakes}
    assert len(after.survey.readings) == 5


def test_a_sight_taken_back_leaves_the_rest_of_its_book_in_order() -> None:
    lines = ["back A 1.4", "between B 1.1", "fore C 0.9"]
    ada = [by(ADA, n, "reading", text=t) for n, t in enumerate(lines, 1)]
    after = handed_in(plot(), ada, [by(ADA, 5, "unread", text="fore C 0.9"), by(ADA, 6, "reading", text="fore C 0.7")])
    assert [float(r.reading) for r in after.survey.readings if isinstance(r, Staff)] == [1.4, 1.1, 0.7]
    assert {r.book for r in after.survey.readings if isinstance(r, Staff)} == {f"phone-{ADA}"}


TICK = {"about": "build", "points": ["den-1"], "text": "Den, corner 1"}


def test_a_tick_of_one_is_not_taken_off_by_another_who_never_saw_it() -> None:
    ada = [by(ADA, 5, "ticked", **TICK)]
    ben = [by(BEN, 2, "ticked", **TICK), by(BEN, 3, "ticked", **TICK, on=False, saw=False)]
    for parts in ([ada, ben], [ben, ada], [ben[:1], ada, ben[1:]]):
        after = handed_in(plot(), *parts)
        assert [(e.what, e.by) for e in after.journal] == [("ticked", "Ada")]


def test_a_tick_that_was_seen_is_taken_off_whoever_made_it() -> None:
    after = handed_in(
        plot(), [by(ADA, 1, "ticked", **TICK)], [by(BEN, 2, "ticked", **TICK)], [by(BEN, 9, "ticked", **TICK, on=False)]
    )
    assert not after.journal


def notes(*values: dict[str, Any]) -> list[Note]:
    return read_notes(values)[0]


def staked() -> Garden:
    lines = ["A B 9", "B C 9", "A C 12.73", "A K 5", "B K 6.4"]
    return handed_in(plot(), [by(ADA, n, "reading", text=t) for n, t in enumerate(lines)])


def test_a_reading_to_a_stake_taken_out_meanwhile_is_kept_and_told() -> None:
    garden = staked()
    survey = garden.survey
    without = garden.changed(
        survey=survey.changed(
            stakes=[s for s in survey.stakes if s.id != "k"],
            readings=[r for r in survey.readings if "k" not in points_of(r)],
        )
    )
    came = by(BEN, 1, "reading", text="C K 5.5", stakes={"c": [9, 9], "k": [4, 3]})
    told = met_changed(without, notes(came))
    assert "Stake K was taken out at the board meanwhile. The reading is kept" in told[came["id"]]
    after, _ = taken(without, came)
    assert "k" in {s.id for s in after.survey.stakes}
    assert ("Ben", "5.5") in read_by(after)
    taped = by(BEN, 2, "measured", about="build", points=["den-1", "K"], length="3.2", stakes={"k": [4, 3]})
    assert "kept in the journal" in met_changed(without, notes(taped))[taped["id"]]


def test_a_stake_of_the_same_name_set_elsewhere_is_told() -> None:
    garden = staked()
    m = measure(garden)
    x, y = m.places["k"]
    near, came = (by(BEN, n, "reading", text="C K 5.5", stakes={"k": [x + off, y]}) for n, off in ((1, 0.2), (2, 3.2)))
    assert not met_changed(garden, notes(near))
    told = met_changed(garden, notes(came))
    assert "Stake K stands 3.20" in told[came["id"]]


def test_what_is_about_a_job_that_is_gone_is_told_and_kept() -> None:
    came = by(BEN, 1, "measured", about="gone", points=["a-1", "a-2"], length="3.2", text="1 to 2")
    assert "taken out of the plan meanwhile" in met_changed(plot(), notes(came))[came["id"]]
    after, _ = taken(plot(), came)
    assert [(e.by, str(e.length)) for e in after.journal] == [("Ben", "3.2")]


@pytest.mark.parametrize("value", [[], {"a": "x"}, {"a": [1]}, {str(n): [1, 2] for n in range(21)}])
def test_stakes_that_make_no_sense_are_refused_with_a_sentence(value: object) -> None:
    good, wrong = read_notes([by(BEN, 1, "reading", text="A B 3") | {"stakes": value}])
    assert not good
    assert all(words.startswith("It can't be read: stakes") for words in wrong.values())
