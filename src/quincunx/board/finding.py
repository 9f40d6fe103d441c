"""The routes of the search for the best order: begin, end, how far it is, take what was found."""

from __future__ import annotations

from typing import Any

from quincunx.board.ask import Ask
from quincunx.board.finder import document
from quincunx.board.replies import Refused, number

MOST_S = 600.0
USUAL_S = 10.0
"""How long is looked for if nothing is said [s]."""


def find(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/years/find``: begin to look for the best order, for ``seconds``; news come as ``years``."""
    given = ask.body.get("seconds")
    seconds = USUAL_S if given is None else number(given, "seconds")
    if not 0 < seconds <= MOST_S:
        raise Refused(422, f"seconds must be more than 0 and at most {MOST_S:.0f}.")
    return document(ask.session.finder.begin(seconds))


def stop(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/years/stop``: end the search with the best there is."""
    ask.session.finder.stop()
    return found(ask)


def found(ask: Ask) -> dict[str, Any]:
    """Answer ``GET /api/years/found``: how far the search is; ``asked`` is False if nobody looked yet."""
    session = ask.session
    at = session.standing()
    search = session.finder.search(at)
    return {"asked": False} if search is None else {"asked": True, **document(search, at)}


def take(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/years/take``: write the best order found into the jobs, as one edit."""
    from quincunx.years.from_garden import edit_of

    session = ask.session
    at = session.standing()
    search = session.finder.search(at)
    if search is None or search.best is None or search.best.starts is None:
        raise Refused(409, "The garden changed meanwhile. Look for the best order again.")
    edit = edit_of(at.garden, at.problem, search.best.starts)
    if not edit.ops:
        raise Refused(409, "The jobs already have these months.")
    saved, _ = session.commit(edit, at.revision)
    session.finder.taken(search, session.standing())
    return {"revision": saved.revision, "changed": len(edit.ops)}
