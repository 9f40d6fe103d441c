"""The tables people carry out: points with their ties, checks between them, stakes to measure from."""

from __future__ import annotations

import math
from typing import Any

from quincunx.sheets._outdoors import Base, Planned, tape, whole, within
from quincunx.sheets._set import Set
from quincunx.sheets.book import Block

BOX = {
    "svg": '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 10 10" width="4mm" height="4mm">'
    '<rect x="0.6" y="0.6" width="8.8" height="8.8" fill="none" stroke="#23282b" stroke-width="0.9"/></svg>',
    "w": 3.6,
}
"""An empty box to tick."""
LINE = {"s": "________"}
"""Room to write a length."""


def ties_table(of: Set, plan: Planned, size: float, most: int = 99, *, how_sure: bool = True) -> Block:
    """Return the points in the order to set them, each with two tapes, the hand, the check and how near it comes."""
    names = plan.names
    head: list[Any] = ["", "", "point", "first tape", "second tape", "lies", "check"]
    rows: list[list[Any]] = []
    for p in plan.found.points[:most]:
        one, two = p.ties
        check = "by the diagonals" if plan.found.diagonals else "no third stake in reach"
        if p.check is not None:
            check = f"{tape(of, p.check.mark_m)} from {names[p.check.stake]}, {within(of, p.check_within_m)}"
        row: list[Any] = [
            BOX,
            {"s": str(plan.numbers[p.id]), "bold": True},
            plan.marks[p.id].words,
            {"s": f"{tape(of, one.mark_m)} from {names[one.stake]}", "bold": True},
            {"s": f"{tape(of, two.mark_m)} from {names[two.stake]}", "bold": True},
            whole(f"{p.side} of {names[one.stake]} to {names[two.stake]}"),
            check,
        ]
        rows.append([*row, within(of, p.sure_m)] if how_sure else row)
    widths = [0, 0, 1, 0, 0, 0, 0]  # what is read off a tape stays on one line; names take what is left
    return {
        "t": "table",
        "head": [*head, "comes to"] if how_sure else head,
        "rows": rows,
        "widths": [*widths, 0] if how_sure else widths,
        "align": ["left"] * (8 if how_sure else 7),
        "size": size,
        "inset": 1.5,
    }


def diagonals_table(of: Set, plan: Planned, size: float, most: int = 99, *, narrow: bool = False) -> Block | None:
    """Return the checks between points that were set, with room for what was built; None if there are none.

    A ``narrow`` one has something beside it.
    """
    rows: list[list[Any]] = []
    for d in plan.found.diagonals[:most]:
        a, b = sorted((plan.numbers[d.start], plan.numbers[d.end]))
        must = {"s": f"{tape(of, d.mark_m)}", "bold": True}
        rows.append([BOX, f"{a} to {b}", must, within(of, d.within_m), LINE, LINE])
    if not rows:
        return None
    return {
        "t": "table",
        "head": ["", "between points", "must read", "within", "as set out", "as built"],
        "rows": rows,
        "widths": [0, 0, 0, 0, 0, 0] if narrow else [0, 1, 1, 0.7, 1, 1],
        "align": ["left"] * 6,
        "size": size,
        "inset": 1.5,
    }


def stakes_words(base: Base, used: set[str]) -> str:
    """Return what each stake is that the ties come from: "A is the SW corner of the boundary"."""
    words = "; ".join(f"{base.names[i]}: {base.about[i]}" for i in sorted(used & set(base.names)))
    return f"{words}. “Left of A to B” is on your left hand as you look from A to B."


def used_stakes(plan: Planned) -> set[str]:
    """Return the stakes that the ties and checks come from."""
    ties = [t for p in plan.found.points for t in (*p.ties, *((p.check,) if p.check else ()))]
    return {t.stake for t in ties}


def first_check(of: Set, plan: Planned) -> str:
    """Return what to tape first, so that a plan that was never measured shows itself before anything is set."""
    used = sorted(used_stakes(plan) & set(plan.base.at))
    if plan.base.measured or len(used) < 2:
        return ""
    a, b = max(
        ((a, b) for n, a in enumerate(used) for b in used[:n]),
        key=lambda p: math.dist(plan.base.at[p[0]], plan.base.at[p[1]]),
    )
    far = tape(of, math.dist(plan.base.at[a], plan.base.at[b]))
    return (
        f"First tape {plan.base.names[a]} to {plan.base.names[b]}: the plan says {far}."
        " The corners are taken as drawn; if it reads otherwise, measure your ground before you set anything."
    )
