"""Works access: the barrow gets there in the job's month, or which earlier job shut the way."""

from typing import Any

import networkx as nx
import pytest
from hypothesis import given, settings, strategies as st
from pydantic import TypeAdapter
from shapely import Point, box

from quincunx.intents import AnyIntent, Intent, Words
from quincunx.scene import Frame, Spot, Stood, Timeline
from quincunx.shapes import State, Surface
from quincunx.site.ground import Ground
from quincunx.walk.access import Bringing, bringing, bringings, places_of
from quincunx.walk.brought import brought_as_before
from quincunx.works import Job, Means
from tests.walk.grounds import Thing, known, still, wall

ANY: TypeAdapter[Intent] = TypeAdapter(AnyIntent)
SPOTS = (Spot("road", "road", (2, -2)),)
BARROW = {"barrow": known("barrow"), "machine": known("machine")}
SHELL = tuple(
    Thing(n, still(Stood((wall(n, *at),))))
    for n, at in {
        "west": (-0.2, 0, 0, 20), "east": (10, 0, 10.2, 20), "north": (-0.2, 20, 10.2, 20.2),
        "south-a": (-0.2, -0.2, 1.4, 0), "south-b": (2.9, -0.2, 10.2, 0),
    }.items()
)  # fmt: skip
"""A garden of 10 by 20 m with one way in, 1.5 m wide, near its south-west corner."""


def bed(owner: str, *at: float) -> Thing:
    return Thing(owner, still(Stood(surfaces=(Surface(owner, "", box(*at), "soil", planted=True),))), None)


def across(owner: str, y: float, x0: float = 0, x1: float = 10) -> Thing:
    return Thing(owner, still(Stood((wall(owner, x0, y, x1, y + 0.2),))), None)


def garden(jobs: list[Job], *things: Thing, years: int = 4) -> Timeline:
    made = (*SHELL, *things)
    names = [(t.id, t.id.replace("-", " ")) for t in made] + [(s.id, s.name) for s in SPOTS]
    frame = Frame(box(0, 0, 10, 20), Ground.flat(), (), SPOTS, tuple(sorted(names)))
    return Timeline(frame, made, jobs, Means(first_year=2027, years=years))


def job(name: str, start: str | None, *does: str, **more: Any) -> Job:
    return Job(id=name, name=name.capitalize(), does=does, start=start, reach=more.pop("reach", "barrow"), **more)


BED = bed("bed", 3, 15, 7, 18)


def test_a_barrow_gets_to_a_bed_and_the_way_is_measured():
    line = garden([job("beds", "2027-04", "bed")], BED)
    (found,) = bringings(line, BARROW, "road")
    assert (found.state, found.target, found.month) == ("open", "bed", 2027 * 12 + 3)
    assert found.way is not None
    # From the road by the way in to where the bed is in reach.
    assert 15.0 < found.way.length_m < 18.0
    assert found.seconds > found.way.length_m / known("barrow").pace - 1e-6


def test_a_wall_built_before_shuts_the_way_and_doing_the_bed_first_keeps_it_open():
    late = garden(
        [job("beds", "2028-04", "bed"), job("walling", "2027-03", "wall", reach="foot")], BED, across("wall", 8)
    )
    (found,) = bringings(late, BARROW, "road")
    assert found.state == "shut"
    assert [(c.job, c.owners) for c in found.closers] == [("walling", ("wall",))]
    early = garden(
        [job("beds", "2027-02", "bed"), job("walling", "2027-03", "wall", reach="foot")], BED, across("wall", 8)
    )
    assert [b.state for b in bringings(early, BARROW, "road")] == ["open"]


def test_what_is_made_itself_and_what_comes_later_is_no_hindrance():
    jobs = [job("beds", "2027-04", "bed", "wall")]
    assert [b.state for b in bringings(garden(jobs, BED, across("wall", 8)), BARROW, "road")] == ["open"]


def test_of_two_half_walls_the_one_on_the_shortest_way_is_named():
    jobs = [
        job("beds", "2028-04", "bed"),
        job("a", "2027-03", "wall-a", reach="foot"),
        job("b", "2027-05", "wall-b", reach="foot"),
    ]
    both = garden(jobs, BED, across("wall-a", 8, 0, 5.2), across("wall-b", 8, 5, 10))
    (found,) = bringings(both, BARROW, "road")
    assert found.state == "shut"
    # Each of them alone would have left the other half open; the load would have gone by the first.
    assert [c.job for c in found.closers] == ["a"]


def test_two_whole_walls_are_both_needed_down():
    jobs = [
        job("beds", "2028-04", "bed"),
        job("a", "2027-03", "wall-a", reach="foot"),
        job("b", "2027-05", "wall-b", reach="foot"),
    ]
    (found,) = bringings(garden(jobs, BED, across("wall-a", 8), across("wall-b", 10)), BARROW, "road")
    assert (found.state, {c.job for c in found.closers}) == ("shut", {"a", "b"})


def test_an_old_wall_is_never_passed_whatever_is_done_first():
    old = Thing("old", still(Stood((wall("old", 0, 8, 10, 8.2),))))
    assert [b.state for b in bringings(garden([job("beds", "2027-04", "bed")], BED, old), BARROW, "road")] == ["never"]


def crate(x: float, y: float) -> Thing:
    return Thing("crate", still(Stood((wall("crate", x, y, x + 1.2, y + 1.2),))))


SHUT = [
    job("beds", "2028-04", "bed"),
    job("a", "2027-03", "wall-a", reach="foot"),
    job("b", "2027-05", "wall-b", reach="foot"),
]
THINGS = (
    bed("bed", 3, 15, 7, 18),
    across("wall-a", 8, 0, 7.5),
    across("wall-b", 8, 7.3, 10),
    across("wall-c", 12, 0, 4),
)


def told(found: Bringing) -> tuple[object, ...]:
    return found.state, found.target, found.closers


@settings(max_examples=10)
@given(st.tuples(st.integers(0, 88), st.integers(0, 188)), st.tuples(st.integers(0, 88), st.integers(0, 188)))
def test_what_is_told_without_asking_again_when_something_moves_is_what_asking_says(old, new):
    was = garden(SHUT, *THINGS, crate(old[0] / 10, old[1] / 10))
    now = was.with_features((crate(new[0] / 10, new[1] / 10),), was.frame)
    if brought_as_before(was, now, SHUT[0], BARROW["barrow"], "road"):
        assert told(bringing(was, SHUT[0], BARROW["barrow"], "road")) == told(
            bringing(now, SHUT[0], BARROW["barrow"], "road")
        )


def test_a_thing_moved_out_of_the_way_is_told_without_asking_and_one_in_the_way_is_not():
    was = garden(SHUT, *THINGS, crate(8, 14))
    aside = was.with_features((crate(8.2, 14.5),), was.frame)
    assert brought_as_before(was, aside, SHUT[0], BARROW["barrow"], "road")
    assert bringing(aside, SHUT[0], BARROW["barrow"], "road").state == "shut"
    before = was.with_features((crate(2, 1),), was.frame)
    assert not brought_as_before(was, before, SHUT[0], BARROW["barrow"], "road")
    bed_moved = was.with_features((bed("bed", 3, 13, 7, 16),), was.frame)
    assert not brought_as_before(was, bed_moved, SHUT[0], BARROW["barrow"], "road")


def test_a_machine_needs_room_to_turn():
    post = [
        Thing(f"post-{i}", still(Stood((wall(f"post-{i}", x, 8, x + 0.2, 20),))))
        for i, x in enumerate((2.0, 4.0, 5.6, 7.8))
    ]
    line = garden([job("trench", "2027-04", "bed", reach="machine")], bed("bed", 4.3, 18, 5.5, 19), *post)
    (found,) = bringings(line, BARROW, "road")
    assert found.state == "no-turning"
    small = {"machine": known("machine").changed(turning=None)}
    assert [b.state for b in bringings(line, small, "road")] == ["open"]


@pytest.mark.parametrize(("heap", "state"), [(2.0, "open"), (30.0, "open"), (120.0, "no-heap")])
def test_the_heap_needs_free_ground_near(heap, state):
    line = garden([job("beds", "2027-04", "bed", heap_m2=heap)], BED)
    assert [b.state for b in bringings(line, BARROW, "road")] == [state]


def test_room_to_work_round_it():
    posts = [Thing(n, still(Stood((wall(n, *at),)))) for n, at in {
        "p": (2.7, 14.9, 3.0, 18.3), "q": (7.0, 14.9, 7.3, 18.3), "r": (2.7, 18.0, 7.3, 18.3)}.items()]  # fmt: skip
    line = garden([job("beds", "2027-04", "bed", working_room=0.3)], BED, *posts)
    assert [b.state for b in bringings(line, BARROW, "road")] == ["tight"]


def test_a_drop_place_or_the_place_of_the_work_is_what_has_to_be_reached():
    line = garden([job("beds", "2027-04", "bed", drop=(2, 2)), job("walling", "2027-01", "wall", reach="foot")], BED, across("wall", 8))  # fmt: skip
    assert [b.state for b in bringings(line, BARROW, "road")] == ["open"]
    behind = job("beds", "2027-04", "bed", place=(5, 19))
    line = garden([behind, job("walling", "2027-01", "wall", reach="foot")], BED, across("wall", 8))
    assert [b.state for b in bringings(line, BARROW, "road")] == ["shut"]
    assert places_of(line, behind)[0][0] == ""


def test_jobs_on_foot_without_a_month_or_a_place():
    jobs = [job("a", None, "bed"), job("b", "2027-03", reach="barrow"), job("c", "2027-04", "wall", reach="foot")]
    found = bringings(garden(jobs, BED, across("wall", 8)), BARROW, "road")
    assert [(b.job, b.state) for b in found] == [("b", "no-place")]
    assert bringing(garden(jobs, BED), jobs[1], known("barrow"), "nowhere").state == "no-place"


def test_things_may_come_from_somewhere_else():
    shed = job("beds", "2028-04", "bed", comes_from="road")
    line = garden([shed, job("walling", "2027-03", "wall", reach="foot")], BED, across("wall", 8))
    assert bringings(line, BARROW, "outside")[0].state == "shut"


EVEN = st.tuples(st.sampled_from(range(2, 13, 2)), st.sampled_from(range(0, 9, 2)), st.sampled_from(range(2, 11, 2)))


@given(st.lists(EVEN, min_size=1, max_size=4))
@settings(max_examples=20, deadline=None)
def test_shut_is_what_a_grid_with_networkx_says(walls):
    """Walls 2 m apart and 2 m longer by 2 m, so that a grid of 0.5 m misses no gap; a node is free if the barrow's middle
    may be there.
    """
    things = [across(f"w{i}", float(y), float(x0), float(min(x0 + n, 10))) for i, (y, x0, n) in enumerate(walls)]
    jobs = [job("beds", "2028-04", "bed"), *(job(f"j{i}", "2027-03", f"w{i}", reach="foot") for i in range(len(walls)))]
    (found,) = bringings(garden(jobs, bed("bed", 3, 16, 7, 19), *things), BARROW, "road")
    radius = float(known("barrow").body_width) / 2
    solid = [box(float(x0), float(y), float(min(x0 + n, 10)), y + 0.2).buffer(radius - 0.01) for y, x0, n in walls]
    graph = nx.grid_2d_graph(19, 39)  # nodes at (0.5 + i / 2, 0.5 + j / 2)
    for node in list(graph):
        if any(s.covers(Point(0.5 + node[0] / 2, 0.5 + node[1] / 2)) for s in solid):
            graph.remove_node(node)
    goals = [(i, 30) for i in range(5, 14) if (i, 30) in graph]
    start = (3, 0)
    if start in graph and goals:
        reached = any(nx.has_path(graph, start, g) for g in goals)
        assert (found.state != "shut") == reached


def judged(line: Timeline, year: int):
    return ANY.validate_python({"id": "m", "kind": "works-reached", "start": "road"}).judge(line, year, Words.of(line))


def test_the_must_says_what_to_do_first():
    jobs = [job("beds", "2028-04", "bed"), job("walling", "2027-03", "wall", reach="foot")]
    line = garden(jobs, BED, across("wall", 8))
    assert judged(line, 2027).because == "No job of this year needs a barrow or a machine."
    found = judged(line, 2028)
    assert found.state == State.FAILS
    assert found.because == (
        "“Beds” in April 2028: a wheelbarrow no longer gets from the road to the bed, the wall in the way. "
        "Do it before “Walling” (March 2027)."
    )
    assert len(found.evidence) == 2
    good = judged(garden([jobs[0]], BED), 2028)
    assert good.state == State.HOLDS
    assert good.because.startswith("“Beds” in April 2028: a wheelbarrow gets there from the road, 17 m, ")


@pytest.mark.parametrize(("more", "words"), [
    ({"heap_m2": 120.0}, "no free ground near it for its heap"),
    ({"does": ()}, "nothing says where it is"),
])  # fmt: skip
def test_the_must_says_what_else_is_wrong(more, words):
    one = Job.model_validate(
        {"id": "beds", "name": "Beds", "does": ("bed",), "start": "2027-04", "reach": "barrow", **more}
    )
    assert words in judged(garden([one], BED), 2027).because


def test_the_must_says_never_and_where_to_turn():
    old = Thing("old", still(Stood((wall("old", 0, 8, 10, 8.2),))))
    assert judged(garden([job("beds", "2027-04", "bed")], BED, old), 2027).because.endswith("whatever is done first.")
    post = [
        Thing(f"post-{i}", still(Stood((wall(f"post-{i}", x, 8, x + 0.2, 20),))))
        for i, x in enumerate((2.0, 4.0, 5.6, 7.8))
    ]
    line = garden([job("trench", "2027-04", "bed", reach="machine")], bed("bed", 4.3, 18, 5.5, 19), *post)
    assert judged(line, 2027).because.endswith("nowhere near to turn round, for which 2.50 m is needed.")


def test_of_places_as_near_to_the_work_the_load_goes_to_the_one_nearest_to_where_it_comes_from():
    (found,) = bringings(garden([job("beds", "2028-04", "bed")], BED), BARROW, "road")
    assert found.way is not None
    assert found.way.points[-1] == pytest.approx((3.0, 15.0), abs=0.02), "the bed's corner nearest to the road"
