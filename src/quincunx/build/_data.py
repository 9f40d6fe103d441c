"""The tables of materials and norms that come with the package."""

from __future__ import annotations

import json
from functools import lru_cache
from importlib import resources
from typing import Any


@lru_cache(maxsize=4)
def table(name: str) -> dict[str, Any]:
    """Return one of the tables in ``build/data``; treat it as read-only."""
    text = (resources.files("quincunx.build") / "data" / f"{name}.json").read_text(encoding="utf-8")
    found: dict[str, Any] = json.loads(text)
    return found


def layer_row(material: str) -> dict[str, Any]:
    """Return how a layer's material is bought: its own row, that of its first word, or the usual row."""
    rows = table("materials")["layers"]
    for name in (material, *_shorter(material)):
        if name in rows:
            row: dict[str, Any] = rows[name]
            return row
    return {**table("materials")["any_layer"], "item": _slug(material), "words": material}


def line_row(material: str) -> dict[str, Any]:
    """Return how a run's material is taken off: its own row, the longest row it begins with, or by the metre."""
    rows, starts = table("materials")["lines"], table("materials")["line_prefixes"]
    if material in rows:
        return dict(rows[material])
    best = max((p for p in starts if material == p or material.startswith(f"{p} ")), key=len, default="")
    if best:
        return dict(starts[best])
    for name in _shorter(material):
        if name in rows:
            return dict(rows[name])
    return {"by": "run", "item": _slug(material), "words": material, "task": "edge"}


def frame_row(material: str) -> dict[str, Any]:
    """Return how a frame's material is bought; timber if nothing else is known."""
    rows = table("materials")["frames"]
    return dict(rows.get(material) or {**rows["timber"], "words": material})


def slug(words: str) -> str:
    """Return words as an item: small letters, digits and single hyphens."""
    return _slug(words)


def _slug(words: str) -> str:
    kept = "".join(c if c.isascii() and c.isalnum() else " " for c in words.lower())
    return "-".join(kept.split()) or "thing"


def _shorter(material: str) -> list[str]:
    words = material.split()
    return [" ".join(words[:n]) for n in range(len(words) - 1, 0, -1)]
