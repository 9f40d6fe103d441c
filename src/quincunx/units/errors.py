"""Errors that speak to the person, and what goes wrong when their writing is read."""

from __future__ import annotations


class PlainError(Exception):
    """An error whose message is a sentence for the person: what was given, what was expected, what to do.

    Every such error of every room is one of these, so that the command line and the board know which to show as it is.
    """


class UnitsError(PlainError, ValueError):
    """A text that can't be read as asked: says what was given, what was expected and what to write."""


class AmbiguousNumber(UnitsError):
    """A text with two honest readings; ``readings`` holds both, each written so that it reads one way."""

    readings: tuple[str, ...]

    def __init__(self, given: str, readings: tuple[str, ...]) -> None:
        """Name the text ``given`` and the ``readings`` a person may choose from."""
        choices = " or ".join(readings)
        super().__init__(f'"{given}" could be {choices}; write {choices}')
        self.readings = readings


def unreadable(given: str, what: str, examples: str) -> UnitsError:
    """Return the error for a text that is no ``what`` at all, with ``examples`` of what is."""
    shown = given if len(given) <= 60 else given[:57] + "..."
    return UnitsError(f'"{shown}" is not {what} as we read it; expected {examples}; please write it that way')
