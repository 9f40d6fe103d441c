"""What was drawn becomes a job: once, in its month, with what its parts come to."""

from __future__ import annotations

from typing import Any

import pytest

from quincunx.garden import Garden, garden_from, timeline
from quincunx.garden.as_job import as_job, months_for, without_job
from quincunx.garden.costing import costed
from quincunx.garden.edits import apply, put

WALL: dict[str, Any] = {"kind": "wall", "id": "wall-1", "line": [[1, 1], [6, 1]], "there_from": "2028-04"}
HEDGE: dict[str, Any] = {
    "kind": "hedge",
    "id": "ring",
    "name": "Ring",
    "line": [[1, 3], [6, 3]],
    "there_from": "2027-11",
}
OLD: dict[str, Any] = {"kind": "wall", "id": "old", "line": [[1, 5], [6, 5]], "there_from": "start"}


def plot(*jobs: dict[str, Any]) -> Garden:
    data = {
        "format": "quincunx/1", "name": "Plot", "boundary": [[0, 0], [20, 0], [20, 15], [0, 15]],
        "means": {"first_year": 2027, "years": 3}, "features": [WALL, HEDGE, OLD], "jobs": list(jobs),
    }  # fmt: skip
    return garden_from(data)


def test_several_things_become_one_job_in_the_first_of_their_months() -> None:
    garden = plot()
    edit = as_job(garden, ("wall-1", "ring", "old", "nobody"))
    assert edit is not None
    then, back = apply(garden, edit)
    (job,) = then.jobs
    assert (job.name, job.does, str(job.start)) == ("Put in the wall and Ring", ("wall-1", "ring"), "2027-11")
    assert {f.id: f.there_from for f in then.features} == {"wall-1": None, "ring": None, "old": "start"}
    (found,) = costed(then, timeline(then))
    assert job.hours == round(found.reckoned.hours, 1) > 0
    assert without_job(then) == ()
    assert apply(then, back)[0] == garden


@pytest.mark.parametrize(
    ("hours", "by_month", "months"),
    [
        (22.0, [8.0] * 12, 3),
        (8.0, [8.0] * 12, 1),
        (30.0, [0, 0, 6, 14, 20, 20, 20, 20, 10, 4, 0, 0], 5),  # March itself has six hours
        (5.0, [0.0] * 12, 1),  # nobody has said
        (900.0, [8.0] * 12, 1),  # more than two years of it: left as it is, and told
        (0.0, [8.0] * 12, 1),
    ],
)
def test_a_job_takes_as_many_months_as_its_hours_ask_for(hours, by_month, months) -> None:
    means = {"first_year": 2027, "years": 3, "hours_by_month": by_month}
    garden = garden_from({"format": "quincunx/1", "boundary": [[0, 0], [9, 0], [9, 9]], "means": means})
    assert months_for(garden, "2027-03", hours) == months


def test_what_is_drawn_fits_in_the_hours_there_are_once_it_is_a_job() -> None:
    garden = plot()
    garden = garden.model_copy(update={"means": garden.means.model_copy(update={"hours_by_month": (4.0,) * 12})})
    edit = as_job(garden, ("wall-1",))
    assert edit is not None
    (job,) = apply(garden, edit)[0].jobs
    assert job.months > 1
    assert job.hours / job.months <= 4.05


def test_what_a_job_makes_already_and_what_is_there_from_the_start_make_none() -> None:
    garden = plot({"id": "build", "name": "Build", "does": ["wall-1"]})
    assert [f.id for f in without_job(garden)] == ["ring"]
    assert as_job(garden, ("wall-1", "old")) is None


def test_a_job_gets_an_id_that_is_free() -> None:
    garden = plot({"id": "put-in-ring", "name": "Other", "does": []})
    edit = as_job(garden, ("ring",))
    assert edit is not None
    assert {j.id for j in apply(garden, edit)[0].jobs} == {"put-in-ring", "put-in-ring-2"}


@pytest.mark.parametrize(("latitude", "month"), [(55.6, "2027-03"), (-41.3, "2027-09")])
def test_a_thing_without_a_month_is_put_in_in_its_own_spring(latitude: float, month: str) -> None:
    place = {"name": "Here", "latitude_deg": latitude, "longitude_deg": 0}
    data = {
        "format": "quincunx/1", "name": "Plot", "boundary": [[0, 0], [20, 0], [20, 15], [0, 15]], "site": {"place": place},
        "means": {"first_year": 2027, "years": 3}, "features": [{**HEDGE, "there_from": None}],
    }  # fmt: skip
    garden = garden_from(data)
    edit = as_job(garden, ("ring",))
    assert edit is not None
    assert [j.start for j in apply(garden, edit)[0].jobs] == [month]


def test_an_unnamed_thing_is_called_by_its_kind_and_number() -> None:
    assert [f.called for f in plot().features] == ["wall 1", "Ring", "wall old"]


def test_a_second_job_of_its_kind_has_a_name_of_its_own() -> None:
    garden = plot({"id": "first", "name": "Put in the wall", "does": ["old"], "start": "2027-03"})
    edit = as_job(garden, ("wall-1",))
    assert edit is not None
    assert [j.name for j in apply(garden, edit)[0].jobs] == ["Put in the wall", "Put in wall 1"]


def test_a_gate_waits_for_the_job_that_builds_its_wall() -> None:
    garden = plot({"id": "walls", "name": "Build it", "does": ["wall-1"], "start": "2028-04"})
    gate: dict[str, Any] = {"kind": "gate", "id": "gate-1", "at": [3, 1.02], "along_deg": 90, "there_from": "2027-02"}
    far: dict[str, Any] = {"kind": "gate", "id": "gate-2", "at": [3, 5], "along_deg": 90, "there_from": "2027-02"}
    for one in (gate, far):
        garden = apply(garden, put("features", one))[0]
    waits = {}
    for name in ("gate-1", "gate-2"):
        edit = as_job(garden, (name,))
        assert edit is not None
        job = apply(garden, edit)[0].jobs[-1]
        waits[name] = ([a.job for a in job.after], str(job.start))
    assert waits == {"gate-1": (["walls"], "2028-05"), "gate-2": ([], "2027-02")}
