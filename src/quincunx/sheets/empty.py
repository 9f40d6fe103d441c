"""Which sheets would hold nothing yet, and what each of them needs."""

from __future__ import annotations

from collections.abc import Callable
from types import ModuleType

from quincunx.sheets._set import Set


def needs(sheet: ModuleType, of: Set) -> str:
    """Return what a sheet needs before it holds anything; empty if it holds something.

    A sheet that takes long to draw says itself, by ``has_pages(set)``; any other is asked for its first page.
    """
    words: str = getattr(sheet, "NEEDS", "")
    has_pages: Callable[[Set], bool] | None = getattr(sheet, "has_pages", None)
    if not words or (has_pages(of) if has_pages is not None else next(iter(sheet.pages(of, None)), None) is not None):
        return ""
    return words
