"""Something costs more: which sums it touches, what they become, one edit that goes back."""

from __future__ import annotations

import pytest
from hypothesis import given, strategies as st

from quincunx.demos import demo_garden
from quincunx.garden import apply, garden_from
from quincunx.garden.dearer import DearerError, dearer, read_dearer
from quincunx.works import Entry


def plot(**more):
    jobs = [
        {"id": "shelter", "name": "Shelter", "costs": [{"words": "Timber and footings", "sum": 82000, "low": 70000, "high": 100001},
                                                       {"words": "Roofing", "sum": 26000}]},
        {"id": "fence", "name": "Fence", "costs": [{"words": "Mesh, posts, wire", "sum": 64001}]},
        {"id": "sign", "name": "Signpost", "costs": [{"words": "Outposts", "sum": 100}]},
    ]  # fmt: skip
    prices = [
        {"id": "timber-45x95", "words": "Rail", "unit": "m", "sum": 400, "supplier": "timber yard"},
        {"id": "gravel", "words": "Gravel", "unit": "m3", "sum": 5000},
        {"id": "found", "words": "Old posts", "unit": "each", "sum": 0},
    ]
    return garden_from({"format": "quincunx/1", "jobs": jobs, "prices": prices, **more})


def test_lines_that_name_it_rise_and_nothing_else_does():
    garden = plot()
    found = dearer(garden, "timber, posts +30%")
    assert [(x.job, x.was, x.now) for x in found.lines] == [("shelter", 82000, 106600), ("fence", 64001, 83202)]
    then, back = apply(garden, found.edit)
    assert [[c.sum for c in j.costs] for j in then.jobs] == [[106600, 26000], [83202], [100]]
    assert (then.jobs[0].costs[0].low, then.jobs[0].costs[0].high) == (91000, 130002)
    assert {p.id: p.sum for p in then.prices} == {"timber-45x95": 520, "gravel": 5000, "found": 0}
    assert apply(then, back)[0] == garden
    said = found.sentence(garden.style)
    assert "Timber and footings" in said
    assert "more in all" in said
    assert "Of the price list 1 line." in said


def test_what_is_done_stays_as_it_was_paid():
    done = Entry.model_validate({"id": "e", "day": "2027-05-01", "what": "done", "about": "shelter"})
    garden = plot().model_copy(update={"journal": (done,)})
    assert [x.job for x in dearer(garden, "timber, posts +30%").lines] == ["fence"]


def test_everything_falls_where_nothing_is_named():
    assert [x.now for x in dearer(plot(), "-10%").lines] == [73800, 23400, 57601, 90]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("timber", "by a share"),
        ("timber +x%", "by a share"),
        ("timber -95%", "between 0.1 and 10"),
        ("timber +1000%", "between 0.1 and 10"),
        ("copper +3%", "Nothing still to be paid is called “copper”. There are: Mesh"),
    ],
)
def test_what_can_not_be_read_is_said(text, words):
    with pytest.raises(DearerError, match=words.replace("+", r"\\+")):
        dearer(plot(), text)


@given(st.lists(st.sampled_from(["timber", "old oak", "post 4 × 4"]), max_size=3), st.integers(-90, 900))
def test_any_words_and_share_are_read(words, share):
    text = f"{', '.join(words)} {share:+d}%"
    what, factor = read_dearer(text)
    assert what == tuple(words)
    assert factor == pytest.approx(1 + share / 100)


@pytest.mark.parametrize("demo", ["ropewalk", "kettle-hill"])
def test_timber_in_the_demonstrations_is_found(demo):
    garden = demo_garden(demo)
    found = dearer(garden, "timber, boards, posts +30%")
    assert len(found.lines) >= 4
    assert found.prices > 10
    assert found.more == pytest.approx(0.3 * sum(x.was for x in found.lines), abs=len(found.lines))


def test_a_word_that_no_line_bears_is_a_jobs_name() -> None:
    found = dearer(plot(), "shelter +10%")
    assert [(x.job, x.was, x.now) for x in found.lines] == [("shelter", 82000, 90200), ("shelter", 26000, 28600)]
    both = dearer(plot(), "posts, shelter +10%")  # posts are named by a line; the shelter by its name only
    assert [x.job for x in both.lines] == ["shelter", "shelter", "fence"]
    assert both.prices == 0


def test_everything_may_be_called_so() -> None:
    assert dearer(plot(), "everything -10%").lines == dearer(plot(), "-10%").lines
    assert read_dearer("All +5%") == ((), 1.05)


def test_what_was_paid_of_a_begun_job_was_paid_at_the_old_price() -> None:
    paid = Entry.model_validate({"id": "e", "day": "2027-05-01", "what": "begun", "about": "fence", "sum": 32000})
    garden = plot().model_copy(update={"journal": (paid,)})
    (line,) = dearer(garden, "mesh +10%").lines
    assert line.now - line.was == 3201  # a tenth of what is left, 32 001, rounded up
    over = paid.model_copy(update={"sum": 70000})
    with pytest.raises(DearerError, match="Nothing still to be paid"):
        dearer(plot().model_copy(update={"journal": (over,)}), "mesh +10%")
