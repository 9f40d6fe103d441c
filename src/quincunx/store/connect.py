"""Opening a file safely: is it ours, is it whole, is it not from the future."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Callable, Mapping
from contextlib import closing
from pathlib import Path

from quincunx.store.copies import WAIT_S, give_way
from quincunx.store.errors import StoreError
from quincunx.store.schema import APPLICATION_ID, MIGRATIONS, VERSION, Migration, create_tables, foreign_parts

LEAST_BYTES = 512
"""SQLite's smallest page, and so its smallest file [bytes] (sqlite.org, Database File Format, 1.2)."""
MOST_BYTES = 4 * 1024**3
"""A file beyond this size is refused [bytes]."""


def connect(path: Path) -> sqlite3.Connection:
    """Return a connection to a file already checked, set to lose nothing: rollback journal, full syncing."""
    con = sqlite3.connect(path, timeout=WAIT_S, isolation_level=None, check_same_thread=False)
    con.execute("PRAGMA trusted_schema = OFF")
    con.execute("PRAGMA cell_size_check = ON")
    con.execute("PRAGMA journal_mode = DELETE")
    con.execute("PRAGMA synchronous = FULL")
    return con


def create(path: Path, fill: Callable[[sqlite3.Connection], None], *, replace: bool = False) -> None:
    """Make a new file at ``path``: written beside it first, then moved into place in one step.

    With ``replace`` what is there is kept as a dated copy and gives way once the new file is whole.
    Raises :class:`StoreError` if something is there already or the folder can't be written.
    """
    if path.exists() and not replace:
        raise StoreError(f"There is already a file {path.name}. Choose another name, or open that one.")
    if not path.parent.is_dir():
        raise StoreError(f"There is no folder {path.parent}. Make it first, or choose another.")
    part = path.with_name(f".{path.name}.part")
    part.unlink(missing_ok=True)
    try:
        con = connect(part)
        try:
            con.execute("BEGIN")
            create_tables(con)
            fill(con)
            con.execute("COMMIT")
        finally:
            con.close()
        if path.exists():
            give_way(path, part)
        else:
            part.replace(path)
    except (OSError, sqlite3.Error) as error:
        raise StoreError(
            f"{path.name} could not be written: {error}. Is there room, and may you write there?"
        ) from error
    finally:
        part.unlink(missing_ok=True)


def open_checked(
    path: Path, backup: Callable[[Path, int], None], migrations: Mapping[int, Migration] = MIGRATIONS
) -> sqlite3.Connection:
    """Return a connection to ``path`` after all checks, migrated if it is older.

    ``backup`` is called with the path and the old version before each step of migration.  Raises
    :class:`StoreError` with one sentence for a missing, foreign, damaged, hostile or newer file.
    """
    look(path)
    try:
        con = connect(path)
    except sqlite3.Error as error:
        raise StoreError(told(path, error)) from None
    try:
        return _check(con, path, backup, migrations)
    except sqlite3.Error as error:
        con.close()
        raise StoreError(told(path, error)) from None
    except StoreError:
        con.close()
        raise


def look(path: Path) -> None:
    """Raise :class:`StoreError` if a file can't be one of ours, by its first bytes and its size."""
    if path.is_dir():
        raise StoreError(f"{path.name} is a folder. Name a .quincunx file.")
    try:
        size = path.stat().st_size
    except FileNotFoundError:
        raise StoreError(f"There is no file {path}. Check the name, or make one with `quincunx new`.") from None
    except OSError as error:
        raise StoreError(f"{path.name} can't be read: {error.strerror or error}.") from None
    if not os.access(path, os.R_OK):
        raise StoreError(f"{path.name} can't be read: you may not read it.")
    if size > MOST_BYTES:
        raise StoreError(
            f"{path.name} is {size / 1e9:.1f} GB; a garden's file is at most {MOST_BYTES / 1e9:.1f} GB. Is it the right file?"
        )
    if not is_database(path):
        raise StoreError(f"{path.name} is not a Quincunx file.{_hint(path)}")


def is_database(path: Path) -> bool:
    """Return whether SQLite takes a file for one of its own.

    It is asked, and the file is never opened beside it: closing a file gives up every lock this process holds on it
    (POSIX, fcntl; sqlite.org, How To Corrupt An SQLite Database File, 2.2), and an edit being written would lose its own.
    """
    if path.stat().st_size < LEAST_BYTES:  # SQLite takes the shortest files for new ones
        return False
    try:
        with closing(sqlite3.connect(path, timeout=WAIT_S)) as con:
            con.execute("PRAGMA schema_version").fetchone()
    except sqlite3.DatabaseError as error:
        return getattr(error, "sqlite_errorcode", 0) != sqlite3.SQLITE_NOTADB
    return True


def _hint(path: Path) -> str:
    with path.open("rb") as file:
        start = file.read(16)
    return " It looks like JSON: use `quincunx import`." if start.lstrip()[:1] == b"{" else ""


def copy_instead(path: Path) -> str:
    """Return how a dated copy of a file that can't be read is opened."""
    return (
        "A dated copy can be opened instead: “Dated copies” on the start page lists"
        f" them, or `quincunx open --copies {path.name}`."
    )


def told(path: Path, error: sqlite3.Error) -> str:
    """Return in one sentence why a file can't be read or written."""
    text = str(error).partition(" with text ")[0]
    if "locked" in text or "busy" in text:
        return f"{path.name} is being written by another program. Close it there, or try again in a moment."
    if "readonly" in text:
        return f"{path.name} can't be written to. Copy it to a folder of your own and open the copy."
    return f"{path.name} is damaged ({text}). {copy_instead(path)}"


def _check(
    con: sqlite3.Connection, path: Path, backup: Callable[[Path, int], None], migrations: Mapping[int, Migration]
) -> sqlite3.Connection:
    if con.execute("PRAGMA application_id").fetchone()[0] != APPLICATION_ID:
        raise StoreError(f"{path.name} is a database of some other program, not a Quincunx file.")
    version = int(con.execute("PRAGMA user_version").fetchone()[0])
    newest = max(migrations, default=VERSION - 1) + 1
    if version > newest:
        raise StoreError(
            f"{path.name} was written by a newer Quincunx (file version {version}; this program knows up to {newest})."
            " Update Quincunx, or export it there as JSON."
        )
    while version < newest:
        if version not in migrations:
            raise StoreError(f"{path.name} has file version {version}, which no Quincunx wrote. Is it the right file?")
        backup(path, version)
        con.execute("BEGIN EXCLUSIVE")
        migrations[version](con)
        version += 1
        con.execute(f"PRAGMA user_version = {version}")
        con.execute("COMMIT")
    odd = foreign_parts(con) if newest == VERSION else []
    if odd:
        raise StoreError(
            f"{path.name} holds parts that Quincunx didn't make ({', '.join(odd)[:80]}). It was not opened."
        )
    result = con.execute("PRAGMA quick_check").fetchone()[0]
    if result != "ok":
        raise sqlite3.DatabaseError(str(result)[:80])
    return con
