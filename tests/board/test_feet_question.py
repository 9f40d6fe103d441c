"""Feet over the sheet: the way between two places, where feet will go, getting to the works; what is offered."""

from __future__ import annotations

from quincunx.board import feet
from quincunx.kernels import Kernel
from tests.board.windows import change, put

ASK = {"name": "feet", "year": 2029, "month": 8}


def ask(window, show: str, **more):
    return window.get("/api/question", show=show, **{**ASK, **more})


def test_rooms_say_which_opening_leads_where(window):
    told = ask(window, "rooms")
    (table,) = [b for b in told["below"] if b["t"] == "table"]
    assert table["rows"] == [["Green gate", "Green to outside", "0.90 m"]] or table["rows"][0][0] == "Green gate"
    assert "no way round" in table["words"]


def test_two_rooms_with_nothing_between_are_named_together(window):
    (green,) = [r for r in ask(window, "rooms")["rooms"] if r["name"] == "Green"]
    inside = window.get("/api/garden")["garden"]["rooms"][0]["inside"]
    window.edit(put("rooms", {"id": "corner", "name": "Corner", "inside": [inside[0] + 0.3, inside[1]]}))
    told = ask(window, "rooms")
    washes = [r["words"] for r in told["legend"]]
    assert {*washes} & {"Green, Corner", "Corner, Green"}
    assert not {*washes} & {"Green", "Corner"}
    assert green["id"] in {r["id"] for r in told["rooms"]}


def test_the_way_between_two_places_and_what_it_is_like(window):
    told = ask(window, "ways", start="door", end="bench")
    assert told["words"].startswith("A person from Back door to Bench, August 2029: ")
    about = next(b for b in told["below"] if b["words"] == "The way")
    rows = dict(map(tuple, about["rows"]))
    assert rows["steps"] == "none"
    assert "Green gate" in rows["goes"]
    assert any(f["t"] == "path" and f.get("arrow") for f in told["figures"])
    far = next(b for b in told["below"] if b["words"] == "From Back door to")
    assert far["given"] == [{"end": "bench"}]
    assert told["leads"][0]["words"].startswith("Narrowest: 0.90 m")
    assert told["how"]


def test_a_way_from_where_the_sheet_is_touched(window):
    told = ask(window, "ways", start="11,1", end="bench")
    assert told["words"].startswith("A person from the place touched to Bench")
    assert not told["offers"]


def test_no_way_says_why(window):
    window.edit(change("features", "gate", latch="locked"))
    told = ask(window, "ways", start="door", end="bench")
    assert (
        told["words"].endswith("does not get there: Green gate keeps them out.")
        or "does not get there" in told["words"]
    )
    barrow = ask(window, "ways", start="door", end="bench", walker="barrow")
    assert "wheelbarrow" in barrow["words"]


def test_a_way_is_counted_as_walked_every_day_and_treads_a_line(window):
    assert "No walks are written down" in ask(window, "wear")["words"]
    (offer,) = ask(window, "ways", start="door", end="bench")["offers"]
    assert offer["words"] == "Count it as walked every day"
    window.edit(*offer["edit"]["ops"])
    told = ask(window, "wear")
    assert told["words"].startswith("Where feet will go, August 2029: ")
    walks = next(b for b in told["below"] if b["words"] == "Walks")
    assert walks["rows"][0][:2] == ["Back door to Bench", "7 a week"]
    assert walks["given"][0] == {"show": "ways", "start": "door", "end": "bench", "walker": "person"}
    assert told["leads"]
    assert ask(window, "ways", start="door", end="bench")["offers"] == []


def job(**more):
    return put(
        "jobs", {"id": "bed-job", "name": "Dig the bed", "does": ["bed"], "hours": 4.0, "reach": "barrow", **more}
    )


BED = {"kind": "bed", "id": "bed", "name": "New bed", "outline": [[2, 3], [4, 3], [4, 5], [2, 5]]}


def test_getting_to_the_works_and_doing_one_sooner(window, monkeypatch):
    assert ask(window, "works", loads="door", year=2028)["words"].startswith("No job of 2028 needs")
    window.edit(put("features", BED))
    window.edit(job(start="2029-04"))
    told = ask(window, "works", loads="door")
    assert told["words"] == "Barrow and machine from Back door, 2029: 1 of 1 job reached."
    assert told["leads"][0]["words"].startswith(
        "“Dig the bed” in April 2029: a wheelbarrow gets there from Back door, "
    )
    fence = {
        "kind": "fence",
        "id": "pen",
        "name": "Pen fence",
        "line": [[6.6, 2], [6.6, 4.2], [5.4, 4.2], [5.4, 2]],
        "closed": True,
    }
    window.edit(put("features", fence))
    window.edit(
        put("jobs", {"id": "pen-job", "name": "Fence the pen", "does": ["pen"], "start": "2028-05", "hours": 2.0})
    )
    told = ask(window, "works", loads="door")
    assert "0 of 1 job reached" in told["words"]
    assert "Do it before “Fence the pen” (May 2028)" in told["leads"][0]["words"]
    (offer,) = told["offers"]
    assert offer["words"] == "Move “Dig the bed” to April 2028, before “Fence the pen”"
    with monkeypatch.context() as later:
        later.setenv("QUINCUNX_TODAY", "2028-05-10")
        assert ask(window, "works", loads="door")["offers"] == [], "nothing is moved into a month gone by"
    window.edit(*offer["edit"]["ops"])
    assert "1 of 1 job reached" in ask(window, "works", loads="door", year=2028)["words"]


def test_what_is_not_a_choice_is_refused(window):
    assert "choose one of" in window.get("/api/question", 404, show="flights", **ASK)["error"]


def test_on_a_new_computer_the_way_comes_first_and_the_table_of_all_places_follows(window, monkeypatch):
    kept = Kernel.has_come
    monkeypatch.setattr(Kernel, "has_come", lambda one: "_ears" not in one.name and kept(one))
    told = ask(window, "ways", start="door", end="bench")
    assert told["rough"] == feet.PREPARING
    assert [b["words"] for b in told["below"]] == ["The way"]
    whole = ask(window, "ways", start="door", end="bench", fine=1)
    assert [b["words"] for b in whole["below"]] == ["The way", "From Back door to"]


def loads(window) -> dict:
    return next(i for i in window.get("/api/questions")[0]["inputs"] if i["name"] == "loads")


def test_loads_come_from_where_a_must_says_else_from_outside(window):
    assert loads(window)["default"] == "outside", "no spot lies outside, and no must says from where"
    window.edit(put("features", BED))
    window.edit(job(start="2029-04"))
    told = ask(window, "works")
    assert told["words"].startswith("Barrow and machine from outside, 2029: ")
    window.edit(put("intents", {"kind": "works-reached", "id": "works", "start": "door"}))
    assert loads(window)["default"] == "door"
    window.edit(put("spots", {"id": "road", "name": "Road", "at": [6.0, -0.5]}))
    assert loads(window)["default"] == "door", "what a must says goes first"
    assert {"id": "road", "words": "Road"}.items() <= next(
        o for o in loads(window)["options"] if o["id"] == "road"
    ).items()


def test_a_job_with_its_own_start_is_told_apart(window):
    window.edit(put("features", BED))
    window.edit(job(start="2029-04", comes_from="door"))
    told = ask(window, "works")
    assert told["words"].endswith("Of these, 1 from Back door, as the job says.")
    assert "from Back door" in told["leads"][0]["words"]
