"""The first ten minutes: what can't be drawn is said in the person's own writing."""

from __future__ import annotations

import math
import re
from itertools import pairwise

import pytest

from quincunx.garden import GardenError
from quincunx.garden.starting import Answers, begin, corners, to_middle_m
from quincunx.units.fields import Length
from quincunx.units.style import Style


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


THREE = {"sides": ["31.40", "42.15", "36.80"], "first_year": 2027, "sum_a_year": 120000}
"""Three sides with no right angle between any two."""


def test_three_sides_make_a_ground_and_are_kept_as_the_lengths_that_began_it() -> None:
    garden = begin(Answers.model_validate({**THREE, "first_side_deg": 30}, context={"style": Style()}))
    ring = [(float(x), float(y)) for x, y in garden.boundary]
    assert [round(math.dist(p, q), 2) for p, q in pairwise([*ring, ring[0]])] == [31.4, 42.15, 36.8]
    assert math.degrees(math.atan2(ring[1][0], ring[1][1])) == pytest.approx(30, abs=0.01)
    assert (ring[1][0] * ring[2][1] - ring[1][1] * ring[2][0]) > 0, "the ground lies to the left of who walks round it"
    begun = garden.survey.begun
    assert [(d.start, d.end, d.length.typed) for d in begun.lengths] == [
        ("a", "b", "31.40"), ("b", "c", "42.15"), ("c", "a", "36.80"),
    ]  # fmt: skip


def test_a_line_to_the_middle_of_a_side_checks_three_sides() -> None:
    # A 3-4-5 triangle: the middle of its longest side is as far from each corner (Euclid, Elements III.31).
    assert to_middle_m((5, 4, 3)) == pytest.approx(2.5)
    good = {**THREE, "check": f"{to_middle_m((31.4, 42.15, 36.8)):.2f}"}
    assert len(begin(Answers.model_validate(good, context={"style": Style()})).boundary) == 3
    swapped = {**good, "sides": ["31.40", "42.51", "36.80"]}
    with pytest.raises(GardenError, match=re.escape("was taped: one of the four is misread.")):
        begin(Answers.model_validate(swapped, context={"style": Style()}))


@pytest.mark.parametrize(("sides", "area"), [((7, 8, 9), 26.8328), ((13, 14, 15), 84.0), ((46.2, 38.75, 41.3), None)])
def test_three_sides_enclose_what_heron_says(sides: tuple[float, ...], area: float | None) -> None:
    """Heron, Metrica I.5 (13, 14, 15: 84) and I.8 (7, 8, 9: the root of 720), both from memory.

    The rule was read at maa.org (Convergence, "Heron's Formula"): the root of s (s - a) (s - b) (s - c), s half the sum.
    """
    ring = corners(sides, None, 205.0)
    found = sum(p[0] * q[1] - q[0] * p[1] for p, q in pairwise([*ring, ring[0]])) / 2
    s = sum(sides) / 2
    assert found == pytest.approx(math.sqrt(s * math.prod(s - side for side in sides)), rel=1e-9)
    assert area is None or found == pytest.approx(area, abs=1e-4)


@pytest.mark.parametrize(
    ("answers", "said"),
    [
        ({"sides": [10, 31, 20]}, "The second side (31.00 m) is as long as the two others together (30.00 m)"),
        ({"sides": [10, 0, 20]}, "Every side must be longer than nothing."),
        ({"sides": [10, 15, 20], "diagonal": 12}, "three corners have no diagonal"),
        ({"sides": [10, 15, 20, 12]}, "Tape one diagonal too"),
        ({"sides": [10]}, "1 side was given"),
    ],
)
def test_what_fixes_no_ground_is_said(answers: dict[str, object], said: str) -> None:
    with pytest.raises(GardenError, match=re.escape(said)):
        begin(Answers.model_validate(answers))
