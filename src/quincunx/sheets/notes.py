"""Notes and photos: what is pinned to places by its number on the plan, and what was brought home from outdoors."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from typing import Any

from quincunx.garden.marks import Pin
from quincunx.sheets._photos import photo
from quincunx.sheets._set import Set
from quincunx.sheets.book import Page
from quincunx.units import format_length
from quincunx.units.dates import format_day
from quincunx.works import Entry

ID = "notes"
WORDS = "Notes and photos"
NEEDS = "No note is pinned to a place yet, and none was brought home from outdoors."
PHOTO_MM = (84.0, 63.0)
"""Room for a photo on paper [mm]: two side by side."""
MOST_PHOTOS = 60
"""Photos printed at most; the others stay in the file."""


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:  # noqa: ARG001 - a list has no scale
    """Yield the list of notes by their numbers on the plan, their photos below each."""
    left, printed = [MOST_PHOTOS], dict[str, str]()
    blocks: list[dict[str, Any]] = []
    for number, pin in enumerate(of.garden.pins, 1):
        blocks += _pinned(of, number, pin, left, printed)
    told = [e for e in of.garden.journal if e.what == "note" or e.picture]
    if told:
        blocks.append({"t": "heading", "s": "From outdoors"})
        for entry in sorted(told, key=lambda e: (e.day, e.id)):
            blocks += _told(of, entry, left, printed)
    if not left[0]:
        blocks.append(
            {"t": "small", "s": f"Only {MOST_PHOTOS} photos are printed; the others are in the garden's file."}
        )
    if blocks:
        note = "numbers as on the plan" if of.garden.pins else ""
        yield Page(WORDS, tuple(blocks), of.paper.size_mm, note)


def _pinned(of: Set, number: int, pin: Pin, left: list[int], printed: dict[str, str]) -> Iterable[dict[str, Any]]:
    style = of.garden.style
    x, y = float(pin.at[0]), float(pin.at[1])
    yield {"t": "heading", "s": f"{number}  {pin.name or 'Note'}"}
    if pin.text:
        yield {"t": "text", "s": pin.text}
    east, north = format_length(abs(x), style), format_length(abs(y), style)
    ways = f"{east} {'east' if x >= 0 else 'west'} and {north} {'north' if y >= 0 else 'south'} of the datum"
    yield {"t": "small", "s": ways}
    yield from _photos(of, pin.pictures, left, printed, f"at number {number}")


def _told(of: Set, entry: Entry, left: list[int], printed: dict[str, str]) -> Iterable[dict[str, Any]]:
    where = f", {of.words.the(entry.about.partition('/')[0])}" if entry.about else ""
    said = entry.text or "a photo"
    yield {"t": "text", "s": f"{format_day(date.fromisoformat(entry.day))}{where}: {said}"}
    yield from _photos(
        of,
        (entry.picture,) if entry.picture else (),
        left,
        printed,
        f"with {format_day(date.fromisoformat(entry.day))}",
    )


def _photos(
    of: Set, names: Iterable[str], left: list[int], printed: dict[str, str], here: str
) -> Iterable[dict[str, Any]]:
    """Yield the photos in rows; one that is printed already is only said to be, and so is one that can't be read."""
    shown, said = [], []
    for name in names:
        if name in printed:
            said.append(f"Its photo stands {printed[name]}.")
            continue
        found = of.pictures(name) if of.pictures and left[0] else None
        if found is None:
            continue
        drawn = photo(found[1], PHOTO_MM)
        if drawn is None:
            said.append("A photo could not be read, and is not printed.")
            continue
        left[0] -= 1
        printed[name] = here
        shown.append([drawn])
    for i in range(0, len(shown), 2):
        pair = shown[i : i + 2]
        yield {"t": "row", "widths": [1, 1], "cells": [*pair, []][:2]}
    yield from ({"t": "small", "s": words} for words in dict.fromkeys(said))
