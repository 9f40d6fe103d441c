"""What was drawn becomes a job: once, in its month, with what its parts come to."""

from __future__ import annotations

from typing import Any

import pytest

from quincunx.garden import Garden, garden_from, timeline
from quincunx.garden.as_job import as_job, without_job
from quincunx.garden.costing import costed
from quincunx.garden.edits import apply

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
