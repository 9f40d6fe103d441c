"""A picture laid under the sheet by known points: its place, its misfit, and the point that is wrong."""

from __future__ import annotations

import math

import pytest


def at(u: float, v: float) -> list[float]:
    """A paper plan scanned at 50 px a metre, turned 10 degrees and shifted: worked out here."""
    turn = math.radians(10)
    x, y = u / 50, -v / 50
    return [
        round(3 + x * math.cos(turn) + y * math.sin(turn), 3),
        round(8 - x * math.sin(turn) + y * math.cos(turn), 3),
    ]


def lay(window, *points, **more):
    known = [{"u": u, "v": v, "at": place, "name": f"stake {n}"} for n, (u, v, place) in enumerate(points, 1)]
    value = {"picture": "photo-a", "wide": 800, "high": 600, "points": known, **more}
    window.edit({"do": "put", "part": "underlay", "value": value})
    return window.get("/api/underlay"), window.get("/api/scene", year=2029, month=8)["underlay"]


RIGHT = [(u, v, at(u, v)) for u, v in ((0, 0), (800, 0), (800, 600), (0, 600))]


def test_it_lies_where_its_points_say(window):
    told, under = lay(window, *RIGHT)
    assert told["laid"]
    assert told["words"][0] == "It fits its 4 points to within 1 mm."
    a, b, c, d, e, f = under["place"]
    assert (a * 400 + b * 300 + c, d * 400 + e * 300 + f) == pytest.approx(tuple(at(400, 300)), abs=0.002)


def test_a_wrong_point_shows(window):
    x, y = at(800, 600)
    five = [*RIGHT[:2], (800, 600, [x + 1.0, y]), RIGHT[3], (400, 300, at(400, 300)), (200, 400, at(200, 400))]
    told, _ = lay(window, *five)
    assert any(w.startswith("Stake 3 fits worst") for w in told["words"])
    assert len(told["off"]) == 6


def test_what_is_missing_is_said(window):
    assert window.get("/api/underlay") == {"laid": False, "words": [], "off": []}
    told, under = lay(window, *RIGHT[:2])
    assert (told["laid"], under) == (False, None)
    assert told["words"] == ["Mark 1 point more that you know on the ground; with three a wrong one shows."]
    told, under = lay(window, *RIGHT[:3], stretch=True)
    assert "a fourth would prove it" in told["words"][0]
    line = [(0, 0, [0, 0]), (0, 0, [1, 0]), (0, 0, [2, 0])]
    told, under = lay(window, *line)
    assert (told["laid"], under) == (False, None)
    assert told["words"][0].endswith(".")
    _, under = lay(window, *RIGHT, shown=False)
    assert under is None
    window.post("/api/undo")
    assert window.get("/api/scene", year=2029, month=8)["underlay"] is None


def test_a_picture_traced_in_the_first_steps_lies_as_it_was_traced_until_points_say_better(window):
    """800 by 600 px over 40 m, its lower left corner at 2 east and 1 north: 0.05 m a px, worked out by hand."""
    lay_of = {"at": [2, 1], "across": 40}
    told, under = lay(window, as_traced=lay_of)
    assert told["laid"]
    assert told["off"] == []
    assert told["words"][0].startswith("It lies as it did when the ground was traced from it, and nothing proves that.")
    assert "Mark 3 points more" in told["words"][0]
    assert under["place"] == pytest.approx([0.05, 0, 2, 0, -0.05, 31])
    told, under = lay(window, *RIGHT[:2], as_traced=lay_of)
    assert "Mark 1 point more" in told["words"][0]
    told, under = lay(window, *RIGHT, as_traced=lay_of)
    assert told["words"][0] == "It fits its 4 points to within 1 mm."
    a, b, c, d, e, f = under["place"]
    assert (a * 400 + b * 300 + c, d * 400 + e * 300 + f) == pytest.approx(tuple(at(400, 300)), abs=0.002)
