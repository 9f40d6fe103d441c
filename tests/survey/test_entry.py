"""Lines of readings that can't be: refused with a sentence, and harmless where a file holds them already."""

from __future__ import annotations

from typing import Any

import pytest

from quincunx.garden import apply, garden_from
from quincunx.review.ground import measure
from quincunx.review.ground_edits import with_readings
from quincunx.review.ground_report import ground_report
from quincunx.survey.entry import names_in, parse_line, parse_lines, write_line
from quincunx.survey.readings import Bearing, Staff
from quincunx.units import Style

SQUARE = [("a", "b", 10.0), ("b", "c", 8.0), ("c", "d", 10.0), ("d", "a", 8.0), ("a", "c", 12.806), ("b", "d", 12.806)]


def refused(line: str, style: Style | None = None) -> str:
    read, problems = parse_lines(line, style or Style())
    assert read == ()
    return problems[0].because


@pytest.mark.parametrize("line", ["A B 0", "A>B 134 deg 0", "A B 0 paces", "A B C: 3; 4; 0"])
@pytest.mark.parametrize("units", ["metric", "feet"])
def test_nothing_measured_is_no_reading(line, units):
    assert refused(line, Style(units)) == f"'{line}' holds a number too small to be measured; expected more than 0"


def test_what_is_too_much_says_how_much_may_be():
    assert refused("A B 6000 paces") == "'A B 6000 paces' holds a number out of bounds; expected no more than 5000"
    assert refused("A>B x 3 L -2 C").endswith("too small to be measured; expected no less than 0")


@pytest.mark.parametrize(
    ("line", "twice"),
    [
        ("A B A square", "A"), ("A B C a straight", "a"), ("A wall A-C 3", "A"), ("A wall C-C 3", "C"), ("A>B wall B-C 3", "B"),
        ("A>B sees B left", "B"), ("A>B x 3 L 2 B", "B"), ("A B B: 3; 4; 5", "B"),
    ],
)  # fmt: skip
def test_a_stake_named_twice_says_nothing_of_the_ground(line, twice):
    assert refused(line) == f"the reading names '{twice}' twice; name each stake once"


def test_a_tape_that_falls_as_far_as_it_is_long_is_refused():
    assert refused("A B 12.3 falls 12.3") == "a tape of 12.3 can't fall 12.3; the fall must be less than the tape"
    assert parse_lines("A B 12.3 falls 12.2", Style())[1] == ()


IMPOSSIBLE: list[dict[str, Any]] = [
    {"type": "slope_distance", "start": "a", "end": "b", "length": 12.3, "fall": 12.3},
    {"type": "slope_distance", "start": "a", "end": "b", "length": 3, "fall": -5},
    {"type": "offset", "start": "a", "end": "b", "along": 3, "side": "left", "offset": 2, "point": "b"},
    {"type": "right_angle", "start": "a", "corner": "b", "end": "a"},
    {"type": "straight", "through": ["a", "b", "a"]},
    {"type": "wall_distance", "start": "a", "wall": ["c", "c"], "length": 3},
    {"type": "seen", "start": "a", "end": "b", "point": "b", "side": "left"},
    {"type": "distance", "start": "a", "end": "a", "length": 3},
]


@pytest.mark.parametrize("reading", IMPOSSIBLE)
def test_a_file_that_holds_one_already_is_measured_all_the_same(reading):
    tapes = [
        {"id": f"r{n}", "type": "distance", "start": a, "end": b, "length": m} for n, (a, b, m) in enumerate(SQUARE, 1)
    ]
    stakes = [{"id": name, "name": name.upper()} for name in "abcd"]
    garden = garden_from(
        {
            "format": "quincunx/1",
            "name": "Square",
            "survey": {"stakes": stakes, "readings": [*tapes, {"id": "bad", **reading}]},
        }
    )
    places = measure(garden).places
    assert set(places) == set("abcd")
    assert ground_report(garden)


def test_a_bearing_a_hair_west_of_north_is_written_as_north():
    one = Bearing(id="r1", start="a", end="b", bearing_deg=359.99999)
    assert write_line(one, Style()) == "a>b 0°00'00\""


FILED = ("corner-1", "corner 1", "p-2", "P-2", "3", "gate-post", "gate post", "a")


@pytest.mark.parametrize(
    ("line", "points"),
    [
        ("corner 1 gate post 8.00", ("corner-1", "gate-post")),
        ("corner-1 P-2 10.02", ("corner-1", "p-2")),
        ("P-2-3 12", ("p-2", "3")),
        ("3 corner.1 12", ("3", "corner-1")),
        ("A 3 3.5", ("a", "3")),
        ("A B 3.5", ("a", "b")),
        ("3>A x 3 L 3 gate post", ("3", "a", "gate-post")),
        ("corner 1 P-2 3 straight", ("corner-1", "p-2", "3")),
        ("P-2 3 A: 3; 4; 5", ("p-2", "3", "a")),
        ("3 wall corner 1-P-2 3", ("3", "corner-1", "p-2")),
        ("back 3 1.425", ("3",)),
    ],
)
def test_stakes_that_a_file_brought_are_known_by_their_names(line, points):
    """Numbers, hyphens and words apart are no names of a line by themselves; of stakes there are they can be nothing else."""
    read, problems = parse_lines(line, Style(), stakes=FILED)
    assert not problems
    assert names_in(read) == tuple(sorted(points))
    again, _ = parse_lines("\n".join(write_line(r, Style()) for r in read), Style(), stakes=FILED)
    assert [r.model_dump() for r in again] == [r.model_dump() for r in read]


@pytest.mark.parametrize("line", ["A 12.34", "A 3.4 12", "A 4 12", "3 12", "A 12 falls 0.45"])
def test_a_number_that_is_no_stake_is_none(line):
    assert parse_lines(line, Style(), stakes=FILED)[0] == ()


def test_readings_between_stakes_brought_by_a_file_are_taken_in():
    stakes = [
        {"id": n, "name": n, "held": True, "x": x, "y": y} for n, x, y in (("1", 0, 0), ("2", 10, 0), ("3", 10, 8))
    ]
    garden = garden_from({"format": "quincunx/1", "name": "Filed", "survey": {"stakes": stakes}})
    edit, problems = with_readings(garden, "1 T 5\n2 T 8.06\n1 2 10.01")
    assert not problems
    assert edit is not None
    measured = apply(garden, edit)[0].survey
    assert {s.id for s in measured.stakes} == {"1", "2", "3", "t"}
    assert [(r.start, r.end) for r in measured.readings] == [("1", "t"), ("2", "t"), ("1", "2")]  # type: ignore[union-attr]


@pytest.mark.parametrize("by", ["", " read by Ada"])
@pytest.mark.parametrize(
    "tail", [" in book two [staff]", " [staff] in book two", " by staff in book two", " in book two by a staff"]
)
def test_a_staff_reading_names_its_book_and_its_instrument_in_either_order(tail, by):
    read = parse_line(f"between B 0.87{tail}{by}  # wet", Style())
    assert isinstance(read, Staff)
    assert (read.book, read.instrument, read.by, read.note) == ("two", "staff", by[9:], "wet")
    assert parse_line(write_line(read, Style()), Style()) == read
