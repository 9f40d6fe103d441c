"""Can all the jobs be had, and if not, what would let them be had: each way out is tried and leads out."""

from __future__ import annotations

from dataclasses import replace

from quincunx.years.conflict import conflict
from quincunx.years.everything import everything
from quincunx.years.problem import Budget, Problem, Project

BED = Project("bed", "the bed", payments=((0, 30_000),), minutes=(600,), worth=5)
PATH = Project("path", "the path", payments=((0, 50_000),), minutes=(600,), worth=9)
POND = Project("pond", "the pond", payments=((0, 40_000),), minutes=(600,), large=True, worth=7)
SHED = replace(POND, id="shed", name="the shed")


def problem(*jobs: Project, sum_: int = 100_000, minutes: int = 1200, years: int = 2) -> Problem:
    income = tuple(sum_ if m % 12 == 0 else 0 for m in range(12 * years))
    return Problem(2027, 1, jobs, Budget(income), (minutes,) * 12 * years)


def all_of(p: Problem) -> Problem:
    return p.changed({j.id: replace(j, must=True) for j in p.projects})


def test_what_fits_can_all_be_had():
    found = everything(problem(BED, PATH, POND))
    assert (found.possible, found.ways, found.note) == (True, (), "")
    assert found.sentence == "All the jobs can be had within the years."


def test_more_money_is_offered_in_the_year_in_which_least_is_needed():
    poor = problem(BED, PATH, POND, sum_=50_000)
    found = everything(poor)
    assert not found.possible
    assert found.ways[0].startswith("200.00 more in 202")
    assert found.ways[-1] == "Without the bed the rest can be had."
    assert found.note == ""
    year = int(found.ways[0].split()[3])
    income = list(poor.budget.income)
    income[12 * (year - 2027)] += 20_000
    assert conflict(all_of(poor.changed(budget=Budget(tuple(income))))) is None
    income[12 * (year - 2027)] -= 100
    assert conflict(all_of(poor.changed(budget=Budget(tuple(income))))) is not None


def test_the_most_a_year_may_cost_is_money_too():
    capped = replace(problem(BED, PATH), most_by_year=(30_000, 30_000))
    assert everything(capped).ways[0].startswith("200.00 more in ")


def test_hours_alone_and_no_sum_of_money():
    short = problem(BED, PATH, years=1, minutes=600).changed(free_minutes=(600,) + (0,) * 11)
    found = everything(short)
    assert "10 hours more in 2027 would do." in found.ways
    assert found.note == "No sum of money would do by itself."


def test_a_second_large_work_and_money_with_hours():
    two = everything(problem(POND, SHED, years=1))
    assert two.ways[0] == "1 large work more in 2027 would do."
    both = problem(BED, PATH, sum_=50_000, years=1).changed(free_minutes=(600,) + (0,) * 11)
    assert everything(both).ways[0] == "300.00 more in 2027 and 10 hours more in 2027 would do."


def test_jobs_that_can_never_be_done_are_named_and_many_are_counted():
    jobs = [replace(BED, id=f"bed-{n}", name=f"bed {n}", minutes=(9000,)) for n in range(5)]
    found = everything(problem(*jobs))
    assert not found.possible
    assert found.sentence.count("150 hours") == 3
    assert found.sentence.endswith("The same is so of 2 more.")


def test_without_jobs_or_money_it_says_what_to_do_first():
    assert everything(problem()).sentence.startswith("There are no jobs yet.")
    assert everything(problem(BED, sum_=0)).sentence == (
        "There is no money in any year, so nothing that costs anything can be done; give a sum for a year."
    )
