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
from quincunx.sheets._moments import TOLD, USUAL, Moment, clock, read_day, read_hour

BEST = "best"
"""What is asked for in place of a point of the plan: the best places."""


def views(ask: Ask) -> bytes:
    """Answer ``GET /api/outdoors/views/ID``: the views with a job or a thing and without it, from the best places.

    ``/api/outdoors/views/ID/X,Y`` has them from that point of the plan [m], ``/ID/X,Y/05-15-17-30`` as on that day at that hour
    (month, day, hour, minute), and ``/ID/best/05-15-17-30`` so from the best places.
    """
    session, about, point = ask.session, str(ask.path.get("name", "")), str(ask.path.get("at", ""))
    at = session.standing()
    if all(one.id != about for part in (at.garden.jobs, at.garden.features) for one in part):
        raise Refused(404, "There is no job and no thing of that name in this garden.")
    when = _when(str(ask.path.get("when", "")))
    point = "" if point == BEST else point
    key = ("both", at.whole, *at.stamp, about, point, when)
    known = session.drawn.get(key)
    if known is not None:
        return known
    with session.turns.urgent():
        of = prepare(at.garden, through=at.timeline, judged=Review((), ()))
        found = views_json(of, about, at=(point,) if point else (), when=when)
    return session.drawn.put(key, encoded({**found, "revision": at.revision}))


def _when(typed: str) -> Moment:
    if not typed:
        return USUAL
    month, day, hour, minute = (*typed.split("-"), "", "", "", "")[:4]
    try:
        return Moment(None, read_day(f"{month}-{day}"), read_hour(f"{hour}:{minute}"))
    except SheetError as error:
        raise Refused(422, str(error)) from None


def views_json(
    of: Set, about: str, most: int | None = None, at: Sequence[str] = (), when: Moment = USUAL
) -> dict[str, Any]:
    """Return the views as JSON values, no more than ``most`` places; where there is nothing to see, ``none`` says why.

    ``moments`` are the days and hours that can be asked for in plain words.
    """
    south = of.timeline.southern
    told = {
        "about": about, "places": list[Any](), "none": "", "moments": moments_json(southern=south),
        "usual": f"the end of {'December' if south else 'June'}, the sun to one side",
    }  # fmt: skip
    try:
        found = list(islice(both(of, about, at, when=when), most))
    except SheetError as error:
        return {**told, "none": str(error)}
    several = len({one.choice for one in found}) > 1
    return {**told, "places": [_place(of, one, several=several) for one in found]}


def moments_json(*, southern: bool) -> list[dict[str, str]]:
    """Return the moments with plain words: the words, the day and the hour as they are asked for."""
    out = []
    for one in TOLD:
        when = one.moment(southern=southern)
        month, day = when.day or (1, 1)
        out.append({
            "id": one.id, "words": one.said(southern=southern), "day": f"{month:02d}-{day:02d}",
            "hour": f"{clock(when.hour or 0.0):%H:%M}",
        })  # fmt: skip
    return out


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
