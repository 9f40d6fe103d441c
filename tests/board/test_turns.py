"""Whose turn it is: what a hand waits for goes before work in the background."""

from __future__ import annotations

import threading

import pytest

from quincunx.board import turns
from quincunx.board.turns import Turns


def test_one_at_a_time_and_the_urgent_first(monkeypatch):
    monkeypatch.setattr(turns, "QUIET_S", 0.0)
    shared, done = Turns(), []
    begun, go = threading.Event(), threading.Event()

    def first() -> None:
        with shared.background():
            begun.set()
            go.wait(30)
            done.append("first")

    def later(name: str) -> None:
        with shared.background() if name == "background" else shared.urgent():
            done.append(name)

    threads = [threading.Thread(target=first)]
    threads[0].start()
    begun.wait(30)
    threads += [threading.Thread(target=later, args=(n,)) for n in ("background", "urgent")]
    for thread in threads[1:]:
        thread.start()
    while shared._waiting < 1:
        pass
    go.set()
    for thread in threads:
        thread.join(30)
    assert done == ["first", "urgent", "background"]


def test_a_fault_gives_the_turn_back():
    shared = Turns()
    with pytest.raises(ZeroDivisionError), shared.urgent():
        print(1 / 0)
    shared.end()
    with shared.background(), shared._free:
        assert shared._busy


def test_nobody_rests_once_it_ends(monkeypatch):
    monkeypatch.setattr(turns, "QUIET_S", 1000.0)
    shared = Turns()
    with shared.urgent():
        pass
    shared.end()
    with shared.background():  # without the end it would rest longer than a test may take
        assert shared._busy
    assert not shared._busy


def test_what_is_drawn_ahead_waits_for_nobody_and_lets_nothing_begin_in_the_background():
    shared, done = Turns(), []
    with shared.background(), shared.ahead():  # somebody is at work already, and this begins at once
        done.append("drawn beside")
    waiting = threading.Thread(target=lambda: _in_background(shared, done))
    with shared.ahead():
        waiting.start()
        waiting.join(0.3)
        done.append("drawn first")
    waiting.join(30)
    assert done == ["drawn beside", "drawn first", "judged"]


def _in_background(shared: Turns, done: list[str]) -> None:
    with shared.background():
        done.append("judged")
