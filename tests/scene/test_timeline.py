"""When things stand: jobs, months, finishes, ages, held places."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given, settings, strategies as st

from quincunx.plants.catalogue import Plant, find_plant
from quincunx.scene import Moment, Stood, Timeline
from quincunx.scene.moment import Watched
from quincunx.shapes import content_key
from quincunx.works import Entry, Job
from tests.scene.gardens import GROUND, everything, thing, timeline

WALL = thing("wall", id="wall")
EVERYTHING = everything()


def standing(line: Timeline, feature_id: str, *days: date) -> list[bool]:
    return [line.at(day).stands(feature_id) for day in days]


def test_a_thing_stands_from_the_month_after_its_job():
    build = Job(id="build", name="Build", does=("wall",), start="2028-03", months=2)
    line = timeline([WALL], [build])
    assert standing(line, "wall", date(2028, 3, 1), date(2028, 4, 30), date(2028, 5, 1)) == [False, False, True]
    assert line.job_of("wall") == build
    assert line.span("wall").known


def test_a_job_done_later_than_planned_counts_from_the_journal():
    build = Job(id="build", name="Build", does=("wall",), start="2028-03")
    done = Entry(id="e1", day="2028-08-09", what="done", about="build")
    line = timeline([WALL], [build], [done])
    assert standing(line, "wall", date(2028, 8, 31), date(2028, 9, 1)) == [False, True]


def test_a_job_without_a_month_makes_nothing_yet():
    line = timeline([WALL], [Job(id="build", name="Build", does=("wall",))])
    assert not line.at(date(2199, 12, 31)).stands("wall")
    assert not line.span("wall").known
    assert line.first_year(["wall"]) is None


def test_what_nobody_makes_never_stands():
    line = timeline([WALL])
    assert not line.at(date(2150, 1, 1)).stands("wall")
    assert not line.span("no-such-thing").known


def test_there_from_the_start_or_from_a_month_until_a_month():
    old = thing("wall", id="old", there_from="start", there_until="2029-05")
    new = thing("wall", id="new", there_from="2029-05")
    line = timeline([old, new])
    days = (date(2020, 1, 1), date(2029, 4, 30), date(2029, 5, 1))
    assert standing(line, "old", *days) == [True, True, False]
    assert standing(line, "new", *days) == [False, False, True]


def test_a_job_takes_away_what_is_in_its_place_before_it_is_done():
    old, new = thing("fence", id="old", there_from="start"), thing("wall", id="new")
    swap = Job(id="swap", name="Swap", does=("new",), takes_away=("old",), start="2028-03", months=2)
    line = timeline([old, new], [swap])
    days = (date(2028, 3, 31), date(2028, 4, 1), date(2028, 5, 1))
    assert standing(line, "old", *days) == [True, False, False]
    assert standing(line, "new", *days) == [False, False, True]


def test_the_earliest_end_counts():
    old = thing("fence", id="old", there_from="start", there_until="2030-01")
    away = [Job(id=f"j{y}", name="Away", takes_away=("old",), start=f"{y}-06") for y in (2028, 2029)]
    line = timeline([old], away)
    assert standing(line, "old", date(2028, 5, 31), date(2028, 6, 1)) == [True, False]


def test_a_date_is_judged_at_the_end_of_summer_and_in_mid_winter():
    north, south = timeline([WALL]), timeline([WALL], latitude_deg=-41.0)
    assert (north.leaf_date(2029), north.bare_date(2029)) == (date(2029, 8, 31), date(2030, 1, 15))
    assert (south.leaf_date(2029), south.bare_date(2029)) == (date(2029, 2, 28), date(2029, 7, 15))


def test_the_first_year_in_which_all_of_them_stand():
    line = timeline([thing("wall", id="a", there_from="2028-09"), thing("wall", id="b", there_from="start")])
    assert line.first_year(["b"]) == 2027
    assert line.first_year(["a", "b"]) == 2029, "in August 2028 it does not stand yet"


PATH = thing(
    "path",
    id="walk",
    finishes=[
        {"id": "chip", "floor": "woodchip"},
        {"id": "gravel", "floor": "gravel"},
        {"id": "brick", "floor": "brick"},
    ],
)


def floor_on(line: Timeline, day: date) -> str | None:
    return next((s.material for s in line.at(day).surfaces if s.owner == "walk"), None)


def test_successive_finishes_are_laid_by_their_jobs():
    jobs = [
        Job(id="first", name="First", does=("walk",), start="2027-03"),
        Job(id="second", name="Second", does=("walk/gravel",), start="2029-04"),
        Job(id="third", name="Third", does=("walk/brick",), start="2031-10", months=2),
    ]
    line = timeline([PATH], jobs)
    days = [date(2027, 3, 31), date(2027, 4, 1), date(2029, 4, 30), date(2029, 5, 1), date(2031, 12, 1)]
    assert [floor_on(line, d) for d in days] == [None, "woodchip", "woodchip", "gravel", "brick"]
    assert line.span("walk").stages == (2029 * 12 + 4, 2031 * 12 + 11)


def test_the_first_finish_named_makes_the_path():
    line = timeline([PATH], [Job(id="first", name="First", does=("walk/chip",), start="2027-03")])
    assert floor_on(line, date(2027, 4, 1)) == "woodchip"


def test_a_finish_left_out_does_not_hold_up_the_next():
    jobs = [
        Job(id="first", name="First", does=("walk",), start="2027-03"),
        Job(id="third", name="Third", does=("walk/brick",), start="2028-03"),
    ]
    assert floor_on(timeline([PATH], jobs), date(2029, 1, 1)) == "brick"


HELD = {
    "id": "kept",
    "outline": [[0, 0], [3, 0], [3, 3], [0, 3]],
    "shortlist": [
        {"id": "low", "feature": {"kind": "wall", "line": [[0, 1], [3, 1]], "height": 0.6}},
        {"id": "beds", "feature": {"kind": "raised-bed", "outline": [[0, 0], [2, 0], [2, 1], [0, 1]]}},
    ],
}


@pytest.mark.parametrize(("chosen", "tall"), [("low", 0.6), ("beds", 0.4)])
def test_a_held_place_is_covered_until_the_choice_is_built(chosen, tall):
    build = Job(id="build", name="Build", does=("kept",), start="2029-05")
    line = timeline([thing("held", **HELD, chosen=chosen)], [build])
    before, after = line.at(date(2029, 5, 31)), line.at(date(2029, 6, 1))
    assert before.solids == ()
    assert [s.material for s in before.surfaces] == ["grass"]
    assert [s.top.value_m for s in after.solids] == [tall]
    assert {s.owner for s in after.solids} == {"kept"}
    assert all(s.part != "meanwhile" for s in after.surfaces)


def test_a_held_place_without_a_choice_stays_as_it_is():
    build = Job(id="build", name="Build", does=("kept",), start="2029-05")
    line = timeline([thing("held", **HELD)], [build])
    assert [s.part for s in line.at(date(2032, 1, 1)).surfaces] == ["meanwhile"]


def test_a_held_place_given_up_is_gone():
    line = timeline([thing("held", **HELD, there_until="2028-01")])
    assert line.at(date(2027, 12, 31)).stands("kept")
    assert not line.at(date(2028, 1, 1)).stands("kept")


def age_of(line: Timeline, day: date, owner: str = "h") -> float:
    return next(p.age_years for p in line.at(day).plants if p.owner == owner)


def test_plants_age_from_planting():
    plant = Job(id="plant", name="Plant", does=("h",), start="2027-11")
    line = timeline([thing("hedge", id="h")], [plant])
    assert age_of(line, date(2027, 12, 1)) == 0.0
    assert age_of(line, date(2030, 12, 1)) == pytest.approx(3.0, abs=0.003)
    young, old = (line.at(date(year, 12, 1)).solids[0].top.value_m for year in (2027, 2032))
    assert young < old


def test_plants_there_at_the_start_age_from_the_first_year():
    line = timeline([thing("tree", id="h", there_from="start", age_at_start=30)])
    assert age_of(line, date(2029, 1, 1)) - age_of(line, date(2027, 1, 1)) == pytest.approx(2.0, abs=0.005)


def test_leaf_follows_the_hemisphere():
    north, south = (timeline([thing("hedge", id="h", there_from="start")], latitude_deg=lat) for lat in (52, -41))
    full, bare = (line.at(date(2029, 7, 1)).solids[0].transmittance for line in (north, south))
    assert bare == full[6:] + full[:6]


def test_a_changed_plant_makes_the_hedge_stand_anew_across_edits():
    """``shared`` keeps what stood before; a plant whose figures were corrected must not be answered from there."""
    shared: dict[object, Stood] = {}
    usual = find_plant("carpinus-betulus")
    assert usual is not None
    slow = usual.changed(hedge_growth_m=0.05)
    day = date(2033, 8, 31)
    heights = []
    for plant in (usual, slow):

        def find(_: str, known: Plant = plant) -> Plant:
            return known

        base = timeline([thing("hedge", id="h", there_from="2027-03")])
        line = Timeline(base.frame, base.features, find=find, shared=shared)
        heights.append(line.at(day).solids[0].top.value_m)
    assert heights[1] < heights[0]


def test_what_stood_is_kept_across_edits_and_answers_the_same():
    shared: dict[object, Stood] = {}
    base = timeline([thing("wall", id="a", there_from="start"), thing("hedge", id="b", there_from="2027-03")])
    first = Timeline(base.frame, base.features, find=find_plant, shared=shared)
    key, kept = first.at(date(2029, 8, 31)).key, len(shared)
    again = Timeline(base.frame, base.features, find=find_plant, shared=shared)
    assert again.at(date(2029, 8, 31)).key == key
    assert len(shared) == kept == 2


def test_another_ground_stands_anew():
    shared: dict[object, Stood] = {}
    base = timeline([thing("steps", id="a", there_from="start", fall=None, line=[[0, 0], [0, 4]])])
    flat = replace(base.frame, ground=type(base.frame.ground).flat())
    lies = [Timeline(f, base.features, shared=shared).at(date(2029, 1, 1)).surfaces[0].lie for f in (base.frame, flat)]
    assert lies[0] != lies[1]


def test_snow_lies_in_its_month():
    line = timeline([WALL])
    assert line.at(line.bare_date(2028)).snow_m == 0.1
    assert line.at(line.leaf_date(2028)).snow_m == 0.0


def test_a_wall_stands_once_and_a_hedge_anew_each_year():
    line = timeline([thing("wall", id="a", there_from="start"), thing("hedge", id="b", there_from="2027-03")])
    first, later = line.at(date(2029, 8, 31)), line.at(date(2031, 8, 31))
    assert first.solids[0] is later.solids[0]
    assert first.solids[1].top.value_m < later.solids[1].top.value_m


@settings(max_examples=8, deadline=None)
@given(st.lists(st.dates(date(2026, 1, 1), date(2034, 12, 31)), min_size=2, max_size=4))
def test_standing_on_one_date_after_others_is_as_standing_on_it_alone(dates):
    """What one date's standing is kept for another, for each kind, as if nothing were kept."""
    line = timeline(EVERYTHING)
    for on in dates:
        alone = timeline(EVERYTHING)
        for feature in EVERYTHING:
            kept, fresh = line.stood(feature, on), alone.stood(feature, on)
            assert content_key((kept.key, kept.figures, kept.work, kept.buried)) == content_key(
                (fresh.key, fresh.figures, fresh.work, fresh.buried)
            ), feature.id


def test_a_watched_moment_answers_as_the_moment_and_notes_the_time_asked_for():
    moment = Moment(date(2030, 6, 15), 2.5, GROUND, find_plant, 1, southern=True)
    watched = Watched.of(moment)
    assert (watched.stage, watched.southern, watched.ground) == (1, True, GROUND)
    assert watched.year_months(tuple(range(12))) == moment.year_months(tuple(range(12)))
    assert watched.ground_z_m(3.0, 4.0) == moment.ground_z_m(3.0, 4.0)
    assert list(watched.asked) == []
    assert watched.month == 6
    assert list(watched.asked) == ["month"]
    assert (watched.age_years, watched.on) == (2.5, date(2030, 6, 15))
    assert list(watched.asked) == ["age_years", "month", "on"]


def test_of_many_dates_the_newest_are_kept_and_a_forgotten_one_stands_the_same_again():
    """Two dates a year and two years of months are kept, with all that stood on them; no answer differs for it."""
    features = [WALL, thing("hedge", id="hedge"), thing("tree", id="tree"), thing("gate", id="gate")]
    line, kept = timeline(features), 2 * 6 + 24
    days = [date(2027 + n // 12, n % 12 + 1, 15) for n in range(3 * kept)]
    before = [line.at(day).key for day in days]
    assert len(line._scenes) == len(line._on) == kept
    grown = len(line._stood)
    assert [line.at(day).key for day in days] == before
    assert len(line._stood) == grown  # nothing heaps up either
    assert len(line._plants) <= kept


def test_what_a_drag_reads_again_is_kept_whatever_is_tried():
    """The scenes by which every year is judged stay, be it tried many times what one thing changes in them."""
    line = timeline([WALL, thing("hedge", id="hedge")])
    judged = [day for year in line.years for day in (line.leaf_date(year), line.bare_date(year))]
    held = [line.at(day) for day in judged]
    for n in range(20):
        then = line.with_features([thing("wall", id="wall", height=1.0 + 0.01 * n)])
        for day in judged:
            then.at(day)
            then.at(day)
        assert all(line.at(day) is scene for day, scene in zip(judged, held, strict=True))
