"""High water and running water: what is noticed of it, and the way that stays dry."""

from __future__ import annotations

from typing import Any

import pytest

from quincunx.garden import garden_from, timeline
from quincunx.review import notice, review
from quincunx.review._view import View
from quincunx.review.read import words_for
from quincunx.shapes import Finding, Severity, State
from quincunx.units import month_index
from quincunx.years.seasons import season

STREAM = {"kind": "stream", "id": "stream", "name": "Stream", "line": [[-4, 1], [24, 1]], "width": 1.6}
FLOOD = {"kind": "flood-ground", "id": "wet", "name": "High water", "outline": [[0, 0], [20, 0], [20, 6], [0, 6]],
         "months": [3, 2, 4], "deep": 0.4}  # fmt: skip
SHED = {"kind": "shed", "id": "shed", "name": "Shed", "at": [6, 4.5], "width": 2.4, "depth": 1.8}
TREE = {"kind": "tree", "id": "tree", "name": "Apple", "at": [14, 4], "plant": "malus-domestica-m-26-rootstock"}
HOUSE = {"kind": "house", "id": "house", "name": "House", "outline": [[8, 14], [14, 14], [14, 18], [8, 18]],
         "there_from": "start"}  # fmt: skip
SPOTS = [{"id": "door", "name": "Door", "at": [11, 13]}, {"id": "seat", "name": "Seat by the water", "at": [4, 4.2]},
         {"id": "gate", "name": "Gate", "at": [1, 12]}]  # fmt: skip


def planned(*features: dict[str, Any], month: str = "2028-05", **more: Any) -> Any:
    standing = {"house", "stream", "flood-ground", "deck", "ramp", "pond"}
    jobs = [
        {"id": f"put-{f['id']}", "name": f"Put in {f['id']}", "does": [f["id"]], "start": month}
        for f in features
        if f["kind"] not in standing
    ]
    return garden_from({
        "format": "quincunx/1", "boundary": [[0, 0], [20, 0], [20, 20], [0, 20]], "features": list(features), "jobs": jobs,
        "means": {"first_year": 2027, "years": 4}, "spots": SPOTS, **more,
    })  # fmt: skip


def found(*features: dict[str, Any], **more: Any) -> dict[str, Finding]:
    garden = planned(*features, **more)
    through = timeline(garden)
    return {f.id: f for f in notice(View(garden, through, words_for(garden, through)))}


def test_what_is_built_where_high_water_comes_is_told_once_with_how_deep_and_when() -> None:
    told = found(STREAM, FLOOD, SHED, {**SHED, "id": "hut", "name": "Hut", "at": [12, 4.6]}, HOUSE)["floods-wet"]
    assert (
        told.words == "Hut and Shed stand where High water comes from 2028: up to 0.40 m of water, February to April."
    )
    assert told.severity is Severity.CARE
    assert set(told.about) == {"shed", "hut", "wet"}
    assert "flooded-wet" not in found(STREAM, FLOOD, HOUSE)
    assert "floods-wet" not in found(STREAM, FLOOD, {**SHED, "at": [6, 10]})


def test_a_place_kept_for_something_where_high_water_comes_is_told_before_it_is_chosen() -> None:
    kept = {"kind": "held", "id": "hut", "name": "Hut to come", "outline": [[4, 3], [8, 3], [8, 7], [4, 7]],
            "greatest_height": 3.0}  # fmt: skip
    told = found(STREAM, FLOOD, kept)["kept-hut-wet"]
    assert told.words == (
        "The place kept for Hut to come lies where High water comes: up to 0.40 m of water, February to April."
    )
    assert told.severity is Severity.HINT
    dry = kept | {"outline": [[4, 8], [8, 8], [8, 11], [4, 11]]}
    assert "kept-hut-wet" not in found(STREAM, FLOOD, dry)


def test_what_stood_there_before_is_no_fault_but_known() -> None:
    told = found(STREAM, FLOOD, {**HOUSE, "outline": [[8, 4], [14, 4], [14, 9], [8, 9]]})["flooded-wet"]
    assert told.severity is Severity.HINT
    assert "comes already" in told.words


def test_woody_plants_that_mind_wet_feet_are_told_and_those_that_like_them_are_not() -> None:
    told = found(STREAM, FLOOD, TREE)["wet-feet-wet"]
    assert told.words.startswith("Apple does not like wet ground and grows where High water comes from 2028")
    assert "wet-feet-wet" not in found(STREAM, FLOOD, {**TREE, "plant": "alnus-glutinosa"})
    assert "wet-feet-wet" not in found(STREAM, FLOOD, {**TREE, "at": [14, 9]})


def test_digging_beside_running_water_is_a_danger_and_beside_a_pond_is_none_of_it() -> None:
    told = found(STREAM, FLOOD, SHED)["beside-stream"]
    assert told.severity is Severity.DANGER
    assert "within 8.0 m of Stream" in told.words
    assert "A soft bank slips" in told.remedy
    many = [{**SHED, "id": f"hut-{n}", "name": f"Hut {n}", "at": [3.0 + 3.5 * n, 6]} for n in range(4)]
    assert found(STREAM, *many)["beside-stream"].words == "Hut 0, Hut 1 and 2 more are dug within 8.0 m of Stream."
    assert "beside-stream" not in found(STREAM, FLOOD, {**SHED, "at": [6, 12]})
    pond = {"kind": "pond", "id": "pond", "outline": [[0, 0], [8, 0], [8, 2], [0, 2]], "there_from": "start"}
    assert not [i for i in found(pond, SHED) if i.startswith("beside-")]


def test_a_stream_asks_for_its_high_water_and_no_cover_is_put_on_running_water() -> None:
    alone = found(STREAM)
    assert "high-water-stream" in alone
    assert "high-water-stream" not in found(STREAM, FLOOD)
    assert "runs up to 0.30 m deep, deeper when it is high" in alone["water-stream"].words
    assert "rigid cover" not in alone["water-stream"].remedy


def test_nobody_digs_where_the_water_stands_and_the_season_of_a_job_knows_it() -> None:
    """High water stands there from February to April; what is dug above its line has all the year."""
    told = found(STREAM, FLOOD, SHED, month="2028-03")["under-water-put-shed"]
    assert told.words == "“Put in shed” is planned for March 2028, and its ground floods in March."
    assert "under-water-put-shed" not in found(STREAM, FLOOD, SHED)
    spans = []
    for at, flood in (([6, 4.5], FLOOD), ([6, 12], FLOOD), ([6, 4.5], {**FLOOD, "months": []})):
        garden = planned(STREAM, flood, {**SHED, "at": at})
        spans.append(season(timeline(garden), garden.jobs[0]).span)
    assert spans == ["May to January", "any month", "any month"]


def test_ground_that_floods_only_from_later_on_sets_a_season_and_is_told_from_then_on() -> None:
    """The ditch is given up in 2029: a shed of March 2028 was built in the dry, one of March 2030 is not."""
    later = {**FLOOD, "there_from": "2029-01"}
    garden = planned(STREAM, later, SHED)
    assert season(timeline(garden), garden.jobs[0]).span == "May to January"
    assert "under-water-put-shed" not in found(STREAM, later, SHED, month="2028-03")
    assert "floods in March" in found(STREAM, later, SHED, month="2030-03")["under-water-put-shed"].words


@pytest.mark.parametrize(
    ("begun", "read_in", "more", "words"),
    [
        ("2028-03", "2028-03", {}, "“Put in shed” goes on in March 2028, and its ground floods in March to April."),
        ("2028-03", "2028-05", {}, ""),
        ("2028-06", "2028-06", {}, ""),
        ("2028-03", "2028-04", {"hours": 0}, "“Put in shed” goes on in April 2028, and its ground floods in April."),
    ],
)
def test_of_a_begun_job_the_months_it_goes_on_in_are_held_against_the_water(
    begun: str, read_in: str, more: dict[str, Any], words: str
) -> None:
    """It was planned for March; what is left of it is done as soon as there is time from the month it is read in."""
    job = {"id": "put-shed", "name": "Put in shed", "does": ["shed"], "start": "2028-03", "months": 2, "hours": 30,
           "window": list(range(1, 13)), **more}  # fmt: skip
    garden = planned(
        STREAM, FLOOD, SHED, jobs=[job], journal=[{"id": "b", "day": f"{begun}-02", "what": "begun", "about": "put-shed"}],
        means={"first_year": 2027, "years": 4, "hours_by_month": [20] * 12},
    )  # fmt: skip
    garden = garden.model_copy(update={"means": garden.means.read_in(month_index(read_in))})
    through = timeline(garden)
    told = {f.id: f.words for f in notice(View(garden, through, words_for(garden, through)))}
    assert told.get("under-water-put-shed", "") == words


WAY = {"kind": "dry-shod", "id": "dry", "start": "door", "end": "gate"}


@pytest.mark.parametrize(
    ("end", "features", "state", "said"),
    [
        ("gate", (STREAM, FLOOD), State.HOLDS, "High water leaves all of it dry"),
        ("seat", (STREAM, FLOOD), State.FAILS, "leads through High water, up to 0.40 m deep"),
        ("seat", (STREAM,), State.UNKNOWN, "No ground that floods is drawn"),
    ],
)
def test_the_way_that_stays_dry(end: str, features: tuple[dict[str, Any], ...], state: State, said: str) -> None:
    (judged,) = review(planned(*features, HOUSE, intents=[{**WAY, "end": end}])).musts
    verdict = judged.verdicts[0]
    assert verdict.state is state
    assert said in verdict.because


def test_of_several_grounds_that_flood_only_the_one_in_the_way_is_blamed() -> None:
    """The usual way to the seat meets no other; the dry way is dry of both."""
    deeper = {**FLOOD, "id": "low", "name": "Low meadow", "outline": [[0, 17], [5, 17], [5, 20], [0, 20]], "deep": 0.9}
    said = {
        end: review(planned(STREAM, FLOOD, deeper, HOUSE, intents=[{**WAY, "end": end}])).musts[0].verdicts[0].because
        for end in ("seat", "gate")
    }
    assert said["seat"] == (
        "Every way from Door to Seat by the water is under water somewhere, the usual one in High water, up to 0.40 m deep when"
        " the water is high."
    )
    assert "Low meadow and High water leave all of it dry." in said["gate"]


def test_boards_higher_than_the_water_is_deep_stay_dry_and_lower_ones_do_not() -> None:
    """Boards lie 0.2 m over level ground: 0.15 m of water stays under them, 0.3 m stands over them."""
    deck = {"kind": "deck", "id": "deck", "outline": [[3, 3.5], [5, 3.5], [5, 8], [3, 8]], "floor_height": 0.2}
    states = []
    for deep in (0.15, 0.3):
        garden = planned(
            STREAM, {**FLOOD, "deep": deep}, HOUSE, {**deck, "there_from": "start"}, intents=[{**WAY, "end": "seat"}]
        )
        states.append(review(garden).musts[0].verdicts[0].state)
    assert states == [State.HOLDS, State.FAILS]
