"""Turf made ready before it is planted, and upkeep beyond the hours there are."""

from __future__ import annotations

from typing import Any

import pytest
from click.testing import CliRunner

from quincunx.cli._prepare import command, jobs_of
from quincunx.garden import Garden, garden_from, timeline
from quincunx.garden.edits import apply
from quincunx.garden.preparing import SETTLES_MONTHS, prepare, unready
from quincunx.review import _turf, _upkeep
from quincunx.review._view import View
from quincunx.review.read import words_for
from quincunx.shapes import Finding
from quincunx.store import Store
from quincunx.years.from_garden import problem_of
from quincunx.years.order import first_plan

LAWN = {"kind": "lawn", "id": "lawn", "outline": [[0, 0], [20, 0], [20, 10], [0, 10]], "there_from": "start"}
BED = {"kind": "bed", "id": "bed", "outline": [[2, 2], [8, 2], [8, 4], [2, 4]]}
DIG: dict[str, Any] = {"id": "dig", "name": "Make the bed", "does": ["bed"], "hours": 6, "window": [3, 4, 10, 11]}
MILD = {"t_min_c": [1.0] * 6 + [9.0] * 6, "t_max_c": [7.0] * 6 + [19.0] * 6}
HARD = {
    "t_min_c": [-12.0, -10, -4, 2, 7, 12, 15, 14, 10, 4, -1, -8],
    "t_max_c": [-2.0, 0, 6, 13, 20, 25, 28, 27, 22, 15, 8, 1],
}


def garden(*features: dict[str, Any], latitude: float = 52.0, climate: dict[str, Any] = MILD, **more: Any) -> Garden:
    site = {"place": {"name": "Ropewalk", "latitude_deg": latitude, "longitude_deg": 0.0}, "climate": climate}
    data = {"format": "quincunx/1", "site": site, "boundary": LAWN["outline"], "features": list(features)}
    return garden_from({**data, "means": {"first_year": 2027, "years": 4, "hours_by_month": [10.0] * 12}, **more})


def month(text: str) -> int:
    return int(text[:4]) * 12 + int(text[5:]) - 1


def ready(one: Garden) -> tuple[Garden, dict[str, Any]]:
    through = timeline(one)
    found = unready(one, through)
    assert len(found) == 1
    after, back = apply(one, prepare(one, through, found[0]))
    assert apply(after, back)[0] == one
    return after, {j.id: j for j in after.jobs}


def test_a_bed_in_the_lawn_is_smothered_improved_and_settled_first():
    after, jobs = ready(garden(LAWN, BED, jobs=[{**DIG, "start": "2029-03"}]))
    smother, improve, dig = jobs["smother-bed"], jobs["improve-bed"], jobs["dig"]
    assert smother.start == "2028-06"
    lies = improve.after[0].wait_months
    assert month(improve.start) >= month(smother.start) + 1 + lies
    assert month(dig.start) >= month(improve.start) + 1 + SETTLES_MONTHS
    assert dig.start == "2029-03"
    assert improve.takes_away == ("smothered-bed",)
    assert [a.job for a in dig.after] == ["improve-bed"]
    assert unready(after, timeline(after)) == ()
    covered = next(f for f in after.features if f.id == "smothered-bed")
    assert covered.plan().equals(after.features[1].plan())  # type: ignore[attr-defined]


@pytest.mark.parametrize(("climate", "frozen"), [(MILD, ()), (HARD, (12, 1, 2, 3))])
@pytest.mark.parametrize("start", ["2027-03", "2027-10", "2028-04", "2029-11"])
def test_there_is_always_time_enough_and_planting_keeps_its_months(climate, frozen, start):
    after, jobs = ready(garden(LAWN, BED, climate=climate, jobs=[{**DIG, "start": start}]))
    smother, improve, dig = (jobs[n] for n in ("smother-bed", "improve-bed", "dig"))
    assert month(smother.start) >= 2027 * 12
    assert month(improve.start) - month(smother.start) - 1 >= improve.after[0].wait_months
    assert month(improve.start) % 12 + 1 not in frozen
    assert not set(improve.window) & set(frozen)
    assert not set(smother.window) & {12, 1, 2}
    assert month(dig.start) - month(improve.start) - 1 >= dig.after[-1].wait_months
    assert month(dig.start) >= month(start)
    assert month(dig.start) % 12 + 1 in DIG["window"]
    assert unready(after, timeline(after)) == ()


def test_what_would_come_free_in_a_hard_winter_is_covered_earlier_and_dug_before_it():
    _, jobs = ready(garden(LAWN, BED, climate=HARD, jobs=[{**DIG, "window": [4, 5], "start": "2030-04"}]))
    assert jobs["dig"].start == "2030-04"
    assert jobs["improve-bed"].start == "2029-11"
    assert jobs["smother-bed"].start == "2029-04"


def test_the_south_covers_outside_its_own_winter():
    _, jobs = ready(garden(LAWN, BED, latitude=-41.0, jobs=[{**DIG, "start": "2029-04"}]))
    # Of its months April is the last from which it lies six months and is dug in November, before their summer.
    assert (jobs["smother-bed"].start, jobs["improve-bed"].start) == ("2028-04", "2028-11")
    assert jobs["dig"].start == "2029-04"


def test_what_has_no_job_is_planted_later_itself():
    after, jobs = ready(garden(LAWN, {**BED, "there_from": "2027-04"}))
    bed = next(f for f in after.features if f.id == "bed")
    assert month(str(bed.there_from)) >= month(jobs["improve-bed"].start) + 1 + SETTLES_MONTHS


@pytest.mark.parametrize(
    "features",
    [
        (BED,),
        (LAWN, {**BED, "there_from": "start"}),
        (LAWN, {"kind": "tree", "id": "apple", "at": [5, 5], "there_from": "2028-02"}),
        (LAWN, {"kind": "smothered-ground", "id": "s", "outline": BED["outline"], "there_from": "2027-09", "there_until": "2028-05"},
         {**BED, "there_from": "2028-05"}),
        ({**LAWN, "outline": [[10, 0], [20, 0], [20, 10], [10, 10]]}, {**BED, "there_from": "2028-05"}),
    ],
    ids=["nobody said what lies there", "there already", "one tree", "smothered", "no turf there"],
)  # fmt: skip
def test_ready_ground_is_left_alone(features):
    one = garden(*features)
    assert unready(one, timeline(one)) == ()


def test_covered_too_short_is_not_ready():
    cover = {
        "kind": "smothered-ground",
        "id": "s",
        "outline": BED["outline"],
        "there_from": "2028-02",
        "there_until": "2028-05",
    }
    one = garden(LAWN, cover, {**BED, "there_from": "2028-05"})
    assert [u.owners for u in unready(one, timeline(one))] == [("bed",)]


def test_the_order_of_works_keeps_the_months_between():
    after, _ = ready(garden(LAWN, BED, jobs=[{**DIG, "start": "2027-03", "worth": "much"}]))
    starts = first_plan(problem_of(after, timeline(after))).starts or {}
    assert starts["improve-bed"] >= starts["smother-bed"] + 1 + 6
    assert starts["dig"] >= starts["improve-bed"] + 1 + SETTLES_MONTHS


def looked(one: Garden, check: Any) -> dict[str, Finding]:
    through = timeline(one)
    return {f.id: f for f in check(View(one, through, words_for(one, through)))}


def test_turf_is_noticed_with_what_to_do():
    found = looked(garden(LAWN, {**BED, "there_from": "2028-05"}), _turf.check)["turf-bed"]
    assert "12.0 m²" in found.words
    assert "quincunx prepare" in found.remedy


def test_upkeep_beyond_what_is_set_aside_is_noticed_by_year():
    big = {"kind": "bed", "id": "big", "outline": LAWN["outline"], "there_from": "2028-03"}
    found = looked(garden(big), _upkeep.check)
    assert found["upkeep-aside"].year == 2028
    assert "2028" in found["upkeep-aside"].words
    assert "2027" not in found["upkeep-aside"].words
    assert "hours --take" in found["upkeep-aside"].remedy
    assert "more hours than there are" in found["upkeep-full"].words
    assert looked(garden(LAWN), _upkeep.check).keys() <= {"upkeep-aside"}
    none = garden(big, means={"first_year": 2027, "years": 4})
    assert looked(none, _upkeep.check) == {}


def test_prepare_on_the_command_line(tmp_path):
    file = tmp_path / "g.quincunx"
    with Store.create(file, garden(LAWN, BED, jobs=[{**DIG, "start": "2029-03"}])):
        pass
    listed = CliRunner().invoke(command, [str(file)])
    assert "bed: 12.0 m² of 12.0 m² is turf" in listed.output
    assert CliRunner().invoke(command, [str(file), "lawn"]).exit_code == 1
    done = CliRunner().invoke(command, [str(file), "bed"])
    assert done.exit_code == 0, done.output
    assert "Smother the turf for bed, 1 h 30" in done.output
    assert "Nothing is planted into turf." in CliRunner().invoke(command, [str(file)]).output
    one = garden(LAWN, BED, jobs=[DIG | {"start": "2029-03"}])
    assert jobs_of(one, prepare(one, timeline(one), unready(one, timeline(one))[0]))[-1] == "as planned: Make the bed"
