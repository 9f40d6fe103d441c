"""Sums in whole units of money that add up by hand: each no more than about one unit from the exact one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from quincunx.works.ledger import YearMoney


def whole(minor: int, size: int) -> int:
    """Return a sum [minor units] to whole units of ``size`` minor ones, halves away from zero."""
    units = (2 * abs(minor) + size) // (2 * size)
    return size * (units if minor >= 0 else -units)


def whole_years(money: Sequence[YearMoney], size: int) -> tuple[YearMoney, ...]:
    """Return the years in whole units: in hand at the start, and what comes in, less what is spent, is what is left.

    What is left is rounded, and what lies between two years' ends takes up the difference.
    """
    out: list[YearMoney] = []
    before, exact = 0, 0
    for year in money:
        start = year.left - year.income + year.spent
        at_start = before if out and start == exact else whole(start, size)
        left, income, spent = whole(year.left, size), whole(year.income, size), whole(year.spent, size)
        if year.spent % size:
            spent = at_start + income - left
        else:
            income = left - at_start + spent
        out.append(replace(year, income=income, spent=spent, left=left))
        before, exact = left, year.left
    return tuple(out)


def shared_out(parts: Sequence[int], total: int, size: int) -> list[int]:
    """Return ``parts`` [minor units] in whole units that add up to ``total``: rounded down, the largest rests up."""
    floors = [part // size * size for part in parts]
    order = sorted(range(len(parts)), key=lambda i: (floors[i] - parts[i], i))
    missing = (total - sum(floors)) // size
    # What costs nothing gets nothing, and nothing falls below nothing.
    order = [i for i in order if parts[i]] or order if missing > 0 else [i for i in order if floors[i] >= size] or order
    for k in range(abs(missing)):
        floors[order[k % len(order)]] += size if missing > 0 else -size
    return floors
