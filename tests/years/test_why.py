"""Why each job stands where it does, what can't be had together, and the ways out."""

from __future__ import annotations

from dataclasses import replace

import pytest

from quincunx.years.checker import check
from quincunx.years.conflict import Question, conflict
from quincunx.years.order import first_plan, order
from quincunx.years.problem import Budget, Need, Problem, Project, Shut
from quincunx.years.waysout import ways_out
from quincunx.years.whatif import more_in_year
from quincunx.years.why import earlier, not_then, why
from tests.years.gardens import garden

SHED = Project("shed", "the shed", 2, ((0, 90_000),), (600, 600), frozenset(range(4, 10)), large=True, worth=30)
BED = Project("bed", "the bed", 1, ((0, 10_000),), (300,), frozenset({3, 4}), worth=10)
PATH = Project("path", "the path", 1, ((0, 20_000),), (900,), worth=10)
YEARLY = (50_000,) + (0,) * 11


def problem(*projects: Project, years: int = 3, free: int = 1000) -> Problem:
    return Problem(2027, 1, projects, Budget(YEARLY * years), (free,) * 12 * years)


def sentence(p: Problem, plan: dict[str, int], name: str) -> str:
    return why(p, plan)[name].sentence


def test_money_holds_the_shed_and_by_how_much():
    held = why(problem(SHED), {"shed": 15})["shed"]
    assert held.main is not None
    assert (held.main.kind, held.main.short) == ("money", 40_000)
    assert held.sentence == "the shed starts in April 2028: before that the money would be short by at least 400.00."


def test_what_is_short_in_some_months_only_is_not_said_of_all():
    """In 2027 the money of the path is missing, in the next spring the hours; neither alone holds the bed."""
    bed = replace(BED, payments=((0, 40_000),), minutes=(300,), window=frozenset({3, 4, 11}))
    p = Problem(2027, 1, (bed, PATH), Budget(YEARLY * 3), ((200,) * 10 + (1000,) * 2) * 3)
    told = sentence(p, {"path": 11, "bed": 22}, "bed")
    assert told == (
        "the bed starts in November 2028: before that the time would be short by at least 1 hour in a month,"
        " and where it is not, the money would be short by at least 100.00."
    )


def test_a_name_with_a_colon_is_said_whole():
    """Money is short in two years; in the third it is the large work, called so, that holds the shed."""
    arch = replace(SHED, id="arch", name="the arch: brick", payments=())
    p = problem(replace(SHED, payments=((0, 140_000),)), arch, years=4)
    told = sentence(p, {"arch": 27, "shed": 39}, "shed")
    assert told.endswith("short by at least 400.00, and where it is not, the arch: brick is the large work of 2029.")


def test_what_no_month_has_the_hours_for_is_told_how_to_spread():
    told = sentence(problem(PATH, free=400), {}, "path")
    assert told.endswith(
        "short by at least 8 hours in a month: no month has the 15 hours it takes; let it take 3 months or more."
    )
    assert "let it take" not in sentence(problem(PATH, free=0), {}, "path")
    assert "let it take" not in sentence(problem(PATH, BED, free=1000), {"bed": 2}, "path")


def test_season_need_hours_large_and_access_are_each_named():
    assert "first month its season allows" in sentence(problem(BED), {"bed": 2}, "bed")
    p = problem(replace(BED, needs=(Need("path"),)), PATH)
    assert sentence(p, {"path": 5, "bed": 14}, "bed").endswith("the path must be finished first.")
    p = problem(PATH, replace(BED, window=frozenset(range(1, 13))))
    assert "short by at least 3 hours in a month" in sentence(p, {"path": 0, "bed": 1}, "bed")
    other = replace(SHED, id="arch", name="the arch", payments=())
    p = problem(replace(SHED, payments=()), other)
    assert sentence(p, {"arch": 3, "shed": 15}, "shed").endswith("the arch is the large work of 2027.")
    two = replace(
        problem(replace(SHED, payments=()), other, replace(other, id="den", name="the den")), large_per_year=2
    )
    assert "the arch and the den are the large works of" in sentence(two, {"arch": 3, "den": 5, "shed": 15}, "shed")
    fence = Project("fence", "the fence", shuts=(Shut("shed"),))
    p = problem(replace(SHED, payments=()), fence)
    assert sentence(p, {"shed": 3, "fence": 5}, "fence").endswith("must stay open between it and the shed.")


@pytest.mark.parametrize(
    ("others", "plan", "month", "words"),
    [
        ((), {"shed": 15}, 3, "in April 2027 the money would be short by at least 400.00"),
        ((), {"shed": 15}, 0, "January 2027 is outside its season"),
        ((), {"shed": 15}, 16, ""),
        ((replace(PATH, large=True),), {"shed": 27, "path": 15}, 16, "the path is the large work of 2028"),
        ((replace(PATH, minutes=(700,), payments=()),), {"shed": 27, "path": 16}, 15,
         "in April 2028 the time would be short by at least 5 hours in a month"),
    ],
)  # fmt: skip
def test_why_not_in_one_month_is_said_of_that_month(others, plan, month, words):
    assert not_then(problem(SHED, *others), plan, "shed", month) == words


def test_why_not_before_another_is_done():
    late = replace(SHED, needs=(Need("bed"),))
    assert (
        not_then(problem(late, BED), {"shed": 27, "bed": 26}, "shed", 16) == "in May 2028 the bed would not be finished"
    )


def test_what_is_left_out_booked_or_free_to_move_is_said():
    p = problem(SHED, years=1)
    assert sentence(p, {}, "shed") == (
        "the shed is left out: in every season the money would be short by at least 400.00."
    )
    assert "it adds nothing to the worth" in sentence(problem(replace(BED, worth=0)), {}, "bed")
    assert sentence(problem(replace(BED, fixed_start=4)), {"bed": 4}, "bed") == "the bed is booked for May 2027."
    assert "nothing stops it from March 2027" in sentence(problem(BED), {"bed": 14}, "bed")


@pytest.mark.parametrize("size", [12, 30])
def test_what_the_reasons_say_is_what_the_checker_says(size):
    """Moving one job to an earlier month breaks a rule exactly where a reason stands."""
    p = garden(size, 1)
    plan = first_plan(p).starts
    assert plan is not None
    kinds = {"season": {"window", "years"}, "needs": {"needs"}, "money": {"money"}, "hours": {"hours"},
             "large": {"large"}, "access": {"access"}}  # fmt: skip
    for name, held in why(p, plan).items():
        for month, blockers in list(held.by_month.items())[:12]:
            broken = {b.rule for b in check(p, {**plan, name: month}).breaches}
            expected = set().union(*(kinds[b.kind] for b in blockers)) if blockers else set()
            assert broken <= expected | {"money", "hours"}
            assert bool(broken) == bool(blockers)


def test_a_year_earlier_costs_what_the_best_plan_with_it_costs():
    p = garden(12, 0)
    best = order(p).starts
    assert best is not None
    name = next(n for n in sorted(best) if best[n] >= 12 and p.allowed_starts(p[n])[0] <= best[n] - 12)
    found = earlier(p, best, name, effort=5, seconds=30)
    months = [t for t in p.allowed_starts(p[name]) if t <= best[name] - 12]
    forced = p.changed({name: replace(p[name], must=True, deadline=max(months) + p[name].use_after_months)})
    again = order(forced, smoothing=False)
    if again.starts is None:
        assert found.impossible
    else:
        assert found.lost_at_least <= p.worth(best) - again.worth <= (found.lost_at_most or 0)
        assert found.starts is not None
        assert check(p, found.starts).sound
        assert found.starts[name] <= best[name] - 12


def test_a_year_earlier_than_the_first_season_is_impossible():
    assert earlier(problem(BED), {"bed": 2}, "bed").impossible


def test_two_wishes_and_the_money_are_the_smallest_conflict():
    p = problem(replace(SHED, deadline=24), replace(PATH, must=True), replace(BED, deadline=12), years=2)
    assert conflict(p.changed({"path": PATH, "bed": BED})) is None
    dear = p.changed({"path": replace(PATH, payments=((0, 20_000),), must=True)})
    found = conflict(dear)
    assert found is not None
    assert found.smallest
    assert set(found.items) == {("wish", "shed"), ("wish", "path"), ("wish", "bed"), ("money", 2028)} - {
        ("wish", "bed")
    }
    assert found.sentence.startswith("These can't all be had together: the path done within the years; the shed of use")
    assert "no more than 1,000.00 to spend by the end of 2028" in found.sentence


def test_of_a_smallest_conflict_any_one_taken_away_leaves_a_plan():
    p = garden(12, 1)
    big = sorted(p.projects, key=lambda q: (-q.cost, q.id))[:4]
    wished = p.changed({q.id: replace(q, deadline=24 + q.use_after_months) for q in big})
    found = conflict(wished)
    assert found is not None
    assert found.smallest
    question = Question(wished)
    assert isinstance(question.core(found.items, 5.0), set)
    for item in found.items:
        assert question.core([other for other in found.items if other != item], 5.0) is True


def test_booked_dates_large_works_and_seasons_can_be_in_conflict():
    one, two = (
        replace(SHED, payments=(), fixed_start=4),
        replace(SHED, id="arch", name="the arch", payments=(), deadline=12),
    )
    found = conflict(problem(one, two))
    assert found is not None
    assert ("large", 2027) in found.items
    assert "the shed booked for May 2027" in found.sentence
    slow = replace(BED, needs=(Need("path", 12),), deadline=12)
    found = conflict(problem(slow, PATH))
    assert found is not None
    assert found.items == (("wish", "bed"),)
    assert "the seasons and the order of the works don't allow it" in found.sentence


def test_many_wishes_are_said_as_a_sum():
    p = garden(30, 0)
    found = conflict(p.changed({q.id: replace(q, must=True) for q in p.projects}))
    assert found is not None
    assert found.sentence.startswith(f"These {sum(tag[0] == 'wish' for tag in found.items)} wishes, ")
    assert "with the money there is up to 2034" in found.sentence


def test_each_way_out_leads_out():
    p = problem(replace(SHED, deadline=12), replace(PATH, deadline=12), years=3)
    found = conflict(p)
    assert found is not None
    ways = {way.kind: way for way in ways_out(p, found)}
    assert ways["money"].amount == 60_000  # 900 and 200 against 500
    assert ways["money"].least
    assert conflict(more_in_year(p, 2027, money=60_000)) is None
    assert conflict(more_in_year(p, 2027, money=59_999)) is not None
    assert ways["later"].sentence == "the path could be of use by January 2028." or ways["later"].projects == ("shed",)
    dropped = p.changed({name: replace(p[name], deadline=None) for name in ways["drop"].projects})
    assert conflict(dropped) is None


def test_ways_out_of_a_conflict_of_hours_and_of_dates():
    tight = problem(replace(PATH, deadline=1), replace(BED, window=frozenset({1}), deadline=1), free=1000)
    found = conflict(tight)
    assert found is not None
    assert ("hours", 2027) in found.items
    ways = {way.kind: way for way in ways_out(tight, found)}
    assert ways["hours"].amount == 200
    assert ways["drop"].projects in {("path",), ("bed",)}
    later = next(way for way in ways_out(tight, found) if way.kind == "later" and way.projects == ("path",))
    assert later.amount == 1
    moved = tight.changed({"path": replace(tight["path"], deadline=1 + later.amount)})
    assert conflict(moved) is None


def test_a_job_dearer_than_any_year_may_cost_says_so_by_itself():
    tower = Project("tower", "the tower", payments=((0, 4000),), worth=10)
    p = Problem(2027, 1, (tower,), Budget((9000,) + (0,) * 23), (0,) * 24, most_by_year=(3000, 3500))
    said = why(p, {})["tower"].sentence
    assert "by itself it costs 5.00 more than a year may" in said
    assert "in two parts" in said
    split = p.changed({"tower": replace(tower, payments=((0, 3000), (12, 1000)))})
    assert "by itself" not in why(split, {})["tower"].sentence


def test_a_job_that_could_begin_earlier_and_give_more_says_so_and_one_that_would_not_too():
    p = problem(BED, years=2)
    soonest = p.allowed_starts(p["bed"])[0]
    said = why(p, {"bed": soonest + 12})["bed"].sentence
    assert "nothing stops it from" in said
    assert "and the garden would give more use so: ask for the best order" in said
    idle = p.changed({"bed": replace(BED, worth=0)})
    assert "but it would add nothing earlier" in why(idle, {"bed": soonest + 12})["bed"].sentence


def test_a_month_after_the_years_planned_is_no_season():
    p = problem(BED, years=2)
    assert not_then(p, {"bed": 2}, "bed", 26) == "March 2029 is after the years planned"


def test_at_least_stays_true_as_it_is_written():
    """What is short by an hour and fifty minutes is not short by at least two hours; nor 12.90 by at least 13."""
    from quincunx.units import Style
    from quincunx.years.explained import Writer

    short = problem(replace(PATH, payments=((0, 20_000 + 1_290),), minutes=(1110,), window=frozenset({3})), free=1000)
    assert "short by at least 1 hour in" in sentence(short, {}, "path")
    write = Writer(Style(system="metric", decimal_mark=".", currency="EUR"))
    assert [write.down(n) for n in (1290, 40, 1200)] == ["€12", "€0.40", "€12"]
    assert [write.up(n) for n in (1210, 40, 1200)] == ["€13", "€1", "€12"]
