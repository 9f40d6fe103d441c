"""Which letters the typeface of the papers holds: Latin, Greek and Cyrillic, not emoji nor the scripts of other lands."""

from __future__ import annotations

import json
import unicodedata
from bisect import bisect_right
from functools import cache
from importlib import resources


@cache
def _runs() -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Return the first and the last code points of the runs the typeface holds."""
    text = (resources.files("quincunx.units") / "data" / "letters.json").read_text(encoding="utf-8")
    runs = json.loads(text)["runs"]
    return tuple(a for a, _ in runs), tuple(b for _, b in runs)


def not_in_typeface(text: str) -> tuple[str, ...]:
    """Return the letters of ``text`` that the papers can't show, each once, in order; spaces and joiners don't count."""
    if text.isascii():
        return ()
    return tuple(dict.fromkeys(c for c in unicodedata.normalize("NFC", text) if not _has(c)))


def _has(letter: str) -> bool:
    if letter.isspace() or unicodedata.category(letter) in ("Cf", "Mn", "Me", "Cc"):
        return True
    firsts, lasts = _runs()
    at = bisect_right(firsts, ord(letter)) - 1
    return at >= 0 and ord(letter) <= lasts[at]
