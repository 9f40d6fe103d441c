"""Papers: the sheets there are, a look at each, the PDF."""

from __future__ import annotations

import pypdfium2
import pytest

from quincunx.sheets import SHEETS
from quincunx.units import Style, format_bytes
from tests.photos import a_photo


def pages(data: bytes) -> int:
    return len(pypdfium2.PdfDocument(data))


def test_every_sheet_is_offered(window):
    told = window.get("/api/papers")
    assert [s["id"] for s in told] == [s.ID for s in SHEETS]
    assert all(s["words"] and s["about"] for s in told)


def test_sheets_that_would_hold_nothing_are_told_with_what_they_need(window):
    told = window.get("/api/papers/empty")
    assert "No still is kept yet" in told["stills"]
    assert not {"plan", "years-table", "readings-form"} & set(told)
    for name in ("notes", "stills"):
        assert int(window.get(f"/api/papers/preview/{name}.svg").headers["x-pages"]) == 1, (
            "the page that says what it needs"
        )


def test_a_sheet_is_looked_at_as_it_prints(window):
    reply = window.get("/api/papers/preview/plan.svg")
    assert reply.headers["content-type"].startswith("image/svg+xml")
    assert reply.content.lstrip().startswith(b"<svg")
    assert int(reply.headers["x-pages"]) >= 1
    assert "script-src" not in reply.headers["content-security-policy"]
    assert "sandbox" in reply.headers["content-security-policy"]
    assert window.get("/api/papers/preview/plan.svg", 404, page=99)["error"]
    assert window.get("/api/papers/preview/nothing.svg", 404)["error"]


def test_sheets_are_bound_and_fetched(window):
    told = window.post("/api/papers", {"sheets": ["years-table", "plan"], "paper": "A3", "scale": 100})
    reply = window.get(told["file"])
    assert reply.content.startswith(b"%PDF")
    assert len(reply.content) == told["bytes"]
    assert 'filename="small.pdf"' in reply.headers["content-disposition"]
    assert pages(reply.content) == 2
    assert window.get("/api/papers/file/guess.pdf", 404)["error"]


def test_one_sheet_as_a_pdf_at_once(window):
    reply = window.get("/api/papers/plan.pdf", sheets="plan")
    assert reply.headers["content-type"] == "application/pdf"
    assert reply.headers["content-security-policy"] == "frame-ancestors 'self'", "only our own page may frame it"
    assert reply.headers["x-frame-options"] == "SAMEORIGIN"
    assert pages(reply.content) == 1


@pytest.mark.parametrize(
    "body",
    [
        {"paper": "A0"},
        {"scale": "big"},
        {"scale": 0.5},
        {"scale": 1e9},
        {"sheets": 3},
        {"sheets": [3]},
        {"sheets": ["nothing"]},
        {"sheets": ["plan"] * 99},
    ],
)
def test_what_can_not_be_printed_is_said(window, body):
    assert window.post("/api/papers", body, 422)["error"]


def test_builders_get_their_drawing_and_their_forms_to_keep(window):
    drawing = window.get("/api/papers/works.dxf")
    assert drawing.content.startswith(b"  0\nSECTION")
    assert b"EXCAVATION" in drawing.content
    assert "attachment" in drawing.headers["content-disposition"]
    for name in ("asked", "bill"):
        reply = window.get(f"/api/papers/{name}.xlsx")
        assert reply.content.startswith(b"PK")
        assert ".xlsx" in reply.headers["content-disposition"]


def test_a_small_set_is_printed_with_one_touch(window):
    told = window.get("/api/papers/sets")
    assert [s["id"] for s in told] == ["to-carry", "to-help"]
    for one in told:
        reply = window.get(f"/api/papers/sets/{one['id']}.pdf")
        assert reply.headers["content-type"] == "application/pdf"
        assert f"small-{one['id']}.pdf" in reply.headers["content-disposition"]
        assert pages(reply.content) >= 3
    assert "There are: to-carry" in window.get("/api/papers/sets/all.pdf", 422)["error"]


def test_the_garden_is_made_one_page_that_says_its_size_before_it_is_kept(window):
    picture = window.post("/api/pictures", {"picture": a_photo(), "words": "x"})["id"]
    peg = {"id": "by-gate", "name": "By the gate", "at": [1, 1], "look_at": [5, 5]}
    window.edit({"do": "put", "part": "pegs", "id": "by-gate", "value": peg})
    assert [c["photos"] for c in window.get("/api/papers/photos")] == [0, 0, 0]
    taken = {"photos": [{"picture": picture, "day": "2027-06-20"}]}
    window.edit({"do": "change", "part": "pegs", "id": "by-gate", "value": taken})
    assert [(c["id"], c["photos"]) for c in window.get("/api/papers/photos")] == [("pegs", 1), ("all", 1), ("none", 0)]
    sizes = {}
    for which in ("pegs", "none"):
        told = window.post("/api/papers/given", {"photos": which})
        reply = window.get(told["file"])
        assert reply.headers["content-type"].startswith("text/html")
        assert "attachment" in reply.headers["content-disposition"]
        assert "small.html" in reply.headers["content-disposition"]
        assert reply.content.startswith(b"<!doctype html>")
        assert told["size"] == format_bytes(len(reply.content), Style())
        assert ("1 photo (" in told["words"]) == (which == "pegs")
        sizes[which] = reply.content.count(b"data:image/jpeg")
    assert sizes == {"pegs": 1, "none": 0}
    of_year = window.get(window.post("/api/papers/given", {"photos": "none", "year": 2028})["file"]).text
    assert "What was done in 2028" in of_year
    for odd in ("2028", True, 2050):
        assert "year" in window.post("/api/papers/given", {"photos": "none", "year": odd}, 422)["error"]
    assert "There are: pegs, all, none" in window.post("/api/papers/given", {"photos": "some"}, 422)["error"]
