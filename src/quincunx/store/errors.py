"""What can be wrong with a file, each in one clear sentence."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

from quincunx.units.errors import PlainError

PRIMARY = 0xFF
"""The part of SQLite's codes of errors that says the kind (sqlite.org, Result and Error Codes)."""


class StoreError(PlainError):
    """The file can't be used as asked; the message says why and what to do.  Nothing was changed."""


class Conflict(StoreError):
    """Somebody else changed the same thing since; ``theirs`` says what they did."""

    def __init__(self, message: str, theirs: tuple[str, ...]) -> None:
        """Hold the sentence and the labels of the other edits."""
        super().__init__(message)
        self.theirs = theirs


def is_foreign(error: sqlite3.Error) -> bool:
    """Return whether an error says that a file is no database, or a damaged one, rather than that it is busy."""
    code = getattr(error, "sqlite_errorcode", 0) & PRIMARY
    return code in (sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_CORRUPT)


@contextmanager
def suppress_foreign() -> Iterator[None]:
    """Pass over errors of a file that is no database, or a damaged one."""
    try:
        yield
    except sqlite3.DatabaseError as error:
        if not is_foreign(error):
            raise
