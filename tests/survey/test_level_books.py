"""Level books: what they may miss, several of them side by side, and what to read again when one doesn't close."""

from __future__ import annotations

from random import Random

import pytest
from hypothesis import given, strategies as st

from quincunx.garden import apply, garden_from
from quincunx.review.ground import Measured, book_words, level_words, measure
from quincunx.review.ground_edits import with_readings
from quincunx.survey.levels import allowed_closing_m, books_in, levels_of, rise_again, staffs_as_rises
from quincunx.units import Style

ROUND = "back A 1.450\nbetween B 1.210\nfore C 0.855\nback C 1.120\nfore D 1.905\nback D 1.380\nfore A {last}"
"""A to C rises 0.595, C to D falls 0.785, D to A rises 0.190: the last fore sight that closes is 1.190."""


def measured(lines: str) -> Measured:
    garden = garden_from({"format": "quincunx/1", "name": "P", "boundary": [[0, 0], [12, 0], [12, 10], [0, 10]]})
    edit, problems = with_readings(garden, lines)
    assert not problems
    assert edit is not None
    return measure(apply(garden, edit)[0])


def test_a_book_may_miss_five_millimetres_times_the_root_of_its_setups() -> None:
    # SKAA 1023 Levelling, part 3, supplementary reading, "Precision of levelling": misclosure 6 mm over three set-ups,
    # allowed 5 mm x root 3 = 9 mm: accepted.
    assert round(1000 * allowed_closing_m(3)) == 9
    (book,) = measured(ROUND.format(last="1.196")).books
    assert book.book is not None
    assert book.book.closing_m == pytest.approx(-0.006)
    assert book.closes
    (far,) = measured(ROUND.format(last="1.200")).books
    assert far.closes is False


def test_a_book_that_closes_says_so_with_what_is_allowed() -> None:
    words = " ".join(book_words(measured(ROUND.format(last="1.190"))))
    assert "ends exactly of the known height" not in words
    assert "The book ends on the known height exactly; 9 mm is allowed" in words
    assert "The book ends within 6 mm of the known height, where 9 mm is allowed" in " ".join(
        book_words(measured(ROUND.format(last="1.196")))
    )


def test_a_book_that_does_not_close_names_what_to_read_again() -> None:
    # 0.855 was written 0.585: two digits swapped, and the book closes 27 cm high.
    m = measured(ROUND.format(last="1.190").replace("0.855", "0.585"))
    words = " ".join(book_words(m))
    assert "The book ends 27 cm above the known height" in words
    assert "The fore sight on C: Swapped digits? 0.585 would fit as 0.855." in words
    assert "Until it closes its heights are doubtful." in words


def test_a_sight_between_is_never_blamed_for_a_book_that_does_not_close() -> None:
    m = measured(ROUND.format(last="1.190").replace("0.855", "0.585"))
    book = m.books[0]
    assert book.book is not None
    assert book.book.closing_m is not None
    found = rise_again(book.staffs, book.book.closing_m, 0.009, Style())
    assert all(s.sight != "between" for s, _ in found)
    assert ("c", "fore") in [(s.stake, s.sight) for s, _ in found]


def test_two_books_taken_line_by_line_at_once_are_two_books() -> None:
    ada = [f"{line} in book ada read by Ada" for line in ROUND.format(last="1.190").splitlines()]
    ben = [
        f"{line} in book ben read by Ben" for line in ("back A 1.300", "fore D 1.492", "back D 1.400", "fore A 1.209")
    ]
    mixed = [line for pair in zip(ada, [*ben, "", "", ""], strict=True) for line in pair if line]
    m = measured("\n".join(mixed))
    assert list(books_in(m.survey)) == ["ada", "ben"]
    assert [b.closes for b in m.books] == [True, True]
    assert m.levels is not None
    z = m.levels.levels
    assert z["d"] - z["a"] == pytest.approx(-0.191, abs=0.001)
    said = book_words(m)
    assert "The level book that Ada read:" in said
    assert "The level book that Ben read:" in said


def test_a_second_round_under_the_same_name_is_still_refused_with_what_to_do() -> None:
    m = measured("back A 1.4\nfore B 1.1\nback A 1.4\nfore C 1.2")
    assert "the staff must still be on" in m.books[0].fault
    assert "in book" in m.books[0].fault


def test_a_hair_of_a_height_is_one_step():
    from quincunx.survey.levels import steps_for

    assert steps_for(1e-10).count == 1


def test_a_second_book_over_the_same_stakes_tells_which_sight_of_the_first_was_misread() -> None:
    first = ROUND.format(last="1.190").replace("0.855", "0.585").splitlines()
    second = "back A 1.300\nfore C 0.705\nback C 1.500\nfore D 2.285\nback D 1.200\nfore A 1.010".splitlines()
    alone = measured("\n".join(first))
    assert not alone.level_slips, "one round alone can't tell which"
    m = measured("\n".join([*first, *(f"{line} in book ben read by Ben" for line in second)]))
    (slip,) = m.level_slips
    assert (slip.start, slip.end) == ("a", "c") or (slip.start, slip.end) == ("b", "c")
    (words,) = level_words(m)
    assert "but the others say it" in words
    assert m.levels is not None
    assert m.levels.levels["c"] - m.levels.levels["a"] == pytest.approx(0.595, abs=0.003)


@given(st.integers(0, 1000))
def test_books_written_as_rises_give_the_same_heights(seed: int) -> None:
    rng = Random(seed)
    lines, at = ["back A 1.500"], "A"
    for n in range(rng.randint(1, 6)):
        lines.append(f"between {'BCDE'[rng.randint(0, 3)]} {rng.uniform(0.2, 3):.3f}")
        at = "FGHIJK"[n]
        lines += [f"fore {at} {rng.uniform(0.2, 3):.3f}", f"back {at} {rng.uniform(0.2, 3):.3f}"]
    m = measured("\n".join([*lines, f"fore A {rng.uniform(0.2, 3):.3f}"]))
    one, two = levels_of(m.survey), levels_of(staffs_as_rises(m.survey))
    assert one.levels == pytest.approx(two.levels)
    assert one.sd == pytest.approx(two.sd)


@pytest.mark.parametrize(("first", "closes"), [(None, None), (2.7, True), (2.75, False)])
def test_a_known_height_at_its_end_proves_a_book_only_if_it_began_on_one(first, closes):
    """A to K rises 0.500: from 2.700 that is the 3.200 of K; from a height worked out by this very book it always is."""
    stakes = [{"id": "k", "name": "K", "level": 3.2}]
    stakes += [{"id": "a", "name": "A", "level": first}] if first else []
    garden = garden_from({"format": "quincunx/1", "name": "P", "survey": {"stakes": stakes}})
    edit, _ = with_readings(garden, "back A 1.400\nfore C 1.000\nback C 1.000\nfore K 0.900")
    assert edit is not None
    (book,) = measure(apply(garden, edit)[0]).books
    assert book.closes is closes
    assert ("End the book on its first stake" in " ".join(book_words(measure(apply(garden, edit)[0])))) is (
        closes is None
    )
