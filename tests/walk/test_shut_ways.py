"""Which job shuts the way to which: found on the ground, and agreed to by works access in the month of each job."""

import pytest
from hypothesis import example, given, settings, strategies as st

from quincunx.kernels import Kernel
from quincunx.walk.access import bringings
from quincunx.walk.shut_ways import shut_ways
from tests.walk.test_access import BARROW, BED, SHELL, across, bed, garden, job

WALL = job("walling", "2027-03", "wall", reach="foot")


def pairs(line):
    return [(s.closer, s.closed) for s in shut_ways(line, BARROW, "road")]


def test_a_wall_across_shuts_the_way_to_the_bed_behind_it_in_whatever_month_both_are():
    for month in ("2027-02", "2029-04"):
        assert pairs(garden([job("beds", month, "bed"), WALL], BED, across("wall", 8))) == [("walling", "beds")]


def test_a_wall_behind_the_bed_or_with_a_way_past_it_shuts_nothing():
    beds = job("beds", "2027-02", "bed")
    assert not pairs(garden([beds, WALL], BED, across("wall", 19)))
    assert not pairs(garden([beds, WALL], BED, across("wall", 8, x0=1.2)))
    assert pairs(garden([beds, WALL], BED, across("wall", 8, x0=0.5)))


def test_on_a_new_computer_it_does_not_wait_for_the_compiler(monkeypatch):
    def refuse(one: Kernel, *_: object) -> None:
        raise AssertionError(f"{one.name} would be compiled")

    monkeypatch.setattr(Kernel, "has_come", lambda _: False)
    monkeypatch.setattr(Kernel, "__call__", refuse)
    things = [across("wall", 8.3), across("fence", 12.1, 0, 6)]
    jobs = [job("beds", "2027-02", "bed"), WALL, job("fencing", "2027-05", "fence", reach="foot")]
    assert pairs(garden(jobs, BED, *things)) == [("walling", "beds")]


def test_only_what_a_barrow_or_machine_must_reach_is_asked():
    assert not pairs(garden([job("beds", "2027-02", "bed", reach="foot"), WALL], BED, across("wall", 8)))


def test_no_way_even_before_is_nobodys_doing():
    line = garden([job("beds", "2027-02", "bed"), WALL], BED, across("wall", 8), across("old", 5))
    # "old" is made by no job and has no start: it never stands; with a job of its own it shuts the way as well.
    assert pairs(line) == [("walling", "beds")]
    both = garden(
        [job("beds", "2027-02", "bed"), WALL, job("older", "2027-05", "old", reach="foot")],
        BED, across("wall", 8), across("old", 5),
    )  # fmt: skip
    assert pairs(both) == [("older", "beds"), ("walling", "beds")]


@settings(max_examples=25, deadline=None)
@example([(2.0, 0.0, 1.0), (2.0, 1.0, 9.0)])
@given(st.lists(st.tuples(st.floats(2, 18), st.floats(0, 9), st.floats(1, 10)), min_size=1, max_size=4))
def test_works_access_agrees_when_the_bed_comes_last(walls):
    things = [across(f"w{n}", y, x, min(x + wide, 10)) for n, (y, x, wide) in enumerate(walls)]
    closers = [job(f"job{n}", f"2027-0{n + 1}", f"w{n}", reach="foot") for n in range(len(things))]
    line = garden([job("beds", "2029-04", "bed"), *closers], BED, *things)
    found = [(s.closer, s.closed) for s in shut_ways(line, BARROW, "road") if not s.beside]  # what shuts it alone
    for n, own in enumerate(things):
        alone = garden([job("beds", "2029-04", "bed"), closers[n]], BED, own)
        (brought,) = bringings(alone, BARROW, "road")
        assert (brought.state == "shut") == ((f"job{n}", "beds") in found)


@pytest.mark.parametrize("many", [1, 3])
def test_each_closed_job_is_named_once_for_each_closer(many):
    beds = [bed(f"bed{n}", 1 + 3 * n, 15, 3 + 3 * n, 18) for n in range(many)]
    line = garden([job("beds", "2029-04", *(b.id for b in beds)), WALL], *beds, across("wall", 8))
    assert pairs(line) == [("walling", "beds")]
    assert len(SHELL) == 5
