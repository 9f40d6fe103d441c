"""A job that runs from one year into the next, begun and partly paid: the pages agree with each other, line by line."""

from __future__ import annotations

import re

import pytest

from quincunx.demos import DEMOS, demo_garden
from quincunx.garden import Garden, garden_from
from quincunx.review import Review
from quincunx.sheets import prepare
from quincunx.sheets._front import front
from quincunx.sheets._set import Set
from quincunx.sheets.saturday import page_of
from quincunx.sheets.what_changed import month_after
from quincunx.sheets.work_list import lines_of
from quincunx.sheets.years_chart import pages as chart_pages
from quincunx.units.dates import month_index
from quincunx.years.months import runs_of


def garden() -> Garden:
    jobs = [
        {"id": "path", "name": "Lay the path", "costs": [{"words": "All", "sum": 60000}], "hours": 30, "months": 3,
         "start": "2027-11"},
        {"id": "deck", "name": "Build the deck", "costs": [{"words": "All", "sum": 110000}], "hours": 50, "months": 3,
         "start": "2028-11", "large": True},
        {"id": "bed", "name": "Dig the bed", "costs": [{"words": "All", "sum": 4000}], "hours": 4, "start": "2027-03"},
    ]  # fmt: skip
    journal = [
        {"id": "e1", "day": "2027-03-09", "what": "done", "about": "bed", "sum": 4100, "hours": 6},
        {"id": "e2", "day": "2027-11-20", "what": "begun", "about": "path", "sum": 30000, "hours": 12},
    ]
    means = {"first_year": 2027, "years": 3, "sum_a_year": 150000, "hours_by_month": [10] * 12}
    return garden_from({"format": "quincunx/1", "jobs": jobs, "means": means, "journal": journal})


def made(of: Garden) -> Set:
    return prepare(of, judged=Review((), ()))


@pytest.mark.parametrize("it", [garden(), *(demo_garden(d.id) for d in DEMOS)], ids=lambda g: g.name)
def test_the_lines_of_a_year_come_to_what_stands_over_them(it: Garden) -> None:
    of = made(it)
    lines = [line for run in runs_of(it) for line in lines_of(of, run)]
    for year in of.timeline.years:
        own = [line for line in lines if line.month // 12 == year]
        assert sum(line.money for line in own) == of.money[year].spent, year
        assert sum(line.hours for line in own) == pytest.approx(of.money[year].worked_h, abs=1.0), year


def test_a_year_in_which_a_job_goes_on_says_so() -> None:
    of = made(garden())
    lines = {(line.month // 12, line.what): line for run in runs_of(garden()) for line in lines_of(of, run)}
    assert lines[2027, "Lay the path (begun); 30 h in all"].money == 30000
    on = lines[2028, "Go on with “Lay the path”"]
    assert (on.when, on.money, on.hours) == ("January", 30000, 8.0)  # ten of the eighteen left are done in December
    assert (2029, "Go on with “Build the deck”") in lines


def words(page: object) -> str:
    return str(page)


def test_the_first_page_and_saturday_tell_what_is_left_of_it() -> None:
    of = made(garden())
    assert "First: Lay the path, November 2027 (18 h, €300 to go)." in words(front(of, ()))
    job = next(j for j in of.garden.jobs if j.id == "path")
    told = words(page_of(of, "2028-01", [job]))
    assert "Begun: 18 h of own work left of those planned." in told
    assert "Of that €300 is paid, as the journal says." in told
    assert "30 h of own work over 3 months" not in told


def test_nothing_is_said_to_go_of_a_job_of_which_nothing_is_left_but_to_call_it_done() -> None:
    it = garden()
    journal = [e.changed(sum=60000, hours=30) if e.id == "e2" else e for e in it.journal]
    assert "First: Lay the path, November 2027." in words(front(made(it.changed(journal=tuple(journal))), ()))


def test_the_chart_tells_the_hours_a_done_job_took() -> None:
    svg = words(list(chart_pages(made(garden()))))
    assert re.search(r"€41 · 6 h", svg)
    assert not re.search(r"€41 · 4 h", svg)


def test_what_changed_plans_from_this_month_where_the_journal_is_older() -> None:
    of = made(garden())
    assert month_after(of) == "2027-12"
    assert month_after(of.since(month_index("2028-06"))) == "2028-06"
    assert month_after(of.since(month_index("2027-02"))) == "2027-12"
