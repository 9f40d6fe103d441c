"""Musts about paths that are kept to and rooms that are no dead ends."""

from typing import Any

import pytest
from pydantic import TypeAdapter
from shapely import box

from quincunx.intents import AnyIntent, Intent, Words
from quincunx.scene import Frame, Room, Spot, Stood, Timeline
from quincunx.shapes import Cut, Height, PathFigure, State, Surface
from quincunx.site.ground import Ground
from quincunx.works import Means
from tests.walk.grounds import Thing, gate, still, wall

H, F, U = State.HOLDS, State.FAILS, State.UNKNOWN
ANY: TypeAdapter[Intent] = TypeAdapter(AnyIntent)
ROOMS = (Room("court", "court", (5, 3)), Room("green", "green", (5, 9)))
SPOTS = (Spot("door", "kitchen door", (2, 2)), Spot("bed", "far bed", (8, 10.5)))
RING = tuple(
    Thing(n, still(Stood((wall(n, *at),))))
    for n, at in {"west": (-0.2, 0, 0, 12), "east": (10, 0, 10.2, 12), "south": (-0.2, -0.2, 10.2, 0), "north": (-0.2, 12, 10.2, 12.2)}.items()
)  # fmt: skip
MIDDLE = Thing("middle", still(Stood((wall("middle", 0, 5.9, 10, 6.1),))))


def door(owner: str, x: float, *, from_: str = "start", latch: Any = "latched") -> Thing:
    return Thing(owner, still(gate(owner, (x, 6), (x + 0.9, 6), latch=latch)), from_)


def path(*corners: tuple[float, float], from_: str = "start") -> Thing:
    from shapely import LineString

    shape = LineString(corners).buffer(0.5, cap_style="square", join_style="mitre")
    return Thing("path", still(Stood(surfaces=(Surface("path", "", shape, "brick", Height(0.0), layer=9),))), from_)


def garden(*things: Thing) -> Timeline:
    made = (*RING, *things)
    names = (
        [(t.id, t.id.replace("-", " ")) for t in made]
        + [(s.id, s.name) for s in SPOTS]
        + [(r.id, r.name) for r in ROOMS]
    )
    frame = Frame(box(0, 0, 10, 12), Ground.flat(), ROOMS, SPOTS, tuple(sorted(names)))
    return Timeline(frame, made, means=Means(first_year=2027, years=3))


def judged(line: Timeline, year: int = 2027, **fields: Any):
    return ANY.validate_python({"id": "m", **fields}).judge(line, year, Words.of(line))


ROUND: dict[str, Any] = {"kind": "several-ways", "start": "court", "end": "green"}


def test_one_gate_is_a_dead_end_and_is_named():
    found = judged(garden(MIDDLE, door("west-gate", 2)), **ROUND)
    assert (found.state, found.measured, found.margin) == (F, 1, -1)
    assert found.because == "The west gate is on every way from the court to the green."
    assert found.evidence


def test_two_gates_make_a_round_walk_from_the_year_the_second_stands():
    line = garden(MIDDLE, door("west-gate", 2), door("east-gate", 7, from_="2028-03"))
    assert [judged(line, y, **ROUND).state for y in line.years] == [F, H, H]
    found = judged(line, 2028, **ROUND)
    assert (
        found.because
        == "With the east gate and the west gate shut nobody gets from the court to the green; fewer would not do."
    )
    assert judged(line, 2028, ways=3, **ROUND).state == F


def test_a_locked_gate_is_no_way():
    line = garden(MIDDLE, door("west-gate", 2), door("east-gate", 7, latch="locked"))
    assert judged(line, **ROUND).because == "The west gate is on every way from the court to the green."


def test_open_ground_is_never_parted_and_a_wall_always():
    assert judged(garden(), **ROUND).because == "Nothing parts the court from the green, even with every opening shut."
    none = judged(garden(MIDDLE), **ROUND)
    assert none.state == F
    assert none.because.startswith("There is no way from the court to the green:")


@pytest.mark.parametrize(("more", "said"), [
    ({}, "There are two ways from the court to the green with no opening in common."),
    ({"ways": 5, "walker": "barrow"}, "There are 5 ways from the court to the green for a wheelbarrow with no opening in common."),
])  # fmt: skip
def test_it_is_said_plainly(more, said):
    assert ANY.validate_python({"id": "m", **ROUND, **more}).sentence(Words.of(garden())) == said


KEPT: dict[str, Any] = {"kind": "keeps-to-path", "start": "door", "end": "bed"}


def test_a_straight_path_is_kept_to():
    found = judged(garden(path((2, 2), (8, 10.5))), **KEPT)
    assert (found.state, found.measured) == (H, 1.0)
    assert found.because == "The shortest way, 10 m, is a path all along."


def test_a_path_round_two_sides_is_cut():
    found = judged(garden(path((2, 2), (2, 10.5), (8, 10.5))), **KEPT)
    assert found.state == F
    # 8.5 + 6 m round against 10.4 m straight: 1.39 times as far, less what is cut at the corners.
    assert found.measured == pytest.approx(1.3, abs=0.09)
    assert found.because.endswith("straight across: a corner people will cut.")
    assert sum(isinstance(f, PathFigure) for f in found.evidence) == 2


def test_a_small_bend_is_put_up_with():
    found = judged(garden(path((2, 2), (3.2, 7.5), (8, 10.5))), **KEPT)
    assert found.state == H
    assert found.measured is not None
    assert 1.0 < found.measured < 1.25


def test_without_a_path_it_says_how_much_is_not_made_and_when_it_comes():
    line = garden(path((2, 2), (8, 10.5), from_="2028-03"))
    assert [judged(line, y, **KEPT).state for y in line.years] == [F, H, H]
    assert judged(line, 2027, **KEPT).because == (
        "No path leads from the kitchen door to the far bed; 10 m of the way are on ground that is not made."
    )


def test_no_way_at_all_says_why():
    assert judged(garden(MIDDLE), **KEPT).because.startswith("There is no way from the kitchen door to the far bed:")
    must = ANY.validate_python({"id": "m", **KEPT, "walker": "barrow"})
    assert must.sentence(Words.of(garden())) == "A wheelbarrow keeps to the path from the kitchen door to the far bed."
    assert Cut("x", box(0, 0, 1, 1)).way is None
