"""Whose rules are likely where no place is given: told by what is paid with."""

from __future__ import annotations

import pytest

from quincunx.garden import garden_from
from quincunx.garden.safety import loads_of

SYDNEY = {"latitude_deg": -33.87, "longitude_deg": 151.21}


@pytest.mark.parametrize(
    ("currency", "place", "region"),
    [("USD", None, "us"), ("AUD", None, "other"), ("EUR", None, "other"), ("USD", SYDNEY, "other")],
)
def test_the_place_tells_and_without_one_the_currency(currency, place, region):
    one = garden_from(
        {
            "format": "quincunx/1", "boundary": [[0, 0], [20, 0], [20, 20], [0, 20]], "writing": {"currency": currency},
            "site": {} if place is None else {"place": place},
        }
    )  # fmt: skip
    assert loads_of(one).region == region
