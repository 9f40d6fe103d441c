"""Whether a file still lies where it was opened: programs that carry files between machines put others in their place."""

from __future__ import annotations

import sqlite3
from contextlib import suppress
from pathlib import Path

from quincunx.store.copies import keep_open

Place = tuple[int, int] | None
"""Device and number of a file there, None if there is none."""
HELD = (
    "SELECT name, at, redo, garden FROM head ORDER BY name",
    "SELECT count(*), max(id) FROM history",
    "SELECT id, made_at FROM picture ORDER BY id",
    "SELECT name, at, made_at FROM version ORDER BY name",
)
"""What two files must hold alike to be the same garden with the same history."""


def place_of(path: Path) -> Place:
    """Return which file lies at ``path``."""
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_dev, found.st_ino


def same(one: sqlite3.Connection, other: sqlite3.Connection) -> bool:
    """Return whether two files hold the same, as where a system numbers its files anew."""
    return all(one.execute(query).fetchall() == other.execute(query).fetchall() for query in HELD)


def unlike(path: Path, con: sqlite3.Connection) -> str:
    """Return the sentence for a file that is gone or replaced, having kept a dated copy of what ``con`` has open."""
    kept = False
    with suppress(OSError, sqlite3.Error):
        keep_open(path, con, "")
        kept = True
    safe = " What was open here is kept as a dated copy." if kept else ""
    if place_of(path) is None:
        return (
            f"{path.name} is no longer where it was opened: it was moved, renamed or deleted. This was not saved.{safe}"
            " Put the file back, or open it where it is now, and do it again."
        )
    return (
        f"{path.name} was replaced by another program while it was open here. This was not saved.{safe}"
        " Close the garden, open it again, and do it again."
    )
