"""The first free day of a garden in which nothing is planned yet: is the ground as it is drawn?"""

from __future__ import annotations

import math
from itertools import combinations

from quincunx.sheets._outdoors import base_of, tape
from quincunx.sheets._set import Set
from quincunx.sheets._tables import BOX, LINE
from quincunx.sheets.book import Block, Page

MOST = 16
"""No more tapes than two people take in one morning (common practice, no source)."""
STEPS = (
    "Two people and a long tape: one holds the end on the corner, one reads",
    "Hold the tape level and taut; on a slope take it in shorter steps",
    "Write down what it reads, also where it agrees",
    "Type the readings under Ground: it finds a misread one, and says what to measure next",
)
COVERS = (
    "The lengths come from the plan as drawn, in plan and not along the slope. A boundary that is in doubt is for the"
    " deeds and a surveyor to settle, not for a tape."
)


def nothing_planned(of: Set) -> bool:
    """Return whether nothing is to be made yet: no job, and nothing drawn that is not there already."""
    return not of.garden.jobs and all(f.there_from == "start" for f in of.garden.features)


def ground_check(of: Set) -> Page | None:
    """Return the page that has every corner taped from every other, the longest first; None without three corners."""
    base = base_of(of)
    spots = base.at
    if len(spots) < 3:
        return None
    pairs = sorted(combinations(sorted(spots), 2), key=lambda p: -math.dist(spots[p[0]], spots[p[1]]))[:MOST]
    rows = [
        [BOX, f"{base.names[a]} to {base.names[b]}", {"s": tape(of, math.dist(spots[a], spots[b])), "bold": True}, LINE]
        for a, b in pairs
    ]
    where = "; ".join(f"{base.names[i]}: {base.about[i]}" for i in sorted(spots))
    blocks: tuple[Block, ...] = (
        {"t": "large", "s": "Is the ground as it is drawn?"},
        {"t": "text", "s": f"Nothing is planned yet. Everything that is will be measured from these corners. {where}."},
        {"t": "list", "items": list(STEPS), "size": 11},
        {"t": "table", "head": ["", "from corner to corner", "the plan says", "the tape reads"], "rows": rows,
         "widths": [0, 1.2, 1, 1.2], "align": ["left"] * 4, "size": 12.0, "inset": 1.5},
        {"t": "small", "s": COVERS},
    )  # fmt: skip
    return Page("This Saturday", blocks, of.paper.size_mm, "the ground", foot="tick what is done")
