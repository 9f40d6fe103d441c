"""Reading a garden: every fault is one clear sentence with its place and what to do."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from quincunx.garden.checks import cross_faults
from quincunx.garden.document import FORMAT, Garden, Writing
from quincunx.garden.sentences import sentence
from quincunx.units import Style
from quincunx.units.errors import PlainError
from quincunx.units.words import MAY_HOLD, printable

MOST_BYTES = 32 * 1024 * 1024
"""A garden's text is refused beyond this size: a full eight-year garden takes about 0.1 MB."""
MOST_FAULTS = 50


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong with a document: the ``path`` to it and one ``sentence``."""

    path: str
    sentence: str

    def __str__(self) -> str:
        """Return path and sentence."""
        return f"{self.path}: {self.sentence}" if self.path else self.sentence


class GardenError(PlainError, ValueError):
    """The text is not a garden; ``faults`` say why, one sentence each."""

    def __init__(self, faults: Sequence[Fault], said: str = "") -> None:
        """Hold the faults; the message is ``said``, or the first of them and how many more there are."""
        self.faults = tuple(faults)
        more = f" (and {len(faults) - 1} more)" if len(faults) > 1 else ""
        super().__init__(said or f"{faults[0]}{more}")


def read_garden(text: str | bytes) -> Garden:
    """Return the garden that JSON ``text`` describes; :class:`GardenError` names everything wrong with it."""
    return garden_from(_json(text))


def garden_from(data: Any) -> Garden:
    """Return the garden that JSON values describe; :class:`GardenError` names everything wrong with it."""
    if not isinstance(data, Mapping):
        raise GardenError([Fault("", f'A garden is a JSON object with "format": "{FORMAT}"; this is {_what(data)}.')])
    _check_format(data)
    style = _style(data)
    try:
        garden = Garden.model_validate(data, context={"style": style})
    except ValidationError as error:
        raise GardenError(_faults(error, data, style)) from None
    faults = [Fault(path, words) for path, words in cross_faults(garden)]
    if faults:
        raise GardenError(faults[:MOST_FAULTS])
    return garden


def _faults(error: ValidationError, data: Mapping[str, Any], style: Style) -> list[Fault]:
    """Return one fault for each place: where a value could also have been one of some words, the sentence says so."""
    firsts: dict[str, ErrorDetails] = {}
    words: dict[str, str] = {}
    for e in error.errors()[:MOST_FAULTS]:
        path = _path(e["loc"], data)
        if e["type"] == "literal_error":
            words[path] = f" It may also be {e['ctx']['expected']}."
        if path not in firsts or firsts[path]["type"] == "literal_error":
            firsts[path] = e
    return [
        Fault(path, sentence(e, style) + (words.get(path, "") if e["type"] != "literal_error" else ""))
        for path, e in firsts.items()
    ]


def _style(data: Mapping[str, Any]) -> Style:
    """Return the garden's way of writing; the usual one if it can't be read (its own faults come with the rest)."""
    try:
        return Writing.model_validate(data.get("writing", {})).style
    except ValidationError:
        return Style()


def refuse_size(size_bytes: int) -> None:
    """Raise :class:`GardenError` if a text of that size can't be a garden."""
    if size_bytes > MOST_BYTES:
        words = f"The text is {size_bytes / 1e6:.0f} MB; a garden is at most {MOST_BYTES / 1e6:.0f} MB. Is it the right file?"
        raise GardenError([Fault("", words)])


def _json(text: str | bytes) -> Any:
    refuse_size(len(text))
    try:
        whole = text.decode("utf-8-sig") if isinstance(text, bytes) else text
        value = json.loads(whole, object_pairs_hook=_no_twins, parse_constant=_no_constant)
        return printable(value) if MAY_HOLD.search(whole) else value
    except UnicodeDecodeError as e:
        raise GardenError(
            [Fault("", f"The text is not UTF-8 (byte {e.start}). Save it as UTF-8 and try again.")]
        ) from None
    except json.JSONDecodeError as e:
        if e.doc.strip() and (e.pos >= len(e.doc.rstrip()) or e.msg.startswith("Unterminated string")):
            line = e.doc.rstrip().count("\n") + 1
            told = f"The text ends in the middle, in line {line}: it was cut short when it was copied or sent."
            raise GardenError([Fault("", f"{told} Get the whole file and try again.")]) from None
        raise GardenError(
            [
                Fault(
                    f"line {e.lineno}, column {e.colno}",
                    f"This is not JSON: {_json_reason(e.msg)}. Mend it there and try again.",
                )
            ]
        ) from None
    except RecursionError:
        raise GardenError([Fault("", "The JSON is nested too deeply to be a garden. Is it the right file?")]) from None


def _json_reason(message: str) -> str:
    return message[:1].lower() + message[1:]


def _no_twins(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    seen = dict(pairs)
    if len(seen) < len(pairs):
        twins = sorted({k for k, _ in pairs if sum(1 for j, _ in pairs if j == k) > 1})
        raise GardenError([Fault("", f"{twins[0]!r} is given twice in one place. Keep one of them.")])
    return seen


def _no_constant(word: str) -> Any:
    raise GardenError([Fault("", f"{word} is not a number a garden can use. Give a plain number.")])


GEOJSON = ("FeatureCollection", "Feature", "Polygon", "MultiPolygon", "LineString", "GeometryCollection")
"""What a map says it is (RFC 7946, 1.4)."""


def _check_format(data: Mapping[str, Any]) -> None:
    given = data.get("format")
    if given == FORMAT:
        return
    match = re.fullmatch(r"quincunx/(\d{1,9})", given) if isinstance(given, str) else None
    if match and int(match[1]) > int(FORMAT.partition("/")[2]):
        words = f"It was written as {given}; this program reads up to {FORMAT}. Update Quincunx, or export it from there as {FORMAT}."
    elif given is None and str(data.get("type", "")) in GEOJSON:
        words = (
            "This is a map (GeoJSON), not a garden. Begin a garden with `quincunx new` and give its sides, or trace"
            " the map as a picture on the start page."
        )
    elif given is None:
        words = f'There is no "format". A garden begins with "format": "{FORMAT}".'
    else:
        words = f'The format is {str(given)[:40]!r}; this program reads "{FORMAT}".'
    raise GardenError([Fault("format", words)])


def _what(data: Any) -> str:
    names = {list: "a list", str: "text", bool: "true or false", type(None): "null"}
    return names.get(type(data), "a number")


def _path(loc: Sequence[int | str], data: Any) -> str:
    """Return ``features → long-hedge → clip_height`` for a pydantic location, ids instead of numbers."""
    out: list[str] = []
    here: Any = data
    for step in loc:
        if isinstance(step, int) and isinstance(here, Sequence) and not isinstance(here, str) and step < len(here):
            here = here[step]
            named = here.get("id") if isinstance(here, Mapping) else None
            out.append(str(named)[:60] if isinstance(named, str) and named else f"number {step + 1}")
        elif isinstance(here, Mapping) and step in here:
            here = here[step]
            out.append(str(step)[:60])
        elif (
            isinstance(step, str)
            and not (isinstance(here, Mapping) and here.get("kind") == step)
            and step.isidentifier()
        ):
            here = None
            out.append(step[:60])
    return " → ".join(out)
