"""Tries judged in processes beside the board: the same verdicts, and none lost whatever becomes of a process."""

from __future__ import annotations

import io
import os
import signal
import time
from collections.abc import Iterator
from datetime import date

import pytest
from hypothesis import given, settings, strategies as st

from quincunx.board.kept import StoodCache
from quincunx.board.panel import Panel, _Deal, _Given, _tried, count_for
from quincunx.board.panelist import MOST_PLACES, Hearing, Inbox, Panelist as Process
from quincunx.board.pipes import receive, send
from quincunx.board.standing import Standing
from quincunx.board.trier import Job, Trier
from quincunx.board.tries import Try, stood_up
from quincunx.board.turns import Turns
from quincunx.review.verdicts import Verdicts
from tests.board.garden import small
from tests.board.windows import until

WAIT_S = 60.0


class Told:
    """Stands for the windows: counts what they are told."""

    def __init__(self) -> None:
        self.left: list[int] = []

    def tell(self, event: str, **data) -> None:
        self.left.append(data["left"])


class Open:
    """As much of an open garden as trying needs."""

    def __init__(self) -> None:
        self.verdicts, self.turns, self.hub = Verdicts(), Turns(), Told()


class Board:
    """A garden that has been judged, the thread that judges tries, and the processes beside it."""

    def __init__(self) -> None:
        self.open, self.at = Open(), Standing.of(small(), StoodCache(), 1, "main")
        for must, year in self.open.verdicts.waiting(self.at):
            self.open.verdicts.judge(must, year, self.at)
        self.trier = Trier(self.open)  # type: ignore[arg-type]
        self.panel = self.trier.panel = Panel(self.open.verdicts)
        self.trier.start()

    def begun(self) -> None:
        self.panel.prepare(self.at)
        until(self.panel.is_ready, WAIT_S)

    def moved(self, to: tuple[float, float]) -> Standing:
        gate = next(f for f in self.at.garden.features if f.id == "gate")
        return stood_up(self.at, Try((gate.changed(at=to),), date(2029, 8, 31), "a"))

    def tried(self, to: tuple[float, float]) -> Job:
        job = self.trier.begin(self.at, self.moved(to), 2029, "a")
        assert job.over.wait(WAIT_S)
        return job


@pytest.fixture(scope="module")
def board() -> Iterator[Board]:
    before = os.environ["QUINCUNX_JUDGES"]
    os.environ["QUINCUNX_JUDGES"] = "2"
    board = Board()
    board.begun()
    yield board
    pids = board.panel.pids()
    board.trier.stop()
    board.panel.close()
    until(lambda: not any(is_there(pid) for pid in pids), WAIT_S)
    os.environ["QUINCUNX_JUDGES"] = before


def is_there(pid: int) -> bool:
    """Return whether a process is still at work (one that has ended and was waited for is not)."""
    try:
        os.kill(pid, 0)
    except OSError:
        return False
    return True


def here(then: Standing) -> dict[tuple[str, int], object]:
    """What judging in this process says, from nothing known."""
    fresh = Verdicts()
    return {(m.id, y): fresh.judge(m, y, then).verdict for m in then.garden.intents for y in then.timeline.years}


def there(board: Board, job: Job) -> dict[tuple[str, int], object]:
    assert job.answer(board.open.verdicts.last)["left"] == 0
    return {cell: known.verdict for cell, known in job._cells.items()}


@settings(max_examples=8)
@given(st.floats(0.0, 11.0).map(lambda x: round(x, 3)), st.floats(4.0, 6.0).map(lambda y: round(y, 3)))
def test_processes_say_what_judging_here_says(board, x, y):
    job = board.tried((x, y))
    assert there(board, job) == here(job.then)


def test_each_process_does_its_share_and_what_they_find_is_kept(board, monkeypatch):
    asked = list[tuple[str, int]]()
    verdicts, real = board.open.verdicts, board.open.verdicts.judge

    def noted(must, year, at):
        asked.append((must.id, year))
        return real(must, year, at)

    monkeypatch.setattr(verdicts, "judge", noted)
    job = board.tried((6.0, 5.61))
    assert asked == [], "all was judged beside"
    assert len(board.panel.pids()) == 2
    assert all(
        board.open.verdicts.find(m, y, job.then) for m in job.then.garden.intents for y in job.then.timeline.years
    )


def test_what_is_looked_ahead_for_beside_is_not_looked_for_here(board, monkeypatch):
    then, here = board.moved((6.002, 5.602)), list[object]()
    monkeypatch.setattr(board.open.verdicts, "untouched", lambda *of: here.append(of))
    board.trier._look_ahead(board.at, [then])
    assert here == []
    monkeypatch.setattr(board.trier, "panel", None)
    board.trier._look_ahead(board.at, [then])
    assert here, "without the processes it is"


def test_a_try_that_no_longer_counts_is_left_and_the_next_one_is_judged_whole(board):
    older = board.trier.begin(board.at, board.moved((5.5, 5.3)), 2029, "a")
    newer = board.tried((5.4, 5.2))
    assert older.over.wait(WAIT_S)
    assert there(board, newer) == here(newer.then)


def test_a_process_that_dies_costs_no_verdict_and_is_begun_again(board):
    first, other = board.panel.pids()
    os.kill(first, signal.SIGKILL if hasattr(signal, "SIGKILL") else signal.SIGTERM)
    job = board.tried((7.0, 5.1))
    assert there(board, job) == here(job.then)
    until(lambda: first not in board.panel.pids(), WAIT_S)
    board.begun()
    assert other in board.panel.pids()
    assert len(board.panel.pids()) == 2
    assert there(board, board.tried((7.1, 5.0)))


def test_an_edit_is_told_them(board):
    was, board.at = board.at, Standing.of(board.moved((6.5, 5.0)).garden, StoodCache(), 2, "main")
    try:
        job = board.tried((6.0, 4.8))
        assert there(board, job) == here(job.then)
    finally:
        board.at = was


def test_when_all_die_at_work_no_verdict_is_lost(board):
    job = board.trier.begin(board.at, board.moved((4.2, 4.9)), 2029, "a")
    for pid in board.panel.pids():
        os.kill(pid, signal.SIGTERM)
    assert job.over.wait(WAIT_S)
    assert there(board, job) == here(job.then)
    until(lambda: not board.panel.pids(), WAIT_S)
    assert there(board, board.tried((4.3, 4.8)))


@pytest.mark.parametrize(
    ("years", "processors", "count"),
    [(6, 1, 0), (6, 2, 2), (6, 4, 3), (8, 4, 4), (8, 64, 4), (3, 4, 3), (1, 8, 0), (5, 3, 3), (6, None, 0)],
)
def test_as_many_as_give_each_about_the_same(years, processors, count, monkeypatch):
    monkeypatch.setenv("QUINCUNX_JUDGES", "")
    monkeypatch.setattr(os, "cpu_count", lambda: processors)
    assert count_for(years) == count


@pytest.mark.parametrize(("said", "count"), [("0", 0), ("1", 0), ("2", 2), ("7", 6), ("many", 2)])
def test_how_many_may_be_said(said, count, monkeypatch):
    monkeypatch.setenv("QUINCUNX_JUDGES", said)
    monkeypatch.setattr(os, "cpu_count", lambda: 2)
    assert count_for(6) == count


def test_only_other_features_are_told_apart():
    at = Standing.of(small(), StoodCache(), 1, "main")
    gate = next(f for f in at.garden.features if f.id == "gate")
    then = stood_up(at, Try((gate.changed(at=(6.0, 5.0)),), date(2029, 8, 31), "a"))
    assert [f.id for f in _tried(at, then) or ()] == ["gate"]
    fewer = Standing.of(at.garden.model_copy(update={"features": at.garden.features[1:]}), StoodCache())
    assert _tried(at, fewer) is None
    sooner = Standing.of(at.garden.model_copy(update={"jobs": at.garden.jobs[1:]}), StoodCache())
    assert _tried(at, sooner) is None


def test_without_processes_all_is_left_to_this_one(monkeypatch):
    monkeypatch.setenv("QUINCUNX_JUDGES", "0")
    at = Standing.of(small(), StoodCache(), 1, "main")
    panel = Panel(Verdicts())
    panel.prepare(at)
    cells = [(m, y) for m in at.garden.intents for y in at.timeline.years]
    assert panel.pids() == []
    assert panel.judge(at, at, cells, (), None) == cells  # type: ignore[arg-type]
    assert not panel.expect(at, [at], cells)


def test_a_panel_that_was_closed_begins_nothing(monkeypatch):
    monkeypatch.setenv("QUINCUNX_JUDGES", "2")
    panel = Panel(Verdicts())
    panel.close()
    panel.prepare(Standing.of(small(), StoodCache(), 1, "main"))
    assert panel.pids() == []


def test_a_place_come_to_again_is_found_as_it_stood_until_the_garden_is_another():
    one = Process(Inbox(io.BytesIO()), io.BytesIO())
    one.on_state(small(), 1, "main")
    gate = next(f for f in small().features if f.id == "gate")
    places = [(gate.changed(at=(6.0 + k / 10, 5.0)),) for k in range(MOST_PLACES + 1)]
    first, last = one._with(places[0]), one._with(places[1])
    assert one._with((gate.changed(at=(6.0, 5.0)),)) is first
    assert one._with(places[1]) is last is not first
    for place in places[2:]:
        one._with(place)
    assert one._with(places[0]) is not first, "of too many the oldest is let go"
    kept = one._with(places[0])
    one.on_state(small(), 2, "main")
    assert one._with(places[0]) is not kept


class Notes:
    """Stands for a process: notes what it is told."""

    def __init__(self) -> None:
        self.said: list[tuple] = []

    def say(self, *message) -> None:
        self.said.append(message)


@pytest.mark.parametrize("count", [0, 1, 2, 3, 5, 8])
def test_one_more_waits_for_each_while_there_is_enough_and_all_is_given_once(count):
    loose = [("works", 2027 + k) for k in range(count)]
    deal, both = _Deal(7, frozenset(), list(loose)), (Notes(), Notes())
    deal.doing.update({one: _Given([("own", 2027)]) for one in both})  # type: ignore[misc]
    deal.ahead()
    assert [len(one.said) for one in both] == [min(max(count - 2, 0), 1), min(max(count - 3, 0), 1)]
    missed, turn = set(), 0
    while deal.doing:
        one = list(deal.doing)[turn % len(deal.doing)]
        deal.doing[one].left.clear()
        missed |= deal.done(one)
        turn += 1
    given = [cell for one in both for what, token, (cell,), _ in one.said if (what, token) == ("more", 7)]
    assert sorted(given) == loose
    assert not missed
    assert turn == count + 2


def test_what_was_dealt_out_and_not_done_is_missed():
    deal, one = _Deal(7, frozenset(), [("works", 2027), ("works", 2028), ("works", 2029)]), Notes()
    deal.doing[one] = mine = _Given([("own", 2027)])  # type: ignore[index]
    deal.ahead()
    assert mine.all() == {("own", 2027), ("works", 2029)}
    assert deal.done(one) == {("own", 2027)}  # type: ignore[arg-type]
    assert mine.all() == {("works", 2029), ("works", 2028)}


def test_a_try_is_left_when_anything_but_more_of_it_is_said():
    inbox = Inbox(io.BytesIO())
    inbox._waiting.append(("more", 7, (), frozenset()))
    mine, other = (Hearing(token, inbox, io.BytesIO()) for token in (7, 8))
    assert (mine.left(), other.left()) == (False, True)
    inbox._waiting.append(("leave",))
    assert (mine.left(), other.left()) == (True, True)


def test_a_message_comes_whole_or_not_at_all():
    pipe = io.BytesIO()
    send(pipe, ("judged", 3, {"a": (1.5, date(2029, 8, 31))}))
    send(pipe, ("done", 3))
    whole = pipe.getvalue()
    back = io.BytesIO(whole)
    assert receive(back) == ("judged", 3, {"a": (1.5, date(2029, 8, 31))})
    assert receive(back) == ("done", 3)
    assert receive(back) is None
    for cut in (3, 8, 20, len(whole) - 1):
        part, found = io.BytesIO(whole[:cut]), 0
        while receive(part) is not None:
            found += 1
        assert found == (1 if cut == len(whole) - 1 else 0)


def test_what_is_not_there_ends_at_once():
    began = time.monotonic()
    Panel(Verdicts()).close()
    assert time.monotonic() - began < 1.0
