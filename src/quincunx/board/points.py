"""A file of corners or points at the board: looked at first, in both orders, then taken as one edit."""

from __future__ import annotations

from typing import Any

from pydantic import ValidationError

from quincunx.board.ask import Ask
from quincunx.board.replies import Refused
from quincunx.garden import Garden, GardenError, plain
from quincunx.garden.document import Writing
from quincunx.review.points import BECOMES, Looked, asked_of, becomes, look, part_words
from quincunx.review.points_laid import LAYS
from quincunx.site.place import Place
from quincunx.survey.given import MOST_LETTERS, UNITS
from quincunx.units import Style, format_length

MOST_SHOWN = 60


def points(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/points``: what a file's text would bring into the garden, and the edit that takes it.

    With ``writing`` (and perhaps a latitude and longitude) it is for a garden not made yet, whose ground is asked for.
    """
    body = ask.body
    text = body.get("text")
    if not isinstance(text, str) or not text.strip():
        raise Refused(422, "Bring a file of corners as text, or paste its lines.")
    if len(text) > MOST_LETTERS:
        raise Refused(422, "That file is too large: bring the corners alone.")
    garden = _begun(body) if "writing" in body else ask.session.standing().garden
    found = look(garden, text, asked_of(dict(body)), str(body.get("name") or "a file")[:80])
    return _told(found, garden.style)


def _begun(body: Any) -> Garden:
    """Return the garden that is being begun, as far as it is known."""
    try:
        writing = Writing.model_validate(body.get("writing") or {})
        garden = Garden(writing=writing)
        if isinstance(body.get("latitude_deg"), int | float):
            place = Place(latitude_deg=body["latitude_deg"], longitude_deg=body.get("longitude_deg") or 0.0)
            garden = garden.changed(site=garden.site.changed(place=place))
    except (ValidationError, GardenError):
        raise Refused(422, "The way of writing or the place can't be read.") from None
    return garden


def _told(found: Looked, style: Style) -> dict[str, Any]:
    laid = found.laid
    rows = [] if laid is None else [
        [name, *(format_length(v, style, kind="tape") for v in at), "" if z is None else format_length(z, style, kind="tape")]
        for name, at, z in list(zip(laid.names, laid.at, laid.z, strict=True))[:MOST_SHOWN]
    ]  # fmt: skip
    return {
        "said": list(found.said), "faults": list(found.faults),
        "unit": found.unit, "units": [[k, w] for k, (w, _) in UNITS.items()],
        "order": found.order, "order_known": found.brought.order is not None,
        "ways": [{"order": o, "at": [list(p) for p in at]} for o, at in found.ways],
        "names": [] if laid is None else list(laid.names), "closed": found.closed,
        "parts": list(part_words(found.brought)), "rows": rows, "more": 0 if laid is None else max(0, len(laid.at) - MOST_SHOWN),
        "lay": "" if laid is None else laid.lay, "lays": [] if laid is None else [[k, LAYS[k]] for k in laid.lays],
        "becomes": [[k, w, k in BECOMES] for k, w in becomes()],
        "corners": [list(p) for p in found.round.corners] if found.round is not None and not found.faults else [],
        "datum": None if laid is None or laid.datum is None else plain(laid.datum),
        "edit": None if found.edit is None else plain(found.edit),
    }  # fmt: skip
