"""What is kept is whole: copies of a file left half written, locks that stay held, files moved or replaced while open."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from quincunx.cli._files import load, looks_like_json
from quincunx.garden import Edit, garden_from, put
from quincunx.store import Store, StoreError, keep_copy, list_copies
from quincunx.store.connect import look
from quincunx.store.copies import copies_folder

GARDEN = garden_from({"format": "quincunx/1", "name": "Small", "boundary": [[0, 0], [10, 0], [10, 8], [0, 8]]})
OTHER = GARDEN.model_copy(update={"name": "Other"})
HALF = """
import os, signal, sqlite3, sys
con = sqlite3.connect(sys.argv[1], isolation_level=None)
con.execute("PRAGMA cache_size = 5")
con.execute("BEGIN")
for i in range(400):
    con.execute("INSERT INTO setting VALUES (?, ?)", (f"half/{i}", "x" * 3000))
con.execute("UPDATE head SET garden = '{}'")
for i in range(400):
    con.execute("INSERT INTO setting VALUES (?, ?)", (f"more/{i}", "x" * 3000))
os.kill(os.getpid(), signal.SIGKILL)
"""
LOCK = "import sqlite3, sys; sqlite3.connect(sys.argv[1], timeout=0, isolation_level=None).execute('BEGIN IMMEDIATE')"


@pytest.fixture(autouse=True)
def _own_data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("QUINCUNX_DATA", str(tmp_path / "data"))


def a_file(tmp_path: Path) -> Path:
    path = tmp_path / "g.quincunx"
    Store.create(path, GARDEN).close()
    return path


def spot(name: str) -> Edit:
    return put("spots", {"id": name, "at": [1, 1]})


def half_written(tmp_path: Path) -> Path:
    """A file as a program leaves it that is killed while it writes: pages of an edit in it, the journal beside it."""
    path = a_file(tmp_path)
    done = subprocess.run([sys.executable, "-c", HALF, str(path)], check=False)
    assert done.returncode == -signal.SIGKILL
    assert path.with_name("g.quincunx-journal").stat().st_size > 512
    return path


@pytest.mark.skipif(os.name == "nt", reason="needs a kill that nobody can catch")
def test_a_copy_of_a_file_left_half_written_is_whole(tmp_path: Path) -> None:
    path = half_written(tmp_path)
    copy = keep_copy(path)
    assert copy is not None
    with Store.open(copy, keep=False) as store:
        assert store.garden() == GARDEN
        assert store.whole()


@pytest.mark.skipif(os.name == "nt", reason="needs a kill that nobody can catch")
def test_what_replaces_a_file_left_half_written_is_not_overlaid_by_it(tmp_path: Path) -> None:
    path = half_written(tmp_path)
    with Store.create(path, OTHER, replace=True) as store:
        assert store.garden().name == "Other"
        assert store.whole()
    (copy,) = list_copies(path)
    with Store.open(copy, keep=False) as store:
        assert store.garden() == GARDEN


def test_a_file_that_is_no_database_is_kept_as_it_is_before_it_is_replaced(tmp_path: Path) -> None:
    path = tmp_path / "g.quincunx"
    path.write_bytes(b"a letter to the seedsman" * 50)
    path.with_name("g.quincunx-journal").write_bytes(b"of something else")
    with Store.create(path, OTHER, replace=True) as store:
        assert store.whole()
    assert [c.read_bytes() for c in list_copies(path)] == [b"a letter to the seedsman" * 50]


@pytest.mark.parametrize("how", ["look", "open", "load", "json", "copy"])
def test_a_lock_stays_held_whatever_else_this_program_does_with_the_file(tmp_path: Path, how: str) -> None:
    path = a_file(tmp_path)
    ways: dict[str, Callable[[Path], object]] = {
        "look": look,
        "open": lambda p: Store.open(p).close(),
        "load": load,
        "json": looks_like_json,
        "copy": keep_copy,
    }
    with Store.open(path, keep=False) as store, store._writing():
        ways[how](path)
        other = subprocess.run([sys.executable, "-c", LOCK, str(path)], capture_output=True, text=True, check=False)
        assert "database is locked" in other.stderr


@pytest.mark.parametrize("how", ["renamed", "deleted", "replaced"])
def test_nothing_is_written_where_it_would_not_be_found_again(tmp_path: Path, how: str) -> None:
    path, there = a_file(tmp_path), tmp_path / "there.quincunx"
    Store.create(there, OTHER).close()
    with Store.open(path, keep=False) as store:
        store.commit(spot("first"))
        if how == "renamed":
            path.rename(tmp_path / "renamed.quincunx")
        elif how == "deleted":
            path.unlink()
        else:
            there.replace(path)
        store.keep("answer", "worked out once")
        assert store.kept("answer") is None, "looking goes on, and keeps nothing"
        for _ in range(2):
            with pytest.raises(StoreError, match=r"was not saved\. What was open here is kept as a dated copy"):
                store.commit(spot("second"))
    (copy,) = list_copies(path)
    with Store.open(copy, keep=False) as kept:
        assert [s.id for s in kept.garden().spots] == ["first"]
    if how == "replaced":
        with Store.open(path, keep=False) as new:
            assert new.garden() == OTHER


@pytest.mark.parametrize("other", [b"", b"half a garden" * 400])
def test_what_was_open_is_kept_too_where_no_garden_lies_in_its_place(tmp_path: Path, other: bytes) -> None:
    path, there = a_file(tmp_path), tmp_path / "there"
    there.write_bytes(other)
    with Store.open(path, keep=False) as store:
        store.commit(spot("first"))
        there.replace(path)
        with pytest.raises(StoreError, match=r"was not saved\. What was open here is kept as a dated copy"):
            store.commit(spot("second"))
    assert path.read_bytes() == other
    (copy,) = list_copies(path)
    with Store.open(copy, keep=False) as kept:
        assert [s.id for s in kept.garden().spots] == ["first"]


def test_a_file_put_in_the_place_of_its_like_is_gone_on_with(tmp_path: Path) -> None:
    """As a program that carries files between machines does, and a system that numbers its files anew."""
    path, like = a_file(tmp_path), tmp_path / "like.quincunx"
    with Store.open(path, keep=False) as store:
        store.commit(spot("first"))
        shutil.copyfile(path, like)
        like.replace(path)
        store.commit(spot("second"))
        assert store.undo() is not None
        store.redo()
    with Store.open(path, keep=False) as store:
        assert [s.id for s in store.garden().spots] == ["first", "second"]


def test_two_copies_of_one_state_are_the_same_bytes(tmp_path: Path) -> None:
    """Else an unchanged file would push its older copies out."""
    path = a_file(tmp_path)
    first, second = keep_copy(path, "one"), keep_copy(path, "two")
    assert first is not None
    assert second is not None
    assert first.read_bytes() == second.read_bytes()
    assert keep_copy(path) is None


def test_what_a_killed_copy_left_is_swept_once_it_is_old(tmp_path: Path) -> None:
    path = a_file(tmp_path)
    folder = copies_folder(path)
    folder.mkdir(parents=True)
    old, fresh = folder / "a.part", folder / "b.part-journal"
    for one in (old, fresh):
        one.write_bytes(b"half")
    os.utime(old, (0, 0))
    keep_copy(path)
    assert not old.exists()
    assert fresh.exists()
