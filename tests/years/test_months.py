"""The plan month by month: its years are the ledger's, what is done stands as the journal says."""

from __future__ import annotations

import pytest

from quincunx.demos import DEMOS, demo_garden
from quincunx.garden import Garden, timeline
from quincunx.units.dates import month_index
from quincunx.works import Entry, ledger
from quincunx.years.from_garden import problem_of
from quincunx.years.months import months_of, runs_of
from quincunx.years.ordering import ahead, months_ahead


def with_journal(garden: Garden, *entries: dict[str, object]) -> Garden:
    journal = tuple(Entry.model_validate({"id": f"e-{n}", **e}) for n, e in enumerate(entries))
    return garden.model_copy(update={"journal": journal})


@pytest.mark.parametrize("demo", [d.id for d in DEMOS])
@pytest.mark.parametrize("carry", [True, False])
def test_years_are_the_sums_of_their_months(demo: str, carry: bool) -> None:
    garden = demo_garden(demo)
    means = garden.means.model_copy(
        update={"carry_over": carry, "one_off": (type(garden.means).model_validate(
            {"one_off": [{"month": "2028-06", "sum": 12345}]}).one_off)}
    )  # fmt: skip
    garden = garden.model_copy(update={"means": means})
    months = months_of(garden)
    for year in ledger(garden.means, garden.jobs, garden.journal):
        part = [m for m in months if m.year == year.year]
        assert len(part) == 12
        assert sum(m.income for m in part) == year.income
        assert sum(m.spent for m in part) == year.spent
        assert part[-1].balance == year.left
        assert sum(m.worked_h for m in part) == pytest.approx(year.worked_h)
        assert sum(m.given_h - m.upkeep_h for m in part) == pytest.approx(year.given_h - year.upkeep_h)


def test_a_sum_that_comes_once_comes_in_its_month_and_the_years_sum_in_january() -> None:
    garden = demo_garden("ropewalk")
    means = type(garden.means).model_validate(
        {**garden.means.model_dump(), "one_off": [{"month": "2028-06", "sum": 5000}]}
    )
    months = {m.month: m for m in months_of(garden.model_copy(update={"means": means}))}
    assert months[month_index("2028-06")].income == 5000
    assert months[month_index("2028-01")].income == means.sum_a_year


def test_a_helper_and_lost_weekends_count_in_their_month_only_and_never_below_none() -> None:
    garden = demo_garden("ropewalk")
    once = [
        {"month": "2028-05", "hours": 8, "words": "a friend helps"},
        {"month": "2028-04", "hours": -7, "words": "two weekends lost"},
        {"month": "2029-01", "hours": -60, "words": "away"},
    ]
    means = type(garden.means).model_validate({**garden.means.model_dump(), "hours_once": once})
    other = garden.model_copy(update={"means": means})
    usual, now = ({m.month: m.given_h for m in months_of(g)} for g in (garden, other))
    differ = {m: now[m] - usual[m] for m in usual if now[m] != usual[m]}
    assert differ == {
        month_index("2028-05"): 8,
        month_index("2028-04"): -7,
        month_index("2029-01"): -usual[month_index("2029-01")],
    }
    before, then = problem_of(garden, timeline(garden)), problem_of(other, timeline(other))
    less = {m: then.free_minutes[m] - before.free_minutes[m] for m in range(before.months)}
    assert {m: v for m, v in less.items() if v} == {16: 480, 15: -420, 24: -before.free_minutes[24]}
    by_year = {y.year: y.given_h for y in ledger(means, garden.jobs)}
    assert by_year[2028] == sum(garden.means.hours_by_month) + 1


def test_runs_stand_by_month_and_what_has_none_comes_last() -> None:
    runs = runs_of(demo_garden("kettle-hill"))
    starts = [r.start for r in runs if r.start is not None]
    assert starts == sorted(starts)
    assert {r.job.id for r in runs if r.start is None} == {"hill"}
    assert runs[-1].state == "unplanned"
    assert all(r.end is not None and r.start is not None and r.end - r.start == r.job.months for r in runs[:-1])


def test_what_is_done_or_begun_stands_as_the_journal_says() -> None:
    garden = with_journal(
        demo_garden("ropewalk"),
        {"day": "2027-05-03", "what": "begun", "about": "deer-fence-job"},
        {"day": "2027-08-20", "what": "done", "about": "deer-fence-job", "sum": 110000, "hours": 30},
        {"day": "2027-02-10", "what": "done", "about": "fill-hedge"},
        {"day": "2027-09-10", "what": "begun", "about": "long-walk-dig"},
    )
    runs = {r.job.id: r for r in runs_of(garden)}
    fence = runs["deer-fence-job"]
    assert (fence.start, fence.end, fence.state) == (month_index("2027-05"), month_index("2027-09"), "done")
    assert (runs["fill-hedge"].start, runs["fill-hedge"].state) == (month_index("2027-02"), "done")
    walk = runs["long-walk-dig"]
    # 26 h in March to October: eleven in September, twelve in October, the last three when its season comes again.
    assert (walk.start, walk.end, walk.state) == (month_index("2027-09"), month_index("2028-04"), "begun")


def test_bare_roots_are_ordered_and_helpers_booked_months_ahead() -> None:
    garden = demo_garden("ropewalk")
    through, jobs = timeline(garden), {j.id: j for j in garden.jobs}
    (plants,) = ahead(through, jobs["plant-hedges"], garden.style)
    assert (plants.months, plants.booked, plants.what) == (3, False, ("21 hornbeam whips", "Compost and mulch"))
    booked, bought = ahead(through, jobs["deer-fence-job"], garden.style)
    assert (booked.booked, booked.what) == (True, ("Two days' help",))
    assert (bought.booked, bought.months) == (False, 1)
    nothing = jobs["plant-hedges"].model_copy(update={"does": (), "costs": ()})
    assert ahead(through, nothing, garden.style) == ()
    assert (months_ahead(through, nothing), months_ahead(through, jobs["plant-hedges"])) == (0, 3)
    unpriced = jobs["plant-hedges"].model_copy(update={"costs": ()})
    assert ahead(through, unpriced, garden.style)[0].what == ("the plants",)
