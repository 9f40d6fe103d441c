"""Questions over the sheet: one file each, and this explicit list of them.

A question is a module with ``NAME``, ``WORDS`` (on its button), ``ASKS`` (the question itself) and functions:

- ``inputs(at)`` returns what it is asked with (:class:`~quincunx.board.asking.Input`), cheaply;
- ``answer(at, scene, given)`` returns an :class:`~quincunx.board.asking.Answer`;
- ``value(at, scene, given, where)`` returns one sentence about a point [m]; without it the page reads the answer's field.

If it has ``rough(at, scene, given)`` too, that is answered first, unless it returns None: within a second or two, with a
word why it is rough; the page then asks once more with ``fine``.  ``ready()``, if there, is called before a fine answer
while nobody's turn is taken: it may load or compile what the answer needs, and take its time.
"""

from __future__ import annotations

from types import ModuleType
from typing import Any

from quincunx.board import age, canes, eyes, feet, rain, sun, water
from quincunx.board.ask import Ask
from quincunx.board.asking import Given, answer_json, given_of, inputs_json
from quincunx.board.replies import Refused, encoded, number
from quincunx.board.scenes import day_of
from quincunx.board.standing import Standing

QUESTIONS: tuple[ModuleType, ...] = (feet, eyes, sun, rain, water, canes, age)
"""Every question, in the order of their buttons."""


def questions(ask: Ask) -> list[dict[str, Any]]:
    """Answer ``GET /api/questions``: what can be asked of the open garden, and with what."""
    at = ask.session.standing()
    return [
        {
            "name": q.NAME,
            "words": q.WORDS,
            "asks": q.ASKS,
            "inputs": inputs_json(q.inputs(at)),
            "value": hasattr(q, "value"),
        }
        for q in QUESTIONS
    ]


def _asked(ask: Ask) -> ModuleType:
    name = ask.query.get("name", "")
    found = next((q for q in QUESTIONS if name == q.NAME), None)
    if found is None:
        raise Refused(404, f"That can't be asked. These can: {', '.join(q.NAME for q in QUESTIONS)}.")
    return found


def _given(of: ModuleType, at: Standing, ask: Ask) -> Given:
    return given_of(at, of.inputs(at), ask.query)


def question(ask: Ask) -> bytes:
    """Answer ``GET /api/question``: figures, a field, the key, charts, places to look at; ``fine`` asks past a rough one."""
    session, of = ask.session, _asked(ask)
    at = session.standing()
    scene = at.timeline.at(day_of(ask))
    given = _given(of, at, ask)
    # The month too: what is advised, or told of what is still to do, is from the present one on.
    key = ("question", of.NAME, at.whole, at.month, scene.on, *sorted(given.texts.items()))
    known = session.drawn.get(key)
    if known is not None:
        return known
    fine = ask.query.get("fine") == "1"
    if not fine and hasattr(of, "rough"):
        with session.turns.urgent():
            rough = of.rough(at, scene, given)
        if rough is not None:
            return encoded(answer_json(rough, given, at.garden.style))
    if fine and hasattr(of, "ready"):
        of.ready()
    with session.turns.urgent():
        found = of.answer(at, scene, given)
    return session.drawn.put(key, encoded(answer_json(found, given, at.garden.style)))


def value_at(ask: Ask) -> dict[str, Any]:
    """Answer ``GET /api/question/at``: the value under the pointer at ``x``, ``y`` [m]."""
    session, of = ask.session, _asked(ask)
    at = session.standing()
    where = (number(ask.query.get("x"), "x"), number(ask.query.get("y"), "y"))
    if not hasattr(of, "value"):
        raise Refused(404, f"{of.WORDS} says nothing about single places. The page reads its field.")
    with session.turns.urgent():
        words = of.value(at, at.timeline.at(day_of(ask)), _given(of, at, ask), where)
    return {"words": words}
