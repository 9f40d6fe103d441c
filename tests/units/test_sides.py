"""Rounding to the safe side."""

from __future__ import annotations

from hypothesis import given, strategies as st

from quincunx.units.sides import down, up

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
