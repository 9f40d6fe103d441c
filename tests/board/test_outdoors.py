"""What is carried outdoors and what comes back over the wire: the pack, notes taken once, a page that works alone."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from quincunx.board.desk import Desk
from quincunx.board.launch import bind, bind_usual
from quincunx.board.one_page import written
from quincunx.board.outdoors_pack import FORMAT
from quincunx.board.ports import FIRST_PORT, PORTS, usual_port
from quincunx.demos import demo_garden
from quincunx.store import Store
from tests.board.garden import small
from tests.board.windows import Window, board
from tests.photos import OWNER, a_photo


@pytest.fixture
def kettle_file(tmp_path: Path) -> Path:
    path = tmp_path / "kettle.quincunx"
    Store.create(path, demo_garden("kettle-hill")).close()
    return path


@pytest.fixture
def kettle(kettle_file: Path) -> Iterator[Window]:
    client, keys = board(Desk(kettle_file))
    with client:
        client.get(f"/?token={keys.token}")
        yield Window(client)


def note(n: int, what: str = "note", **more: Any) -> dict[str, Any]:
    return {"id": f"n{n:023d}", "made": f"2027-04-03T10:00:{n:02d}.000Z", "day": "2027-04-03", "what": what, **more}


def back(window: Window, *notes: dict[str, Any], status: int = 200, **more: Any) -> dict[str, Any]:
    mark = window.get("/api/outdoors/pack")["mark"]
    told: dict[str, Any] = window.post(
        "/api/outdoors/notes", {"format": FORMAT, "mark": mark, "garden": "x", "notes": list(notes), **more}, status
    )
    return told


def test_the_pack_holds_the_work_point_by_point(kettle: Window) -> None:
    pack = kettle.get("/api/outdoors/pack")
    assert (pack["format"], pack["garden"]) == (FORMAT, "Kettle Hill")
    assert pack["jobs"][0]["now"]
    assert len(pack["mark"]) == 16
    at = {s["id"]: s["at"] for s in pack["stakes"]}
    for job in pack["jobs"]:
        here = at | {p["id"]: p["at"] for p in job["points"]}
        assert [p["n"] for p in job["points"]] == list(range(1, len(job["points"]) + 1))
        for p in job["points"]:
            for tie in [*p["ties"], *([p["check"]] if p["check"] else [])]:
                assert math.dist(here[tie["from"]], p["at"]) == pytest.approx(tie["m"], abs=0.003)
                assert tie["within_m"] > 0.015, "what is taped again is held against what may be off"
                assert re.fullmatch(r"(\d+')?\s?(\d+)?(\s?\d/\d)?\"?", tie["text"].replace("\xa0", " ")), tie["text"]
        for check in job["checks"]:
            a, b = check["ends"]
            assert math.dist(here[a], here[b]) == pytest.approx(check["m"], abs=0.003)


def test_the_causes_of_a_miss_are_what_geometry_says(kettle: Window) -> None:
    """A tape too long by a little moves its point; the check must grow by the share that is told."""
    from quincunx.survey import two_tapes

    job = next(j for j in kettle.get("/api/outdoors/pack")["jobs"] if j["checks"])
    stakes = {s["id"]: s["at"] for s in kettle.get("/api/outdoors/pack")["stakes"]}
    at = stakes | {p["id"]: p["at"] for p in job["points"]}
    by = {p["id"]: p for p in job["points"]}
    tried = 0
    for check in job["checks"]:
        for cause in check["causes"]:
            end = next(e for e in check["ends"] if str(by[e]["n"]) == cause["point"])
            other = next(e for e in check["ends"] if e != end)
            ties, e = by[end]["ties"], 0.01
            lengths = [t["m"] + (e if f"{t['name']} to {by[end]['n']}" == cause["tape"] else 0.0) for t in ties]
            both = two_tapes(tuple(at[ties[0]["from"]]), lengths[0], tuple(at[ties[1]["from"]]), lengths[1])
            moved = min(both, key=lambda q: math.dist(q, at[end]))
            grown = math.dist(moved, at[other]) - math.dist(at[end], at[other])
            assert grown / e == pytest.approx(cause["share"], abs=0.25 if check["m"] < 3 else 0.12)
            tried += 1
    assert tried > 3


def test_notes_are_taken_once_however_often_they_come(window: Window, file: Path) -> None:
    before = window.get("/api/garden")["revision"]
    given = [note(1, "reading", text="A K 12.34"), note(2, "harvest", amount=3, unit="lb"), note(3, text="dry")]
    told = back(window, *given)
    assert told["taken"] == sorted(n["id"] for n in given)
    assert told["problems"] == []
    assert told["revision"] > before
    again = back(window, *given, note(4, text="and one more"))
    assert len(again["taken"]) == 4
    garden = window.get("/api/garden")
    assert [e.get("text", "") for e in garden["garden"]["journal"]] == ["", "dry", "and one more"]
    assert sum(r["type"] == "distance" and r["end"] == "k" for r in garden["garden"]["survey"]["readings"]) == 1
    assert garden["can_undo"] == "From outdoors: 1 note"
    window.post("/api/undo")
    window.post("/api/undo")
    assert len(back(window, *given)["taken"]) == 3
    assert "journal" not in window.get("/api/garden")["garden"], "what was taken back on the board stays taken back"
    with Store.open(file, keep=False) as store:
        assert store.whole()


def test_what_was_ticked_comes_out_again_with_the_next_pack(window: Window) -> None:
    job = window.get("/api/outdoors/pack")["jobs"][0]
    point = job["points"][0]
    ends = [job["points"][0]["id"], job["points"][1]["id"]]
    back(
        window,
        note(1, "ticked", about=job["id"], points=[point["id"]], text=point["words"]),
        note(2, "measured", about=job["id"], points=ends, length="5.512", text="1 to 2"),
    )
    after = window.get("/api/outdoors/pack")["jobs"][0]
    assert after["ticked"] == [point["id"]]
    assert after["measured"] == [{"points": ends, "m": pytest.approx(5.512), "text": "5.512", "by": "", "phone": ""}]


def test_ticks_stay_with_their_lines_when_others_come_before_them(window: Window) -> None:
    """A line is known by what it is: not by its number, nor by a price that has changed since."""
    job = window.get("/api/outdoors/pack")["jobs"][0]

    def costs(*lines: tuple[str, int]) -> dict[str, dict[str, Any]]:
        value = {"costs": [{"words": words, "sum": pence} for words, pence in lines]}
        op = {"do": "change", "part": "jobs", "id": job["id"], "value": value}
        revision = window.get("/api/garden")["revision"]
        window.post("/api/edit", {"base": revision, "edit": {"label": "Cost", "ops": [op]}})
        (again,) = (j for j in window.get("/api/outdoors/pack")["jobs"] if j["id"] == job["id"])
        buy = next(one for one in again["lists"] if one["id"] == "buy")
        return {i["words"].partition(",")[0]: i | {"on": i["id"] in again["ticked"]} for i in buy["items"]}

    before = costs(("Posts", 2000), ("Wire", 900))
    tick = {"about": job["id"], "points": [before["Wire"]["id"]], "text": before["Wire"]["words"]}
    back(window, note(1, "ticked", **tick))
    after = costs(("Gloves", 500), ("Posts", 2000), ("Wire", 1100))
    assert [name for name, line in after.items() if line["on"]] == ["Wire"]
    assert len({line["id"] for line in after.values()}) == 3
    # A tick of an older program has the line's number; its words say which line it was, also when it is taken off.
    old = {"about": job["id"], "points": ["buy/2"], "text": after["Posts"]["words"]}
    back(window, note(2, "ticked", **old))
    assert {n for n, line in costs(("Posts", 2000), ("Wire", 1100)).items() if line["on"]} == {"Posts", "Wire"}
    off = {"about": job["id"], "points": [after["Posts"]["id"]], "text": after["Posts"]["words"], "on": False}
    back(window, note(3, "ticked", **off), note(4, "ticked", **off))
    assert {n for n, line in costs(("Posts", 2000), ("Wire", 1100)).items() if line["on"]} == {"Wire"}


def test_ground_that_was_never_measured_comes_first_with_its_tapes(window: Window) -> None:
    """The lengths are those of the corners as drawn; the whole boundary is in the plan that is carried out."""
    pack = window.get("/api/outdoors/pack")
    first = pack["first"]
    west, south, east, north = pack["plan"]["bounds"]
    assert max(west, south) <= 0
    assert east >= 12
    assert north >= 10
    assert len(first["tapes"]) >= 6
    by = {frozenset((t["start"], t["end"])): t for t in first["tapes"]}
    ground = [t["m"] for t in by.values() if t["what"] != "places what is built"]
    assert sorted(ground) == pytest.approx([10, 10, 12, 12, math.hypot(12, 10), math.hypot(12, 10)], abs=1e-3)
    assert all(0 < t["within_m"] < 0.1 for t in by.values())
    assert "buried lines" in first["care"]
    back(window, note(1, "reading", text=f"{first['tapes'][0]['start']} {first['tapes'][0]['end']} 12.01"))
    then = window.get("/api/outdoors/pack")
    assert then["first"] == first, "a second phone has the whole list too"
    assert then["read"] == [
        {"start": first["tapes"][0]["start"], "end": first["tapes"][0]["end"], "m": 12.01, "text": "12.01", "by": ""}
    ]
    back(
        window,
        *(note(n, "reading", text=f"{t['start']} {t['end']} {t['text']}") for n, t in enumerate(first["tapes"], 2)),
    )
    assert window.get("/api/outdoors/pack")["first"] is None, "all of it was read"


def test_one_bad_note_keeps_none_of_the_others_back(window: Window) -> None:
    told = back(window, note(1, text="fine"), note(2, "reading", text="mud"), {"id": "n3"}, note(4, text="too"))
    assert len(told["taken"]) == 2
    assert {p["id"] for p in told["problems"]} == {f"n{2:023d}", "n3"}
    assert all(p["because"] for p in told["problems"])


def test_notes_of_another_garden_or_none_are_refused(window: Window) -> None:
    assert "another garden" in back(window, note(1), status=409, mark="0" * 16)["error"]
    assert "comes back" in back(window, note(1), status=422, format="other/1")["error"]
    assert back(window, status=422, notes="x")["error"]
    assert "journal" not in window.get("/api/garden")["garden"]


def test_a_picture_goes_into_the_file_with_its_line(window: Window, file: Path) -> None:
    picture = a_photo(told=True)
    back(window, note(1, text="the gate", picture=picture))
    back(window, note(1, text="the gate", picture=picture))
    entry = window.get("/api/garden")["garden"]["journal"][0]
    with Store.open(file, keep=False) as store:
        kind, data = store.picture(entry["picture"]) or ("", b"")
        assert (kind, data[:3]) == ("image/jpeg", b"\xff\xd8\xff")
        assert OWNER.encode() not in data, "what the camera wrote into it is not kept"
        assert len(store.pictures()) == 1


def test_the_page_of_one_job_holds_all_and_asks_for_nothing(window: Window) -> None:
    jobs = window.get("/api/outdoors/jobs")
    reply = window.get(f"/api/outdoors/page/{jobs[0]['id']}.html")
    text = reply.content.decode()
    assert "attachment" in reply.headers["content-disposition"]
    held = json.loads(re.findall(r'<script type="application/json" id="pack">(.*?)</script>', text)[0])
    assert [j["id"] for j in held["jobs"]] == [jobs[0]["id"]]
    assert [len(places["places"]) for places in held["views"].values()] == [2], (
        "with its pictures, as seen from two places"
    )
    places = [place for views in held["views"].values() for place in views["places"]]
    assert all("middle size" in place["foot"] for place in places)
    assert all(re.search(r"; 30 June at 1[07]:00 by the ", place["caption"]) for place in places)
    assert "default-src 'none'" in text
    assert "connect-src" not in text
    assert re.findall(r'(?:src|href)="(?!data:)[^"]+"', text.partition("<script")[0]) == []
    assert text.count("</script>") == 2
    assert window.get("/api/outdoors/page/no-such-job.html", 404)["error"].startswith("There is no job 'no-such-job'")


def test_pictures_are_drawn_as_on_the_day_and_hour_that_is_asked_for(kettle: Window) -> None:
    job = kettle.get("/api/outdoors/pack")["jobs"][0]["id"]
    told = kettle.get(f"/api/outdoors/views/{job}")
    noon = next(m for m in told["moments"] if m["id"] == "midsummer-noon")
    assert (noon["words"], noon["day"], noon["hour"]) == ("noon at midsummer", "06-21", "12:00")
    assert told["usual"] == "the end of June, the sun to one side"
    drawn = kettle.get(f"/api/outdoors/views/{job}/best/06-21-12-00")
    assert all("; 21 June at 12:00 by the " in place["caption"] for place in drawn["places"])
    assert drawn["places"][0]["rows"][0]["words"].startswith("21 June ")
    for bad, why in (("06-31-12-00", "no day of the year"), ("06-21-25-00", "no hour"), ("noon", "no day")):
        assert why in kettle.get(f"/api/outdoors/views/{job}/best/{bad}", 422)["error"]


def test_nothing_in_a_garden_can_end_the_script_of_its_page() -> None:
    page = written({"jobs": [], "note": "</script><script>alert(1)</script><!--"}, "</title><script>").decode()
    assert "<script>alert" not in page
    assert page.count("</script>") == 2
    assert "<title>&lt;/title&gt;" in page


def test_a_garden_is_found_again_at_its_usual_port(tmp_path: Path) -> None:
    file = tmp_path / "a.quincunx"
    assert usual_port(file) == usual_port(file)
    assert FIRST_PORT <= usual_port(file) < FIRST_PORT + PORTS
    first = bind_usual(file)
    second = bind_usual(file)
    try:
        assert second.getsockname()[1] != first.getsockname()[1]
    finally:
        first.close()
        second.close()
    with bind(0) as other:
        assert other.getsockname()[0] == "127.0.0.1"


def test_a_diagonal_as_built_is_judged_before_the_plan_is_moved(window: Window) -> None:
    assert window.get("/api/outdoors/built") == []
    job = window.get("/api/outdoors/pack")["jobs"][0]
    ends = [p["id"] for p in job["points"]]
    tied = [
        note(n, "measured", about=job["id"], points=[t["from"], p["id"]], length=f"{t['m'] + 0.25:.3f}", text="x")
        for n, (p, t) in enumerate([(p, t) for p in job["points"] for t in p["ties"]], 1)
    ]
    back(window, *tied)
    (built,) = window.get("/api/outdoors/built")
    assert built["job"] == job["id"]
    assert any("too long" in w for w in built["words"])
    assert built["moves"][0].startswith("Moves: ")
    would = window.get(f"/api/outdoors/built/{job['id']}")
    assert isinstance(would["musts"], list)
    before = window.get("/api/garden")["garden"]["features"]
    window.post("/api/outdoors/built", {"job": job["id"]})
    after = window.get("/api/garden")
    assert after["can_undo"] == f"Draw as built: {job['name']}"
    assert [f["id"] for f, g in zip(before, after["garden"]["features"], strict=True) if f != g] == ["hedge"]
    assert ends
    window.get("/api/outdoors/built/no-such", 404)
    window.post("/api/outdoors/built", {"job": "no-such"}, 404)


def test_who_has_which_step_is_the_same_for_all_and_no_edit(window: Window, file: Path) -> None:
    revision = window.get("/api/garden")["revision"]
    step = {"about": "plant-hedge", "points": ["hedge-1"], "text": "Hedge, one end"}
    first = back(window, note(1, "has", by="Ana", phone="a1", people=2, **step), note(2, "here", by="Ben", phone="b1"))
    assert (first["revision"], first["told"]) == (revision, [])
    shown = window.get("/api/outdoors/together")
    assert (shown["revision"], shown["people"]) == (revision, ["Ana", "Ben"])
    assert [(h["key"], h["by"], h["people"]) for h in shown["having"]] == [("hedge-1", "Ana", 2)]
    back(window, note(1, "has", by="Ana", phone="a1", people=2, **step))  # once more
    back(window, note(3, "ticked", by="Ana", phone="a1", **step))
    shown = window.get("/api/outdoors/together")
    assert [(t["key"], t["by"]) for t in shown["ticks"]] == [("hedge-1", "Ana")]
    assert shown["revision"] == revision + 1
    with Store.open(file, keep=False) as store:
        assert json.loads(store.beside("together") or "")["having"][0]["by"] == "Ana"


def test_a_long_tape_and_a_long_rafter_are_said_to_need_two(tmp_path: Path) -> None:
    roofed = {
        "kind": "roofed-shelter", "id": "shelter", "name": "Shelter", "at": [6, 5], "width": 4, "depth": 3,
    }  # fmt: skip
    job = {"id": "build", "name": "Build the shelter", "does": ["shelter"], "start": "2027-04", "tasks": ["sweep up"]}
    path = tmp_path / "shelter.quincunx"
    Store.create(path, small(features=[roofed], jobs=[job], intents=[])).close()
    client, keys = board(Desk(path))
    with client:
        client.get(f"/?token={keys.token}")
        pack = Window(client).get("/api/outdoors/pack")
    assert any(p["two"] == "a tape over 5.00 m" for p in pack["jobs"][0]["points"])
    for p in pack["jobs"][0]["points"]:
        assert bool(p["two"]) == (max(t["m"] for t in p["ties"]) > 5.0)
    lists = {one["id"]: one["items"] for one in pack["jobs"][0]["lists"]}
    two = {i["words"]: i["two"] for i in lists["raise"]}
    assert two["Set the rafters"] == "a rafter handed up"
    assert re.fullmatch(r"a (?:beam|plate) of \d\.\d\d\sm", two.get("Set the beams") or two["Set the plates"])
    assert two["Cover the roof from the eaves up, from a sound ladder or tower, never alone"] == "never alone up there"
    assert two["Set out the posts; tape both diagonals until they agree"] == ""
    assert [i["two"] for i in lists["do"]] == [""], "what a person wrote in own words is not read"


def test_one_receipt_that_two_entered_is_counted_once_with_one_touch(window: Window, file: Path) -> None:
    receipt = {"about": "plant-hedge", "sum": 4250}
    told = back(
        window,
        note(1, "spent", by="Ann", phone="a1", text="whips", **receipt),
        note(2, "spent", by="Ben", phone="b1", **receipt),
    )
    assert len(told["taken"]) == 2
    (twice,) = window.get("/api/outdoors/twice")
    assert twice["words"].endswith("stands twice for “Plant the hedge”, entered by Ann and Ben; all of it counts.")
    base = window.get("/api/garden")["revision"]
    window.post("/api/edit", {"base": base, "edit": twice["edit"]})
    assert window.get("/api/outdoors/twice") == []
    with Store.open(file, keep=False) as store:
        assert [(e.by, e.text) for e in store.garden().journal] == [("Ann", "whips")], "the line with more words stays"
    window.post("/api/undo", {})
    assert len(window.get("/api/outdoors/twice")) == 1


def test_a_new_garden_comes_with_the_picture_it_was_traced_from(
    window: Window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("QUINCUNX_GARDENS", str(tmp_path / "gardens"))
    body = {"name": "Traced", "ground": {"outline": [[0, 0], [10, 0], [10, 20], [0, 20]]}}
    good = {"picture": a_photo(), "wide": 64, "high": 48, "across": 30.0}
    for traced, why in (
        (good, ""),
        ({**good, "picture": "data:text/html,x"}, "neither a JPEG nor a PNG"),
        ({**good, "wide": -3}, "width of the picture: It is -3"),
    ):
        told = window.post("/api/new", {**body, "traced": traced})
        assert why in told["untraced"]
        assert bool(told["untraced"]) == bool(why)
        with Store.open(Path(told["file"]), keep=False) as store:
            kept = store.garden().underlay
            assert (kept is None) == bool(why), "the garden is made in any case"
            assert kept is None or store.picture(kept.picture) is not None


MONEY = re.compile(r"[£$€]|\bsum\b|\d[.,]\d\d (?:GBP|USD|EUR)")


@pytest.mark.parametrize("name", ["ropewalk", "kettle-hill"])
def test_a_page_of_whoever_helps_has_no_price_in_it_at_all(tmp_path: Path, name: str) -> None:
    """Every text in it is read, not only what is shown; with the prices the same search finds some."""
    path = tmp_path / "g.quincunx"
    Store.create(path, demo_garden(name)).close()
    client, keys = board(Desk(path))
    with client:
        client.get(f"/?token={keys.token}")
        job = Window(client).get("/api/outdoors/jobs")[0]["id"]
        whole, without = (client.get(f"/api/outdoors/{page}/{job}.html").text for page in ("page", "page-to-help"))
        packs = []
        for text in (whole, without):
            found = re.search(r'<script type="application/json" id="pack">(.*?)</script>', text, re.DOTALL)
            assert found is not None
            packs.append(json.loads(found[1]))
        told, hidden = packs
        assert MONEY.search(json.dumps(told["jobs"], ensure_ascii=False))
        assert hidden["money"] is False
        for part in ("jobs", "first", "look", "stakes", "views", "plan", "things"):
            assert not MONEY.search(json.dumps(hidden[part], ensure_ascii=False)), part
        ids = [[i["id"] for j in pack["jobs"] for one in j["lists"] for i in one["items"]] for pack in packs]
        assert ids[0] == ids[1], "a tick on either page is a tick of the same line"


def test_what_proves_a_job_can_be_taken_as_a_step(kettle: Window) -> None:
    job = next(j for j in kettle.get("/api/outdoors/pack")["jobs"] if j["checks"])
    check = job["checks"][0]
    take = note(1, "has", by="Ana", phone="ana", about=job["id"], points=[check["key"]])
    assert back(kettle, take)["problems"] == []
    assert [h["key"] for h in kettle.get("/api/outdoors/together")["having"]] == [check["key"]]
    text = check["text"].replace("\xa0", " ")
    back(kettle, note(2, "measured", by="Ana", phone="ana", about=job["id"], points=check["ends"][::-1], length=text))
    (read,) = kettle.get("/api/outdoors/together")["ticks"]
    assert (read["key"], read["by"]) == (check["key"], "Ana")
    assert read["m"] == pytest.approx(check["m"], abs=0.01)


def test_names_to_find_ones_way_by_are_on_the_plan(kettle: Window) -> None:
    named = {n["words"]: n["at"] for n in kettle.get("/api/outdoors/pack")["plan"]["names"]}
    assert "Old barn" in named or any("arn" in words for words in named)
    (west, south, east, north) = kettle.get("/api/outdoors/pack")["plan"]["bounds"]
    barn = next(at for words, at in named.items() if "arn" in words)
    assert west <= barn[0] <= east
    assert south <= barn[1] <= north
