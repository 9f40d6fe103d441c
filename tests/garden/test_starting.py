"""The first ten minutes: what can't be drawn is said in the person's own writing."""

from __future__ import annotations

import re

import pytest

from quincunx.garden import GardenError
from quincunx.garden.starting import Answers, begin
from quincunx.units.fields import Length


def test_sides_that_cannot_meet_are_named_in_the_persons_own_writing() -> None:
    answers = Answers(
        sides=(Length(3.048), Length(6.096), Length(3.048), Length(6.096)),
        diagonal=Length(12.192),
        writing={"units": "feet"},
    )
    with pytest.raises(
        GardenError,
        match=re.escape("The first and second sides (10' 0\" and 20' 0\") can't meet over a diagonal of 40' 0\"."),
    ):
        begin(answers)
