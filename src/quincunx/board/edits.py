"""The garden and its changes: edits, taking back, history, named versions, alternatives."""

from __future__ import annotations

from typing import Any

from pydantic import ValidationError

from quincunx.board.ask import Ask
from quincunx.board.clock import today
from quincunx.board.replies import Refused, text, whole
from quincunx.board.standing import Standing
from quincunx.garden import Edit
from quincunx.units import format_money, minor_digits
from quincunx.units.words import printable
from quincunx.works import Entry

MOST_HISTORY = 500


def garden(ask: Ask) -> dict[str, Any]:
    """Answer ``GET /api/garden``: the document as it is now."""
    session = ask.session
    at = session.standing()
    undo, redo = session.store.can()
    return {
        "revision": at.revision, "head": at.head, "heads": session.store.heads(), "garden": at.document,
        "years": list(at.timeline.years), "called": at.called, "can_undo": undo, "can_redo": redo,
        "built": list(at.built), "writing": writing(at), "today": today(at.garden.site.place).isoformat(),
    }  # fmt: skip


def writing(at: Standing) -> dict[str, Any]:
    """Return how this person writes, for reading and writing numbers on the page."""
    w = at.garden.writing
    digits = minor_digits(w.currency)
    sign = format_money(0, w.style, whole=True).strip(" 0\u00a0\u202f")
    return {
        "units": w.units, "decimal_mark": w.decimal_mark, "currency": w.currency, "paper": w.paper,
        "currency_sign": sign or w.currency, "minor": 10**digits,
    }  # fmt: skip


def edit(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/edit``: make an edit on the revision ``base`` it was made on."""
    body, session = ask.body, ask.session
    base = None if body.get("base") is None else whole(body["base"], "base")
    try:
        made = Edit.model_validate(printable(body.get("edit")))
    except ValidationError as error:
        first = error.errors()[0]
        where = " ".join(str(part) for part in first["loc"])
        raise Refused(422, f"The edit can't be read: {where}: {first['msg']}.") from None
    if not made.ops:
        raise Refused(422, "The edit changes nothing.")
    _worth_keeping(made)
    saved, ids = session.commit(made, base)
    return {"revision": saved.revision, "merged": saved.merged, "ids": ids}


def _worth_keeping(made: Edit) -> None:
    """Refuse a new line of the journal that says nothing: money spent without a sum, hours worked without hours."""
    for op in made.ops:
        if op.do == "put" and op.part == "journal":
            try:
                lacks = Entry.model_validate(op.value).lacks
            except ValidationError:
                continue  # the garden tells what is wrong with it
            if lacks:
                raise Refused(422, lacks)


def undo(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/undo``; with ``base`` only if the garden is still at that revision."""
    _same(ask)
    revision, label = ask.session.undo()
    if label is None:
        raise Refused(409, "There is nothing to take back.")
    return {"revision": revision, "label": label}


def redo(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/redo``; with ``base`` only if the garden is still at that revision."""
    _same(ask)
    revision, label = ask.session.redo()
    if label is None:
        raise Refused(409, "There is nothing to do again.")
    return {"revision": revision, "label": label}


def _same(ask: Ask) -> None:
    base = ask.body.get("base")
    if base is not None and whole(base, "base") != ask.session.store.revision:
        raise Refused(
            409, "Another window changed this garden meanwhile. Look at it as it is now and try again.", theirs=[]
        )


def history(ask: Ask) -> list[dict[str, Any]]:
    """Answer ``GET /api/history``: the head's edits, newest first."""
    steps = ask.session.store.history(min(max(ask.whole("most", 200), 1), MOST_HISTORY))
    here = ask.session.store.revision
    return [{"id": s.id, "label": s.label, "when": s.made_at, "here": s.id == here} for s in steps]


def versions(ask: Ask) -> list[dict[str, Any]]:
    """Answer ``GET /api/versions``: the named versions, newest first."""
    return [{"name": name, "when": when} for name, when in ask.session.store.versions()]


def name_version(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/versions``: give the present state a ``name``."""
    name = text(ask.body, "name", 80)
    ask.session.store.name_version(name)
    return {"name": name}


def return_to(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/versions/return``: make the garden as it was under ``name``, as an edit."""
    name = text(ask.body, "name", 80)
    before = ask.session.store.version(name)
    return {"revision": ask.session.replace(before, f"Go back to {name}")}


def new_head(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/heads``: make the alternative ``name`` from the head ``from`` (else the present one)."""
    body, session = ask.body, ask.session
    name = text(body, "name", 60)
    with session.lock:
        here, start = session.store.head, body.get("from")
        if isinstance(start, str) and start:
            session.store.switch(start)
        try:
            session.store.new_head(name)
        finally:
            session.store.switch(here)
    return {"heads": session.store.heads(), "head": here}


def switch_head(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/heads/switch``: show the alternative ``name`` in every window."""
    session = ask.session
    session.switch(text(ask.body, "name", 60))
    return {"head": session.store.head, "revision": session.store.revision}
