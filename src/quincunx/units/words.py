"""Words as a sentence wants them."""

from __future__ import annotations

from collections.abc import Sequence


def capital(text: str) -> str:
    """Return ``text`` with its first letter large, as a sentence begins."""
    return text[:1].upper() + text[1:]


def listed(names: Sequence[str]) -> str:
    """Return several names as a sentence has them: ``one``, ``one and two``, ``one, two and three``; "" for none."""
    return f"{', '.join(names[:-1])} and {names[-1]}" if len(names) > 1 else "".join(names)


def counted(number: int, one: str, many: str | None = None) -> str:
    """Return a number with its word: ``1 must``, ``3 musts``, ``1 way``; ``many`` where the plural has no plain s."""
    return f"{number} {one if number == 1 else many or f'{one}s'}"
