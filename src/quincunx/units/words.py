"""Words as a sentence wants them."""

from __future__ import annotations


def capital(text: str) -> str:
    """Return ``text`` with its first letter large, as a sentence begins."""
    return text[:1].upper() + text[1:]
