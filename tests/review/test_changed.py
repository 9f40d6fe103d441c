"""Which musts are answered otherwise by another plan."""

from __future__ import annotations

from quincunx.review import Judged
from quincunx.review.changed import musts_changed
from quincunx.shapes import State, Verdict

HOLDS, FAILS, UNKNOWN, NOT_DUE = State.HOLDS, State.FAILS, State.UNKNOWN, State.NOT_DUE


def must(id: str, *states: State, muted: bool = False) -> Judged:
    verdicts = tuple(Verdict(2027 + n, state, because=f"because of {2027 + n}") for n, state in enumerate(states))
    return Judged(id, "kind", f"Must {id}.", None, muted, verdicts)


def test_only_what_differs_is_told_with_its_years() -> None:
    before = [must("a", HOLDS, HOLDS, HOLDS), must("b", FAILS, HOLDS, HOLDS)]
    after = [must("a", HOLDS, HOLDS, HOLDS), must("b", HOLDS, HOLDS, FAILS)]
    (change,) = musts_changed(before, after)
    assert change.id == "b"
    assert change.years == ((2027, FAILS, HOLDS), (2029, HOLDS, FAILS))
    assert change.breaks
    assert change.because == "because of 2029"
    assert change.sentence == "Must b. 2027: holds instead of “fails”; 2029: fails instead of “holds”."


def test_years_in_a_row_are_a_span_and_getting_better_breaks_nothing() -> None:
    (change,) = musts_changed([must("a", *[FAILS] * 4)], [must("a", FAILS, HOLDS, HOLDS, HOLDS)])
    assert change.sentence == "Must a. 2028 to 2030: holds instead of “fails”."
    assert not change.breaks
    (two,) = musts_changed([must("a", NOT_DUE, NOT_DUE, FAILS)], [must("a", UNKNOWN, UNKNOWN, FAILS)])
    assert two.sentence == "Must a. 2027 and 2028: can't be told instead of “is not due yet”."
    (apart,) = musts_changed([must("a", *[FAILS] * 5)], [must("a", HOLDS, FAILS, HOLDS, FAILS, HOLDS)])
    assert apart.sentence.startswith("Must a. 2027, 2029, 2031: ")


def test_muted_and_new_musts_are_left_out() -> None:
    assert musts_changed([must("a", HOLDS)], [must("a", FAILS, muted=True)]) == ()
    assert musts_changed([], [must("a", FAILS)]) == ()
