"""Killed in the middle of any act: the file holds what was acknowledged, with or without the act under way, and never half."""

from __future__ import annotations

import os
import random
import signal
import time
from pathlib import Path

import pytest

from quincunx.garden import garden_from, garden_text, put
from quincunx.store import Store, keep_copy

START = garden_from({"format": "quincunx/1", "name": "Small", "boundary": [[0, 0], [10, 0], [10, 8], [0, 8]]})
KILLS = 14


def act(store: Store, n: int) -> None:
    """The n-th act, the same whoever does it."""
    kind = n % 8
    if kind == 3:
        store.undo()
    elif kind == 4:
        store.redo()
    elif kind == 5:
        store.replace(store.garden().model_copy(update={"name": f"Name {n}"}), "Import")
    elif kind == 6:
        store.put_picture(f"photo-{n}", "A photo", "image/png", bytes([n % 256]) * 40_000)
    elif kind == 7:
        store.keep(f"answer-{n}", "x" * 9000)
    else:
        store.commit(put("spots", {"id": f"spot-{n % 5}", "name": f"Spot {n}", "at": [1 + n % 7, 1]}))


def told(store: Store) -> tuple[object, ...]:
    """All that is to be the same in two files."""
    return (garden_text(store.garden()), [s.label for s in store.history()], store.can(), store.pictures())


@pytest.fixture(autouse=True)
def _own_data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("QUINCUNX_DATA", str(tmp_path / "data"))


@pytest.mark.skipif(not hasattr(os, "fork"), reason="the killer forks, which this system can't")
def test_the_file_is_as_after_the_last_act_or_the_one_under_way(tmp_path: Path) -> None:
    dice, done = random.Random(5), 0
    for kill in range(KILLS):
        path, twin = tmp_path / f"{kill}.quincunx", tmp_path / f"{kill}-twin.quincunx"
        Store.create(path, START).close()
        acknowledged = _killed(path, dice.uniform(0.0, 0.12))
        copy = keep_copy(path)  # before anybody opens it, as the program begins
        assert copy is not None
        with (
            Store.create(twin, START) as like,
            Store.open(path, keep=False) as store,
            Store.open(copy, keep=False) as kept,
        ):
            for n in range(acknowledged):
                act(like, n)
            before = told(like)
            act(like, acknowledged)
            assert told(store) in (before, told(like))
            assert told(kept) == told(store)
            assert store.whole()
            while store.undo() is not None:
                pass
            assert store.garden() == START
        done += acknowledged
    assert done > KILLS, "the writers were killed before they did anything"


def _killed(path: Path, after_s: float) -> int:
    """Let a child act on a file, kill it, and return how many acts it acknowledged."""
    ear, mouth = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(ear)
        try:
            with Store.open(path, keep=False) as store:
                for n in range(100_000):
                    act(store, n)
                    os.write(mouth, b".")
        finally:
            os._exit(1)
    os.close(mouth)
    with os.fdopen(ear, "rb") as said:
        first = said.read(1)
        time.sleep(after_s)
        os.kill(child, signal.SIGKILL)
        rest = said.read()
    os.waitpid(child, 0)
    return len(first + rest)
