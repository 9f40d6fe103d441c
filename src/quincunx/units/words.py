"""Words as a sentence wants them."""

from __future__ import annotations

from collections.abc import Sequence


def capital(text: str) -> str:
    """Return ``text`` with its first letter large, as a sentence begins."""
    return text[:1].upper() + text[1:]


def listed(names: Sequence[str]) -> str:
    """Return several names as a sentence has them: ``one``, ``one and two``, ``one, two and three``; "" for none."""
    return f"{', '.join(names[:-1])} and {names[-1]}" if len(names) > 1 else "".join(names)


def in_runs(names: Sequence[str]) -> list[str]:
    """Return names with three and more that differ by following numbers as one: ``Apple 1 to 5``; the rest as they are."""
    found: list[list[str]] = []
    for name in names:
        stem, number = _numbered(name)
        if found and number is not None and _numbered(found[-1][-1]) == (stem, number - 1):
            found[-1].append(name)
        else:
            found.append([name])
    said: list[str] = []
    for run in found:
        said += [f"{run[0]} to {_numbered(run[-1])[1]}"] if len(run) > LEAST_RUN else run
    return said


LEAST_RUN = 2
"""So many names alone are written out."""


def _numbered(name: str) -> tuple[str, int | None]:
    stem, _, last = name.rpartition(" ")
    return (stem, int(last)) if stem and last.isdecimal() else (name, None)


def counted(number: int, one: str, many: str | None = None) -> str:
    """Return a number with its word: ``1 must``, ``3 musts``, ``1 way``; ``many`` where the plural has no plain s."""
    return f"{number} {one if number == 1 else many or f'{one}s'}"
