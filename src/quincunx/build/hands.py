"""How each sort of work is done by hand: in what turn, with what, and what it may be dangerous by."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from quincunx.build._data import table


@dataclass(frozen=True, slots=True)
class Hand:
    """One sort of work: when in a job it comes, how it is done, what to bring, what it may be dangerous by.

    ``care`` are the dangers that a job's own cautions are told by: dig, high, glass, saw, cement, dust, engine, lift, treated.
    """

    turn: int
    how: str
    bring: tuple[str, ...]
    care: tuple[str, ...]


@cache
def hands() -> Mapping[str, Hand]:
    """Return every sort of work that a job to build or plant is made of, by its norm's id; common practice, no source."""
    rows = table("hands")["hands"]
    return {r["norm"]: Hand(r["turn"], r["how"], tuple(r["bring"]), tuple(r["care"])) for r in rows}
