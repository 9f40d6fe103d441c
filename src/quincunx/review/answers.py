"""Verdicts kept from one run of the program to the next, in the user's folder for caches.

A verdict is found again by a digest of all it goes by and of the program's own files, so that a kept one equals what
judging again would give.  Nothing depends on the file: it may be thrown away at any time, and whatever is wrong with it
means only that more is judged.
"""

from __future__ import annotations

import contextlib
import hashlib
import io
import os
import pickle
import sqlite3
import sys
import time
from collections.abc import Callable, Sequence
from functools import cache
from pathlib import Path
from threading import Lock
from typing import Any

MOST = 30_000
"""Answers kept; of more, the older half is let go."""
WAIT_S = 0.5
"""How long another program that writes is waited for [s]."""
PLAIN = frozenset({"builtins", "datetime"})
"""Beside our own shapes, what is read may be made of these modules' types only."""


class Answers:
    """Values by key in a file shared by all gardens.  Safe from several threads and programs."""

    def __init__(self, folder: Path) -> None:
        """Keep them in ``folder``, which is made if it isn't there."""
        self._lock = Lock()
        self._new: dict[bytes, bytes] = {}
        self._file: sqlite3.Connection | None = None
        with contextlib.suppress(OSError, sqlite3.Error):
            folder.mkdir(parents=True, exist_ok=True, mode=0o700)
            self._file = _opened(folder / "answers.sqlite")

    @classmethod
    def of_user(cls) -> Answers | None:
        """Return the user's answers; None where ``QUINCUNX_ANSWERS`` says ``none``."""
        if os.environ.get("QUINCUNX_ANSWERS") == "none":
            return None
        return cls(answers_folder())

    def get(self, key: Sequence[str]) -> Any:
        """Return the value kept for ``key``; None if there is none that can be read."""
        digest = _digest(key)
        with self._lock:
            found = self._new.get(digest)
            if found is None and self._file is not None:
                with contextlib.suppress(sqlite3.Error):
                    row = self._file.execute("SELECT value FROM answers WHERE key = ?", (digest,)).fetchone()
                    found = None if row is None else row[0]
        return None if found is None else _read(found)

    def put(self, key: Sequence[str], value: object) -> None:
        """Keep ``value``; it is on disk after the next :meth:`write`."""
        data = pickle.dumps(value, protocol=5)
        with self._lock:
            self._new[_digest(key)] = data

    def write(self) -> None:
        """Put what is new on disk, all at once."""
        with self._lock:
            new, self._new = self._new, {}
            if not new or self._file is None:
                return
            now = time.time()
            with contextlib.suppress(sqlite3.Error), self._file:
                rows = [(key, now, value) for key, value in new.items()]
                self._file.executemany("INSERT OR REPLACE INTO answers VALUES (?, ?, ?)", rows)
                count = self._file.execute("SELECT count(*) FROM answers").fetchone()[0]
                if count > MOST:
                    gone = "SELECT key FROM answers ORDER BY made LIMIT ?"
                    self._file.execute(f"DELETE FROM answers WHERE key IN ({gone})", (count // 2,))  # noqa: S608

    def close(self) -> None:
        """Write what is new and close the file."""
        self.write()
        with self._lock:
            if self._file is not None:
                self._file.close()
            self._file = None


def answers_folder() -> Path:
    """Return the user's folder for answers; ``QUINCUNX_CACHE`` names another root."""
    root = os.environ.get("QUINCUNX_CACHE")
    if root is None:
        import platformdirs

        root = platformdirs.user_cache_dir("quincunx", appauthor=False)
    return Path(root) / "answers"


def _opened(path: Path) -> sqlite3.Connection:
    file = sqlite3.connect(path, timeout=WAIT_S, check_same_thread=False)
    try:
        file.execute("PRAGMA synchronous = OFF")
        file.execute("CREATE TABLE IF NOT EXISTS answers (key BLOB PRIMARY KEY, made REAL, value BLOB) WITHOUT ROWID")
    except sqlite3.DatabaseError:
        file.close()
        path.unlink(missing_ok=True)
        file = sqlite3.connect(path, timeout=WAIT_S, check_same_thread=False)
        file.execute("CREATE TABLE IF NOT EXISTS answers (key BLOB PRIMARY KEY, made REAL, value BLOB) WITHOUT ROWID")
    return file


def _digest(key: Sequence[str]) -> bytes:
    out = hashlib.blake2b(program_digest(), digest_size=20)
    for part in key:
        data = part.encode()
        out.update(len(data).to_bytes(4, "big") + data)
    return out.digest()


@cache
def program_digest() -> bytes:
    """Return a digest of which program this is: every file of the package by size and time, and the Python."""
    import quincunx

    root = Path(quincunx.__file__).parent
    out = hashlib.blake2b(f"{sys.version} {quincunx.__version__}".encode(), digest_size=20)
    for folder, inside, names in os.walk(root):
        inside[:] = sorted(d for d in inside if d not in ("_ui", "__pycache__"))
        for name in sorted(names):
            stat = (Path(folder) / name).stat()
            out.update(f"{folder[len(str(root)) :]}/{name} {stat.st_size} {stat.st_mtime_ns}\n".encode())
    return out.digest()


BROKEN = (
    pickle.UnpicklingError, ArithmeticError, AttributeError, EOFError, ImportError, LookupError, MemoryError, TypeError,
    ValueError,
)  # fmt: skip
"""What reading a damaged answer may raise; it is judged again."""


class _OursOnly(pickle.Unpickler):
    def find_class(self, module: str, name: str) -> Any:
        if module in PLAIN and name not in ("eval", "exec", "getattr", "open", "__import__", "compile"):
            return super().find_class(module, name)
        if module.startswith(("quincunx.shapes", "quincunx.review.verdicts")):
            return super().find_class(module, name)
        raise pickle.UnpicklingError(f"{module}.{name} is no part of an answer")


def _read(data: bytes) -> Any:
    reader: Callable[[], Any] = _OursOnly(io.BytesIO(data)).load
    try:
        return reader()
    except BROKEN:
        return None
