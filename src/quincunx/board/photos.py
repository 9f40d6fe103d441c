"""Photos kept with the garden: those brought home from outdoors, and those pinned to places."""

from __future__ import annotations

import secrets
from typing import Any

from starlette.responses import Response

from quincunx.board.ask import Ask
from quincunx.board.replies import Refused, text
from quincunx.review.outdoor_notes import MOST_PICTURE, picture_of
from quincunx.store import Store

PICTURE_POLICY = "default-src 'none'; sandbox"


def pictures(ask: Ask) -> list[dict[str, Any]]:
    """Answer ``GET /api/pictures``: every picture kept in the file, with where it is pinned and what the journal says."""
    session = ask.session
    garden = session.standing().garden
    pinned = {p: pin.id for pin in garden.pins for p in pin.pictures}
    told = {e.picture: e for e in garden.journal if e.picture}
    out = []
    for name, words, _ in session.store.pictures():
        entry = told.get(name)
        out.append({
            "id": name, "words": words, "pin": pinned.get(name), "entry": entry.id if entry else None,
            "day": entry.day if entry else None, "about": entry.about if entry else None,
        })  # fmt: skip
    return out


def put(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/pictures``: keep ``picture`` (a JPEG or PNG as a data address) called ``words``."""
    address = text(ask.body, "picture", MOST_PICTURE * 4 // 3 + 100)
    return {"id": keep_picture(ask.session.store, address, str(ask.body.get("words", "")))}


def keep_picture(store: Store, address: str, words: str) -> str:
    """Keep a picture written as a data address; return its id. :class:`Refused` for one that can't be kept."""
    found = picture_of(address)
    if isinstance(found, str):
        raise Refused(422, found)
    name = f"photo-{secrets.token_hex(6)}"
    kind, data = found
    store.put_picture(name, words[:80], kind, data)
    return name


def picture(ask: Ask) -> Response:
    """Answer ``GET /api/pictures/NAME``: one picture."""
    known = ask.session.store.picture(str(ask.path.get("name", "")))
    if known is None:
        raise Refused(404, "There is no such picture.")
    headers = {"content-security-policy": PICTURE_POLICY, "cache-control": "private, max-age=86400"}
    return Response(known[1], media_type=known[0], headers=headers)
