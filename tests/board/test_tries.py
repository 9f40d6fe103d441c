"""Drags and things not yet put down: what they would mean, and that trying leaves nothing behind."""

from __future__ import annotations

import time
from contextlib import AbstractContextManager, nullcontext
from datetime import date

import pytest
from hypothesis import given, settings, strategies as st

from quincunx.board.kept import StoodCache
from quincunx.board.standing import Standing
from quincunx.board.trier import Job, Trier
from quincunx.board.tries import Try, stood_up
from quincunx.board.trying import OUTRIGHT, Doubts, judge_try
from quincunx.board.turns import Turns
from quincunx.garden import garden_from, plain
from quincunx.intents import Intent
from quincunx.review import judge
from quincunx.review.verdicts import Known, Verdicts
from tests.board.garden import small
from tests.board.windows import Window, change, until

ON = {"year": 2029, "month": 8}
SEEDLING = {"kind": "wall", "id": "wall-2", "line": [[7, 0.2], [7, 9.8]], "height": 2, "there_from": "start"}


def judged(window: Window, path: str, body: dict) -> dict:
    """Try until all is judged (what was judged is kept, so that asking again ends)."""
    answer: dict = {}

    def done() -> bool:
        nonlocal answer
        answer = window.post(path, ON | body)
        return answer["left"] == 0 and not answer["superseded"]

    until(done)
    return answer


def drag(window: Window, **body) -> dict:
    return judged(window, "/api/drag", body)


def states(answer: dict) -> dict[str, list[str]]:
    return {m["id"]: [v["state"] for v in m["verdicts"]] for m in answer["verdicts"]}


def truth(window: Window, *changed: dict) -> dict[str, list[tuple[str, str]]]:
    """What judging from the beginning says of the garden with these features in it."""
    data = window.get("/api/garden")["garden"]
    new = {f["id"]: f for f in changed}
    data["features"] = [new.pop(f["id"], f) for f in data["features"]] + list(new.values())
    return {m.id: [(v.state.value, v.because) for v in m.verdicts] for m in judge(garden_from(data))}


def test_a_wall_that_is_moved_takes_its_gate_along_and_a_copy_does_not(window):
    shift = {"dx": 1.5, "dy": 0, "turn_deg": 0, "about": [0, 0]}
    moved = drag(window, id="wall", move=shift)
    assert moved["along"] == [{"do": "change", "part": "features", "id": "gate", "value": moved["along"][0]["value"]}]
    assert moved["along"][0]["value"]["at"] == [7.5, 3.0]
    assert moved["along_words"] == "Green gate"
    together = drag(window, moves=[{"id": "wall"} | shift])
    assert together["along_words"].startswith("Green gate")
    assert set(together["fields"]) == {"wall"}
    assert "along" not in drag(window, id="wall", move=shift, copy=True)


def test_a_drag_says_what_would_change_and_changes_nothing(window):
    answer = drag(window, id="gate", handle="at", to=[6, 4])
    assert answer["fields"] == {"at": [6, 4]}
    assert answer["owners"] == ["gate", "wall"]
    assert {f["owner"] for f in answer["figures"]} == {"gate", "wall"}
    assert answer["handles"][0] == {"id": "at", "at": [6, 4], "words": "middle", "along_deg": None}
    assert answer["outline"]
    assert window.get("/api/garden")["revision"] == 0


def test_an_opening_turns_with_the_wall_it_is_pulled_into(window):
    answer = drag(window, id="gate", handle="at", to=[6, 4], turn={"along_deg": 360.0})
    assert answer["fields"] == {"at": [6, 4], "along_deg": 0.0}


def test_the_verdicts_of_a_drag_are_those_of_the_edit(window):
    window.settled()
    answer = drag(window, id="gate", handle="at", to=[8, 8])
    table = {m["id"]: [v["state"] for v in m["verdicts"]] for m in window.get("/api/table")["musts"]}
    gate = plain(next(f for f in small().features if f.id == "gate")) | {"at": [8, 8]}
    want = {name: [s for s, _ in rows] for name, rows in truth(window, gate).items()}
    assert table | states(answer) == want
    assert want != table, "the drag makes a difference"
    window.edit(change("features", "gate", **answer["fields"]))
    assert {m["id"]: [v["state"] for v in m["verdicts"]] for m in window.settled()["musts"]} == want


def test_only_touched_musts_are_told(window):
    window.settled()
    answer = drag(window, id="gate", handle="at", to=[6, 3.2])
    assert "money" not in states(answer)
    assert "hours" not in states(answer)
    assert drag(window, id="gate", handle="at", to=[6, 3])["verdicts"] == [], "put back where it was"


def test_a_move_and_several_moves(window):
    one = drag(window, id="seat", move={"dx": 1, "dy": 0.5, "turn_deg": 90, "about": [2, 2]})
    assert one["fields"] == {"at": [3, 2.5], "facing_deg": 180.0}
    both = [{"id": i, "dx": 0, "dy": 1, "turn_deg": 0, "about": [0, 0]} for i in ("seat", "hedge")]
    answer = drag(window, moves=both)
    assert answer["fields"] == {"seat": {"at": [2, 3], "facing_deg": 90.0}, "hedge": {"line": [[0.5, 9], [9, 9]]}}
    assert answer["owners"] == ["seat", "hedge"]
    assert {f["owner"] for f in answer["figures"]} == {"seat", "hedge"}


def test_a_new_thing_is_tried_before_it_is_put_down(window):
    window.settled()
    answer = judged(window, "/api/preview", {"feature": SEEDLING})
    assert answer["fields"]["line"] == [[7, 0.2], [7, 9.8]]
    want = {name: [s for s, _ in rows] for name, rows in truth(window, SEEDLING).items()}
    assert states(answer)["door-to-bench"] == want["door-to-bench"]
    assert "wall-2" not in window.get("/api/garden")["called"]


def test_a_new_thing_is_read_as_typed_and_refused_in_words(window):
    typed = SEEDLING | {"height": "1.9 m"}
    assert judged(window, "/api/preview", {"feature": typed})["fields"]["height"] == {"m": 1.9, "typed": "1.9 m"}
    said = window.post("/api/preview", ON | {"feature": SEEDLING | {"line": [[1, 1], [1, 1]]}}, 422)
    assert "same" in said["error"]
    assert window.post("/api/preview", ON | {"feature": {"kind": "rocket", "id": "r"}}, 422)["error"]
    assert window.post("/api/preview", ON, 422)["error"]


def test_what_does_not_stand_that_year_is_tried_as_a_ghost(window):
    answer = window.post("/api/drag", {"year": 2027, "month": 8, "id": "hedge", "handle": "line.1", "to": [8, 8]})
    assert answer["figures"]
    assert all(f["dash"] for f in answer["figures"])


@pytest.mark.parametrize(
    ("body", "status"),
    [
        ({"id": "nobody", "handle": "at", "to": [1, 1]}, 404),
        ({"id": "gate", "handle": "tail", "to": [1, 1]}, 422),
        ({"id": "gate", "handle": "at", "to": [1]}, 422),
        ({"id": "gate", "handle": "at", "to": [1, "x"]}, 422),
        ({"id": "gate", "handle": "at", "to": [1e9, 0]}, 422),
        ({"id": "gate", "handle": "at"}, 422),
        ({"id": "gate", "handle": "at", "to": [1, 1], "turn": 90}, 422),
        ({"id": "gate", "handle": "at", "to": [1, 1], "turn": {"along_deg": "x"}}, 422),
        ({"id": "gate", "handle": "at", "to": [1, 1], "turn": {"width": 3}}, 422),
        ({"id": "gate", "move": {"dx": None}}, 422),
        ({"moves": [3]}, 422),
        ({"moves": [{"id": "gate"}] * 2001}, 422),
        ({}, 422),
        ({"id": "gate", "handle": "at", "to": [1, 1], "month": 40}, 422),
    ],
)
def test_a_drag_that_makes_no_sense_is_refused(window, body, status):
    assert window.post("/api/drag", ON | body, status)["error"]


def test_a_newer_drag_of_the_same_window_puts_the_older_aside():
    at = Standing.of(small(), StoodCache(), 0, "main")
    trier = Trier(None)  # type: ignore[arg-type]
    one, other = trier.begin(at, at, 2028, "a"), trier.begin(at, at, 2028, "b")
    two = trier.begin(at, at, 2028, "a")
    assert (one.superseded, one.over.is_set()) == (True, True)
    assert one.answer(lambda *_: None)["superseded"]
    assert not other.superseded
    assert not two.superseded


class Told:
    """Stands for the windows: remembers what they are told."""

    def __init__(self) -> None:
        self.rows: list[dict] = []

    def tell(self, event: str, **data) -> None:
        self.rows.append({"event": event} | data)


class Open:
    """As much of an open garden as trying needs."""

    def __init__(self) -> None:
        self.verdicts, self.turns, self.hub = Verdicts(), Turns(), Told()


def known_garden() -> tuple[Open, Standing, Standing]:
    session, at = Open(), Standing.of(small(), StoodCache(), 0, "main")
    for must, year in session.verdicts.waiting(at):
        session.verdicts.judge(must, year, at)
    gate = next(f for f in at.garden.features if f.id == "gate")
    return session, at, stood_up(at, Try((gate.changed(at=(6.0, 5.6)),), date(2029, 8, 31), "a"))


def noted(asked: list[tuple[str, str, int]], name: str, ask):
    """The same, but what it is asked for is written down."""

    def then(must, year, *more):
        asked.append((name, must.id, year))
        return ask(must, year, *more)

    return then


def test_what_differed_last_is_judged_before_anything_is_looked_through(monkeypatch):
    session, at, then = known_garden()
    trier, asked = Trier(session), list[tuple[str, str, int]]()  # type: ignore[arg-type]
    trier._judge(trier.begin(at, then, 2029, "a"))
    differed = set(trier._differed["a"])
    assert ("door-to-bench", 2029) in differed
    gate = next(f for f in at.garden.features if f.id == "gate")
    further = stood_up(at, Try((gate.changed(at=(6.0, 5.4)),), date(2029, 8, 31), "a"))
    for name in ("judge", "untouched"):
        monkeypatch.setattr(session.verdicts, name, noted(asked, name, getattr(session.verdicts, name)))
    trier._judge(trier.begin(at, further, 2029, "a"))
    first = asked[: len(differed)]
    assert {a[0] for a in first} == {"judge"}
    assert {(m, y) for _, m, y in first} == differed


def test_a_try_at_hand_tells_something_before_a_newer_one_takes_its_place(monkeypatch):
    session, at, then = known_garden()
    trier = Trier(session)  # type: ignore[arg-type]
    old = trier.begin(at, then, 2029, "a")
    trier._at_hand, old.began = old, time.monotonic()
    middle, newest = trier.begin(at, then, 2029, "a"), trier.begin(at, then, 2029, "a")
    assert (old.superseded, middle.superseded, newest.superseded) == (False, True, False)
    assert not trier._left(old), "it has its time"
    monkeypatch.setattr("quincunx.board.trier.DWELL_S", 0.0)
    assert trier._left(old)
    assert old.superseded
    assert list(trier._todo.values()) == [newest]


def test_of_tries_that_nobody_has_begun_only_the_newest_is_kept():
    trier = Trier(None)  # type: ignore[arg-type]
    at = Standing.of(small(), StoodCache(), 0, "main")
    jobs = [trier.begin(at, at, 2028, "a") for _ in range(5)]
    assert [j.superseded for j in jobs] == [True] * 4 + [False]
    assert [j.over.is_set() for j in jobs] == [True] * 4 + [False]


def test_what_is_looked_at_is_judged_first_and_what_is_not_yet_judged_says_so():
    at = Standing.of(small(), StoodCache(), 0, "main")
    job, kept = Job(at, at, 2028, ""), Verdicts()
    order = list(job.order({"roe-off-bench": 9.0}))
    assert [y for _, y in order] == [2028] * 5 + [2027] * 5 + [2029] * 5
    assert order[4][0].id == "roe-off-bench", "what takes longest comes last"
    must = next(m for m, _ in order if m.id == "money")
    job.add(must, 2028, kept.judge(must, 2028, at), touched=True)
    told = job.answer(kept.last)
    assert (told["left"], [r["id"] for r in told["verdicts"]]) == (14, ["money"])
    cells = told["verdicts"][0]["verdicts"]
    assert [(c["year"], c.get("waiting", False)) for c in cells] == [(2027, True), (2028, False), (2029, True)]
    for other, year in order:
        job.add(other, year, kept.judge(other, year, at), touched=False)
    assert job.answer(kept.last)["left"] == 0


place = st.tuples(st.integers(5, 115), st.integers(5, 95)).map(lambda p: (p[0] / 10, p[1] / 10))


@settings(max_examples=12)
@given(st.sampled_from(["gate", "hedge", "path", "seat", "wall"]), place, st.sampled_from([2027, 2029]))
def test_what_is_tried_equals_what_is_made_from_the_beginning(name, to, year):
    garden = small()
    at = Standing.of(garden, StoodCache(), 0, "main")
    thing = next(f for f in garden.features if f.id == name)
    changed = thing.changed(**thing.dragged(thing.handles()[0].id, to))
    then = stood_up(at, Try((changed,), date(year, 8, 31), ""))
    features = tuple(changed if f.id == name else f for f in garden.features)
    cold = Standing.of(garden.model_copy(update={"features": features}), {}, 0, "main")
    for on in (then.timeline.leaf_date(year), then.timeline.bare_date(year)):
        warm_scene, cold_scene = then.timeline.at(on), cold.timeline.at(on)
        assert warm_scene == cold_scene
        assert warm_scene.key == cold_scene.key
    kept = Verdicts()
    for must in garden.intents:
        kept.judge(must, year, at)
        assert kept.judge(must, year, then).verdict == must.judge(cold.timeline, year, cold.words)
        assert kept.judge(must, year, at).verdict == must.judge(at.timeline, year, at.words)


def test_what_is_in_hand_is_looked_at_before_it_is_moved(window):
    window.settled()
    assert window.post("/api/expect", ON | {"id": "gate"}) == {}
    assert window.post("/api/expect", ON | {"id": "nobody"}, 404)["error"]
    assert window.get("/api/garden")["revision"] == 0
    want = truth(window, plain(next(f for f in small().features if f.id == "gate")) | {"at": [8, 8]})
    table = {m["id"]: [v["state"] for v in m["verdicts"]] for m in window.get("/api/table")["musts"]}
    answer = drag(window, id="gate", handle="at", to=[8, 8])
    assert table | states(answer) == {name: [s for s, _ in rows] for name, rows in want.items()}


class Heard:
    """An ear that keeps what it hears of one try."""

    def __init__(self) -> None:
        self.touched: set[str] = set()
        self.same: dict[tuple[str, int], Known] = {}
        self.fresh: dict[tuple[str, int], Known] = {}

    def left(self) -> bool:
        return False

    def turn(self) -> AbstractContextManager[None]:
        return nullcontext()

    def touch(self, must: Intent) -> None:
        self.touched.add(must.id)

    def stays(self, must: Intent, year: int, known: Known) -> None:
        self.same[must.id, year] = known

    def judged(self, must: Intent, year: int, known: Known) -> None:
        self.fresh[must.id, year] = known


def test_what_could_not_be_shown_to_stay_is_judged_outright_for_some_tries_and_always_rightly(monkeypatch):
    at, verdicts, doubts = Standing.of(small(), StoodCache(), 1, "main"), Verdicts(), Doubts()
    for must, year in verdicts.waiting(at):
        verdicts.judge(must, year, at)
    cells = [(must, year) for year in at.timeline.years for must in at.garden.intents]
    asked: list[tuple[str, int]] = []
    look = Verdicts.untouched

    def counted(self, must, year, *of):
        asked.append((must.id, year))
        return look(self, must, year, *of)

    monkeypatch.setattr(Verdicts, "untouched", counted)
    gate = next(f for f in at.garden.features if f.id == "gate")
    looks = []
    for k in range(OUTRIGHT + 2):
        then = stood_up(at, Try((gate.changed(at=(5.0 + 0.1 * k, 3.0)),), date(2029, 8, 31), "a"))
        ear, fresh = Heard(), Verdicts()
        asked.clear()
        assert judge_try(verdicts, at, then, cells, (), ear, doubts)
        assert ear.same.keys() | ear.fresh.keys() == {(m.id, y) for m, y in cells}
        assert {m for m, _ in ear.fresh} <= ear.touched
        for (name, year), known in (ear.same | ear.fresh).items():
            must = next(m for m in at.garden.intents if m.id == name)
            right = fresh.judge(must, year, Standing.of(then.garden, StoodCache(), 1, "main")).verdict
            assert (known.verdict.state, known.verdict.because) == (right.state, right.because)
        looks.append(set(asked))
    doubtful = looks[0] - looks[1]
    assert doubtful, "the gate touches something"
    assert all(not doubtful & some for some in looks[1 : OUTRIGHT + 1])
    assert doubtful <= looks[OUTRIGHT + 1], "now and then it is looked at again"
    assert looks[1] == looks[0] - doubtful, "what stays is looked at each time"
