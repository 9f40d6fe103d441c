"""The question of feet: rooms in washes, what is in the way, leaks, the value under the pointer."""

from __future__ import annotations

import base64
import types
from typing import Any

import numpy as np
import pytest
import shapely

from quincunx.board.asking import RESERVED, Answer, Input, Lead, Offer, Option, Table
from quincunx.garden import Edit, Op
from quincunx.shapes import Amounts, Band
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
    feet, *_ = window.get("/api/questions")
    assert (feet["name"], feet["asks"]) == ("feet", "Who can walk where?")
    show, who, start, loads, end = feet["inputs"]
    assert (who["name"], who["takes"], who["default"]) == ("walker", "walker", "person")
    assert [o["id"] for o in show["options"]] == ["rooms", "ways", "wear", "works"]
    assert (start["takes"], loads["takes"], end["takes"]) == ("place", "choice", "place")
    assert [i["when"]["values"] for i in (start, loads)] == [["ways"], ["works"]]
    assert {"person", "roe"} <= {o["id"] for o in who["options"]}
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
    assert window.get("/api/question", walker="person", **ASK)["leads"] == []
    line = [[0.5, 0.5], [6, 0.5], [6, 6], [0.5, 6], [0.5, 1.6]]
    window.edit(change("features", "wall", closed=False, line=line))
    told = window.get("/api/question", walker="person", **ASK)
    (leak,) = told["leads"]
    assert leak["of"] == "green"
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
    assert len([f for f in told["figures"] if f["t"] == "area" and f.get("shade")]) == 1


def probe(**more) -> Any:
    """A question made for these tests: it says what it was given."""
    made: Any = types.ModuleType("probe")
    made.NAME, made.WORDS, made.ASKS = "probe", "Probe", "What were you given?"
    places = (Option("bench", "Bench", (2.0, 2.0)), Option("door", "Door", (10.5, 5.0)))
    made.inputs = lambda _at: (
        Input("look", "What", "choice", "a", (Option("a", "A"), Option("b", "B"))),
        Input("hour", "Hour", "hour", "12", least=4, most=20, when=("look", ("b",))),
        Input("seat", "Seat", "place", "bench", places),
    )

    def answer(_at, scene, given) -> Answer:
        values = np.arange(6, dtype=np.float32).reshape(2, 3)
        values[0, 0] = np.nan
        field = Amounts(0, 0, 1, values, "h", (Band(0, "little", 0), Band(3, "much", 6)))
        words = f"{given.choice('look')} {given.value('hour'):g} {given.place('seat').at} {scene.on}"
        row = ("one", "1")
        return Answer(
            words,
            field=field,
            below=(Table("T", ("a", "b"), (row,), ({"look": "b"},), 0),),
            leads=(Lead("Here.", (1, 2), "wall"),),
            offers=(Offer("Do it", Edit(label="L", ops=(Op(do="remove", part="features", id="seat"),))),),
            how=("So.",),
        )

    made.answer = answer
    for name, value in more.items():
        setattr(made, name, value)
    return made


@pytest.fixture
def asked(window, monkeypatch):
    """Ask the probe something."""

    def ask(*, status: int = 200, also: dict | None = None, path: str = "", **given):
        monkeypatch.setattr("quincunx.board.question.QUESTIONS", (probe(**(also or {})),))
        return window.get(f"/api/question{path}", status, name="probe", year=2029, month=8, **given)

    return ask


def test_inputs_are_given_by_the_query_or_their_defaults(asked):
    assert asked()["words"] == "a 12 (2.0, 2.0) 2029-08-31"
    told = asked(look="b", hour="15.5", seat="door")
    assert told["words"] == "b 15.5 (10.5, 5.0) 2029-08-31"
    assert told["given"] == {"look": "b", "hour": "15.5", "seat": "door"}
    assert asked(seat="3.25,4")["words"].split(" ", 2)[2].startswith("(3.25, 4.0)")


def test_what_an_input_can_not_take_is_refused_with_its_words(asked):
    assert "What: choose one of A, B" in asked(status=404, look="c")["error"]
    assert "Hour: 21 lies outside 4 to 20" in asked(status=422, hour="21")["error"]
    assert "Seat: choose a place" in asked(status=404, seat="nowhere")["error"]
    assert "number" in asked(status=422, seat="x,1")["error"]


def test_a_field_goes_over_as_bytes_and_lines(asked):
    told = asked()
    field = told["field"]
    cells = list(base64.b64decode(field["cells"]))
    assert cells == [255, 0, 62, 125, 188, 250]  # nothing, then 1 to 5 in 250 steps
    assert (field["rows"], field["columns"], field["low"], field["high"]) == (2, 3, 1.0, 5.0)
    assert [b["words"] for b in field["bands"]] == ["little", "much"]
    assert told["legend"] == [{"words": "much", "shade": 6}, {"words": "little", "shade": 0}]
    assert any(f["t"] == "path" for f in told["figures"])
    assert told["leads"] == [{"words": "Here.", "at": [1, 2], "of": "wall"}]
    (table,) = told["below"]
    assert (table["t"], table["chosen"], table["given"]) == ("table", 0, [{"look": "b"}])
    assert told["offers"][0]["edit"]["ops"] == [{"do": "remove", "part": "features", "id": "seat"}]
    assert told["how"] == ["So."]


def test_a_rough_answer_comes_first_and_the_fine_one_is_kept(asked):
    calls = []
    also = {"rough": lambda *_: Answer("about", rough="Rough at first."), "ready": lambda: calls.append("ready")}
    assert asked(also=also)["rough"] == "Rough at first."
    assert calls == []
    assert asked(also=also, fine=1)["rough"] == ""
    assert calls == ["ready"]
    assert asked(also=also)["words"].startswith("a 12")  # kept: nothing rough any more
    assert asked(also={"rough": lambda *_: None}, look="b")["words"].startswith("b 12")


def test_the_page_reads_a_field_where_the_question_says_nothing_of_places(asked, window, monkeypatch):
    assert "reads its field" in asked(status=404, path="/at", x=1, y=1)["error"]
    assert [q["value"] for q in window.get("/api/questions")] == [False]
    also = {"value": lambda _at, _scene, given, where: f"{given.choice('look')} at {where}"}
    assert asked(also=also, path="/at", x=1, y=2)["words"] == "a at (1.0, 2.0)"


def test_no_input_has_a_word_of_the_query_itself(window):
    for question in window.get("/api/questions"):
        names = [i["name"] for i in question["inputs"]]
        assert not set(names) & RESERVED
        assert len(set(names)) == len(names)
        for one in question["inputs"]:
            assert one["when"] is None or one["when"]["name"] in names
            assert one["takes"] not in ("choice", "walker") or one["default"] in {o["id"] for o in one["options"]}


def test_canes_are_asked_of_what_is_to_come_and_seen_from_where_one_stands(window):
    """Each cane has its row; what is too high has a lower string nearer to the spot; a thing that stands is not offered."""
    canes = next(q for q in window.get("/api/questions") if q["name"] == "canes")
    things = [o["id"] for o in canes["inputs"][0]["options"]]
    assert things
    told = window.get("/api/question", name="canes", year=2032, month=8, thing=things[0])
    (table,) = told["below"]
    assert table["head"][:2] == ["Cane", "String at"]
    assert len(table["rows"]) == sum(f["t"] == "text" for f in told["figures"])
    assert any("Cap the canes" in words for words in told["how"])
