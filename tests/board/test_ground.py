"""The measured ground over the wire: readings in, what they say, one touch to mend, the boundary from stakes."""

from __future__ import annotations

import math
from collections.abc import Iterator
from pathlib import Path

import pytest

from quincunx.board.desk import Desk
from quincunx.board.ground import ground_json
from quincunx.demos import demo_garden
from quincunx.garden import garden_from
from quincunx.store import Store
from quincunx.survey import find_misreadings
from tests.board.windows import Window, board

# A rectangle 3 by 4 with its diagonals: 3-4-5, and a point inside, 1.5 by 2.
RECTANGLE = "A B 4\nB C 3\nC D 4\nD A 3\nA C 5\nB D 5\nA>B sees C left\nA E 2.5\nB E 2.5\nC E 2.5\nA>B sees E left"


@pytest.fixture
def kettle(tmp_path: Path) -> Iterator[Window]:
    """A window on the demonstration garden in feet whose survey has one swapped reading."""
    path = tmp_path / "kettle.quincunx"
    Store.create(path, demo_garden("kettle-hill")).close()
    client, keys = board(Desk(path))
    with client:
        client.get(f"/?token={keys.token}")
        yield Window(client)


def at(told: dict) -> dict[str, list[float]]:
    return {s["name"]: s["at"] for s in told["stakes"]}


def test_readings_become_stakes_in_one_edit_that_can_be_taken_back(window):
    assert window.get("/api/ground")["readings"] == []
    told = window.post("/api/ground/readings", {"text": RECTANGLE})
    assert (told["added"], told["problems"]) == (11, [])
    ground = window.get("/api/ground")
    places = at(ground)
    assert math.dist(places["A"], places["C"]) == pytest.approx(5, abs=1e-4)
    assert math.dist(places["B"], places["E"]) == pytest.approx(2.5, abs=1e-4)
    assert {f["text"] for f in ground["figures"] if f["t"] == "text"} >= {"A", "B", "C", "D", "E"}
    assert window.get("/api/garden")["can_undo"] == "Add readings"
    window.post("/api/undo")
    assert window.get("/api/ground")["readings"] == []
    assert window.get("/api/garden")["can_undo"] is None


def test_a_slow_search_is_stopped_with_what_is_known_and_gone_on_with(window, monkeypatch):
    def stopped_at_once(*given, **more):
        monkeypatch.undo()
        assert window.post("/api/ground/stop")["stopped"]  # while it runs
        return find_misreadings(*given, **more)

    assert not window.post("/api/ground/stop")["stopped"]
    window.post("/api/ground/readings", {"text": RECTANGLE.replace("B E 2.5", "B E 5.2")})
    monkeypatch.setattr("quincunx.review.ground.find_misreadings", stopped_at_once)
    ground = window.get("/api/ground")
    assert ground["halted"]
    assert ground["words"].endswith("The search was stopped: this is the best that was known by then.")
    assert len(at(ground)) == 5
    assert window.get("/api/ground")["halted"]  # kept
    assert window.post("/api/ground/on")["again"]
    whole = window.get("/api/ground")
    assert not whole["halted"]
    assert "stopped" not in whole["words"]
    assert not window.post("/api/ground/on")["again"]


def test_a_bearing_with_swapped_digits_is_put_right_with_one_touch(window):
    lines = "A>B 34 deg 25.43\nB>C 97 deg 30.93\nC>D 117 deg 22.79\nD>E 262 deg 18.07\nE>A 284 deg 31.55"
    window.post("/api/ground/readings", {"text": lines})
    (bad,) = window.get("/api/ground")["suspects"]
    assert bad["takes"] == [{"text": "171 deg", "why": "swapped digits"}]
    window.post("/api/ground/take", {"reading": bad["reading"], "text": "171 deg"})
    ground = window.get("/api/ground")
    assert not ground["suspects"]
    assert "C>D 171 deg" in [r["line"] for r in ground["readings"]]
    assert window.get("/api/garden")["can_undo"] == "Read C–D as 171 deg"


def test_a_line_that_can_not_be_read_comes_back_with_a_sentence(window):
    told = window.post("/api/ground/readings", {"text": "A B 4\nA B\n\nA A 3 # mud\nC D 1,2,3"})
    assert told["added"] == 1
    assert [p["line"] for p in told["problems"]] == [2, 4, 5]
    assert all(p["because"].endswith(".") for p in told["problems"])
    assert "two different stakes" in told["problems"][1]["because"]
    revision = window.get("/api/garden")["revision"]
    nothing = window.post("/api/ground/readings", {"text": "only words"})
    assert (nothing["added"], nothing["revision"], len(nothing["problems"])) == (0, revision, 1)


def test_two_windows_lose_no_reading(window):
    window.post("/api/ground/readings", {"text": "A B 4"})
    window.post("/api/ground/readings", {"text": "A C 5"})
    assert [r["id"] for r in window.get("/api/ground")["readings"]] == ["r1", "r2"]


def test_the_swapped_reading_is_mended_with_one_touch(kettle):
    ground = kettle.get("/api/ground")
    (bad,) = ground["suspects"]
    assert bad["takes"][0]["text"] == bad["meant"]["text"]
    kettle.post("/api/ground/take", {"reading": bad["reading"], "text": bad["takes"][0]["text"]})
    after = kettle.get("/api/ground")
    assert after["suspects"] == []
    line = next(r["line"] for r in after["readings"] if r["id"] == bad["reading"])
    assert bad["takes"][0]["text"] in line
    again = kettle.post("/api/ground/take", {"reading": bad["reading"], "text": bad["takes"][0]["text"]}, 409)
    assert "Look again" in again["error"]
    kettle.post("/api/undo")
    assert kettle.get("/api/ground")["suspects"] == ground["suspects"]


def test_no_length_but_a_likely_one_is_taken(kettle):
    (bad,) = kettle.get("/api/ground")["suspects"]
    kettle.post("/api/ground/take", {"reading": bad["reading"], "text": "1 ft"}, 409)
    kettle.post("/api/ground/take", {"reading": "r9999", "text": "1 ft"}, 409)


def test_each_likely_length_says_why_it_is_likely(window):
    lines = "A B 40\nA C 39.36\nA D 32.34\nA E 58.52\nB C 41.34\nB D 32.34\nB E 25\nC D 60.63\nC E 39.92\nD E 57.34"
    window.post("/api/ground/readings", {"text": lines})
    (bad,) = window.get("/api/ground")["suspects"]
    assert bad["takes"] == [
        {"text": "32.43", "why": "swapped digits"},
        {"text": "32.440 m", "why": "the tape's zero not at its end"},
    ]


def test_a_reading_taken_out_takes_the_stake_only_it_named(window):
    window.post("/api/ground/readings", {"text": "A B 4\nA X 2"})
    ground = window.get("/api/ground")
    assert any("X" in s["words"] for s in ground["swings"])
    last = ground["readings"][-1]["id"]
    window.post("/api/ground/take-out", {"reading": last})
    after = window.get("/api/ground")
    assert [s["name"] for s in after["stakes"]] == ["A", "B"]
    window.post("/api/ground/take-out", {"reading": last}, 409)
    window.post("/api/undo")
    assert window.get("/api/ground")["readings"] == ground["readings"]


def test_the_hand_on_which_a_stake_lies_is_asked_and_answered(window):
    window.post("/api/ground/readings", {"text": "A B 4\nB C 3\nA C 5"})
    (question,) = window.get("/api/ground")["questions"]
    ends = {k: question[k] for k in ("start", "end", "point")}
    crossed = []
    for side in ("left", "right"):
        window.post("/api/ground/seen", {**ends, "side": side})
        ground = window.get("/api/ground")
        assert ground["questions"] == []
        p = {s["id"]: s["at"] for s in ground["stakes"]}
        (ax, ay), (bx, by), (cx, cy) = (p[ends[k]] for k in ("start", "end", "point"))
        crossed.append((bx - ax) * (cy - ay) - (by - ay) * (cx - ax))
        window.post("/api/undo")
    assert crossed[0] > 0 > crossed[1]
    window.post("/api/ground/seen", {**ends, "side": "up"}, 422)
    window.post("/api/ground/seen", {**ends, "point": "q", "side": "left"}, 422)


def test_the_boundary_is_drawn_through_stakes(window):
    window.post("/api/ground/readings", {"text": RECTANGLE})
    window.post("/api/ground/boundary", {"stakes": ["a", "b", "c", "d"]})
    drawn = window.get("/api/garden")["garden"]["boundary"]
    places = at(window.get("/api/ground"))
    assert drawn == [[pytest.approx(v, abs=1e-3) for v in places[n]] for n in "ABCD"]
    for wrong in (["a", "b"], ["a", "b", "nowhere"]):
        assert window.post("/api/ground/boundary", {"stakes": wrong}, 422)["error"]
    window.post("/api/ground/boundary", {"stakes": "abc"}, 422)


def test_things_heights_and_a_level_place_come_from_stakes(window):
    levels = "A B rises 0.3 by water level\nA C rises 0.2 by water level\nA D falls 0.1 by water level"
    window.post("/api/ground/level", {"stakes": ["a", "b", "c", "d"]}, 422)
    assert window.post("/api/ground/readings", {"text": f"{RECTANGLE}\n{levels}"})["problems"] == []
    ground = window.get("/api/ground")
    assert {"house", "tree"} <= {kind for kind, *_ in ground["drawn"]}
    assert ground["heights_to_take"] == 4
    window.post("/api/ground/draw", {"kind": "tree", "stakes": ["e"]})
    (tree,) = [f for f in window.get("/api/garden")["garden"]["features"] if f["id"] == "tree"]
    assert tree["at"] == [pytest.approx(v, abs=1e-3) for v in at(ground)["E"]]
    window.post("/api/ground/draw", {"kind": "house", "stakes": ["a"]}, 422)
    window.post("/api/ground/heights", {})
    assert len(window.get("/api/garden")["garden"]["levels"]["heights"]) == 4
    assert window.get("/api/ground")["heights_to_take"] == 0
    words = window.post("/api/ground/level", {"stakes": ["a", "b", "c", "d"], "at": "0.1"})["words"]
    assert words[0].startswith("12.0 m² made level at ")
    assert window.post("/api/ground/level", {"stakes": ["a", "c", "b", "d"]}, 422)["error"].startswith("The outline")
    assert window.post("/api/ground/level", {"stakes": ["a", "b", "c"], "at": "much"}, 422)["error"]
    known = {s["name"]: s["at"] for s in window.get("/api/ground/stakes")}
    assert known["E"] == [pytest.approx(v, abs=1e-3) for v in at(ground)["E"]]


def test_a_way_walked_by_compass_is_told_and_the_needle_put_right(kettle):
    assert kettle.get("/api/ground")["walked"] is None
    legs = "P>Q 10 deg 40'\nQ>R 130 deg 40'\nR>P 251 deg 40'"
    kettle.post("/api/ground/readings", {"text": legs})
    ground = kettle.get("/api/ground")
    assert len(ground["walked"]["rows"]) == 3
    assert "World Magnetic Model" in ground["needle"]
    kettle.post("/api/ground/needle", {})
    assert kettle.get("/api/ground")["needle"] == ""
    assert kettle.get("/api/garden")["garden"]["survey"]["declination_deg"] < -5  # the needle points west there


def test_the_examples_offered_can_be_read(kettle, window):
    for one in (kettle, window):
        lines = [line for line, _ in one.get("/api/ground")["writing"]]
        told = one.post("/api/ground/readings", {"text": "\n".join(lines)})
        assert told["problems"] == []


def test_a_garden_with_a_comma_reads_commas():
    garden = garden_from({"format": "quincunx/1", "name": "Garten", "writing": {"decimal_mark": ","}})
    assert ground_json(garden)["writing"][0][0] == "A B 12,34"
    assert ground_json(garden)["bounds"] is None


def test_what_is_typed_was_taken_with_the_one_tape_there_is(window):
    """One tape, and all that was taped is taken with it; paces are not."""
    window.post("/api/ground/readings", {"text": "A B 12.34"})
    tape = {"id": "reel", "name": "Reel", "tape_class": "II"}
    window.edit({"do": "change", "part": "survey", "value": {"instruments": [tape]}})
    assert window.get("/api/ground")["untold"] == 1
    window.post("/api/ground/with", {"instrument": "reel"})
    assert window.get("/api/ground")["untold"] == 0
    window.post("/api/ground/readings", {"text": "B C 10\nA C 9\nA B 30 paces"})
    readings = window.get("/api/garden")["garden"]["survey"]["readings"]
    assert [r.get("instrument") for r in readings] == ["reel", "reel", "reel", None]
    assert "no longer there" in window.post("/api/ground/with", {"instrument": "gone"}, 422)["error"]


def test_north_is_found_and_kept_over_the_wire(kettle: Window) -> None:
    sights = ["A>B compass 103 2027-05-01", "A>D compass 14 2027-05-01"]
    before = kettle.get("/api/garden")["revision"]
    told = kettle.post("/api/ground/north", {"lines": sights})
    assert told["found"]
    assert [s["good"] for s in told["sights"]] == [True, True]
    assert "of true north here in" in told["needle"]
    assert told["revision"] == before  # asking changes nothing
    kept = kettle.post("/api/ground/north", {"lines": sights, "keep": True})
    assert kept["now"] in kept["words"]
    assert kettle.get("/api/garden")["can_undo"] == "Say where true north is"
    assert not kettle.post("/api/ground/north", {"lines": ["nonsense"]})["found"]


def test_stakes_taped_after_the_ground_was_drawn_are_laid_on_it_with_one_touch(window):
    """3 by 4, drawn by eye with its first side north: the tapes come out east of the datum and are turned onto it."""
    window.edit({"do": "change", "part": "boundary", "value": [[0, 0], [0, 4.1], [-3, 4], [-3.1, 0]]})
    told = window.post("/api/ground/readings", {"text": "A B 4\nB C 3\nC D 4\nD A 3\nA C 5\nB D 5\nA>B sees C left"})
    assert told["added"] == 7
    ways = window.get("/api/ground")["lie"]
    assert len(ways) == 2
    assert "4 stakes have the shape of the boundary" in ways[0]
    window.post("/api/ground/lay", {"way": 0})
    ground = window.get("/api/ground")
    assert ground["lie"] == []
    assert math.dist(at(ground)["B"], (0, 4)) < 0.15
    assert "no longer lie so" in window.post("/api/ground/lay", {"way": 0}, 409)["error"]
    assert "number" in window.post("/api/ground/lay", {"way": "east"}, 422)["error"]


def test_a_length_that_began_the_garden_is_left_out_and_taken_back(window):
    begun = {
        "begun": {
            "lengths": [
                {"id": "begun-a-b", "type": "distance", "start": "a", "end": "b", "length": 4.5, "accuracy": 0.03}
            ]
        }
    }
    edit = {"label": "Begin", "ops": [{"do": "change", "part": "survey", "value": begun}]}
    window.post("/api/edit", {"edit": edit, "revision": window.get("/api/garden")["revision"]})
    window.post("/api/ground/readings", {"text": RECTANGLE})
    told = window.get("/api/ground")["begun"]
    assert [(r["names"], r["agrees"]) for r in told["rows"]] == [(["A", "B"], False)]
    assert len(told["to_do"]) == 1
    window.post("/api/ground/take-out", {"reading": "begun-a-b"})
    assert window.get("/api/ground")["begun"]["rows"] == []
    window.post("/api/undo")
    assert len(window.get("/api/ground")["begun"]["rows"]) == 1
    window.post("/api/ground/first-out")
    assert window.get("/api/ground")["begun"]["rows"] == []
