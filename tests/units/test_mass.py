"""Weights in kilograms and pounds."""

import pytest

from quincunx.units import Style, format_mass


@pytest.mark.parametrize(
    ("kg", "metric", "feet"),
    [
        (41.3, "41 kg", "91 lb"),
        (2.25, "2.2 kg", "5 lb"),
        (0.0, "0 kg", "0 lb"),
        (9.96, "10 kg", "22 lb"),
        (1197.2, "1,197 kg", "2,639 lb"),
    ],
)
def test_weights_as_written(kg, metric, feet):
    # 1 lb = 0.45359237 kg exactly (international yard and pound agreement, 1959).
    assert format_mass(kg, Style()) == metric
    assert format_mass(kg, Style("feet")) == feet


def test_the_decimal_mark_is_the_persons():
    assert format_mass(2.4, Style(decimal_mark=",")) == "2,4 kg"
    assert format_mass(1197.2, Style(decimal_mark=",")) == "1.197 kg"
