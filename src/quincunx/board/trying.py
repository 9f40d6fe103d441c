"""Judging one try: what differed in the window's last one first, then all that may differ, and what surely stays."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from contextlib import AbstractContextManager
from typing import Protocol

from quincunx.board.standing import Standing
from quincunx.intents import Intent
from quincunx.review.verdicts import Known, Verdicts

Cell = tuple[str, int]
"""A must's id and a year."""
OUTRIGHT = 5
"""So many tries in turn a verdict is judged without looking whether it stays, once it could not be shown to."""


class Ear(Protocol):
    """Whoever hears what becomes known of a try."""

    def left(self) -> bool:
        """Return whether the try no longer counts."""

    def turn(self) -> AbstractContextManager[None]:
        """Return the turn in which something is worked out."""

    def touch(self, must: Intent) -> None:
        """Hear that the try may touch a must, which is still to be judged."""

    def stays(self, must: Intent, year: int, known: Known) -> None:
        """Hear that a verdict surely is what it was."""

    def judged(self, must: Intent, year: int, known: Known) -> None:
        """Hear a fresh verdict."""


class Doubts:
    """Which verdicts could not be shown to stay in the last tries: as a thing is dragged on, they mostly can't be again.

    To find that out costs a good part of judging.  So they are judged outright, and looked at again only now and then.
    """

    def __init__(self) -> None:
        """Begin without any."""
        self._left: dict[Cell, int] = {}

    def lifted(self, cell: Cell) -> bool:
        """Return whether it is worth while to look whether a verdict stays."""
        left = self._left.get(cell, 0)
        if left:
            self._left[cell] = left - 1
        return not left

    def note(self, cell: Cell, *, stays: bool) -> None:
        """Note whether a verdict could be shown to stay."""
        if stays:
            self._left.pop(cell, None)
        else:
            self._left[cell] = OUTRIGHT


def judge_try(
    verdicts: Verdicts,
    at: Standing,
    then: Standing,
    cells: Sequence[tuple[Intent, int]],
    differed: Iterable[Cell],
    ear: Ear,
    doubts: Doubts | None = None,
) -> bool:
    """Judge ``cells`` of the garden ``at`` as it would be ``then``; return whether the try counted to the end.

    Those that ``differed`` in the window's last try come first, the others in their order.  ``doubts`` are kept from
    try to try.
    """
    doubts = doubts or Doubts()
    known_first = frozenset(differed)
    first = [c for c in cells if (c[0].id, c[1]) in known_first and verdicts.unchanged(*c, at, then) is None]
    begun = {(must.id, year) for must, year in first}
    for must, _ in first:
        ear.touch(must)
    if not _judged(verdicts, then, first, ear):
        return False
    todo = []
    with ear.turn():
        for must, year in (c for c in cells if (c[0].id, c[1]) not in begun):
            if ear.left():
                return False
            cell = (must.id, year)
            if doubts.lifted(cell):
                known = verdicts.untouched(must, year, at, then)
                doubts.note(cell, stays=known is not None)
            else:
                known = verdicts.unchanged(must, year, at, then)
            if known is None:
                ear.touch(must)
                todo.append((must, year))
            else:
                ear.stays(must, year, known)
    return _judged(verdicts, then, todo, ear)


def _judged(verdicts: Verdicts, then: Standing, todo: Iterable[tuple[Intent, int]], ear: Ear) -> bool:
    """Judge one after the other; return whether the try still counts."""
    for must, year in todo:
        if ear.left():
            return False
        with ear.turn():
            known = verdicts.judge(must, year, then)
        ear.judged(must, year, known)
    return True
