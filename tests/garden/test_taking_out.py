"""Whatever is taken out, what is left is whole, and one step brings all of it back."""

from __future__ import annotations

from typing import Any

import pytest

from quincunx.demos import demo_garden
from quincunx.garden import Garden, garden_from
from quincunx.garden.edits import apply
from quincunx.garden.taking_out import take_out

HEDGE: dict[str, Any] = {"kind": "hedge", "id": "ring", "name": "Ring", "line": [[1, 3], [6, 3]]}
WALL: dict[str, Any] = {
    "kind": "wall",
    "id": "old",
    "name": "Old wall",
    "line": [[1, 5], [6, 5]],
    "there_from": "start",
}
TREE: dict[str, Any] = {"kind": "tree", "id": "pear", "name": "Pear", "at": [9, 9], "plant": "pear-seedling"}
SEAT: dict[str, Any] = {"kind": "seat", "id": "seat", "name": "Seat", "at": [12, 9], "there_from": "start"}


def plot(**more: Any) -> Garden:
    data = {
        "format": "quincunx/1", "name": "Plot", "boundary": [[0, 0], [20, 0], [20, 15], [0, 15]],
        "means": {"first_year": 2027, "years": 3}, "features": [HEDGE, WALL, SEAT], **more,
    }  # fmt: skip
    return garden_from(data)


def test_a_job_that_makes_nothing_else_goes_and_nobody_waits_for_it() -> None:
    garden = plot(
        jobs=[
            {"id": "plant", "name": "Plant", "does": ["ring"]},
            {"id": "pave", "name": "Pave", "does": [], "tasks": ["Pave"], "after": [{"job": "plant"}]},
        ]
    )
    found = take_out(garden, ["ring"])
    assert found is not None
    then, back = apply(garden, found.edit)
    assert found.jobs == ("plant",)
    assert [(j.id, j.after) for j in then.jobs] == [("pave", ())]
    assert apply(then, back)[0] == garden


def test_a_job_that_makes_more_goes_on() -> None:
    garden = plot(jobs=[{"id": "plant", "name": "Plant", "does": ["ring"], "takes_away": ["old"]}])
    found = take_out(garden, ["ring"])
    assert found is not None
    then, _ = apply(garden, found.edit)
    assert (found.jobs, then.jobs[0].does, then.jobs[0].takes_away) == ((), (), ("old",))


def test_a_must_about_it_goes_and_one_that_names_it_among_others_stays() -> None:
    near = {"kind": "near-to-hand", "id": "near", "start": "seat", "ends": ["ring", "old"]}
    closed = {"kind": "hedge-closed", "id": "closed", "feature": "ring"}
    garden = plot(intents=[near, closed])
    found = take_out(garden, ["ring"])
    assert found is not None
    then, _ = apply(garden, found.edit)
    assert found.musts == ("closed",)
    assert [(m.id, m.ends) for m in then.intents] == [("near", ("old",))]  # type: ignore[attr-defined]


def test_what_was_written_about_it_is_kept() -> None:
    note = {"id": "first", "day": "2027-05-01", "what": "note", "about": "ring", "text": "Browsed by hares"}
    garden = plot(journal=[note])
    found = take_out(garden, ["ring"])
    assert found is not None
    then, _ = apply(garden, found.edit)
    assert [(e.about, e.text) for e in then.journal] == [(None, "Browsed by hares")]


def test_what_is_not_there_is_not_taken_out() -> None:
    assert take_out(plot(), ["nobody"]) is None


@pytest.mark.parametrize("name", ["ropewalk", "kettle-hill"])
def test_anything_of_the_demonstrations_can_be_taken_out_and_comes_back(name: str) -> None:
    """Every ninth thing: the garden left is read whole (:func:`apply` reads it anew), the garden come back is the same."""
    garden = demo_garden(name)
    for feature in garden.features[::9]:
        found = take_out(garden, [feature.id])
        assert found is not None
        then, back = apply(garden, found.edit)
        assert feature.id not in {f.id for f in then.features}
        assert apply(then, back)[0] == garden


def test_two_things_at_once() -> None:
    garden = demo_garden("ropewalk")
    ids = [garden.features[0].id, garden.features[-1].id]
    found = take_out(garden, ids)
    assert found is not None
    assert found.edit.label == "Take out 2 things"
    then, _ = apply(garden, found.edit)
    assert not set(ids) & {f.id for f in then.features}
