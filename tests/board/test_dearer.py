"""Something costs more, at the board: what it touches is said before it is written."""

import pytest

from tests.board.windows import change, put


def test_it_says_what_is_touched_then_writes_it_in_one_step(window):
    window.edit(put("prices", {"id": "gravel", "words": "Gravel", "unit": "m3", "sum": 6000}))
    found = window.post("/api/years/dearer", {"what": "gravel +50%"})
    assert "Of the price list 1 line." in found["words"]
    window.edit(*found["edit"]["ops"], label=found["edit"]["label"])
    assert [p["sum"] for p in window.get("/api/garden")["garden"]["prices"]] == [9000]
    window.post("/api/undo", {})
    assert [p["sum"] for p in window.get("/api/garden")["garden"]["prices"]] == [6000]


def test_what_is_named_nowhere_is_said(window):
    assert "unobtainium" in window.post("/api/years/dearer", {"what": "unobtainium +5%"}, 422)["error"]


@pytest.mark.parametrize(
    ("path", "body", "said"),
    [
        ("/api/years/what-if", {"ask": "money=soon"}, "soon"),
        ("/api/years/what-if", {"ask": "prices=unobtainium +5%"}, "Nothing still to be paid"),
        ("/api/years/what-if", {"ask": "wind=+20%"}, "not a question that can be asked here"),
    ],
)
def test_a_question_that_can_not_be_read_is_answered_in_one_sentence(window, path, body, said):
    assert said in window.post(path, body, 422)["error"]


def test_what_can_not_be_asked_is_said_before_any_order_is_looked_for(window, monkeypatch):
    looked = []
    monkeypatch.setattr("quincunx.years.order.order", lambda *_args, **_more: looked.append("order"))
    window.post("/api/years/what-if", {"ask": "prices=unobtainium +5%"}, 422)
    assert looked == []


def test_jobs_that_wait_for_each_other_are_refused_by_name(window):
    circle = [
        change("jobs", a, after=[{"job": b}]) for a, b in (("lay-path", "plant-hedge"), ("plant-hedge", "lay-path"))
    ]
    said = window.edit(*circle, status=422)["error"]
    assert "wait for each other in a circle" in said
    assert "Plant the hedge → Lay the path → Plant the hedge" in said


NONSENSE = [
    (change("jobs", "lay-path", months=3, window=[4], hours=3), "path"),
    (change("means", None, reserve=99_000_000), "kept back"),
]


@pytest.mark.parametrize(("wrong", "said"), NONSENSE)
@pytest.mark.parametrize("path", ["/api/years/what-if", "/api/years/again"])
def test_nonsense_is_named_in_one_sentence_by_whatever_is_asked(window, wrong, said, path):
    window.edit(wrong)
    first = window.get("/api/years")["years"][0]
    found = window.post(path, {"ask": "money=+20%", "month": f"{first}-01"}, 422)["error"]
    assert said in found
    assert found in window.get("/api/years")["breaks"]
    assert found.count(". ") == 0
