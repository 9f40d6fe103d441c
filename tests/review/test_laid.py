"""Stakes taped after the ground was drawn by eye, laid on the corners it was drawn with."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import pytest

from quincunx.garden import Garden, apply, garden_from
from quincunx.review.ground import measure
from quincunx.review.ground_edits import boundary_edit, with_readings
from quincunx.review.laid import laid_words, lay_edit, turned_over, ways_to_lie

FEET = 0.3048
ELL: dict[str, tuple[float, float]] = {
    "a": (0, 0),
    "b": (60, 0),
    "c": (60, 40),
    "d": (30, 40),
    "e": (30, 90),
    "f": (0, 90),
}
"""An L-shaped plot [ft]; its lengths follow from Pythagoras alone."""
TAPED = ("ab", "bc", "cd", "de", "ef", "fa", "ac", "ad", "bd", "ae", "fd", "bf")


def taped(corners: dict[str, tuple[float, float]], lines: tuple[str, ...] = TAPED) -> str:
    return "\n".join(
        f"{p.upper()} {q.upper()} {math.dist(corners[p], corners[q]) * FEET:.3f}" for p, q in map(tuple, lines)
    )


def plot(boundary: Sequence[tuple[float, float]], text: str, **more: Any) -> Garden:
    drawn = [[round(x * FEET, 3), round(y * FEET, 3)] for x, y in boundary]
    garden = garden_from({"format": "quincunx/1", "name": "Plot", "boundary": drawn, **more})
    edit, problems = with_readings(garden, f"{text}\nA>B sees C left")
    assert not problems
    assert edit is not None
    return apply(garden, edit)[0]


def test_an_ell_drawn_by_eye_says_how_its_stakes_lie() -> None:
    by_eye = [(0, 0), (61, 0), (60, 39), (30, 40.5), (30, 91), (-1, 90)]
    garden = plot(by_eye, taped(ELL))
    (way,) = ways_to_lie(garden)
    assert way.corners == dict(zip("abcdef", range(6), strict=True))
    assert "6 stakes have the shape" in laid_words(garden, measure(garden), way)
    assert "A at the south-west corner" in laid_words(garden, measure(garden), way)
    edit = lay_edit(garden)
    assert edit is not None
    after = apply(garden, edit)[0]
    places = measure(after).places
    for name, corner in ELL.items():
        assert math.dist(places[name], [v * FEET for v in corner]) < 1.5 * FEET
    assert after.boundary == garden.boundary
    assert ways_to_lie(after) == ()
    drawn = apply(after, boundary_edit(after, list("abcdef")))[0]
    ring = [(float(x), float(y)) for x, y in drawn.boundary]
    assert math.dist(ring[3], ring[4]) == pytest.approx(50 * FEET, abs=0.01)
    assert ways_to_lie(drawn) == ()


def test_a_rectangle_lies_in_two_ways_and_the_second_is_the_first_turned_round() -> None:
    box: dict[str, tuple[float, float]] = {"a": (0, 0), "b": (30, 0), "c": (30, 20), "d": (0, 20)}
    garden = plot([*box.values()], taped(box, ("ab", "bc", "cd", "da", "ac", "bd")))
    assert [way.corners["a"] for way in ways_to_lie(garden)] == [0, 2]
    laid = apply(garden, lay_edit(garden))[0]  # type: ignore[arg-type]
    assert measure(laid).places["b"] == pytest.approx((30 * FEET, 0.0), abs=0.01)
    turned = plot([(0, 0), (0, 30), (-20, 30), (-20, 0)], taped(box, ("ab", "bc", "cd", "da", "ac", "bd")))
    first, second = ways_to_lie(turned)
    assert {first.corners["a"], second.corners["a"]} == {0, 2}
    assert abs(first.azimuth_deg - second.azimuth_deg) == pytest.approx(180, abs=0.1)
    after = apply(turned, lay_edit(turned, 0))[0]  # type: ignore[arg-type]
    assert measure(after).places["b"] == pytest.approx((0.0, 30 * FEET), abs=0.01)
    assert lay_edit(turned, 2) is None


def test_stakes_that_are_no_corners_or_turned_by_a_bearing_are_left_alone() -> None:
    elsewhere = plot([(0, 0), (200, 0), (200, 150)], taped(ELL))
    assert ways_to_lie(elsewhere) == ()
    sighted = plot([*ELL.values()], f"{taped(ELL)}\nA>F 90 deg true")
    assert ways_to_lie(sighted) == ()


def test_a_mirrored_plan_is_not_taken_for_the_ground() -> None:
    """A boundary drawn the wrong way round fits the stakes only turned over, which no ground can be."""
    mirrored = [(-x, y) for x, y in ELL.values()]
    garden = plot(mirrored, taped(ELL))
    assert ways_to_lie(garden) == ()
    assert lay_edit(garden) is None
    said = turned_over(garden)
    assert "Turned over like a glove, 6 stakes would have the shape" in said
    assert "“A>B sees C left”" in said
    assert "drawn the wrong way round" in said


def test_a_hand_given_wrong_is_said_and_no_way_to_lie_is_offered() -> None:
    """A narrow corner plot that was taped in triangles, and one answer to *left or right* given the wrong way."""
    plot_ft = {"a": (0.0, 0.0), "b": (33.0, 1.5), "c": (35.5, 118.0), "d": (2.0, 115.0)}
    lines = ("ab", "bc", "cd", "da", "ac", "bd")
    right = plot(tuple(plot_ft.values()), taped(plot_ft, lines))
    assert turned_over(right) == ""
    assert len(ways_to_lie(right)[0].corners) == 4
    wrong = plot(tuple(plot_ft.values()), taped({n: (-x, y) for n, (x, y) in plot_ft.items()}, lines))
    assert turned_over(wrong) == ""  # lengths say nothing of the hand
    readings = tuple(r.changed(side="right") if r.type == "seen" else r for r in right.survey.readings)
    over = right.changed(survey=right.survey.changed(readings=readings))
    assert ways_to_lie(over) == ()
    assert "“A>B sees C right”" in turned_over(over)


def test_a_rectangle_is_its_own_mirror_image() -> None:
    """Nothing is said where the stakes fit as well as they are."""
    four = {"a": (0.0, 0.0), "b": (40.0, 0.0), "c": (40.0, 90.0), "d": (0.0, 90.0)}
    assert turned_over(plot(tuple(four.values()), taped(four, ("ab", "bc", "cd", "da", "ac", "bd")))) == ""


def test_stakes_called_as_the_corners_that_began_the_garden_lie_there_at_once() -> None:
    """Tapes alone would leave them at any turn and on either hand: the pages would set out from stakes that are elsewhere."""
    from quincunx.garden.starting import Answers, begin

    answers = {"sides": ["8", "5", "8", "5"], "diagonal": "9.43", "first_side_deg": 60}
    garden = begin(Answers.model_validate(answers))
    edit, _ = with_readings(garden, "A B 8.02\nB C 5.01\nC D 8.01\nD A 5.02\nA C 9.45")
    assert edit is not None
    garden, _ = apply(garden, edit)
    m = measure(garden)
    for name, corner in zip("abcd", garden.boundary, strict=True):
        assert math.dist(m.places[name], corner) < 0.06
    assert m.searched.adjusted.questions == ()
    assert ways_to_lie(garden) == ()
    without = garden.changed(survey=garden.survey.changed(begun={}))
    assert len(ways_to_lie(without)) == 2


def test_moved_boundaries_are_still_offered_to_lie_on_and_by_their_letters() -> None:
    from quincunx.garden.starting import Answers, begin

    garden = begin(Answers.model_validate({"sides": ["8", "5", "8", "5"], "diagonal": "9.43"}))
    edit, _ = with_readings(garden, "A B 8.02\nB C 5.01\nC D 8.01\nD A 5.02\nA C 9.45")
    assert edit is not None
    garden, _ = apply(garden, edit)
    moved = garden.changed(boundary=[[float(x), float(y) + 3] for x, y in garden.boundary])
    (way,) = ways_to_lie(moved)
    assert dict(way.corners) == {"a": 0, "b": 1, "c": 2, "d": 3}


def test_a_stake_called_by_two_letters_is_no_corner_of_those_letters() -> None:
    from quincunx.garden.starting import Answers, begin

    garden = begin(Answers.model_validate({"sides": ["8", "5", "8", "5"], "diagonal": "9.43"}))
    edit, _ = with_readings(garden, "A B 8.02\nB AB 5.01\nAB D 8.01\nD A 5.02\nA AB 9.45\nB D 9.44")
    assert edit is not None
    garden, _ = apply(garden, edit)
    moved = garden.changed(boundary=[[float(x), float(y) + 3] for x, y in garden.boundary])
    (way,) = ways_to_lie(moved)
    assert dict(way.corners) == {"a": 0, "b": 1, "ab": 2, "d": 3}
