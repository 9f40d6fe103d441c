"""A slow search is run once at a time, waited for by others, stopped with what is known, and gone on with when asked."""

from __future__ import annotations

import time
from concurrent.futures import ThreadPoolExecutor
from threading import Event

import pytest

from quincunx.review.searching import Enough, Searches


def until(said: Enough) -> str:
    """Work that only ends when it is told that enough is known."""
    while not said():
        time.sleep(0.001)
    return "some"


def test_what_was_worked_out_is_kept_and_who_comes_meanwhile_waits_for_it() -> None:
    all_of: Searches[str] = Searches(2)
    begun, go, calls = Event(), Event(), []

    def work(_enough: Enough) -> str:
        calls.append(1)
        begun.set()
        go.wait(5)
        return "all"

    with ThreadPoolExecutor(3) as pool:
        first = pool.submit(all_of.result, "a", work)
        begun.wait(5)
        others = [pool.submit(all_of.result, "a", work) for _ in range(2)]
        go.set()
        assert [f.result(5) for f in (first, *others)] == ["all"] * 3
    assert all_of.result("a", work) == "all"
    assert len(calls) == 1
    assert not all_of.stopped("a")
    assert not all_of.stop()  # nothing runs


def test_what_was_stopped_is_kept_until_somebody_asks_to_go_on() -> None:
    all_of: Searches[str] = Searches(2)
    with ThreadPoolExecutor(1) as pool:
        running = pool.submit(all_of.result, "a", until)
        while not all_of.stop():
            time.sleep(0.001)
        assert running.result(5) == "some"
    assert all_of.stopped("a")
    assert all_of.result("a", lambda _: "all") == "some"
    assert all_of.forget("a")
    assert all_of.result("a", lambda _: "all") == "all"
    assert not all_of.forget("a")


def test_what_fails_is_tried_again_and_holds_nobody_up() -> None:
    all_of: Searches[str] = Searches(2)

    def fails(_enough: Enough) -> str:
        raise ValueError("no")

    with pytest.raises(ValueError, match="no"):
        all_of.result("a", fails)
    assert all_of.result("a", lambda _: "all") == "all"
