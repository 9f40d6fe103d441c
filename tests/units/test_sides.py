"""Rounding to the safe side."""

from __future__ import annotations

from hypothesis import given, strategies as st

from quincunx.units.sides import apart, down, up

VALUES = st.floats(min_value=-1e6, max_value=1e6)


@given(VALUES, st.integers(0, 3))
def test_at_least_and_at_most_stay_true_as_written(value: float, digits: int) -> None:
    assert down(value, digits) <= value + 1e-6
    assert up(value, digits) >= value - 1e-6
    assert up(value, digits) - down(value, digits) <= 10.0**-digits + 1e-6


def test_a_sum_of_parts_is_what_it_is_meant_to_be() -> None:
    assert down(0.1 + 0.2, 1) == 0.3
    assert up(0.1 + 0.2, 1) == 0.3
    assert (down(2.96, 1), up(2.91, 1), up(0.004, 1), down(-0.01, 1)) == (2.9, 3.0, 0.1, -0.1)


def test_what_fails_by_a_little_is_not_told_as_what_was_asked() -> None:
    coarse, fine = "{:.2f} m".format, "{:.3f} m".format
    assert apart(0.896, 0.9, coarse, fine) == "0.896 m"
    assert apart(0.84, 0.9, coarse, fine) == "0.84 m"
    assert apart(0.8999, 0.9, coarse, fine) == "0.900 m"
