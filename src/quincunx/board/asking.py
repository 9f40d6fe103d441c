"""What a question over the sheet is asked with and what it answers: data, so that the page knows no question."""

from __future__ import annotations

import base64
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field as having
from typing import Any, Literal

import numpy as np

from quincunx.board.figures import figures_json, xy
from quincunx.board.replies import Refused, number
from quincunx.board.standing import Standing
from quincunx.garden import Edit, plain
from quincunx.shapes import XY, Amounts, Figure, Pattern, Role, lines_between
from quincunx.units import Style, own_units
from quincunx.units.dates import MONTHS

Takes = Literal["walker", "choice", "hour", "month", "place", "feature", "number"]
"""What an input takes; the page has one field for each."""
NOTHING = 255
"""The byte of a cell without an amount."""
TOP = 250
"""The byte of the greatest amount of a field."""
RESERVED = frozenset({"name", "year", "month", "day", "x", "y", "fine"})
"""Words of the query that no input may have."""


@dataclass(frozen=True, slots=True)
class Option:
    """One choice of an input: its id, what it is called, and where it lies if it is a place [m]."""

    id: str
    words: str
    at: XY | None = None


@dataclass(frozen=True, slots=True)
class Input:
    """One thing a question is asked with.

    ``takes``: ``walker`` and ``choice`` (one of ``options``), ``hour`` (of the day, ``least`` to ``most``), ``month``
    (1 to 12), ``place`` (one of ``options`` or any point touched), ``feature`` (one of ``options``, or touched),
    ``number`` (in ``unit``: "m" as a length in the person's writing, "deg", "h", "" ...).  It is shown only while the
    input named in ``when`` has one of the values there.
    """

    name: str
    words: str
    takes: Takes
    default: str
    options: tuple[Option, ...] = ()
    unit: str = ""
    least: float | None = None
    most: float | None = None
    when: tuple[str, tuple[str, ...]] | None = None


@dataclass(frozen=True, slots=True)
class Place:
    """A place that was asked about: ``id`` of a spot or a thing ("" where the sheet was touched), name, point [m]."""

    id: str
    words: str
    at: XY


@dataclass(frozen=True)
class Given:
    """What the inputs of one request were given, defaults filled in; ``texts`` as they came, by name."""

    at: Standing
    inputs: Mapping[str, Input]
    texts: Mapping[str, str]

    def choice(self, name: str) -> str:
        """Return what was chosen; :class:`Refused` if it is none of the options."""
        wanted, one = self.texts[name], self.inputs[name]
        if wanted not in {o.id for o in one.options}:
            raise Refused(404, f"{one.words}: choose one of {', '.join(o.words for o in one.options)}.")
        return wanted

    def value(self, name: str) -> float:
        """Return a number, an hour or a month; :class:`Refused` if it is none or out of bounds."""
        one = self.inputs[name]
        found = number(self.texts[name], one.words)
        low, high = one.least, one.most
        if (low is not None and found < low - 1e-9) or (high is not None and found > high + 1e-9):
            raise Refused(422, f"{one.words}: {found:g} lies outside {low:g} to {high:g}.")
        return found

    def place(self, name: str) -> Place:
        """Return a named place or the point touched; :class:`Refused` if it is neither."""
        text, one = self.texts[name], self.inputs[name]
        named = next((o for o in one.options if o.id == text and o.at is not None), None)
        if named is not None and named.at is not None:
            return Place(named.id, named.words, named.at)
        parts = text.split(",")
        if len(parts) != 2:
            raise Refused(404, f"{one.words}: choose a place of the list, or touch the sheet.")
        return Place("", "the place touched", (number(parts[0], "x"), number(parts[1], "y")))


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the key: words, and a wash by shade, or by role and pattern."""

    words: str
    shade: int | None = None
    role: Role | None = None
    pattern: Pattern | None = None


@dataclass(frozen=True, slots=True)
class Lead:
    """A sentence that leads to a place on the sheet [m]; ``of`` is the thing or room it is about."""

    words: str
    at: XY
    of: str = ""


@dataclass(frozen=True, slots=True)
class Offer:
    """Something the answer offers to do: an edit of the garden, or other values of its inputs."""

    words: str
    edit: Edit | None = None
    given: Mapping[str, str] | None = None


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of words and figures under the sheet; a row may lead to other values of the inputs (``given``)."""

    words: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    given: tuple[Mapping[str, str] | None, ...] = ()
    chosen: int | None = None
    t: Literal["table"] = "table"


@dataclass(frozen=True, slots=True)
class Tiles:
    """A picture of shares in rows and columns: ``cells[row][column]`` from 0 to 1, None where there is nothing to say.

    1 is light and 0 is dark; ``read`` has a sentence for each row, for those who don't see the picture.
    """

    words: str
    columns: tuple[str, ...]
    rows: tuple[str, ...]
    cells: tuple[tuple[float | None, ...], ...]
    read: tuple[str, ...]
    key: tuple[str, str] = ("none", "all")
    t: Literal["tiles"] = "tiles"


@dataclass(frozen=True, slots=True)
class Bars:
    """Lengths side by side: ``rows`` of words, value and its text; ``limits`` are marked across with their words."""

    words: str
    rows: tuple[tuple[str, float, str], ...]
    limits: tuple[tuple[float, str], ...] = ()
    t: Literal["bars"] = "bars"


@dataclass(frozen=True, slots=True)
class Answer:
    """What a question answers; ``rough`` says why it is a first rough answer, with a finer one to follow."""

    words: str
    legend: tuple[Row, ...] = ()
    figures: tuple[Figure, ...] = ()
    field: Amounts | None = None
    below: tuple[Table | Tiles | Bars, ...] = ()
    leads: tuple[Lead, ...] = ()
    offers: tuple[Offer, ...] = ()
    how: tuple[str, ...] = ()
    rough: str = ""
    more: Mapping[str, Any] = having(default_factory=dict)


def given_of(at: Standing, inputs: tuple[Input, ...], query: Mapping[str, str]) -> Given:
    """Return what a request gives to a question's inputs."""
    texts = {i.name: query.get(i.name) or i.default for i in inputs}
    return Given(at, {i.name: i for i in inputs}, texts)


def inputs_json(inputs: tuple[Input, ...]) -> list[dict[str, Any]]:
    """Return the inputs of a question for the page."""
    return [
        {
            "name": i.name, "words": i.words, "takes": i.takes, "default": i.default, "unit": i.unit,
            "least": i.least, "most": i.most,
            "options": [{"id": o.id, "words": o.words, "at": None if o.at is None else xy((o.at,))[0]} for o in i.options],
            "when": None if i.when is None else {"name": i.when[0], "values": list(i.when[1])},
        }
        for i in inputs
    ]  # fmt: skip


def answer_json(answer: Answer, given: Given, style: Style) -> dict[str, Any]:
    """Return an answer for the page: the field's own lines join its figures, its bands the key."""
    figures = list(answer.figures)
    legend = [{k: v for k, v in asdict(row).items() if v is not None} for row in answer.legend]
    if answer.field is not None:
        if answer.field.lined:
            figures = [*lines_between(answer.field, _plain_number(style, answer.field)), *figures]
        legend = [{"words": b.words, "shade": b.shade} for b in reversed(answer.field.bands)] + legend
    return {
        "words": answer.words,
        "given": dict(given.texts),
        "legend": legend,
        "figures": figures_json(figures, style),
        "field": None if answer.field is None else field_json(answer.field),
        "below": [asdict(block) for block in answer.below],
        "leads": [{"words": k.words, "at": xy((k.at,))[0], "of": k.of} for k in answer.leads],
        "offers": [_offer(o) for o in answer.offers],
        "how": [own_units(words, style) for words in answer.how],
        "rough": answer.rough,
        **answer.more,
    }


def _plain_number(style: Style, of: Amounts) -> Any:
    unit = of.unit.partition(" of ")[0]  # on a line there is no room for what it is a share of

    def write(value: float) -> str:
        text = f"{value:.{of.digits}f}"
        text = text.rstrip("0").rstrip(".") if "." in text else text
        return f"{text.replace('.', style.decimal_mark)} {unit}"

    return write


def _offer(offer: Offer) -> dict[str, Any]:
    edit = None if offer.edit is None else plain(offer.edit)
    return {"words": offer.words, "edit": edit, "given": None if offer.given is None else dict(offer.given)}


def field_json(of: Amounts) -> dict[str, Any]:
    """Return a field: a byte a cell, row by row from the south-west, 0 ``low`` and 250 ``high``, 255 nothing.

    The bytes are base64 as in RFC 4648.
    """
    known = of.values[np.isfinite(of.values)]
    low, high = (float(known.min()), float(known.max())) if len(known) else (0.0, 1.0)
    span = max(high - low, 1e-9)
    with np.errstate(invalid="ignore"):
        steps = np.where(np.isfinite(of.values), np.round((of.values - low) / span * TOP), NOTHING)
    rows, columns = of.values.shape
    return {
        "x0": of.x0_m, "y0": of.y0_m, "step": of.cell_m, "rows": rows, "columns": columns, "low": low, "high": low + span,
        "unit": of.unit, "digits": of.digits, "bands": [asdict(b) for b in of.bands],
        "cells": base64.b64encode(steps.astype(np.uint8).tobytes()).decode(),
    }  # fmt: skip


def month_name(month: int) -> str:
    """Return a month's name in full."""
    return MONTHS[month - 1]
