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


TAPED = {"sides": [12, 20, 12, 20], "diagonal": 23.324, "first_year": 2027, "sum_a_year": 120000}
"""A rectangle of 12 by 20 m, by Pythagoras 23.324 m across."""


def test_the_thing_wanted_is_the_first_job_with_its_hours() -> None:
    pond = {"kind": "pond", "id": "pond-1", "outline": [[2, 2], [5, 2], [5, 5], [2, 5]]}
    garden = begin(Answers.model_validate({**TAPED, "wanted": pond}))
    (job,) = garden.jobs
    assert (job.name, job.does, str(job.start)) == ("Put in the pond", ("pond-1",), "2027-03")
    assert job.hours > 5
    assert garden.features[0].name == "Pond"


def test_what_has_its_own_month_already_is_left_as_it_is() -> None:
    seat = {"kind": "seat", "id": "seat-1", "at": [6, 6], "there_from": "2028-05"}
    garden = begin(Answers.model_validate({**TAPED, "wanted": seat}))
    assert garden.jobs == ()
    assert str(garden.features[0].there_from) == "2028-05"


def test_nothing_wanted_is_no_job() -> None:
    assert begin(Answers.model_validate(TAPED)).jobs == ()


@pytest.mark.parametrize(
    ("house", "over"),
    [
        ({"width": 8, "depth": 5, "side": 1, "along": 0, "set_back": 0}, None),
        ({"width": 11.8, "depth": 19.7, "side": 1, "along": 0.2, "set_back": 0}, None),
        ({"width": 8, "depth": 31, "side": 1, "along": 0, "set_back": 0}, "11.00 m"),
        ({"width": 8, "depth": 13.5, "side": 2, "along": 1, "set_back": 0}, "1.50 m"),
    ],
)
def test_a_house_larger_than_its_ground_is_refused_with_how_far_it_reaches(
    house: dict[str, float], over: str | None
) -> None:
    answers = Answers.model_validate({**TAPED, "house": house})
    if over is None:
        assert begin(answers).features[0].words == "house"
        return
    with pytest.raises(GardenError, match=re.escape(f"The house reaches {over} beyond the ground.")):
        begin(answers)
