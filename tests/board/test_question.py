"""The question of feet: rooms in washes, what is in the way, leaks, the value under the pointer."""

from __future__ import annotations

import shapely

from tests.board.windows import change, put

ASK = {"name": "feet", "year": 2029, "month": 8}


def area(figures: list[dict], **having) -> shapely.Geometry:
    """The ground of the areas that have these things."""
    found = [f for f in figures if f["t"] == "area" and all(f.get(k) == v for k, v in having.items())]
    rings = [shapely.polygons(r) for f in found for r in f["rings"]]
    total = shapely.Polygon()
    for ring in rings:
        total = total.symmetric_difference(ring)
    return total


def test_what_can_be_asked_is_told(window):
    (feet,) = window.get("/api/questions")
    assert (feet["name"], feet["walker"], feet["ready"]) == ("feet", True, True)
    assert "can't be asked" in window.get("/api/question", 404, name="fate", year=2029)["error"]


def test_rooms_are_washed_and_free_ground_is_not(window):
    told = window.get("/api/question", walker="person", **ASK)
    green = next(r for r in told["rooms"] if r["id"] == "green")
    assert green["shade"] in range(1, 7)
    assert green["reached"]
    assert "losed all round" in green["words"]
    room = area(told["figures"], shade=green["shade"])
    assert room.covers(shapely.Point(3, 3))
    assert not room.intersects(shapely.Point(8, 4))
    free = area(told["figures"], shade=0)
    assert free.covers(shapely.Point(8, 4))
    # The wall's inner faces are 5.5 - 0.23 m apart each way, less nothing: a person stands right up to them.
    wall = 0.23
    assert abs(room.area - (5.5 - wall) ** 2) < 0.6


def test_what_is_in_the_way_is_hatched_so_that_colour_is_not_all(window):
    told = window.get("/api/question", walker="person", **ASK)
    closed = area(told["figures"], pattern="hatch")
    assert closed.intersects(shapely.Point(0.5, 4))
    assert not closed.covers(shapely.Point(3, 3))
    assert {"words", "shade"} <= set(told["legend"][0])
    assert any(row.get("pattern") == "hatch" for row in told["legend"])
    assert {f["text"] for f in told["figures"] if f["t"] == "text"} >= {"Green"}


def test_a_leak_is_shown_with_its_width(window):
    assert window.get("/api/question", walker="person", **ASK)["leaks"] == []
    line = [[0.5, 0.5], [6, 0.5], [6, 6], [0.5, 6], [0.5, 1.6]]
    window.edit(change("features", "wall", closed=False, line=line))
    told = window.get("/api/question", walker="person", **ASK)
    (leak,) = told["leaks"]
    assert leak["room"] == "green"
    assert abs(leak["at"][0] - 0.5) < 0.3
    # From the wall's end at y = 1.6 to the face of the wall along y = 0.5, half its 0.23 m thick.
    assert "0.98 m" in leak["words"] or "0.99 m" in leak["words"]
    green = next(r for r in told["rooms"] if r["id"] == "green")
    assert "leaks" in green["words"].lower()


def test_another_walker_has_other_ground(window):
    window.edit(change("features", "gate", latch="locked"))
    told = window.get("/api/question", walker="person", **ASK)
    assert not next(r for r in told["rooms"] if r["id"] == "green")["reached"]
    assert "Nobody walks" in window.get("/api/question", 404, walker="ghost", **ASK)["error"]
    assert window.get("/api/question", walker="roe", **ASK)["words"].startswith("Where roe deer can go")


def test_the_value_under_the_pointer(window):
    def at(x: float, y: float, walker: str = "person") -> str:
        return str(window.get("/api/question/at", walker=walker, x=x, y=y, **ASK)["words"])

    assert at(3, 3).startswith("Green. A person gets here from outside; ")
    assert "Old wall" in at(0.5, 4)
    assert "can't stand" in at(0.5, 4)
    assert at(8, 1).startswith("A person gets here from outside")
    assert at(500, 500) == "Beyond the ground of this plan."
    window.edit(change("features", "gate", latch="locked"))
    assert "can't get here" in at(3, 3)
    assert window.get("/api/question/at", 422, walker="person", x="here", y=1, **ASK)["error"]


def test_two_names_in_one_piece_of_ground_are_one_room_for_feet(window):
    window.edit(put("rooms", {"id": "corner", "name": "Corner", "inside": [5, 5]}))
    told = window.get("/api/question", walker="person", **ASK)
    shades = {r["id"]: r["shade"] for r in told["rooms"]}
    assert min(shades.values()) == 0
    assert len([f for f in told["figures"] if f["t"] == "area" and f["shade"]]) == 1
