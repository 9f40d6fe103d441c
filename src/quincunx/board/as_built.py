"""How jobs came out, what would move if the plan were drawn as built, and which musts that changes."""

from __future__ import annotations

from typing import Any

from quincunx.board.ask import Ask
from quincunx.board.judged import all_judged
from quincunx.board.outdoors import noticed_set
from quincunx.board.replies import Refused, text
from quincunx.board.tries import Try, stood_up
from quincunx.review.changed import musts_changed
from quincunx.sheets import Set
from quincunx.sheets._as_built import Built, as_built, built_edit, built_words, moves_words
from quincunx.sheets._outdoors import base_of, planned_whole, ready_on


def jobs_built(ask: Ask) -> list[dict[str, Any]]:
    """Answer ``GET /api/outdoors/built``: every job of which something was taped again, and how it came out."""
    of = noticed_set(ask.session)
    return [_told(of, b) for b in _all(of)]


def _all(of: Set) -> list[Built]:
    about = {e.about for e in of.garden.journal if e.what == "measured" and e.length is not None and len(e.points) == 2}
    jobs = [j for j in of.garden.jobs if j.id in about]
    base = base_of(of) if jobs else None
    found = (as_built(of, planned_whole(of, j, base)) for j in jobs)
    return [b for b in found if b is not None]


def _told(of: Set, built: Built) -> dict[str, Any]:
    return {
        "job": built.plan.job.id, "name": built.plan.job.name, "words": built_words(of, built),
        "moves": moves_words(of, built),
    }  # fmt: skip


def _one(ask: Ask, name: str) -> tuple[Set, Built]:
    of = noticed_set(ask.session)
    built = next((b for b in _all(of) if b.plan.job.id == name), None)
    if built is None:
        raise Refused(404, "Nothing of that job was taped again.")
    return of, built


def would_change(ask: Ask) -> dict[str, Any]:
    """Answer ``GET /api/outdoors/built/JOB``: which musts would be answered otherwise if the plan were drawn as built."""
    of, built = _one(ask, str(ask.path.get("name", "")))
    session = ask.session
    at = session.standing()
    if not built.moved:
        return {**_told(of, built), "musts": []}
    then = stood_up(at, Try(built.moved, ready_on(of, built.plan.job), "as-built"))
    changes = musts_changed(*(all_judged(session, a, session.turns.urgent, named=False) for a in (at, then)))
    return {**_told(of, built), "musts": [c.sentence for c in changes]}


def draw_as_built(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/outdoors/built``: move the plan to what was built of a ``job``, as one edit."""
    of, built = _one(ask, text(ask.body, "job", 60))
    if not built.moved:
        raise Refused(409, "The plan can stay as it is: nothing of it has to move.")
    with ask.session.lock:
        saved, _ = ask.session.commit(built_edit(of, built), ask.session.store.revision)
    return {"revision": saved.revision}
