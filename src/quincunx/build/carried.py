"""What is at hand before a job and after it: found and counted things used up, off-cuts taken and left."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from quincunx.build.kept import Left, gathered, still_left
from quincunx.build.reckon import Reckoned
from quincunx.works import Price


@dataclass(frozen=True, slots=True)
class AtHand:
    """The price list with what is left of found things, and the off-cuts that were kept."""

    prices: tuple[Price, ...] = ()
    left: tuple[Left, ...] = ()


def after(at: AtHand, found: Reckoned, source: str, *, keeps: bool = True, hired: Iterable[str] = ()) -> AtHand:
    """Return what is at hand when what was ``found`` is built: nothing is there twice.

    Off-cuts are those of ``source``, a job's name; with ``keeps`` false none are left (it isn't known what is built),
    and none of what ``hired`` hands build.
    """
    used: dict[str, float] = {}
    for b in found.bill:
        if b.found and b.price:
            used[b.price] = used.get(b.price, 0.0) + b.count
    prices = tuple(p for price in at.prices if (p := _less(price, used.get(price.id, 0.0))) is not None)
    theirs, new = frozenset(hired), list[Left]()
    for c in found.cuts:
        if keeps and not any(p.owner in theirs for p in c.pieces):
            new += [Left(c.item, length, n, source) for length, n in c.kept()]
    for s in found.sheets:
        if keeps and not any(p.owner in theirs for p in s.plates):
            new += [Left(s.item, long, n, source, wide) for wide, long, n in s.kept()]
    gone = [(r.left, r.count) for c in found.cuts for r in c.before]
    gone += [(left, sawn.count) for s in found.sheets for left, sawn in s.before]
    return AtHand(prices, gathered([*still_left(at.left, gone), *new]))


def _less(price: Price, used: float) -> Price | None:
    """Return a price with what is still there of it; None when all that was found is used."""
    if price.at_hand is None or not used:
        return price
    there = math.floor(price.at_hand - used + 1e-6)
    return price.model_copy(update={"at_hand": there}) if there >= 1 else None
