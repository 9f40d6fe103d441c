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


def judge_try(
    verdicts: Verdicts,
    at: Standing,
    then: Standing,
    cells: Sequence[tuple[Intent, int]],
    differed: Iterable[Cell],
    ear: Ear,
) -> bool:
    """Judge ``cells`` of the garden ``at`` as it would be ``then``; return whether the try counted to the end.

    Those that ``differed`` in the window's last try come first, the others in their order.
    """
    known_first = frozenset(differed)
    first = [c for c in cells if (c[0].id, c[1]) in known_first and not verdicts.unchanged(*c, at, then)]
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
            known = verdicts.untouched(must, year, at, then)
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
