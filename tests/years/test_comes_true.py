"""How it comes true: the jobs behind things, what is left to give, what comes first, what goes if one is left out."""

from __future__ import annotations

from datetime import date
from typing import Any

import networkx as nx
import pytest
from hypothesis import given, settings, strategies as st

from quincunx.garden import Garden, garden_from, plain, timeline
from quincunx.intents import Words
from quincunx.years.comes_true import ComesTrue, comes_true, waiting_for
from quincunx.years.left_out import left_out
from tests.years.test_real import entry, plan

ON = date(2029, 6, 30)
HEDGE = {"kind": "hedge", "id": "hedge", "name": "West hedge", "line": [[1, 1], [9, 1]], "plant": "carpinus-betulus"}
ARCH = {"kind": "arch", "id": "arch", "name": "Rose arch", "at": [5, 5]}
ROSE = {"kind": "climber", "id": "rose", "name": "Rose", "line": [[4.6, 5.1], [5.4, 5.1]], "support": "arch"}
SEAT = {"kind": "seat", "id": "seat", "name": "Old seat", "at": [12, 5], "there_from": "start"}
WALL = {
    "kind": "wall",
    "id": "wall",
    "name": "Wall",
    "line": [[1, 15], [9, 15]],
    "there_from": "start",
    "there_until": "2028-03",
}
DIG = {"id": "dig", "name": "Dig the trench", "hours": 6, "start": "2027-09"}
PLANT = {"id": "plant", "name": "Plant the hedge", "does": ["hedge"], "hours": 8, "start": "2027-11",
         "after": [{"job": "dig"}], "costs": [{"words": "whips", "sum": 9000, "quantity": 40}]}  # fmt: skip
SET = {"id": "set-arch", "name": "Set the arch", "does": ["arch", "rose"], "hours": 5, "start": "2028-04",
       "costs": [{"words": "Arch", "sum": 20000}, {"words": "Welder", "sum": 4000, "hired": True}],
       "enjoyed_with": ["plant"]}  # fmt: skip
IDLE = {"id": "idle", "name": "Paint the shed", "hours": 3, "start": "2027-05"}
JOBS = (DIG, PLANT, SET, IDLE)


def garden_of(*jobs: dict[str, Any], journal: tuple[dict[str, Any], ...] = ()) -> Garden:
    bare = plain(plan(*(j | {"does": [], "takes_away": []} for j in jobs), journal=journal))
    return garden_from({**bare, "jobs": list(jobs), "features": [HEDGE, ARCH, ROSE, SEAT, WALL]})


def way(*things: str, garden: Garden | None = None, on: date = ON) -> ComesTrue:
    garden = garden or garden_of(*JOBS)
    through = timeline(garden)
    return comes_true(garden, through, things, on, Words.of(through, garden.style))


def test_the_way_to_a_thing_is_its_job_and_all_behind_it_in_time() -> None:
    found = way("arch")
    assert [s.job for s in found.steps] == ["dig", "plant", "set-arch"]
    assert (found.hours, found.money) == (6 + 8 + 5, 9000 + 20000 + 4000)
    assert [s.because for s in found.steps] == [
        "comes before “Plant the hedge”", "“Set the arch” is of use only with it", "makes Rose arch",
    ]  # fmt: skip
    assert [s.without for s in found.steps] == [("arch",)] * 3
    assert all(s.within for s in found.steps)


def test_a_job_without_a_month_takes_its_hours_and_its_money_all_the_same() -> None:
    """It was told as "0 min still to be given"."""
    loose = tuple({k: v for k, v in job.items() if k != "start"} for job in JOBS)
    found = way("arch", garden=garden_of(*loose))
    assert (found.hours, found.money) == (6 + 8 + 5, 9000 + 20000 + 4000)
    assert found.words[1] == "3 jobs stand between now and then: 19 h and €330 still to be given."


def test_what_was_worked_and_paid_is_not_still_to_be_given() -> None:
    both = (entry("begun", "plant", "2027-11-02", hours=3, sum=5000), entry("hours", "plant", "2027-11-09", hours=1))
    found = way("hedge", garden=garden_of(*JOBS, journal=both))
    assert (found.hours, found.money) == (6 + 8 - 4, 9000 - 5000)


def test_the_words_say_what_is_there_what_is_left_and_what_comes_first() -> None:
    assert way("hedge", "seat").words == (
        "Of the 2 things looked at here in June 2029, 1 is there already.",
        "2 jobs stand between now and then: 14 h and €90 still to be given.",
        "First: order by the end of August 2027: 40 whips (for “Plant the hedge”).",
    )
    assert way("seat").words == ("It is there already: nothing more has to be done for it but upkeep.",)
    assert way().words == ("Nothing that you have put into the garden is looked at here.",)


def test_each_thing_says_how_it_stands_on_the_day() -> None:
    found = {t.id: t for t in way("hedge", "arch", "seat", "wall").things}
    assert found["wall"].words == "Wall: gone by then, it stands until February 2028."
    assert found["seat"].words == "Old seat: there from the start."
    assert found["arch"].words == "Rose arch: from May 2028, by “Set the arch”."
    assert found["hedge"].words == "West hedge: from December 2027, by “Plant the hedge”; about 0.5 m tall by then."
    later = {t.id: t for t in way("hedge", on=date(2033, 6, 30)).things}
    assert later["hedge"].words.startswith("West hedge: from December 2027, by “Plant the hedge”; about ")
    assert later["hedge"].words.endswith(" if planted a year later.")
    early = {t.id: t for t in way("arch", on=date(2027, 6, 30)).things}
    assert early["arch"].words == "Rose arch: not there by then, it comes in May 2028, by “Set the arch”."
    unplanned = garden_of({**PLANT, "start": None}, DIG)
    found = {t.id: t for t in way("hedge", "arch", garden=unplanned).things}
    assert found["hedge"].words == "West hedge: not there by then, “Plant the hedge” has no month yet."
    assert found["arch"].words == "Rose arch: not there by then, no job makes it yet."


def test_a_plant_s_height_a_year_later_is_that_of_one_a_year_younger() -> None:
    (thing,) = way("rose").things
    through = timeline(garden_of(*JOBS))
    feature = through.feature("rose")
    assert feature is not None
    (stands,) = through.plants_on(feature, ON)
    (younger,) = timeline(garden_of(*(j | {"start": "2029-04"} if j is SET else j for j in JOBS))).plants_on(
        feature, ON
    )
    assert thing.height_m == stands.height_m[1]
    assert thing.younger_m == pytest.approx(younger.height_m[1], abs=0.02)


def test_what_is_done_is_told_apart_and_asks_nothing_more() -> None:
    found = way("hedge", garden=garden_of(*JOBS, journal=(entry("done", "dig", "2027-09-20", hours=7),)))
    assert [s.job for s in found.done] == ["dig"]
    assert [s.job for s in found.steps] == ["plant"]
    assert found.hours == 8
    both = (entry("done", "dig", "2027-09-20"), entry("done", "plant", "2027-11-20"))
    found = way("hedge", garden=garden_of(*JOBS, journal=both))
    assert found.steps == ()
    assert found.things[0].words == "West hedge: there since December 2027."


def test_what_is_planned_too_late_is_said() -> None:
    found = way("arch", on=date(2028, 2, 28))
    assert found.words[-1] == "Not over by February 2028 as it is planned: “Set the arch”."
    assert [s.within for s in found.steps] == [True, True, False]


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_what_goes_without_a_job_is_all_that_lies_beyond_it(data: st.DataObject) -> None:
    """Against networkx: a thing is lost with a job just if its own job is that one or can be reached from it."""
    count = data.draw(st.integers(2, 7))
    pairs = data.draw(st.sets(st.tuples(st.integers(0, count - 1), st.integers(0, count - 1)), max_size=12))
    links = [(a, b) for a, b in pairs if a < b]
    makers = data.draw(st.lists(st.integers(0, count - 1), min_size=3, max_size=3))
    things = ("hedge", "arch", "rose")
    jobs = tuple(
        {
            "id": f"j{n}", "name": f"Job {n}", "start": f"2027-{n + 1:02d}", "hours": 1,
            "does": [t for t, m in zip(things, makers, strict=True) if m == n],
            **({"after": [{"job": f"j{a}"} for a, b in links if b == n]} if data.draw(st.booleans())
               else {"enjoyed_with": [f"j{a}" for a, b in links if b == n]}),
        }
        for n in range(count)
    )  # fmt: skip
    found = way(*things, garden=garden_of(*jobs))
    graph = nx.DiGraph()
    graph.add_nodes_from(range(count))
    graph.add_edges_from(links)
    want = {
        f"j{n}": {t for t, m in zip(things, makers, strict=True) if m == n or nx.has_path(graph, n, m)}
        for n in range(count)
    }
    assert {s.job: set(s.without) for s in found.steps} == {j: lost for j, lost in want.items() if lost}
    assert [s.job for s in found.steps] == sorted(s.job for s in found.steps)


def test_a_job_left_out_takes_with_it_what_waits_for_it_and_leaves_what_it_would_have_taken_away() -> None:
    garden = garden_of(*JOBS, {"id": "clear", "name": "Take the old seat away", "takes_away": ["seat"], "start": "2028-01",
                               "after": [{"job": "dig"}]})  # fmt: skip
    names = {j.id for j in garden.jobs}
    assert names - {j.id for j in left_out(garden, "dig").jobs} == {"dig", "plant", "set-arch", "clear"}
    assert names - {j.id for j in left_out(garden, "set-arch").jobs} == {"set-arch"}

    def standing(of: Garden) -> set[str]:
        return {f.id for f in of.features if timeline(of).stands_on(f.id, ON)}

    assert standing(garden) == {"hedge", "arch", "rose"}
    assert standing(left_out(garden, "clear")) == {"hedge", "arch", "rose", "seat"}
    assert standing(left_out(garden, "plant")) == set()
    with pytest.raises(KeyError):
        left_out(garden, "moat")


def test_what_waits_is_what_a_graph_of_the_same_links_reaches() -> None:
    garden = garden_of(*JOBS)
    graph = nx.DiGraph()
    graph.add_nodes_from(j.id for j in garden.jobs)
    graph.add_edges_from((a.job, j.id) for j in garden.jobs for a in j.after)
    graph.add_edges_from((e, j.id) for j in garden.jobs for e in j.enjoyed_with)
    for job in garden.jobs:
        assert waiting_for(garden, job.id) == nx.descendants(graph, job.id) | {job.id}
