"""Questions over the sheet: one file each, and this explicit list of them."""

from __future__ import annotations

from types import ModuleType
from typing import Any

from quincunx.board import feet
from quincunx.board.answers import Ask, Refused, encoded, number
from quincunx.board.scenes import day_of

QUESTIONS: tuple[ModuleType, ...] = (feet,)
"""Every question; each has NAME, WORDS, ASKS, WALKER, ``answer(at, scene, ask)`` and ``value(at, scene, ask, xy)``."""


def questions(_ask: Ask) -> list[dict[str, Any]]:
    """Answer ``GET /api/questions``: what can be asked."""
    return [{"name": q.NAME, "words": q.WORDS, "asks": q.ASKS, "walker": q.WALKER, "ready": True} for q in QUESTIONS]


def _asked(ask: Ask) -> ModuleType:
    name = ask.query.get("name", "")
    found = next((q for q in QUESTIONS if name == q.NAME), None)
    if found is None:
        raise Refused(404, f"That can't be asked. These can: {', '.join(q.NAME for q in QUESTIONS)}.")
    return found


def question(ask: Ask) -> bytes:
    """Answer ``GET /api/question``: the figures over the sheet, their legend, what leaks, what each room is."""
    session, of = ask.session, _asked(ask)
    at = session.standing()
    scene = at.timeline.at(day_of(ask))
    key = ("question", of.NAME, at.common, scene.key, ask.query.get("walker"))
    known = session.drawn.get(key)
    if known is not None:
        return known
    with session.turns.urgent():
        found = of.answer(at, scene, ask.query)
    return session.drawn.put(key, encoded(found))


def value_at(ask: Ask) -> dict[str, Any]:
    """Answer ``GET /api/question/at``: the value under the pointer at ``x``, ``y`` [m]."""
    session, of = ask.session, _asked(ask)
    at = session.standing()
    where = (number(ask.query.get("x"), "x"), number(ask.query.get("y"), "y"))
    with session.turns.urgent():
        words = of.value(at, at.timeline.at(day_of(ask)), ask.query, where)
    return {"words": words}
