"""How runs and floors are put together: joints and order of work by what they are made of (``data/made_so.json``)."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from quincunx.build._data import table
from quincunx.shapes import AreaWork, LineWork, Work


def joins(works: Iterable[Work]) -> tuple[str, ...]:
    """Return where what meets what, for the runs and floors among some works."""
    return _gathered(works, "joins")


def steps(works: Iterable[Work]) -> tuple[str, ...]:
    """Return the steps of the runs and floors among some works, runs first: walls hold what is filled in."""
    works = tuple(works)
    return _gathered(
        [w for w in works if isinstance(w, LineWork)] + [w for w in works if isinstance(w, AreaWork)], "order"
    )


def _gathered(works: Iterable[Work], what: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(s for w in works if (row := _row(w)) is not None for s in row[what]))


def _row(work: Work) -> dict[str, Any] | None:
    if isinstance(work, LineWork):
        return _find(table("made_so")["runs"], work.material)
    if isinstance(work, AreaWork) and work.dug:
        found = [_find(table("made_so")["floors"], x.material) for x in work.layers]
        return next((f for f in found if f is not None), None)
    return None


def _find(rows: dict[str, Any], material: str) -> dict[str, Any] | None:
    """Return the row of a material: its own, its first words', or its last words' (``raised bed brick``)."""
    parts = material.split()
    names = [" ".join(parts[:n]) for n in range(len(parts), 0, -1)] + [
        " ".join(parts[n:]) for n in range(1, len(parts))
    ]
    return next((rows[n] for n in names if n in rows), None)
