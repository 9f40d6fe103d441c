"""Ground walked by compass and tape: a published loop as a person would read it in, open ways, and slips."""

from __future__ import annotations

import csv
import math
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings, strategies as st

from quincunx.garden import Garden, apply, garden_from
from quincunx.review.ground import Measured, measure
from quincunx.review.ground_edits import with_readings
from quincunx.review.traversed import Walked, walked, walked_rows, walked_words
from quincunx.units import capital

FOOT = 0.3048
LOOP = Path(__file__).parents[1] / "published" / "mahun_traverse" / "loop.csv"


def read(text: str, units: str = "metric", **more: Any) -> tuple[Measured, Walked | None]:
    """Measure a garden with only these readings."""
    garden: Garden = garden_from({"format": "quincunx/1", "name": "Wood", "writing": {"units": units}, **more})
    edit, problems = with_readings(garden, text)
    assert not problems
    assert edit is not None
    m = measure(apply(garden, edit)[0])
    return m, walked(m)


def published() -> str:
    lines = [line for line in LOOP.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    return "\n".join(
        f"{r['leg'][0]}>{r['leg'][1]} {r['bearing']} true {r['length_ft']}'" for r in csv.DictReader(lines)
    )


def test_a_published_loop_read_in_as_a_person_would_closes_and_is_put_right() -> None:
    """J. Mahun, Open Access Surveying Library, XI Traverse Computations, ch. I sec. 3 (S1, S2: R+C), ch. F (S3)."""
    m, found = read(published(), "feet")
    assert found is not None
    assert found.round
    assert found.stakes == ("a", "b", "c", "d", "a")
    east, north = (v / FOOT for v in found.found.closure_m)
    assert north == pytest.approx(0.083, abs=0.001)  # S1
    assert east == pytest.approx(0.075, abs=0.0015)  # S1: 0.074 unrounded
    assert found.found.length_m / FOOT == pytest.approx(1347.57, abs=0.001)  # S1
    assert found.found.points[-1] == pytest.approx(found.found.points[0], abs=1e-9)  # S2
    right = [(leg.latitude_m / FOOT, leg.departure_m / FOOT) for leg in found.found.legs]
    assert right[0] == pytest.approx((-176.39, -438.57), abs=0.01)  # S3
    assert right[1] == pytest.approx((203.38, -73.10), abs=0.01)  # S3
    assert found.apart_m is not None
    assert found.apart_m < 0.05
    words = " ".join(walked_words(m, found))
    assert "1 in 12,100" in words  # S4 (D)
    assert "nothing need be walked again" in words
    assert walked_rows(m, found)[0][:2] == ["A to B", "248°05'35\""]  # as finely as it was read
    assert found.usual_m < 0.5  # a hand compass would explain 6 m


def test_bearings_read_back_and_a_leg_a_line_are_legs_too() -> None:
    m, found = read("A>B 0 deg 10\nC>B 270 deg\nB C 10\nC>D 180 deg 10\nA>D 90 deg\nD A 10")
    assert found is not None
    assert found.found.miss_m == pytest.approx(0.0, abs=1e-9)
    assert {round(leg.azimuth_deg) % 360 for leg in found.read} == {0, 90, 180, 270}
    assert "nothing that counts" in " ".join(walked_words(m, found))


@pytest.mark.parametrize(
    ("written", "row", "right"),
    [
        ("359", "359°", "359.0°"), ("359.5", "359.5°", "359.5°"), ("N0°31'W", "359°29'", "359°29'"),
        ("N0°30'15\"W", "359°29'45\"", "359°29'45\""),
    ],
)  # fmt: skip
def test_directions_are_told_as_finely_as_they_were_read(written: str, row: str, right: str) -> None:
    unit = "" if written.startswith("N") else " deg"
    m, found = read(f"A>B {written}{unit} true 10\nB>C 89 deg true 10\nC>D 179 deg true 10\nD>A 269 deg true 10")
    assert found is not None
    first = walked_rows(m, found)[0]
    assert first[1] == row
    assert first[3][:4] == right[:4]
    assert len(first[3]) >= len(row)


def test_a_needle_is_told_to_be_put_right() -> None:
    m, found = read("A>B 10 deg 20\nB>C 130 deg 20\nC>A 250 deg 20", survey={"declination_deg": -12.0})
    assert found is not None
    assert "The directions below are counted from true north." in walked_words(m, found)


def test_a_needle_turns_the_legs_and_not_the_miss() -> None:
    text = "A>B 10 deg 20\nB>C 130 deg 20\nC>A 251 deg 20"
    _, plain = read(text)
    _, turned = read(text, survey={"declination_deg": -12.0})
    assert plain is not None
    assert turned is not None
    assert turned.read[0].azimuth_deg == pytest.approx((plain.read[0].azimuth_deg - 12.0) % 360.0)
    assert turned.found.miss_m == pytest.approx(plain.found.miss_m)


def test_a_way_between_given_stakes_is_held_to_them() -> None:
    stakes = [
        {"id": "a", "name": "A", "held": True, "x": 0.0, "y": 0.0},
        {"id": "d", "name": "D", "held": True, "x": 30.0, "y": 0.3},
    ]
    m, found = read("A>B 45 deg 10\nB>C 90 deg 15.86\nC>D 135 deg 10", survey={"stakes": stakes, "datum": "a"})
    assert found is not None
    assert not found.round
    assert found.found.points[-1] == pytest.approx((30.0, 0.3))
    assert "to D, whose place is given" in walked_words(m, found)[0]


def test_a_misread_leg_is_told_with_where_to_look() -> None:
    """The miss lies along the leg whose length is wrong (common practice in looking for a traverse's slip)."""
    legs = [("A", "B", 20.0, 40.0), ("B", "C", 110.0, 30.0), ("C", "D", 200.0, 40.0), ("D", "A", 290.0, 30.0)]
    text = "\n".join(f"{a}>{b} {turn} deg {far + (10.0 if a == 'C' else 0.0)}" for a, b, turn, far in legs)
    m, found = read(text)
    assert found is not None
    assert found.found.miss_m == pytest.approx(10.0, abs=1e-6)
    words = walked_words(m, found)[1]
    assert words.startswith("That is more than the ")
    assert "the length" in words or "the leg" in words
    assert any(pair in words for pair in ("A to B", "C to D"))  # the two legs that lie along the miss


def test_a_bearing_with_swapped_digits_is_told_and_nothing_is_shared_out() -> None:
    legs = [
        ("A", "B", 34, 25.43),
        ("B", "C", 97, 30.93),
        ("C", "D", 117, 22.79),
        ("D", "E", 262, 18.07),
        ("E", "A", 284, 31.55),
    ]
    m, found = read("\n".join(f"{a}>{b} {turn} deg {far}" for a, b, turn, far in legs))  # C to D was 171
    assert found is not None
    assert walked_words(m, found)[-1].endswith("read again the bearing C to D.")
    assert "20.6" in walked_words(m, found)[0]  # metres, not 2063 cm
    assert all(row[3:] == ["", ""] for row in walked_rows(m, found))
    (said,) = m.suspects
    assert said.startswith("C–D reads 117°, but the others say 17")
    assert said.endswith("Swapped digits?")


def test_a_comma_for_decimals_stands_between_no_thousands() -> None:
    text = "A>B 0 deg 40,02\nB>C 90 deg 40\nC>D 180 deg 40\nD>A 270 deg 40"
    garden: Garden = garden_from({"format": "quincunx/1", "name": "Wood", "writing": {"decimal_mark": ","}})
    edit, problems = with_readings(garden, text)
    assert edit is not None
    assert not problems
    m = measure(apply(garden, edit)[0])
    found = walked(m)
    assert found is not None
    assert "1 in 8\N{NO-BREAK SPACE}000." in walked_words(m, found)[0]
    assert walked_rows(m, found)[0][2] == "40,020 m"


def test_a_leg_may_be_counted_in_paces() -> None:
    _, found = read("A>B 0 deg 40 paces\nB>C 90 deg 40 paces\nC>D 180 deg 40 paces\nD>A 270 deg 40 paces")
    assert found is not None
    assert found.found.length_m == pytest.approx(160 * 0.75)


def test_two_legs_or_none_are_no_way_walked() -> None:
    for text in ("A B 4\nB C 3\nA C 5", "A>B 10 deg 20\nB>A 190 deg", "A>B 10 deg 20\nB>C 80 deg 20"):
        assert read(text)[1] is None


@settings(max_examples=25, deadline=None)
@given(st.lists(st.tuples(st.integers(-40, 40), st.integers(-40, 40)), min_size=4, max_size=8, unique=True))
def test_any_round_without_errors_closes(corners: list[tuple[int, int]]) -> None:
    names = [capital(chr(97 + k)) for k in range(len(corners))]
    lines = []
    for (p, a), (q, b) in zip(
        zip(corners, names, strict=True),
        zip(corners[1:] + corners[:1], names[1:] + names[:1], strict=True),
        strict=True,
    ):
        turn = math.degrees(math.atan2(q[0] - p[0], q[1] - p[1])) % 360.0
        lines.append(f"{a}>{b} {turn:.6f} deg true {math.dist(p, q):.6f}")
    _, found = read("\n".join(lines))
    assert found is not None
    assert len(found.read) == len(corners)
    assert found.found.miss_m < 1e-4
