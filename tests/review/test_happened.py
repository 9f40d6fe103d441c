"""The journal at its places and in its years."""

from __future__ import annotations

from quincunx.garden import garden_from, timeline
from quincunx.review.happened import happened, happened_figures
from quincunx.shapes import PathFigure, TextFigure

GARDEN = {
    "format": "quincunx/1",
    "boundary": [[0, 0], [20, 0], [20, 10], [0, 10]],
    "features": [{"kind": "hedge", "id": "hedge", "name": "Long hedge", "line": [[0, 8], [10, 8]], "plant": "carpinus-betulus"}],
    "jobs": [{"id": "plant", "name": "Plant the hedge", "does": ["hedge"], "start": "2027-11"}],
    "means": {"first_year": 2027, "years": 3},
    "journal": [
        {"id": "d", "day": "2027-11-20", "what": "done", "about": "plant", "sum": 9000},
        {"id": "b", "day": "2028-04-02", "what": "browsed", "about": "hedge", "text": "roe, the lower half"},
        {"id": "l", "day": "2028-07-09", "what": "lost", "about": "hedge"},
        {"id": "p", "day": "2028-09-01", "what": "harvest", "about": "hedge", "amount": 2.5, "unit": "kg"},
        {"id": "n", "day": "2028-10-01", "what": "note", "text": "a dry year"},
        {"id": "t", "day": "2028-10-02", "what": "ticked", "about": "plant", "points": ["buy/1"]},
        {"id": "h", "day": "2028-10-03", "what": "hours", "about": "plant", "hours": 3},
        {"id": "s", "day": "2028-10-04", "what": "spent", "about": "plant", "sum": 8800, "text": "mulch"},
        {"id": "g", "day": "2028-10-05", "what": "begun", "about": "plant"},
        {"id": "e", "day": "2028-10-06", "what": "done", "about": "plant", "sum": 100, "hours": 2.5},
    ],
}  # fmt: skip


def told(year: int):
    garden = garden_from(GARDEN)
    return happened(garden, timeline(garden), year)


def test_each_year_tells_its_own():
    assert [h.line for h in told(2027)] == ["20 Nov: Plant the hedge done €90"]
    assert [h.line for h in told(2028)] == [
        "2 Apr: Long hedge browsed, about a year of growth gone: roe, the lower half", "9 Jul: Long hedge lost",
        "1 Sep: Long hedge picked 2.5 kg", "1 Oct: a dry year",
        "3 Oct: Plant the hedge 3 h of work", "4 Oct: Plant the hedge €88 spent: mulch", "5 Oct: Plant the hedge begun",
        "6 Oct: Plant the hedge done €1, 2 h 30 of work",
    ]  # fmt: skip
    assert told(2029) == ()


def test_marks_stand_at_their_thing_under_each_other_and_what_died_is_crossed_out():
    figures = happened_figures(told(2028))
    words = [f for f in figures if isinstance(f, TextFigure)]
    assert [f.text for f in words] == ["browsed", "lost", "picked 2.5 kg", "done €1"]  # money and hours have no place
    assert len({f.at for f in words}) == 4
    assert words[0].at[1] == 8.0
    strokes = [f for f in figures if isinstance(f, PathFigure) and not f.closed]
    assert {f.owner for f in strokes} == {"l"}
    assert {f.role for f in figures} == {"pin"}
