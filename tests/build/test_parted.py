"""Runs that stop at openings, held against lengths and posts counted by hand."""

from __future__ import annotations

import pytest
from shapely import LineString

from quincunx.build.parted import Way, parted
from quincunx.build.runs import run_take_off
from quincunx.shapes import FrameWork, Joint, LineWork, Member

SIDE = 0.1


def fence(*posts: tuple[float, float], line: list[tuple[float, float]], closed: bool = False):
    members = tuple(Member("post", (x, y, -0.6), (x, y, 1.2), (SIDE, SIDE), "fence post", "post") for x, y in posts)
    joint = Joint("post in its hole", "in concrete", len(posts))
    run = LineWork("f", LineString(line), 1.2, 0.04, "boards", closed, posts)
    return run, FrameWork("f", members, posts, (joint,))


SQUARE = [(0.0, 0.0), (6.0, 0.0), (6.0, 6.0), (0.0, 6.0)]


def test_a_ring_with_one_gate_is_one_run_without_it():
    works = fence(*SQUARE, (3.0, 0.0), line=SQUARE, closed=True)
    run, frame = parted(works, [Way("g", LineString([(2.5, 0), (3.5, 0)]), posts=True)])
    assert isinstance(run, LineWork)
    assert isinstance(frame, FrameWork)
    assert not run.closed
    assert run.line.length == pytest.approx(23.0)
    assert len(frame.members) == len(frame.footings) == frame.joints[0].count == 4


def test_a_post_where_the_gates_own_is_set_goes_and_one_well_beside_it_stays():
    works = fence((0, 0), (2.4, 0), (4.0, 0), (6, 0), line=[(0, 0), (6, 0)])
    *_, frame = parted(works, [Way("g", LineString([(2.5, 0), (3.5, 0)]), posts=True)])
    assert isinstance(frame, FrameWork)
    assert [x for x, _ in frame.footings] == [0, 4.0, 6]


def test_a_gap_ends_on_posts_just_outside_its_clear_width():
    works = fence((0, 0), (3.0, 0), (6, 0), line=[(0, 0), (6, 0)])
    *_, frame = parted(works, [Way("g", LineString([(2.5, 0), (3.5, 0)]), posts=False)])
    assert isinstance(frame, FrameWork)
    assert [x for x, _ in frame.footings] == pytest.approx([0, 2.45, 3.55, 6])
    assert frame.joints[0].count == 4


def test_what_only_crosses_a_run_leaves_it_whole():
    works = fence((0, 0), (6, 0), line=[(0, 0), (6, 0)])
    assert parted(works, [Way("g", LineString([(3, -0.5), (3, 0.5)]), posts=True)]) == works


def test_rails_are_as_long_as_posts_are_apart():
    """Posts at 0, 1.5, 3, then a gate of 1 m clear up to 5 m, then 6 m: two rails of 1.5 m, one of 1 m, one of 1 m."""
    works = fence((0, 0), (1.5, 0), (3.0, 0), (4.5, 0), (6, 0), line=[(0, 0), (6, 0)])
    made = parted(works, [Way("g", LineString([(4, 0), (5, 0)]), posts=True)])
    rails: dict[float, int] = {}
    for run in (w for w in made if isinstance(w, LineWork)):
        for p in run_take_off(run).pieces:
            if p.name == "rail":
                rails[p.length_m] = rails.get(p.length_m, 0) + p.count
    assert rails == {1.5: 4, 1.0: 4}  # two rows of each
