"""A line taped by two people: both readings are kept, and what chance doesn't explain is told with what to do."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, strategies as st

from quincunx.garden import apply, garden_from
from quincunx.review.ground import Measured, measure
from quincunx.review.ground_edits import with_readings
from quincunx.review.ground_report import ground_report
from quincunx.survey import parse_line, parse_lines, write_line
from quincunx.survey.accuracy import tape_sd_m
from quincunx.survey.entry import reader_of, signed
from quincunx.survey.twice import Taking, held_together
from quincunx.units import Style

SQUARE = "A B 12\nB C 10\nC D 12\nD A 10\nA C 15.62\nB D 15.62\nA>B sees C left\n"


def measured(lines: str) -> Measured:
    garden = garden_from({"format": "quincunx/1", "name": "P", "boundary": [[0, 0], [12, 0], [12, 10], [0, 10]]})
    edit, problems = with_readings(garden, lines)
    assert not problems
    assert edit is not None
    return measure(apply(garden, edit)[0])


def taking(n: int, metres: float, sd: float = 0.01) -> Taking:
    return Taking(f"r{n}", metres, sd, "")


def test_two_readings_differ_by_chance_within_the_root_of_the_sum_of_their_squares() -> None:
    # The variance of a difference of independent values is the sum of theirs (JCGM 100:2008, 5.1.2); 2 is the usual
    # coverage factor for 95 % (the same, 6.3.3).
    found = held_together("a", "b", [taking(1, 10.0, 0.003), taking(2, 10.009, 0.004)])
    assert found.allowed_m == pytest.approx(2 * math.hypot(0.003, 0.004))
    assert found.agrees
    assert not held_together("a", "b", [taking(1, 10.0, 0.003), taking(2, 10.011, 0.004)]).agrees


@given(st.lists(st.floats(1, 50), min_size=3, max_size=6), st.randoms(use_true_random=False))
def test_the_odd_one_is_found_in_whatever_order_they_were_read(lengths: list[float], random: object) -> None:
    same = [taking(n, 10.0) for n in range(len(lengths))]
    odd = taking(99, 10.5)
    both = [*same, odd]
    random.shuffle(both)  # type: ignore[attr-defined]
    assert held_together("a", "b", both).odd is odd
    assert held_together("a", "b", same).odd is None


def test_both_readings_of_a_line_are_adjusted_together() -> None:
    one = measured(SQUARE)
    two = measured(SQUARE + "B A 12.01 read by Ben\n")
    assert [r.by for r in two.survey.readings][-1] == "Ben"
    assert not two.apart
    assert not two.suspects
    before, after = (m.searched.adjusted.positions["b"].sure_m for m in (one, two))
    assert after < before, "a second reading makes the stake surer"


def test_two_that_nobody_else_can_decide_are_told_with_both_names_and_which_counts() -> None:
    m = measured(SQUARE + "A E 5 read by Ada\nB E 12.2\nA E 5.1 read by Ben\nA>B sees E left")
    (words,) = m.suspects
    allowed = 2 * math.hypot(tape_sd_m(5), tape_sd_m(5.1))
    assert (
        f"A to E was read as 5 (Ada) and 5.1 (Ben): 10 cm apart, where careful tapes leave {1000 * allowed:.0f} mm."
        in words
    )
    assert "Tape it a third time" in words
    assert words.endswith("counts.")
    told = ground_report_of(m)["suspects"][0]
    assert [t["text"] for t in told["takings"]] == ["5 (Ada)", "5.1 (Ben)"]


def test_where_other_readings_decide_the_one_who_misread_is_named() -> None:
    (words,) = measured(SQUARE + "C A 15.72 read by Ben").suspects
    assert "reads 15.72 (Ben), but the others say 15.620" in words


def test_a_third_reading_decides() -> None:
    lines = SQUARE + "A E 5 read by Ada\nB E 12.2\nA E 5.1 read by Ben\nA E 5.002 read by Cy\nA>B sees E left"
    (words,) = measured(lines).suspects
    assert "5.1 (Ben)" in words
    assert "the others say" in words


def test_a_difference_too_small_for_a_suspect_is_told_all_the_same() -> None:
    far = 2.2 * math.hypot(tape_sd_m(15.62), tape_sd_m(15.62))
    m = measured(f"A B 15.62 read by Ada\nA B {15.62 + far:.3f}\nA C 5\nB C 14")
    assert not m.suspects
    (words,) = m.apart
    assert words.startswith("A to B was read as 15.62 (Ada) and")
    assert words.endswith("All are kept.")


def ground_report_of(m: Measured) -> dict[str, list[dict[str, list[dict[str, str]]]]]:
    garden = garden_from({"format": "quincunx/1", "name": "P", "boundary": [[0, 0], [12, 0], [12, 10], [0, 10]]})
    return ground_report(garden.changed(survey=m.survey))


@pytest.mark.parametrize(
    "line",
    [
        "a b 12.34 read by Ada", "a b 12.34 [laser] read by Ada", "back a 1.425 in book two read by Tape",
        "back a 1.425 in book two", "a b rises 0.12 [water-level] read by Ada B.", "a b 34 paces read by Zoë  # wet",
    ],
)  # fmt: skip
def test_who_read_and_which_book_are_written_and_read_back(line: str) -> None:
    read = parse_line(line, Style())
    assert write_line(read, Style()) == line
    assert parse_line(write_line(read, Style()), Style()) == read


def test_what_it_was_read_with_may_stand_before_or_after_who_read_it() -> None:
    (one, two), problems = parse_lines("A B 12 by laser read by Ada\nA B 12 read by Ada by laser", Style())
    assert not problems
    assert (one.by, one.instrument) == (two.by, two.instrument) == ("Ada", "laser")


@given(st.text(max_size=60))
def test_any_name_becomes_one_that_a_line_can_carry_or_none(name: str) -> None:
    by = reader_of(name)
    assert len(by) <= 24
    read = parse_line(signed("A B 12.34  # in the rain", by), Style())
    assert read.by == by
    assert read.note == "in the rain"
