"""A view with something and without it, at the board and outdoors: each place's card, to look at and to send."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import islice
from typing import Any

from quincunx.board.ask import Ask
from quincunx.board.replies import Refused, encoded
from quincunx.review import Review
from quincunx.sheets import Set, SheetError, prepare
from quincunx.sheets._both import Both, both
from quincunx.sheets._both_card import CARD_MM, alt, caption, card, foot, missing


def views(ask: Ask) -> bytes:
    """Answer ``GET /api/outdoors/views/ID``: the views with a job or a thing and without it, from the best places.

    ``/api/outdoors/views/ID/X,Y`` has them from that point of the plan [m].
    """
    session, about, point = ask.session, str(ask.path.get("name", "")), str(ask.path.get("at", ""))
    at = session.standing()
    if all(one.id != about for part in (at.garden.jobs, at.garden.features) for one in part):
        raise Refused(404, "There is no job and no thing of that name in this garden.")
    key = ("both", at.whole, at.revision, about, point)
    known = session.drawn.get(key)
    if known is not None:
        return known
    with session.turns.urgent():
        told = views_json(
            prepare(at.garden, through=at.timeline, judged=Review((), ())), about, at=(point,) if point else ()
        )
    return session.drawn.put(key, encoded({**told, "revision": at.revision}))


def views_json(of: Set, about: str, most: int | None = None, at: Sequence[str] = ()) -> dict[str, Any]:
    """Return the views as JSON values, no more than ``most`` places; where there is nothing to see, ``none`` says why."""
    try:
        found = list(islice(both(of, about, at), most))
    except SheetError as error:
        return {"about": about, "places": [], "none": str(error)}
    several = len({one.choice for one in found}) > 1
    return {"about": about, "places": [_place(of, one, several=several) for one in found], "none": ""}


def _place(of: Set, one: Both, *, several: bool) -> dict[str, Any]:
    """Return one card; of ``several`` choices each is called by its own words, else by where one stands."""
    svg, high = card(of, one)
    return {
        "id": f"{one.place.id} {one.choice}".strip(), "name": one.name,
        "words": one.choice if several else one.place.words, "caption": caption(of, one), "missing": missing(of, one), "foot": foot(one),
        "card": svg, "wide_mm": CARD_MM, "high_mm": round(high, 2),
        "rows": [
            {"words": row.words, "alts": [alt(one, row, within=False), alt(one, row, within=True)]} for row in one.rows
        ],
    }  # fmt: skip
