"""Every must of a garden at the board, with its answer in each year: from what is known, and else judged in turn."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager

from quincunx.board.session import Session
from quincunx.board.standing import Standing
from quincunx.intents import Intent
from quincunx.review.judging import Judged
from quincunx.shapes import Verdict


def all_judged(
    session: Session, at: Standing, turn: Callable[[], AbstractContextManager[object]], *, named: bool = True
) -> list[Judged]:
    """Return every must of ``at`` judged in all its years; ``turn`` says when each may be worked out."""
    rows = []
    for must in at.garden.intents:
        verdicts = []
        for year in at.timeline.years:
            with turn():
                verdicts.append(session.verdicts.judge(must, year, at).verdict)
        rows.append(row_of(must, at, verdicts, named=named))
    return rows


def row_of(must: Intent, at: Standing, verdicts: Sequence[Verdict], *, named: bool = True) -> Judged:
    """Return a must with its answers so far: by the name the person gave it if ``named``, else by its sentence."""
    said = (must.name if named else "") or must.sentence(at.words)
    return Judged(must.id, must.kind, said, must.due_from(at.timeline), must.muted, tuple(verdicts))
