"""The kinds of musts as sentences with blanks.

The blanks are found, not written down again: each kind is asked for its own sentence with marked names in its
fields, and the marks show where they stand in it.  What else the sentence says (months, a choice) is in ``fills``, so
that a must made of a sentence says what the sentence said; months are turned for the southern half of the world.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache
from typing import Any

from pydantic import ValidationError

from quincunx.board.ask import Ask
from quincunx.board.describe import HIDDEN, fields_json
from quincunx.board.replies import encoded, number
from quincunx.intents import INTENTS, Intent, Words, intent_kind
from quincunx.walk.walkers import Walker, builtin

MARK = "Qq{}qQ"
YEAR_MARK = 2190
"""A year that no sentence names of itself: with the field's place added it marks a year."""
MONTHLY = frozenset({"first", "last", "months"})
"""Fields that hold months of the year, northern in the kinds' own examples and defaults."""
NOT_SAID = frozenset({"id", "name", "from_year", "muted"})
"""What no sentence says."""
_MARKS = re.compile(r"(?:the )?[Qq]q(\w+?)qQ")
PICKS = (("room", "room"), ("rooms", "room"), ("gate", "opening"), ("spot", "spot"), ("feature", "feature"))
"""What is picked for a field that names a thing, by the field's name; a place where nothing more is known."""


class _Marking(Words):
    """Words that write a mark for each figure, told apart by its size."""

    figures: dict[float, str]

    def _mark(self, value: float) -> str:
        return MARK.format(self.figures[round(float(value), 3)])

    def length(self, metres: float) -> str:
        """Return the mark of a length."""
        return self._mark(metres)

    def distance(self, metres: float) -> str:
        """Return the mark of a distance."""
        return self._mark(metres)

    def money(self, minor: int) -> str:
        """Return the mark of a sum."""
        return self._mark(minor)

    def hours(self, hours: float) -> str:
        """Return the mark of hours."""
        return self._mark(hours)

    def mass(self, kg: float) -> str:
        """Return the mark of a weight."""
        return self._mark(kg)

    def water(self, litres: float) -> str:
        """Return the mark of an amount of water."""
        return self._mark(litres)


def must_kinds(_ask: Ask) -> bytes:
    """Answer ``GET /api/musts/kinds``: every kind of must as a sentence with blanks.

    ``latitude`` says where a garden lies that is only being begun; else the open one's own place counts.
    """
    session, latitude = _ask.desk.open_one(), _ask.query.get("latitude")
    if latitude is not None:
        return _all(southern=number(latitude, "latitude") < 0)
    place = None if session is None else session.standing().garden.site.place
    return _all(southern=place is not None and place.latitude_deg < 0)


@cache
def _all(*, southern: bool) -> bytes:
    return encoded([must_kind_json(kind, southern=southern) for kind in INTENTS])


def must_kind_json(kind: type[Intent], *, southern: bool = False) -> dict[str, Any]:
    """Return one kind of must: its words, its sentence in pieces, and the fields that are left for the form.

    ``fills`` is what the sentence says outside its blanks, where a must would not say so of itself; ``begins`` for whom it is
    offered first, where that is somebody else than a must would name of itself.
    """
    fields = [f for f in fields_json(kind, kind.example) if f["name"] not in HIDDEN]
    usual = {f["name"]: f["default"] for f in fields}
    said = dict(kind.example)
    for f in fields if southern else ():
        if f["name"] in MONTHLY and said.get(f["name"], f["default"]):
            said[f["name"]] = f["default"] = _half_a_year_on(said.get(f["name"], f["default"]))
    marked, words = _marked(kind, fields, said)
    for f in fields:
        f["pick"] = _pick(f, marked)
    sentence = _pieces(_years_marked(marked, words, fields), {f["name"]: f for f in fields})
    blanks = {p["field"] for p in sentence if not isinstance(p, str)}
    fills = {n: v for n, v in said.items() if n not in blanks | NOT_SAID and v != usual.get(n)}
    return {
        "kind": intent_kind(kind), "words": kind.words, "about": kind.about, "sentence": sentence, "fields": fields,
        "fills": fills, "begins": dict(getattr(kind, "begins", {})), "example": dict(kind.example),
    }  # fmt: skip


def _half_a_year_on(months: Any) -> Any:
    return (months + 5) % 12 + 1 if isinstance(months, int) else [_half_a_year_on(m) for m in months]


def _marked(kind: type[Intent], fields: list[dict[str, Any]], said: Mapping[str, Any]) -> tuple[Intent, Words]:
    """Return a must of this kind whose every field is marked, and the words that show the marks."""
    values: dict[str, Any] = {"id": "zz-must"}
    names: dict[str, str] = {}
    figures: dict[float, str] = {}
    for n, f in enumerate(fields):
        name = f["name"]
        if f["unit"] == "year":
            values[name] = YEAR_MARK + n
        elif f["unit"] in ("m", "money", "h", "kg", "litre"):
            value = 100 * (n + 1) if f["unit"] == "money" else _figure(f, n)
            values[name], figures[round(float(value), 3)] = value, name
        elif f["type"] == "text" and name != "name":
            slug = f"zz-{name.replace('_', '-')}"
            if _takes(kind, values, name, slug):
                values[name], names[slug] = slug, MARK.format(name)
        elif f["type"] == "list" and _takes(kind, values, name, [f"zz-{name}"]):
            values[name], names[f"zz-{name}"] = [f"zz-{name}"], MARK.format(name)
    must = _complete(said, kind, values)
    own = {w: Walker(id=w, name=names[w]) for w in must.walkers() if w in names}
    words = _Marking(names, own=own)
    object.__setattr__(words, "figures", figures)
    return must, words


def _years_marked(must: Intent, words: Words, fields: list[dict[str, Any]]) -> str:
    """Return the sentence of a marked must, its years marked as well: they are written out in it."""
    sentence = must.sentence(words)
    for n, f in enumerate(fields):
        if f["unit"] == "year":
            sentence = sentence.replace(str(YEAR_MARK + n), MARK.format(f["name"]))
    return sentence


def _figure(field: dict[str, Any], n: int) -> float:
    """Return a figure between the field's bounds that no other field of the must has."""
    low, high = float(field["min"] or 0), float("inf") if field["max"] is None else float(field["max"])
    return max(low, min(1.0, high - 0.1)) + 0.001 * (n + 1)


def _takes(kind: type[Intent], values: dict[str, Any], name: str, value: Any) -> bool:
    """Return whether a field takes this value, whatever else is wrong."""
    try:
        kind.model_validate({**kind.example, **values, name: value})
    except ValidationError as error:
        return all(e["loc"][:1] != (name,) for e in error.errors())
    return True


def _complete(said: Mapping[str, Any], kind: type[Intent], values: dict[str, Any]) -> Intent:
    return kind.model_validate({**{k: v for k, v in said.items() if k not in values}, **values})


def _pick(field: dict[str, Any], marked: Intent) -> str:
    """Return what fills a blank: who, where, how much, or one of the choices."""
    value = getattr(marked, field["name"])
    ids = value if isinstance(value, tuple) else (value,)
    if any(i in marked.walkers() for i in ids):
        return "walker"
    if any(i in marked.things() for i in ids):
        return next((pick for name, pick in PICKS if name == field["name"]), "place")
    by_unit = {"m": "length", "money": "money", "h": "hours", "year": "year"}
    by_type = {"choice": "choice", "bool": "bool", "integer": "number", "number": "number", "text": "text"}
    if field["name"] == "from_year":
        return "year"
    return by_unit.get(field["unit"] or "") or by_type.get(field["type"], "text")


def _pieces(sentence: str, fields: dict[str, dict[str, Any]]) -> list[Any]:
    """Return a sentence as text and blanks by turns; an article before a blank goes with the name put in."""
    out: list[Any] = []
    at = 0
    for hit in _MARKS.finditer(sentence):
        if hit.start() > at:
            out.append(sentence[at : hit.start()])
        f = fields[hit[1]]
        out.append({"field": f["name"], "pick": f["pick"], "many": f["type"] == "list", "optional": f["optional"]})
        at = hit.end()
    return [*out, sentence[at:]] if at < len(sentence) else out


def walkers(ask: Ask) -> list[dict[str, str]]:
    """Answer ``GET /api/walkers``: who walks, the garden's own first."""
    session = ask.desk.open_one()
    own = {} if session is None else {w.id: w for w in session.standing().garden.walkers}
    return [{"id": w.id, "name": w.name} for w in (own | {k: v for k, v in builtin().items() if k not in own}).values()]
