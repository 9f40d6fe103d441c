"""Monte Carlo agrees with the closed form within its stated error, and margins buy certainty."""

from __future__ import annotations

import math

import pytest
from scipy import stats

from quincunx.years.order import first_plan
from quincunx.years.problem import Budget, Problem, Project
from quincunx.years.risk import Chance, Chances, ThreePoint, margins, simulate, waiting, with_margin
from tests.years.gardens import garden

STILL = ThreePoint(1.0, 1.0, 1.0)
SPREAD = ThreePoint(0.8, 1.0, 1.8)


def test_three_points_have_the_mean_and_variance_of_their_beta_distribution():
    a, b = 1 + 4 * 0.2, 1 + 4 * 0.8
    exact = stats.beta(a, b, loc=0.8, scale=1.0)
    assert SPREAD.mean == pytest.approx(exact.mean())
    assert SPREAD.variance == pytest.approx(exact.var())
    with pytest.raises(ValueError, match="put them in order"):
        ThreePoint(1.0, 0.9, 1.2)


def two_jobs(purse: int) -> Problem:
    jobs = tuple(Project(f"j{k}", f"j{k}", payments=((0, 100_000),), minutes=(600,), worth=1) for k in range(12))
    return Problem(2027, 1, jobs, Budget((purse,) + (0,) * 11), (10**6,) * 12)


def test_the_sum_of_independent_costs_has_the_mean_and_spread_of_the_closed_form():
    p = two_jobs(1_250_000)
    chances = Chances({q.id: SPREAD for q in p.projects}, {}, weather=STILL)
    worlds = 20_000
    found = simulate(p, {q.id: 0 for q in p.projects}, chances, worlds=worlds, seed=3)
    mean, sd = 12 * 100_000 * SPREAD.mean, 100_000 * math.sqrt(12 * SPREAD.variance)
    # Standard errors of a mean and (for a nearly normal sum) of a standard deviation.
    assert found.spent_mean == pytest.approx(mean, abs=4 * sd / math.sqrt(worlds))
    assert found.spent_sd == pytest.approx(sd, abs=4 * sd / math.sqrt(2 * worlds))
    # Sum of 12 nearly normal: chance to stay below the purse within 4 errors and 0.01 for the skew.
    chance = stats.norm(mean, sd).cdf(1_250_000)
    assert found.money[2027].value == pytest.approx(chance, abs=4 * found.money[2027].error + 0.01)
    assert found.all_money == found.money[2027]


@pytest.mark.parametrize("purse", [85_000, 100_000, 120_000, 150_000])
def test_one_job_stays_in_its_money_with_the_chance_of_the_beta_distribution(purse):
    job = Project("a", "a", payments=((0, 100_000),), worth=1)
    p = Problem(2027, 1, (job,), Budget((purse, 0)), (0, 0))
    found = simulate(p, {"a": 0}, Chances({"a": SPREAD}, {}, weather=STILL), worlds=20_000, seed=5)
    exact = stats.beta(1.8, 4.2, loc=0.8, scale=1.0).cdf(purse / 100_000)
    assert found.all_money.value == pytest.approx(exact, abs=4 * found.all_money.error)


def test_hours_hold_with_the_chance_that_the_weather_leaves_enough():
    job = Project("a", "a", minutes=(800,), worth=1)
    p = Problem(2027, 1, (job,), Budget((0, 0)), (1000, 1000))
    weather = ThreePoint(0.5, 0.8, 1.0)
    found = simulate(p, {"a": 1}, Chances({}, {}, weather=weather), worlds=20_000, seed=6)
    exact = 1 - stats.beta(1 + 4 * 0.6, 1 + 4 * 0.4, loc=0.5, scale=0.5).cdf(0.8)
    assert found.hours[2027].value == pytest.approx(exact, abs=4 * found.hours[2027].error)


def test_lost_plants_are_paid_again_a_year_later():
    hedge = Project("h", "h", payments=((0, 100),), worth=1, lag_months=24)
    p = Problem(2027, 1, (hedge,), Budget((100,) + (0,) * 23), (0,) * 24)
    chances = Chances({}, {}, weather=STILL, lost={"h": 0.25})
    found = simulate(p, {"h": 0}, chances, worlds=20_000, seed=7)
    assert found.money[2027].value == 1.0
    assert found.money[2028].value == pytest.approx(0.75, abs=4 * found.money[2028].error)
    assert found.spent_mean == pytest.approx(125, abs=4 * 100 * math.sqrt(0.25 * 0.75 / 20_000))


def test_the_same_seed_gives_the_same_worlds_and_another_others():
    p = garden(12, 0)
    plan = first_plan(p).starts or {}
    chances = Chances.usual(p)
    assert simulate(p, plan, chances, worlds=500) == simulate(p, plan, chances, worlds=500)
    assert simulate(p, plan, chances, worlds=500) != simulate(p, plan, chances, worlds=500, seed=2)


def test_without_spread_the_plan_holds_and_is_carried_out_to_the_letter():
    p = garden(12, 0)
    plan = first_plan(p).starts or {}
    sure = Chances({}, {}, weather=STILL)
    found = simulate(p, plan, sure, worlds=10)
    assert found.all_money.value == 1.0
    assert all(chance.value == 1.0 for chance in found.hours.values())
    lived = waiting(p, plan, sure, worlds=3)
    assert lived.worth_mean == p.worth(plan)
    assert lived.late.value == 0.0
    assert all(f.p50 == f.p80 == plan[name] + p[name].duration_months for name, f in lived.finish.items())


def test_waiting_comes_later_in_most_worlds_and_p80_not_before_p50():
    p = garden(12, 0)
    plan = first_plan(p).starts or {}
    lived = waiting(p, plan, Chances.usual(p), worlds=60)
    assert lived.worth_p10 <= lived.worth_mean < p.worth(plan)
    assert 0 < lived.late.value < 1
    far = 10**6
    assert all((f.p50 or far) <= (f.p80 or far) for f in lived.finish.values())


def test_a_chance_of_none_or_all_still_has_an_error():
    assert Chance(0.5, 100).error == pytest.approx(0.05)
    assert Chance(1.0, 100).error == pytest.approx(Chance(0.0, 100).error)
    assert Chance(1.0, 100).error > 0


def test_a_larger_margin_holds_more_often_and_the_wanted_chance_ends_the_rise():
    p = garden(12, 0)
    points = margins(p, Chances.usual(p), tried=(0.0, 0.1, 0.25), worlds=4000, effort=0.3, seconds=100)
    holds = [point.holds.value for point in points]
    assert holds == sorted(holds)
    assert holds[-1] > 0.8
    assert points[0].worth >= points[-1].worth
    assert len(margins(p, Chances.usual(p), tried=(0.25, 0.4), wanted=0.5, worlds=1000, effort=0.3, seconds=100)) == 1
    assert all(q.cost >= 1.1 * o.cost - 1 for q, o in zip(with_margin(p, 0.1).projects, p.projects, strict=True))
