"""The months a job fits in: by its works and the climate where none are typed."""

from __future__ import annotations

from typing import Any

import pytest

from quincunx.demos import demo_garden
from quincunx.garden import Garden, timeline
from quincunx.years.from_garden import problem_of
from quincunx.years.seasons import Season, season

MILD: dict[str, Any] = {
    "t_min_c": [1.2, 1.0, 2.2, 3.8, 6.7, 9.6, 11.7, 11.6, 9.5, 6.9, 3.7, 1.6],
    "t_max_c": [7.2, 7.9, 10.6, 13.7, 17.0, 20.0, 22.4, 22.0, 18.9, 14.5, 10.2, 7.5],
}
HARD: dict[str, Any] = {
    "t_min_c": [-9.5, -8.4, -4.0, 1.8, 7.4, 12.6, 15.4, 14.6, 10.2, 4.0, -0.9, -6.2],
    "t_max_c": [1.0, 2.6, 7.2, 13.9, 20.0, 24.9, 27.7, 26.8, 22.4, 15.6, 9.1, 3.6],
}
FEATURES: dict[str, dict[str, Any]] = {
    "hedge": {"kind": "hedge", "line": [[0, 0], [6, 0]]},
    "floor": {
        "kind": "paving",
        "outline": [[1, 1], [4, 1], [4, 4], [1, 4]],
        "finishes": [{"id": "stone", "floor": "flags"}],
    },
    "chips": {"kind": "mulch", "outline": [[5, 5], [7, 5], [7, 7], [5, 7]]},
}


def garden_of(does: list[str], climate: dict[str, Any], latitude: float = 52.0, **job: Any) -> Garden:
    features = [{"id": name, **fields} for name, fields in FEATURES.items()]
    return Garden.model_validate({
        "format": "quincunx/1",
        "site": {"place": {"name": "Yard", "country": "GB", "latitude_deg": latitude, "longitude_deg": 0.0}, "climate": climate},
        "boundary": [[0, 0], [10, 0], [10, 10], [0, 10]], "features": features,
        "jobs": [{"id": "job", "name": "the job", "does": does, **job}],
        "means": {"first_year": 2027, "years": 3},
    })  # fmt: skip


def of(does: list[str], climate: dict[str, Any], **job: Any) -> Season:
    garden = garden_of(does, climate, **job)
    return season(timeline(garden), garden.jobs[0])


@pytest.mark.parametrize(
    ("does", "climate", "span"),
    [
        (["hedge"], MILD, "November to March"),
        (["hedge"], HARD, "April to May"),
        (["floor"], MILD, "March to November"),
        (["floor"], HARD, "April to October"),
        (["chips"], MILD, "any month"),
        (["floor"], {}, "any month"),
    ],
)
def test_the_season_comes_from_the_works_and_the_climate(does, climate, span):
    found = of(does, climate)
    assert found.span == span
    assert bool(found.words) == (span != "any month")
    assert not found.typed


def test_what_is_typed_stays():
    found = of(["hedge"], MILD, window=[6, 7])
    assert (found.months, found.typed, found.words) == (frozenset({6, 7}), True, "")
    assert found.document == {"months": [6, 7], "span": "June to July", "why": "", "typed": True}


def test_the_order_of_works_keeps_it():
    garden = garden_of(["hedge"], MILD)
    problem = problem_of(garden, timeline(garden))
    assert problem["job"].window == frozenset({11, 12, 1, 2, 3})
    assert {t % 12 + 1 for t in problem.allowed_starts(problem["job"])} == {11, 12, 1, 2, 3}


def test_in_the_south_seasons_are_turned():
    turned = {name: values[6:] + values[:6] for name, values in MILD.items()}
    assert of(["hedge"], turned, latitude=-42.0).span == "May to September"


def test_a_hedge_is_not_taken_out_while_birds_nest_in_it():
    found = of([], MILD, takes_away=["hedge"])
    assert found.span == "September to February"
    assert "nest" in found.words


def test_a_season_too_short_for_the_job_is_not_kept():
    assert of(["hedge"], HARD, months=2).span == "April to May"
    assert of(["hedge"], HARD, months=3).span == "any month"


@pytest.mark.parametrize("name", ["ropewalk", "kettle-hill"])
def test_the_demonstrations_seasons_typed_by_hand_are_mostly_those_found(name):
    """What a person typed lies within what is found, but for the works named."""
    garden = demo_garden(name)
    through = timeline(garden)
    apart = {
        j.id
        for j in garden.jobs
        if j.window and not set(j.window) <= season(through, j.model_copy(update={"window": ()})).months
    }
    # Posts in a mild February, roses in a pot, yew in May and what was typed for the work beside the planting.
    assert apart <= {"deer-fence-job", "arch-and-gates", "drive-hedge-job", "hill", "small"}


def test_fruit_that_must_bear_by_a_year_is_planted_in_time():
    """Cobnuts have some time to spare as planned; asked for a year sooner than that, they are a year late."""
    garden = demo_garden("ropewalk")
    through = timeline(garden)
    must: Any = next(m for m in garden.intents if m.id == "nuts-in-the-fifth-year")
    spare = must.spare_years(through)
    assert set(spare) == set(must.things())
    later = garden.model_copy(update={"intents": (must.model_copy(update={"by": must.by - min(spare.values()) - 1}),)})
    assert all(years == -1 for years in later.intents[0].spare_years(through).values())


def test_a_harvest_asks_for_the_fewest_plantings_that_give_it_and_for_none_where_it_is_late():
    garden = demo_garden("kettle-hill")
    through = timeline(garden)
    must: Any = next(m for m in garden.intents if m.id == "berries-and-apples")
    spare = must.spare_years(through)
    assert set(spare) < set(must.things() or {f.id for f in garden.features})
    assert min(spare.values()) >= 0
    easier = must.model_copy(update={"kilograms": 1.0})
    assert len(easier.spare_years(through)) == 1
    never = must.model_copy(update={"kilograms": 90000.0})
    assert never.spare_years(through) == {}
