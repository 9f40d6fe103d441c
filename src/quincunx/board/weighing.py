"""Weighing a thing up against others, and what keeps what is built, at the board."""

from __future__ import annotations

from typing import Any

from quincunx.board.ask import Ask
from quincunx.board.costing import caution
from quincunx.board.replies import Refused
from quincunx.garden.comparing import weighed, worth_weighing
from quincunx.garden.upkeep import Due, due, kept, take, yearly
from quincunx.sheets.weighed import LIVES, rows_of
from quincunx.units import Style, format_hours, format_money


def weighed_up(ask: Ask) -> Any:
    """Answer ``GET /api/weighed?of=ID``: a row for each way of having a thing, with the caution under it."""
    at = ask.session.standing()
    of = ask.query.get("of", "")
    feature = next((f for f in at.garden.features if f.id == of), None)
    if feature is None or not worth_weighing(feature):
        raise Refused(
            404, f"There is nothing to weigh up about {of!r}. Ask for a thing that can be made in several ways."
        )
    with ask.session.turns.urgent():
        found = weighed(at.garden, at.timeline, of)
    head, rows, notes = rows_of(found, at.garden.style)
    demo = ["The prices of this demonstration are invented."] if any(w.reckoned.demo for w in found) else []
    return {
        "revision": at.revision, "of": of, "name": feature.called, "head": head, "rows": rows,
        "chosen": [w.chosen for w in found], "notes": [*notes, LIVES, *demo], "caution": caution(at.garden),
    }  # fmt: skip


def upkeep(ask: Ask) -> Any:
    """Answer ``GET /api/upkeep``: what falls due in which year, and the edit that takes each, or all, into the plan."""
    at, session = ask.session.standing(), ask.session
    key = ("upkeep", at.whole)
    known = session.drawn.get(key)
    if known is not None:
        return known
    from quincunx.board.replies import encoded

    style = at.garden.style
    with session.turns.urgent():
        found = due(at.garden, at.timeline)
        old = kept(at.garden, at.timeline)[1]
        every = [
            f"{words}: about {format_hours(hours, style)} a year" for words, hours in yearly(at.garden, at.timeline)
        ]
    whole = take(list(found))
    reply = {
        "revision": at.revision, "rows": [_row(d, style) for d in found], "yearly": every, "old": [f.called for f in old],
        "label": whole.label, "ops": [op.model_dump(mode="json", exclude_none=True) for op in whole.ops], "note": LIVES,
        "caution": caution(at.garden),
    }  # fmt: skip
    return session.drawn.put(key, encoded(reply))


def _row(due: Due, style: Style) -> dict[str, Any]:
    r, edit = due.reckoned, due.edit()
    missing = len(r.unpriced)
    return {
        "id": due.id, "year": due.year, "words": due.words, "names": list(due.names),
        "money": format_money(r.sum, style, whole=True) if r.sum else "",
        "missing": f"{missing} without a price" if missing else "", "hours": format_hours(r.hours, style),
        "in_plan": due.in_plan, "taken": due.taken, "label": edit.label,
        "ops": [op.model_dump(mode="json", exclude_none=True) for op in edit.ops],
    }  # fmt: skip
