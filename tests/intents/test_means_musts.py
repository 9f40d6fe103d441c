"""The musts about money and hours."""

import pytest
from shapely import box

from quincunx.intents import Words
from quincunx.intents.hours_no_more import HoursNoMore
from quincunx.intents.spend_no_more import SpendNoMore
from quincunx.scene import Frame, Timeline
from quincunx.shapes import State
from quincunx.site.ground import Ground
from quincunx.works import CostLine, Job, Means


def line(**means: object) -> Timeline:
    jobs = [
        Job(id="wall", name="wall", costs=(CostLine(words="brick", sum=300000),), hours=40.0, start="2027-04"),
        Job(id="shed", name="shed", costs=(CostLine(words="kit", sum=100000),), hours=90.0, start="2028-05"),
    ]
    given = Means(first_year=2027, years=3, sum_a_year=240000, hours_by_month=(10.0,) * 12, upkeep_by_month=(4.0,) * 12)
    return Timeline(Frame(box(0, 0, 1, 1), Ground.flat()), (), jobs, given.changed(**means))


def states(intent, timeline: Timeline) -> list[State]:
    return [intent.judge(timeline, y, Words.of(timeline)).state for y in timeline.years]


def test_a_year_that_costs_more_than_the_sum():
    intent = SpendNoMore(id="m", sum=250000)
    assert states(intent, line(opening=100000)) == [State.FAILS, State.HOLDS, State.HOLDS]
    verdict = intent.judge(line(opening=100000), 2027, Words())
    assert (verdict.measured, verdict.target, verdict.margin) == (300000.0, 250000.0, -50000.0)
    assert verdict.because == "€3,000 is spent in 2027; €500 too much."


def test_a_year_that_runs_short():
    verdict = SpendNoMore(id="m", sum=400000).judge(line(), 2027, Words())
    assert verdict.state == State.FAILS
    assert verdict.because == "€3,000 is spent in 2027 and €600 is lacking."
    assert states(SpendNoMore(id="m", sum=400000, never_short=False), line()) == [State.HOLDS] * 3


def test_what_is_kept_back_is_not_spent():
    assert states(SpendNoMore(id="m"), line(opening=60000)) == [State.HOLDS] * 3
    assert states(SpendNoMore(id="m"), line(opening=60000, reserve=1))[0] == State.FAILS


@pytest.mark.parametrize(("hours", "second"), [(None, State.FAILS), (140.0, State.HOLDS), (137.9, State.FAILS)])
def test_hours_of_works_and_upkeep(hours, second):
    # 2028: the shed's 90 h and 12 x 4 h of upkeep are 138 h; 120 h are given.
    intent = HoursNoMore(id="m", hours=hours)
    assert states(intent, line()) == [State.HOLDS, second, State.HOLDS]
    assert intent.judge(line(), 2028, Words()).measured == pytest.approx(138.0)


def test_years_outside_the_plan_are_unknown():
    assert SpendNoMore(id="m").judge(line(), 2040, Words()).state == State.UNKNOWN
    assert HoursNoMore(id="m").judge(line(), 2040, Words()).state == State.UNKNOWN
