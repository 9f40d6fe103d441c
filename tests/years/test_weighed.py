"""How much jobs matter: by words, compared two at a time, and by the kilograms they give."""

from __future__ import annotations

import random
from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from quincunx.demos import demo_garden
from quincunx.garden import GardenError, apply, garden_from, timeline
from quincunx.grow.harvest import crops, total
from quincunx.grow.plantings import planting
from quincunx.years.checker import check
from quincunx.years.from_garden import problem_of
from quincunx.years.kilograms import kilograms
from quincunx.years.order import order
from quincunx.years.problem import Budget, Problem, Project
from quincunx.years.weighed import WORTH_POINTS, compare, next_pair, pairs_of, points_of
from quincunx.years.whatif import worth_curve
from tests.years.brute import best_worth
from tests.years.gardens import tiny


def plot(*jobs, means=None, features=(), journal=()):
    return garden_from(
        {"format": "quincunx/1", "boundary": [[0, 0], [20, 0], [20, 20], [0, 20]], "features": list(features),
         "jobs": [{"name": j["id"].title(), **j} for j in jobs],
         "means": {"first_year": 2027, "years": 6, "hours_by_month": [10] * 12, **(means or {})},
         "journal": list(journal)}
    )  # fmt: skip


def test_every_word_has_its_points_and_each_doubles_the_one_before():
    garden = plot(*({"id": f"job-{w}", "worth": w} for w in WORTH_POINTS))
    problem = problem_of(garden, timeline(garden))
    assert [p.worth for p in problem.projects] == [0, 10, 20, 40, 80]


def test_compared_jobs_share_their_mean_and_others_keep_their_word():
    garden = plot(
        {"id": "a", "worth": "some", "weighed": [{"job": "b", "by": "much"}]},
        {"id": "b", "worth": "some"},
        {"id": "c", "worth": "much", "weighed": [{"job": "d", "by": "same"}]},
        {"id": "d", "worth": "dearest"},
        {"id": "e", "worth": "little"},
    )
    found = points_of(garden)
    assert found == {"a": 32, "b": 8, "c": 60, "d": 60, "e": 10}
    assert [p.worth for p in problem_of(garden, timeline(garden)).projects] == [32, 8, 60, 60, 10]


def test_the_next_pair_is_the_least_compared_and_ends_when_all_are():
    jobs: list[dict[str, Any]] = [{"id": "a"}, {"id": "b"}, {"id": "c"}, {"id": "way", "worth": "none"}]
    seen = []
    garden = plot(*jobs)
    while (pair := next_pair(garden)) is not None:
        seen.append(pair)
        more, less = pair
        one = next(j for j in jobs if j["id"] == more)
        one.setdefault("weighed", []).append({"job": less})
        garden = plot(*jobs)
    assert sorted(map(sorted, seen)) == [["a", "b"], ["a", "c"], ["b", "c"]]
    assert len(pairs_of(garden)) == 3


@pytest.mark.parametrize("other", ["nobody", "a"])
def test_a_job_is_compared_with_another_that_is_there(other):
    with pytest.raises(GardenError):
        plot({"id": "a", "weighed": [{"job": other}]})


def test_kilograms_by_age_are_those_of_the_harvest_year_by_year():
    """The crop of an orchard planted at the start, as `grow` gives it for each year (pollination left out)."""
    tree = {"kind": "tree", "id": "apple", "at": [5, 5], "plant": "malus-domestica-m-26-rootstock"}
    canes = {
        "kind": "planted-area",
        "id": "canes",
        "outline": [[8, 8], [12, 8], [12, 9], [8, 9]],
        "plant": "rubus-idaeus",
    }
    garden = plot({"id": "orchard", "does": ["apple", "canes"], "start": "2027-01"}, features=(tree, canes))
    through = timeline(garden)
    found = kilograms(garden)["orchard"]
    assert found[0] == 0
    by_year = [sum(total(c.months).mid for c in crops(through, year)) for year in through.years]
    # A year of the calendar lies within half a year of a year after the job, and the crop rises until it is full.
    for age in range(1, 5):
        assert found[age - 1] - 1e-9 <= by_year[age] <= found[age + 1] + 1e-9
    assert max(found) > by_year[-1]  # the tree is not in full crop yet


CANES = {
    "kind": "planted-area", "id": "canes", "outline": [[8, 8], [12, 8], [12, 9], [8, 9]], "plant": "rubus-idaeus",
}  # fmt: skip


def told(*happened):
    """Raspberries planted in January 2027, and what the journal says of them."""
    done = {"id": "d", "what": "done", "about": "orchard", "day": "2027-01-20"}
    lines = [{"id": f"j{n}", "about": "canes", **one} for n, one in enumerate(happened)]
    return plot({"id": "orchard", "does": ["canes"], "start": "2027-01"}, features=(CANES,), journal=[done, *lines])


def test_what_was_lost_gives_nothing_until_it_has_grown_again():
    """All of it lost in June 2028, planted again in February 2030: three years and a month after the first time."""
    whole = kilograms(told())["orchard"]
    gone = {"what": "lost", "day": "2028-06-10"}
    again = {"what": "replanted", "day": "2030-02-10"}
    found = kilograms(told(gone, again))["orchard"]
    assert found[0] == whole[0]
    assert found[1:3] == (0.0, 0.0)
    assert found[4] <= whole[1] + 1e-9
    assert found[-1] == pytest.approx(whole[-1], rel=0.2)
    # Nobody has planted again yet: the care calendar does, in the season after.
    waiting = kilograms(told(gone))["orchard"]
    assert waiting[1] == 0.0
    assert 0.0 < waiting[5] <= whole[5]


def test_of_what_was_lost_in_part_the_rest_goes_on_giving():
    whole = kilograms(told())["orchard"]
    one = planting(timeline(told()), "canes", date(2029, 6, 1))
    assert one is not None
    count = one.standing.count
    some = kilograms(told({"what": "lost", "day": "2028-06-10", "amount": count // 2}))["orchard"]
    share = 1 - (count // 2) / count
    assert some[0] == pytest.approx(whole[0])
    assert some[1] == pytest.approx(share * whole[1])
    assert share * whole[5] < some[5] <= whole[5]


def test_of_what_was_lost_in_part_nothing_goes_on_giving_once_all_is_lost():
    """A third lost in 2028 and made good in 2029, all of it lost in 2030: what comes again grows from 2032."""
    third = (
        {"what": "lost", "day": "2028-06-10", "amount": 10},
        {"what": "replanted", "day": "2029-02-10", "amount": 10},
    )
    all_ = {"what": "lost", "day": "2030-06-10"}, {"what": "replanted", "day": "2032-02-10"}
    both, alone = (kilograms(told(*happened))["orchard"] for happened in ((*third, *all_), all_))
    assert both[3:6] == alone[3:6]
    assert both[3] == 0.0
    assert both[8] == pytest.approx(alone[8])
    some = kilograms(told(third[0], {"what": "replanted", "day": "2029-02-10"}))["orchard"]
    assert some[8] == pytest.approx(kilograms(told())["orchard"][8], rel=0.1)


def test_ten_kilograms_count_only_where_the_person_says_so_and_bring_the_planting_forward():
    garden = demo_garden("ropewalk")
    plain = problem_of(garden, timeline(garden))
    assert not any(p.harvest for p in plain.projects)
    means = garden.means.model_copy(update={"ten_kilos": "much"})
    counted = problem_of(garden.model_copy(update={"means": means}), timeline(garden))
    giving = {p.id for p in counted.projects if p.harvest}
    assert {"fruit", "plant-cobnuts"} <= giving
    assert "terrace-flags" not in giving
    assert [p.worth for p in counted.projects] == [p.worth for p in plain.projects]


def bearing():
    """A tree that bears from its third year, and a bench worth a little more than the tree without its apples."""
    jobs = (
        Project("tree", "the tree", worth=0, harvest=(0, 0, 30, 60), payments=((0, 100),)),
        Project("bench", "the bench", worth=10, payments=((0, 100),)),
    )
    income = (100, *[0] * 11, 100, *[0] * 11)
    return Problem(2027, 1, jobs, Budget(income), (600,) * 24, tail_months=60)


def test_what_bears_late_goes_first_for_its_harvest_and_the_checker_counts_the_same():
    problem = bearing()
    found = order(problem, seconds=5, effort=1.0)
    assert found.proven
    assert found.starts == {"tree": 0, "bench": 12}
    assert check(problem, found.starts).worth == problem.worth(found.starts) == found.worth
    dry = problem.changed({"tree": replace(problem["tree"], harvest=())})
    assert (order(dry, seconds=5, effort=1.0).starts or {})["bench"] == 0
    assert worth_curve(problem, {"tree": -30}) == {2027: (7 * 30 + 5 * 60) / 12, 2028: 60.0}


@pytest.mark.parametrize("seed", range(6))
def test_the_worth_with_harvests_is_that_of_all_plans_tried(seed):
    problem, rng = tiny(seed), random.Random(100 + seed)
    bears = {
        p.id: replace(p, harvest=tuple(sorted(rng.choices(range(60), k=4)))) for p in rng.sample(problem.projects, 2)
    }
    problem = problem.changed(bears)
    found = order(problem, seconds=20, effort=5.0)
    assert found.proven
    assert (found.starts and problem.worth(found.starts)) == best_worth(problem)


def test_comparing_two_again_replaces_what_was_said_of_them():
    garden = plot({"id": "a", "weighed": [{"job": "b", "by": "much"}]}, {"id": "b"}, {"id": "c"})
    edit = compare(garden, "b", "a", "rather")
    then, back = apply(garden, edit)
    assert pairs_of(then) == [("b", "a", "rather more")]
    assert edit.label == "“B” matters rather more than “A”"
    assert apply(then, back)[0] == garden
    assert points_of(then)["b"] == pytest.approx(2 * points_of(then)["a"], abs=1)
