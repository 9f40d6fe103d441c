"""A gate in the hand: its wall is drawn open where the gate is now, closed where it was, as it will be when let go."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from shapely import LineString, Point, Polygon, union_all
from shapely.geometry.base import BaseGeometry

from tests.board.windows import Window, change

ON = {"year": 2029, "month": 8}
WAS, NOW = (6.0, 3.0), (6.0, 4.8)


def drawn(figures: Iterable[dict[str, Any]], owner: str) -> BaseGeometry:
    """What is drawn of a thing, as one shape a hair wide."""
    lines = [f["points"] for f in figures if f["owner"] == owner and f["t"] == "path"]
    areas = [f["rings"][0] for f in figures if f["owner"] == owner and f["t"] == "area"]
    return union_all([*(LineString(p).buffer(1e-3) for p in lines), *(Polygon(r) for r in areas)])


def is_open(figures: Iterable[dict[str, Any]], at: tuple[float, float]) -> bool:
    return float(drawn(figures, "wall").distance(Point(at))) > 0.3


def test_the_wall_of_a_gate_that_is_pulled_stands_open_where_it_is_now(window: Window) -> None:
    before = window.get("/api/scene", **ON)["figures"]
    assert (is_open(before, WAS), is_open(before, NOW)) == (True, False)
    answer = window.post("/api/drag", ON | {"id": "gate", "move": {"dx": 0, "dy": 1.8}})
    assert answer["owners"] == ["gate", "wall"]
    assert (is_open(answer["figures"], WAS), is_open(answer["figures"], NOW)) == (False, True)
    window.edit(change("features", "gate", at=list(NOW)))
    after = drawn(window.get("/api/scene", **ON)["figures"], "wall")
    assert drawn(answer["figures"], "wall").symmetric_difference(after).area < 1e-6


def test_a_gate_that_leaves_its_wall_lets_it_close(window: Window) -> None:
    answer = window.post("/api/drag", ON | {"id": "gate", "move": {"dx": 3, "dy": 0}})
    assert answer["owners"] == ["gate", "wall"]
    assert not is_open(answer["figures"], WAS)


def test_a_wall_that_is_moved_keeps_its_gap_and_a_new_gate_opens_it(window: Window) -> None:
    moved = window.post("/api/drag", ON | {"id": "wall", "move": {"dx": 1.5, "dy": 0}})
    assert is_open(moved["figures"], (7.5, 3.0))
    gate = {"kind": "gate", "id": "gate-2", "at": list(NOW), "along_deg": 0, "there_from": "start"}
    tried = window.post("/api/preview", ON | {"feature": gate})
    assert tried["owners"] == ["gate-2", "wall"]
    assert is_open(tried["figures"], WAS)
    assert is_open(tried["figures"], NOW)


def test_a_copy_leaves_the_wall_as_it_is(window: Window) -> None:
    copied = window.post("/api/drag", ON | {"id": "gate", "move": {"dx": 0, "dy": 1.8}, "copy": True})
    assert copied["owners"] == ["gate"]


def test_what_cuts_nothing_is_drawn_alone(window: Window) -> None:
    for one in ("hedge", "path", "seat"):
        answer = window.post("/api/drag", ON | {"id": one, "move": {"dx": 0.1, "dy": 0}})
        assert answer["owners"] == [one]
