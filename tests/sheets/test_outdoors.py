"""What is set out and from where: points told from how things stand, ties that meet at them, stakes or corners."""

from __future__ import annotations

import math

import pytest
from shapely import LineString, Point, box

from quincunx.board.outdoors_pack import job_json
from quincunx.scene import StandingPlant, Stood
from quincunx.shapes import FrameWork, LineWork, Opening, Solid, Surface
from quincunx.sheets._marks import marks_of
from quincunx.sheets._outdoors import (
    base_of,
    compass,
    corners,
    obstacles,
    planned,
    planned_whole,
    tape,
    this_month,
    this_year,
    waiting,
)
from quincunx.survey import two_tapes
from tests.sheets.outdoors import SHED, demo, job, plot, said, set_for


def spots(stood: Stood) -> list[tuple[float, float]]:
    return [(round(m.at[0], 3), round(m.at[1], 3)) for m in marks_of("it", "It", stood)]


def words(stood: Stood) -> list[str]:
    return [m.words for m in marks_of("it", "It", stood)]


def test_points_are_told_from_how_a_thing_stands() -> None:
    plants = StandingPlant("it", "oak", ((3.0, 4.0),), 1, (1, 1, 1), (1, 1, 1))
    assert spots(Stood(plants=(plants,))) == [(3, 4)]
    row = StandingPlant("it", "whip", tuple((float(i), 0.0) for i in range(9)), 1, (1, 1, 1), (1, 1, 1))
    assert words(Stood(plants=(row,))) == ["It, first plant", "It, last plant"]
    assert spots(Stood(plants=(row,))) == [(0, 0), (8, 0)]
    fence = LineWork("it", LineString([(0, 0), (4, 0), (4, 3)]), 1.5, 0.05, "mesh")
    posts = FrameWork("it", (), ((0, 0), (2, 0), (4, 0), (4, 3)))
    assert words(Stood(work=(fence, posts))) == ["It, one end", "It, bend 1", "It, other end"]
    assert len(spots(Stood(work=(posts,)))) == 4
    floor = Surface("it", "", box(0, 0, 3, 2), "gravel")
    assert sorted(spots(Stood(surfaces=(floor,)))) == [(0, 0), (0, 2), (3, 0), (3, 2)]
    gate = Opening("it", LineString([(1, 0), (2, 0)]), 1.0)
    assert spots(Stood(openings=(gate,))) == [(1, 0), (2, 0)]
    strip = Solid("it", "", box(0, 0, 6, 0.1))
    assert sorted(spots(Stood(solids=(strip,)))) == [(0, 0.05), (6, 0.05)]


def test_a_round_thing_is_set_by_its_centre() -> None:
    pond = Surface("it", "", Point(5, 5).buffer(1.5), "water")
    assert words(Stood(surfaces=(pond,))) == ["It, centre of the circle"]
    assert spots(Stood(surfaces=(pond,))) == [(5, 5)]


@pytest.mark.parametrize("name", ["ropewalk", "kettle-hill"])
def test_the_two_tapes_meet_at_every_point(name: str) -> None:
    of = demo(name)
    base, seen = base_of(of), 0
    for one in waiting(of):
        plan = planned(of, one, base)
        at = base.at | {i: m.at for i, m in plan.marks.items()}
        set_before = set(base.at)
        for p in plan.found.points:
            a, b = p.ties
            assert {a.stake, b.stake} <= set_before, "a tie comes from a point that is set later"
            both = two_tapes(at[a.stake], a.exact_m, at[b.stake], b.exact_m)
            hand = both[0] if p.side == "left" else both[1]
            assert math.dist(hand, p.xy) < 0.001
            assert p.moved_m < p.sure_m
            set_before.add(p.id)
            seen += 1
    assert seen > 60


def test_numbers_follow_the_order_of_setting() -> None:
    plan = planned(demo("kettle-hill"), waiting(demo("kettle-hill"))[0])
    assert list(plan.numbers.values()) == list(range(1, len(plan.found.points) + 1))
    assert plan.names["h"] == "H"


def test_without_stakes_the_drawn_corners_serve() -> None:
    house = {
        "kind": "house",
        "id": "house",
        "name": "House",
        "there_from": "start",
        "outline": [[12, 9], [18, 9], [18, 13], [12, 13]],
    }
    base = base_of(set_for(plot(house)))
    assert not base.measured
    assert len(base.controls) == 8
    assert base.about["A"] == "SW corner of the boundary"
    assert "SE corner of House" in base.about.values()
    by_words = {w: base.at[i] for i, w in base.about.items()}
    assert by_words["SE corner of House"] == (18, 9)


def test_surveyed_stakes_come_before_drawn_corners() -> None:
    base = base_of(demo("ropewalk"))
    assert base.measured
    assert len(base.controls) == 8
    assert base.about["c"] == "SW corner of Ropewalk Cottage"
    assert base.about["g"] == "corner of Kitchen garden wall"
    assert math.dist(base.at["c"], (2, 38.2)) < 0.05


@pytest.mark.parametrize(
    ("x", "y", "side"), [(1, 1, "NE"), (-1, 1, "NW"), (1, -1, "SE"), (-1, -1, "SW"), (0, 1, "N"), (9, 1, "E")]
)
def test_corners_are_called_by_the_compass(x: float, y: float, side: str) -> None:
    assert compass((x, y), (0, 0)) == side


def test_corners_on_one_side_are_counted() -> None:
    of = set_for(plot(boundary=[[0, 0], [20, 0], [20, 10], [14, 10], [14, 15], [0, 15]]))
    called = [words for _, words in corners(of)]
    assert len(called) == len(set(called)) == 6


def test_a_tape_goes_round_what_stands_and_over_what_is_low() -> None:
    wall = {"kind": "wall", "id": "wall", "name": "Wall", "there_from": "start", "line": [[9, 1], [9, 14]], "height": 2}
    low = {
        "kind": "bed",
        "id": "low",
        "name": "Low",
        "there_from": "start",
        "outline": [[1, 1], [5, 1], [5, 3], [1, 3]],
    }
    of = set_for(plot(wall, low, SHED, jobs=[job("den")]))
    plan = planned(of, of.garden.jobs[0])
    blocked = obstacles(plan.before, ("den",))
    assert len(blocked) == 1
    assert len(plan.found.points) == 4
    assert not plan.through
    line = LineString([(9, 1), (9, 14)])
    for p in plan.found.points:
        for t in p.ties:
            if t.stake in plan.base.at:
                assert not LineString([plan.base.at[t.stake], p.xy]).crosses(line)


def test_a_place_walled_in_is_still_set_and_says_so() -> None:
    ring = [[3, 3], [10, 3], [10, 8], [3, 8]]
    wall = {
        "kind": "wall",
        "id": "wall",
        "name": "Wall",
        "there_from": "start",
        "line": ring,
        "closed": True,
        "height": 2,
    }
    of = set_for(plot(wall, SHED, jobs=[job("den")]))
    plan = planned(of, of.garden.jobs[0])
    assert plan.through
    assert len(plan.found.points) == 4


def test_the_month_and_year_are_the_first_with_something_to_do() -> None:
    jobs = [
        job("den", id="a", start="2028-03"),
        job(id="b", start="2027-06"),
        job(id="c", start="2027-09"),
        job(id="d", start=None),
    ]
    garden = plot(SHED, jobs=jobs)
    month, now = this_month(set_for(garden)) or ("", [])
    assert (month, [j.id for j in now]) == ("2027-06", ["b"])
    year, then = this_year(set_for(garden)) or (0, [])
    assert (year, [j.id for j in then]) == (2027, ["b", "c"])
    done = [
        {"id": "e1", "day": "2027-06-20", "what": "done", "about": "b"},
        {"id": "e2", "day": "2027-09-20", "what": "done", "about": "c"},
    ]
    month, now = this_month(set_for(plot(SHED, jobs=jobs, journal=done))) or ("", [])
    assert (month, [j.id for j in now]) == ("2028-03", ["a"])
    assert this_month(set_for(plot(SHED))) is None


def test_lengths_are_at_the_tapes_marks_and_stay_in_one_line() -> None:
    assert tape(demo("kettle-hill"), 3.81) == "12'\N{NO-BREAK SPACE}6\""
    assert tape(demo("ropewalk"), 3.81) == "3.810\N{NO-BREAK SPACE}m"


def test_more_points_than_a_day_holds_come_in_parts_and_none_is_left_out() -> None:
    of = demo("kettle-hill")
    beds = next(j for j in of.garden.jobs if j.id == "veg-beds")
    first = planned(of, beds)
    assert len(first.counts) == 2
    assert max(first.counts) <= 24
    second = planned(of, beds, part=1)
    owners = {m.owner for part in (first, second) for m in part.marks.values()}
    assert owners == set(first.stood)
    assert {m.owner for m in first.marks.values()}.isdisjoint(m.owner for m in second.marks.values())
    assert min(second.numbers.values()) == first.counts[0] + 1
    from quincunx.sheets.setting_out import pages_for

    titles = [p.title for p in pages_for(of, [beds])]
    assert titles == [f"Build the vegetable beds, part {n} of 2" for n in (1, 2)]
    depth = [said(p).count("Path from the barn: in all") for p in pages_for(of, [beds])]
    assert depth == [0, 1]


def test_all_points_of_a_job_are_carried_out_under_the_numbers_of_its_parts() -> None:
    of = demo("kettle-hill")
    beds = next(j for j in of.garden.jobs if j.id == "veg-beds")
    whole, parts = planned_whole(of, beds), [planned(of, beds, part=n) for n in (0, 1)]
    assert whole.numbers == parts[0].numbers | parts[1].numbers
    assert whole.found.points == parts[0].found.points + parts[1].found.points
    told = job_json(of, whole)
    assert [p["n"] for p in told["points"]] == list(range(1, 36))
    assert told["parts"] == [[1, 24], [25, 35]]
    assert {p["words"] for p in told["points"]} == {m.words for part in parts for m in part.marks.values()}
    assert sum("Path from the barn: in all" in line for line in told["shaping"]) == 1


def test_what_lives_for_a_year_is_set_in_its_season_on_every_page() -> None:
    from quincunx.sheets.saturday import page_of

    of = demo("kettle-hill")
    beds = next(j for j in of.garden.jobs if j.id == "veg-beds")
    told = said(page_of(of, str(beds.start), [beds]))
    assert (
        "5 × tomato (Solanum lycopersicum), seed or young plants, 2' 0\" apart, each year from 2029 in May or June"
        in told
    )
    assert "bare root or plug" not in told
