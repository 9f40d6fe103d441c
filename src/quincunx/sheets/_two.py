"""Which steps of a job need two people: a long tape, a long or heavy piece, glass, work on a roof."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator

from quincunx.build.prices import Bought
from quincunx.shapes import FrameWork, KitWork
from quincunx.sheets._building import piece_kg
from quincunx.sheets._care import HEAVY_KG, OVERHEAD_M
from quincunx.sheets._outdoors import Planned
from quincunx.sheets._set import Set
from quincunx.sheets._sheet_cuts import LONG_M
from quincunx.sheets.construction import LEAST_MEMBERS, order_of_work
from quincunx.units import format_length

TAPE_M = {"metric": 5.0, "feet": 16 * 0.3048}
"""A longer tape wants somebody at either end: 5 m, or 16 ft where the garden is written in feet (common practice, no source) [m]."""
NEVER_ALONE = re.compile(r"\b(?:two people|never alone)\b", re.IGNORECASE)
GLAZED = re.compile(r"\b(?:glaz|glass)", re.IGNORECASE)
HIGH = re.compile(r"^Cover the roof\b")
SET = re.compile(r"^(?:Set|Stand) the (\w+?)s\b")
"""How the order of building names the pieces that are lifted into place."""
MOST_NAMED, MOST_TOLD = 6, 4
"""So many points are named on paper, and so many things that need two."""


def long_tape(of: Set, metres: Iterable[float]) -> str:
    """Return why a point or check needs two, by the lengths that are taped [m]; empty where one can do it."""
    most = TAPE_M[of.garden.style.system]
    return f"a tape over {format_length(most, of.garden.style)}" if max(metres, default=0.0) > most else ""


def raising(of: Set, plan: Planned) -> list[tuple[str, str, str]]:
    """Return the steps of putting up what the job builds, in their order: what each is, its words, why it needs two."""
    out: list[tuple[str, str, str]] = []
    frames_of = {o: [w for w in s.work if isinstance(w, FrameWork)] for o, s in plan.stood.items()}
    told = {o: [f for f in fs if f.roof is not None or f.order] for o, fs in frames_of.items()}
    named = {o: fs for o, fs in told.items() if sum(len(f.members) for f in fs) >= LEAST_MEMBERS}
    for owner, frames in named.items():
        before = f"{of.words.name(owner)}: " if len(named) > 1 else ""
        steps = order_of_work((), frames[0])
        out += [(f"{owner} {words}", f"{before}{words}", _why(of, words, frames[0])) for words in steps]
    return out


def _why(of: Set, words: str, frame: FrameWork) -> str:
    if NEVER_ALONE.search(words) or HIGH.search(words):
        return "never alone up there" if HIGH.search(words) else "too much for one"
    if GLAZED.search(words):
        return "a pane of glass"
    lifted = SET.search(words)
    piece = lifted[1] if lifted else ""
    found = [m for m in frame.members if _is(piece, m.name, m.support)]
    longest = max((math.dist(m.start, m.end) for m in found), default=0.0)
    if longest > LONG_M:
        return f"a {piece} of {format_length(longest, of.garden.style)}"
    overhead = any(max(m.start[2], m.end[2]) > OVERHEAD_M for m in found if m.support != "post")
    return f"a {piece} handed up" if overhead else ""


def _is(piece: str, name: str, support: str) -> bool:
    return bool(piece) and (name == piece or (piece == "post" and support == "post"))


def at_all(of: Set, plan: Planned) -> list[str]:
    """Return what in a job needs two whichever step it comes in: heavy pieces, a kit whose maker says so."""
    return [*_heavy(of, plan), *_kits(plan)]


def _heavy(of: Set, plan: Planned) -> Iterator[str]:
    bill: tuple[Bought, ...] = next((c.reckoned.bill for c in of.costed if c.job.id == plan.job.id), ())
    yield from sorted({b.words for b in bill if piece_kg(b) > HEAVY_KG})


def _kits(plan: Planned) -> Iterator[str]:
    kits = [w.people for s in plan.stood.values() for w in s.work if isinstance(w, KitWork) and (w.people or 0) > 1]
    if kits:
        yield f"the kit: its maker wants {max(k or 0 for k in kits)}"


def for_two(of: Set, plan: Planned) -> str:
    """Return in a sentence what of a job needs two people; empty where one can do all of it.

    What is heavy in one piece stands among the cautions of the same page.
    """
    far = [plan.numbers[p.id] for p in plan.found.points if long_tape(of, [t.exact_m for t in p.ties])]
    whole = len(far) == len(plan.found.points)
    points = "every point" if whole else f"point{'s' if len(far) > 1 else ''} {', '.join(map(str, far[:MOST_NAMED]))}"
    points += "" if whole or len(far) <= MOST_NAMED else " and more"
    tapes = [f"{points} ({long_tape(of, [math.inf])})"] if far else []
    lifted = list(dict.fromkeys(why for _, _, why in raising(of, plan) if why))
    told = [*tapes, *lifted, *_kits(plan)]
    more = ["more on the phone’s page"] if len(told) > MOST_TOLD else []
    return f"Needs two: {'; '.join([*told[:MOST_TOLD], *more])}." if told else ""
