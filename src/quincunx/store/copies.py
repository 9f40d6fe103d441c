"""Dated copies: opening a file keeps its last ten states in the user's data folder."""

from __future__ import annotations

import hashlib
import os
import shutil
import sqlite3
import time
from collections.abc import Callable
from contextlib import closing, suppress
from datetime import UTC, datetime
from pathlib import Path

from quincunx.store.errors import StoreError, is_foreign, suppress_foreign

KEPT = 10
WAIT_S = 10.0
"""How long to wait for another process to finish writing [s]."""
STALE_S = 3600.0
"""A copy begun so long ago is no longer being made [s]."""

LEFT = ("-journal", "-wal", "-shm")
"""Endings of what a killed program may leave beside a file; laid over another file of its name it would ruin it."""


def data_folder() -> Path:
    """Return the folder for copies and the list of recent files (``QUINCUNX_DATA`` if set)."""
    given = os.environ.get("QUINCUNX_DATA")
    if given:
        return Path(given)
    import platformdirs

    return Path(platformdirs.user_data_dir("quincunx", appauthor=False))


def copies_folder(path: Path) -> Path:
    """Return where the copies of one file are kept."""
    mark = hashlib.blake2b(str(path.resolve()).encode(), digest_size=6).hexdigest()
    return data_folder() / "copies" / f"{path.stem}-{mark}"


def list_copies(path: Path) -> list[Path]:
    """Return the dated copies of a file, newest first."""
    folder = copies_folder(path)
    return sorted(folder.glob("*.quincunx"), reverse=True) if folder.is_dir() else []


def keep_copy(path: Path, why: str = "") -> Path | None:
    """Copy ``path`` with today's date and time; drop all but the newest ten; None if a copy holds just that.

    The copy just made stays, whatever its date: a clock that was set back would make it the oldest.  Raises
    :class:`sqlite3.Error` or :class:`OSError` if none can be made.
    """
    return _keep(path, why, lambda part: _copy(path, part))


def keep_open(path: Path, con: sqlite3.Connection, why: str) -> Path | None:
    """Keep a dated copy, as :func:`keep_copy` does, of what ``con`` has open though ``path`` is another file by now."""
    return _keep(path, why, lambda part: _whole(con, part))


def _keep(path: Path, why: str, copy: Callable[[Path], None]) -> Path | None:
    folder = copies_folder(path)
    folder.mkdir(parents=True, exist_ok=True)
    _sweep(folder)
    stamp = datetime.now(UTC).strftime("%Y-%m-%d %H-%M-%S-%f")
    target = folder / f"{stamp}{' ' + why if why else ''}.quincunx"
    part = target.with_suffix(".part")
    try:
        copy(part)
        if not why and _is_kept(path, part):
            return None
        part.replace(target)
    finally:
        part.unlink(missing_ok=True)
    for old in [copy for copy in list_copies(path) if copy != target][KEPT - 1 :]:
        old.unlink(missing_ok=True)
    return target


def give_way(path: Path, part: Path) -> None:
    """Put ``part`` in the place of ``path``, which is kept as a dated copy first; nobody writes to it in between.

    Raises :class:`StoreError` if it can't be; ``path`` is then as it was.
    """
    try:
        with closing(_plainly(path)) as held:
            with suppress_foreign():
                held.execute("BEGIN IMMEDIATE")
            keep_copy(path, "before replacing")
            if os.name == "nt":
                held.close()  # there a file that is open can't be replaced
            for left in LEFT:
                path.with_name(path.name + left).unlink(missing_ok=True)
            part.replace(path)
    except (OSError, sqlite3.Error) as error:
        raise StoreError(f"{path.name} could not be kept and replaced: {error}. It was left as it was.") from error


def _copy(path: Path, part: Path) -> None:
    """Copy a file as it was before any edit that is not finished; one that SQLite can't read is copied as it is."""
    try:
        with closing(_plainly(path)) as con:
            _whole(con, part)
    except sqlite3.DatabaseError as error:
        if not is_foreign(error):
            raise
        part.unlink(missing_ok=True)
        shutil.copyfile(path, part)


def _whole(con: sqlite3.Connection, part: Path) -> None:
    """Copy what ``con`` reads, all of one moment."""
    con.execute("BEGIN")
    try:
        con.execute("SELECT count(*) FROM sqlite_master").fetchone()  # from here on the file is held for reading
        _fill(con, part)
    finally:
        con.execute("ROLLBACK")


def _fill(con: sqlite3.Connection, part: Path) -> None:
    with closing(sqlite3.connect(part)) as new:
        con.backup(new)


def _plainly(path: Path) -> sqlite3.Connection:
    return sqlite3.connect(path, timeout=WAIT_S, isolation_level=None)


def _sweep(folder: Path) -> None:
    """Remove what a program that was killed in the middle of a copy left behind."""
    for left in folder.glob("*.part*"):
        with suppress(OSError):
            if time.time() - left.stat().st_mtime > STALE_S:
                left.unlink()


def _is_kept(path: Path, part: Path) -> bool:
    """Whether one of the copies of a file holds the same bytes as ``part``."""
    size = part.stat().st_size
    alike = [copy for copy in list_copies(path) if copy.stat().st_size == size]
    return bool(alike) and _digest(part) in {_digest(copy) for copy in alike}


def _digest(path: Path) -> bytes:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "blake2b").digest()
