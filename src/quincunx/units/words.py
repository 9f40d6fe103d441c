"""Words as a sentence wants them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from quincunx.units._numbers import write_number
from quincunx.units.style import Style

MAY_HOLD = re.compile(r"\\(?:[bf]|u(?:00[01789]|d[89a-f]|fd|ff))|[\x7f-\x9f\ufdd0-\ufdef\ufffe\uffff]", re.IGNORECASE)
"""What JSON has where a text may hold what can't be printed."""
_UNPRINTABLE = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x84\x86-\x9f\ud800-\udfff\ufdd0-\ufdef\ufffe\uffff]")
"""Characters that no sheet, drawing or table can hold (XML 1.0, 2.2), and halves of letters."""
_TURNING = re.compile(r"[\u202a-\u202e\u2066-\u2069]")
"""Marks that turn the direction of all that follows; the letters of a script say their own."""


def printable(value: Any) -> Any:
    """Return a JSON value with what can't be printed left out of its texts."""
    if isinstance(value, str):
        return _UNPRINTABLE.sub("", value)
    if isinstance(value, list):
        return [printable(v) for v in value]
    return {k: printable(v) for k, v in value.items()} if isinstance(value, dict) else value


def one_line(value: Any) -> Any:
    """Return a name as it can stand in a sentence: one line, single spaces, nothing that turns the rest round."""
    if not isinstance(value, str) or (value.isprintable() and "  " not in value and value == value.strip()):
        return value
    return " ".join(_TURNING.sub("", _UNPRINTABLE.sub(" ", value)).split())


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


def format_bytes(size: int, style: Style) -> str:
    """Write how large a file is [bytes], as people say it; never as nothing."""
    return f"{write_number(size / 1e6, 1, style)} MB" if size >= 50_000 else f"{max(round(size / 1e3), 1)} kB"
