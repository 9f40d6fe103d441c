"""What can be wrong with a file, each in one clear sentence."""

from __future__ import annotations

from quincunx.units.errors import PlainError


class StoreError(PlainError):
    """The file can't be used as asked; the message says why and what to do.  Nothing was changed."""


class Conflict(StoreError):
    """Somebody else changed the same thing since; ``theirs`` says what they did."""

    def __init__(self, message: str, theirs: tuple[str, ...]) -> None:
        """Hold the sentence and the labels of the other edits."""
        super().__init__(message)
        self.theirs = theirs
