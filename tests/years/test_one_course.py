"""Money and hours fall in the same months wherever they are shown: the chart, the table of years, the best order, the papers."""

from __future__ import annotations

from collections import Counter
from typing import Any

import pytest
from hypothesis import given, settings, strategies as st

from quincunx.board.kept import StoodCache
from quincunx.board.standing import Standing
from quincunx.demos import demo_garden
from quincunx.garden import Garden
from quincunx.review import Review
from quincunx.sheets import prepare
from quincunx.sheets.money_book import _rows
from quincunx.works import Entry
from quincunx.years.from_garden import starts_of
from quincunx.years.gone_by import only_ahead
from quincunx.years.months import months_of, runs_of
from quincunx.years.real import today_of

DEMOS = {name: demo_garden(name) for name in ("ropewalk", "kettle-hill")}
BARE = {name: it.model_copy(update={"features": (), "intents": ()}) for name, it in DEMOS.items()}
"""Their jobs and means alone: a problem of the years is quickly made of them."""
ENTRIES = st.tuples(
    st.sampled_from(["begun", "begun", "hours", "spent", "done", "note"]),
    st.integers(0, 30),
    st.integers(0, 40),
    st.none() | st.integers(0, 200_000),
    st.none() | st.integers(0, 40),
)


def written(garden: Garden, lines: list[tuple[Any, ...]], today: int) -> Garden:
    """The garden with lines of a journal, none of a month to come, about its jobs or (one in so many) about nothing."""
    first, about = 12 * garden.means.first_year, [*(j.id for j in garden.jobs), None]
    entries = []
    for n, (what, which, later, sum_, hours) in enumerate(lines):
        month = min(first + later, today)
        day = f"{month // 12}-{month % 12 + 1:02d}-11"
        entries.append(Entry(id=f"e{n}", day=day, what=what, about=about[which % len(about)], sum=sum_, hours=hours))
    return garden.model_copy(update={"journal": tuple(entries)})


def order_months(at: Standing, today: int) -> tuple[Counter[int], Counter[int]]:
    """What the best order's problem has in each month of the plan as written: money and minutes."""
    problem, first = only_ahead(at.problem, today), 12 * at.garden.means.first_year
    starts, money, minutes = starts_of(at.garden, problem), Counter[int](), Counter[int]()
    for p in problem.projects:
        start = p.fixed_start if p.fixed_start is not None else starts.get(p.id)
        if start is None:
            continue
        for month, sum_ in problem.bills(p, start):
            money[first + month] += sum_
        for later, much in enumerate(() if p.done else p.minutes):
            minutes[first + start + later] += much
    once = dict.fromkeys(range(first, first + problem.months), 0)
    for one in at.garden.means.one_off:
        year, month = map(int, one.month.split("-"))
        once[12 * year + month - 1] = once.get(12 * year + month - 1, 0) + one.sum
    for month, income in enumerate(problem.budget.income):
        usual = at.garden.means.income(at.garden.means.first_year + month // 12) if month % 12 == 0 else 0
        usual -= sum(once[first + month + m] for m in range(12)) if month % 12 == 0 else 0
        money[first + month] += usual + once[first + month] - income
    return money, minutes


def read(garden: Garden, today: int) -> Standing:
    """The garden as the board reads it in a month."""
    with pytest.MonkeyPatch.context() as env:
        env.setenv("QUINCUNX_TODAY", f"{today // 12}-{today % 12 + 1:02d}-15")
        return Standing.of(garden, StoodCache())


@pytest.mark.parametrize("name", BARE)
@settings(max_examples=60, deadline=None)
@given(st.lists(ENTRIES, max_size=12), st.integers(0, 45), st.sampled_from([0.0, 0.03, 0.1]), st.booleans())
def test_every_page_and_the_best_order_put_them_into_the_same_months(name, lines, later, growth, hired):
    demo = BARE[name]
    if hired:  # others do all the work: no job takes hours
        demo = demo.model_copy(update={"jobs": tuple(j.changed(hours=0.0) for j in demo.jobs)})
    grown = demo.model_copy(update={"means": demo.means.changed(price_growth=growth)})
    today = 12 * demo.means.first_year + later
    _said_alike(read(written(grown, lines, today), today), today)


@pytest.mark.parametrize("name", DEMOS)
def test_the_whole_demonstration_gardens_do_too(name):
    demo, today = DEMOS[name], 12 * DEMOS[name].means.first_year + 15
    lines: list[tuple[Any, ...]] = [("begun", n, 3 + n, 3000, 2) for n in range(0, 12, 3)]
    lines += [("done", 1, 2, None, 9), ("spent", 5, 4, 700, None), ("spent", 20, 4, 700, None)]
    _said_alike(read(written(demo, lines, today), today), today)


def _said_alike(at: Standing, today: int) -> None:
    money, minutes = order_months(at, today)
    for course in at.courses.values():
        # Hours beside a receipt are no beginning, and what is written after a job is done makes it no longer.
        over = 0 if course.state in ("planned", "unplanned") else 10**6 if course.state == "begun" else course.end or 0
        minutes.update({m: round(60 * h) for m, h in course.worked.items() if m >= over})
    rows = months_of(at.garden)
    for row in (r for r in rows if r.month >= today):
        assert money[row.month] == row.spent, row
        assert abs(minutes[row.month] / 60 - row.worked_h) < 0.01 * len(at.garden.jobs), row
    by_year = {y.year: y for y in at.timeline.money()}
    of = prepare(at.garden, through=at.timeline, judged=Review((), ()))
    paid, worked = Counter[int](), dict.fromkeys(at.timeline.years, 0.0)
    for month, _, _, sum_ in _rows(of, "Payments"):
        paid[month // 12] += round(sum_)
    for month, _, _, hours in _rows(of, "Work"):
        worked[month // 12] = worked.get(month // 12, 0.0) + hours
    for year in at.timeline.years:
        assert by_year[year].spent == sum(r.spent for r in rows if r.year == year) == paid[year]
        assert by_year[year].worked_h == pytest.approx(sum(r.worked_h for r in rows if r.year == year))
        assert by_year[year].worked_h == pytest.approx(worked[year])
    _nothing_is_due_before(at, today)


def _nothing_is_due_before(at: Standing, today: int) -> None:
    """What is begun is not to be worked or paid in a month gone by, and what is left of it is all there."""
    for course, job in ((at.courses[j.id], j) for j in at.garden.jobs):
        if course.state != "begun":
            continue
        assert min([*course.to_do, *course.to_pay, today]) >= today
        assert max(course.to_do, default=0) < (course.end or 0)
        left = sum(course.hours.values())
        assert left == pytest.approx(max(job.hours, sum(course.worked.values())), abs=0.02)
        assert sum(course.cost.values()) >= sum(course.paid.values())
        run = next(r for r in runs_of(at.garden) if r.job.id == job.id)
        assert (run.start, run.end) == (course.first, course.end)


@pytest.mark.parametrize("name", BARE)
@settings(max_examples=30, deadline=None)
@given(st.lists(ENTRIES, max_size=8), st.integers(1, 40), st.sampled_from([0.0, 0.03]))
def test_planned_again_what_is_begun_goes_on_as_the_chart_shows_it(name, lines, later, growth):
    demo = BARE[name]
    today = 12 * demo.means.first_year + later
    at = read(written(demo.model_copy(update={"means": demo.means.changed(price_growth=growth)}), lines, today), today)
    left = today_of(at.garden, f"{today // 12}-{today % 12 + 1:02d}").problem
    for job in at.garden.jobs:
        course = at.courses[job.id]
        if course.state == "begun":
            p = left[job.id]
            start = p.fixed_start or 0
            assert {today + start + u: m for u, m in enumerate(p.minutes) if m} == {
                m: round(60 * h) for m, h in course.to_do.items()
            }
            assert {today + start + u: sum_ for u, sum_ in p.payments} == course.to_pay
        elif course.state == "planned" and not growth:  # it may come in another year, at the prices of that one
            assert sum(sum_ for _, sum_ in left[job.id].payments) == sum(course.to_pay.values())


def test_a_bill_is_short_in_the_same_year_on_the_chart_and_in_the_best_order():
    """A job of three months begun late in the year, half paid: its hours reach into the next year, and so does its bill."""
    demo = BARE["ropewalk"]
    job = next(j for j in demo.jobs if j.id == "long-walk-dig")
    begun = Entry(id="e", day="2027-09-10", what="begun", about=job.id, sum=1000)
    at = read(demo.model_copy(update={"journal": (begun,)}), 12 * 2027 + 8)
    (month,) = at.courses[job.id].to_pay
    assert month == 12 * 2028 + 2, "its season ends in October; three hours are left for March"
    assert order_months(at, 12 * 2027 + 8)[0][month] == next(r.spent for r in months_of(at.garden) if r.month == month)
