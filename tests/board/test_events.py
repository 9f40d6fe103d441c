"""What windows are told unasked."""

from __future__ import annotations

import asyncio
import json
from collections.abc import Coroutine
from concurrent.futures import ThreadPoolExecutor
from typing import Any, TypeVar

from quincunx.board import events
from quincunx.board.events import Hub

T = TypeVar("T")


def parsed(chunk: bytes) -> tuple[str, dict]:
    lines = dict(line.split(": ", 1) for line in chunk.decode().strip().splitlines())
    return lines["event"], json.loads(lines["data"])


def played(play: Coroutine[Any, Any, T]) -> T:
    """Run it in a thread of its own: the one of the tests has a loop already where a browser was opened before."""
    with ThreadPoolExecutor(1) as other:
        return other.submit(asyncio.run, play).result()


async def listen(hub: Hub, wanted: int, first: bytes = b"") -> list[bytes]:
    got: list[bytes] = []
    stream = hub.stream(first)
    async for chunk in stream:
        got.append(chunk)
        if len(got) == wanted:
            break
    await stream.aclose()
    return got


async def until(hub: Hub, windows: int) -> None:
    """Let others run until so many windows listen."""
    for _ in range(1000):
        await asyncio.sleep(0)
        if hub.listening == windows:
            return
    raise AssertionError("the windows never listened")


def test_every_window_is_told_in_order():
    async def play() -> list[list[bytes]]:
        hub = Hub()
        windows = [asyncio.create_task(listen(hub, 3)) for _ in range(2)]
        await until(hub, 2)
        await asyncio.to_thread(hub.tell, "revision", revision=1, head="main")
        await asyncio.to_thread(hub.tell, "notice", words="two\nlines")
        return await asyncio.gather(*windows)

    for got in played(play()):
        assert parsed(got[1]) == ("revision", {"revision": 1, "head": "main"})
        assert parsed(got[2]) == ("notice", {"words": "two\nlines"})


def test_a_window_that_goes_is_forgotten_and_telling_nobody_is_no_trouble():
    async def play() -> int:
        hub = Hub()
        hub.tell("revision", revision=1)
        await listen(hub, 1)
        hub.tell("revision", revision=2)
        return hub.listening

    assert played(play()) == 0


def test_the_stream_ends_with_the_program():
    async def play() -> list[bytes]:
        hub = Hub()
        window = asyncio.create_task(listen(hub, 99))
        await until(hub, 1)
        hub.close()
        return await window

    assert len(played(play())) == 1


def test_a_quiet_stream_is_kept_alive(monkeypatch):
    monkeypatch.setattr(events, "BEAT_S", 0.01)
    assert played(listen(Hub(), 2))[1].startswith(b":")


def test_a_window_that_does_not_read_loses_its_oldest_news(monkeypatch):
    monkeypatch.setattr(events, "MOST_WAITING", 3)

    async def play() -> list[bytes]:
        hub = Hub()
        stream = hub.stream()
        await anext(stream)
        for i in range(10):
            hub.tell("revision", revision=i)
        await asyncio.sleep(0.01)
        got = [await anext(stream) for _ in range(3)]
        await stream.aclose()
        return got

    assert [parsed(c)[1]["revision"] for c in played(play())] == [7, 8, 9]


def test_there_are_not_windows_without_end(monkeypatch):
    monkeypatch.setattr(events, "MOST_WINDOWS", 1)

    async def play() -> list[bytes]:
        hub = Hub()
        first = hub.stream()
        await anext(first)
        got = [chunk async for chunk in hub.stream()]
        await first.aclose()
        return got

    assert parsed(played(play())[0])[0] == "notice"
