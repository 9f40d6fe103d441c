"""True north on the plan: sights of shadows, of noon and of a compass in, what they come to, and one edit."""

from __future__ import annotations

from typing import Any

from quincunx.board.ask import Ask
from quincunx.board.clock import today
from quincunx.board.replies import Refused
from quincunx.review.true_north import COVERS, needle_words, north_edit, northward, up_words
from quincunx.units import own_marks

MOST_SIGHTS = 40


def north(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/ground/north``: what the sights in ``lines`` say of north; with ``keep`` the plan is told."""
    lines = ask.body.get("lines")
    if not isinstance(lines, list) or len(lines) > MOST_SIGHTS or not all(isinstance(s, str) for s in lines):
        raise Refused(422, f"lines is a list of at most {MOST_SIGHTS} sights, such as A>T shadow 2027-05-01 15:20.")
    session = ask.session
    with session.lock:
        at = session.standing()
        found = northward(at.garden, [s[:200] for s in lines])
        if ask.body.get("keep") is True:
            edit = north_edit(at.garden, found)
            if edit is None:
                raise Refused(422, found.words)
            session.commit(edit, at.revision)
        revision = session.store.revision
    garden = session.standing().garden
    place = garden.site.place
    return {
        "revision": revision, "words": found.words, "found": found.turn_deg is not None, "agree": found.agree,
        "sights": [{"line": s.line, "words": s.words or s.fault, "good": not s.fault} for s in found.sights],
        "now": "" if place is None else up_words(garden), "needle": own_marks(needle_words(place, today(place)), garden.style),
        "covers": COVERS,
    }  # fmt: skip
