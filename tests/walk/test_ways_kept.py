"""The way as it was stays where nothing that is gone could make one shorter, though it would on what stays of both."""

from __future__ import annotations

from dataclasses import replace

import pytest
from shapely import Point, Polygon, box

from quincunx.scene import Scene, Spot
from quincunx.scene.difference import difference
from quincunx.walk.reach import forget, walk_of
from quincunx.walk.untouched import _within, way_kept
from quincunx.walk.ways import Way
from tests.walk.grounds import known, scene, wall

SPOTS = (Spot("a", "a", (2.0, 2.0)), Spot("b", "b", (2.0, 16.0)))
RING = [wall("w", -0.2, 0, 0.1, 20), wall("e", 19.9, 0, 20.1, 20), wall("n", 0, 19.9, 20, 20.1)]
ACROSS = wall("across", 0.06, 10, 12, 10.2)
PERSON = known("person")


def with_across(from_m: float, to_m: float) -> tuple[Scene, Scene]:
    """Return a garden parted by a wall all but at its east end, and the same with the wall from and to elsewhere."""
    was = scene(box(0, 0, 20, 20), solids=[*RING, ACROSS], spots=SPOTS)
    moved = replace(ACROSS, footprint=box(from_m, 10, to_m, 10.2))
    return was, replace(was, solids=tuple(moved if s is ACROSS else s for s in was.solids)).changed_from(was)


def kept(was: Scene, now: Scene) -> Way | None:
    found = difference(was, now)
    rest = walk_of(found.rest, PERSON)
    short = rest.way("a", "b")
    assert short is not None
    assert short.length_m < 16, "on the rest the wall's west end is open"
    return way_kept(found, rest, "a", "b")


def test_a_wall_made_longer_at_its_closed_end_leaves_the_way():
    was, now = with_across(0.05, 12)
    way = kept(was, now)
    forget()
    cold = walk_of(replace(now), PERSON).way("a", "b")
    assert cold is not None
    assert way is not None
    assert way.length_m == pytest.approx(cold.length_m, abs=1e-9)
    assert way.length_m > 20


def test_a_wall_made_shorter_there_may_open_a_way():
    assert kept(*with_across(0.07, 12)) is None


def test_a_wall_moved_where_the_way_turns_moves_the_way():
    assert kept(*with_across(0.05, 12.02)) is None


@pytest.mark.parametrize("turn", [0, 1, 2, 3])
def test_whoever_leaves_the_ellipse_goes_farther(turn: int):
    ends = [((0.0, 0.0), (4.0, 0.0)), ((0.0, 0.0), (0.0, 4.0)), ((1.0, 2.0), (3.0, -1.0)), ((5.0, 5.0), (5.0, 5.0))][
        turn
    ]
    round_ = _within(Way(ends, 0.0), 6.0)
    assert isinstance(round_, Polygon)
    a, b = (Point(e) for e in ends)
    for x, y in round_.exterior.coords:
        assert 6.0 - 1e-9 <= a.distance(Point(x, y)) + b.distance(Point(x, y)) <= 6.02
