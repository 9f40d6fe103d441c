"""Try it full size before it is built or planted: where to push canes, how high to tie the string, where to stand."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from typing import Any

from quincunx.sheets._cane_words import Easy, asked_words, easier, grows_words, proof_words, thick_words
from quincunx.sheets._canes import Trial, coming, trial
from quincunx.sheets._marks import Mark
from quincunx.sheets._outdoors import Base, Planned, base_of, set_points, tape, this_year, whole
from quincunx.sheets._place import place
from quincunx.sheets._set import Set
from quincunx.sheets._tables import BOX, stakes_words
from quincunx.sheets.book import Block, Page
from quincunx.survey.canes import LONG_M
from quincunx.survey.setout import Placed
from quincunx.units import capital, counted, format_length
from quincunx.works import Job

ID = "cane-test"
WORDS = "Cane test"
NEEDS = (
    "Nothing in the plan rises that doesn't stand already. Draw a hedge, a wall, a roof or a tree that is to come, with"
    " its month or its job, and this page says how to see it full size."
)
MOST_PAGES = 4
"""Pages in a whole set: the tallest of what this year's jobs make; any other thing can be asked for by name."""
IN_GROUND_M = 0.3
"""How much of a cane goes into the ground [m] (common practice, no source)."""
CARE = (
    "Cap the canes: a bare end takes out an eye. Push none in where lines run underground (have them marked first) or"
    " under wires overhead, and take them down before dark."
)
COVERS = (
    "String shows size and place at the end of that summer, as the plan has it; leaves let more through than string"
    " makes you think, and a hedge may take years more or fewer. Back indoors, ask Canes on the board, touch it there, and"
    " change its height or move it: the years answer at once."
)


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:  # noqa: ARG001 - each place finds its own scale
    """Yield a page for each thing to try: the one asked for, else the tallest that this year's jobs make."""
    base = base_of(of)
    scene = of.summer(of.timeline.years[-1])
    known = coming(of.timeline, of.garden.features)
    for one in _chosen(of, [trial(scene, owner) for owner in known]):
        yield _page(of, one, base)


def _chosen(of: Set, trials: list[Trial]) -> list[Trial]:
    fit = [t for t in trials if t.canes]
    if of.about:
        return [t for t in fit if t.owner == of.about]
    found = this_year(of)
    jobs = {n.partition("/")[0]: job.id for job in (found[1] if found else ()) for n in job.does}
    first = [t for t in fit if t.owner in jobs] or fit
    tallest = sorted(first, key=lambda t: (-max(c.string_m for c in t.canes), t.owner))
    # Five apples alike are tried by one of them: the tallest of each job first.
    of_job = {jobs.get(t.owner, t.owner): t for t in reversed(tallest)}
    return sorted(sorted(of_job.values(), key=tallest.index)[:MOST_PAGES], key=first.index)


def _page(of: Set, one: Trial, base: Base) -> Page:
    plan, easy = _planned(of, one, base)
    wide, high = of.paper.frame_mm
    left = wide * 0.56
    near, scale = place(of, plan, (left, high * 0.34), whole=False)
    far, small = place(of, plan, (wide - left - 4, high * 0.34), whole=True)
    year = of.timeline.years[-1]
    stand = _stand_ties(of, one, plan)
    # Canes are tried, not built: only what is taped is named, no checks.
    proof, proving = proof_words(of, plan, easy) if easy else ("", set[str]())
    used = {t.stake for p in (*plan.found.points, *stand) for t in p.ties} | proving
    blocks: list[Block] = [
        {"t": "text", "s": _stand_words(of, one, plan, stand)},
        {
            "t": "row",
            "widths": [left, wide - left - 4],
            "cells": [[near], [far, {"t": "small", "s": f"where to tape from, {small.said}"}]],
        },
        *([{"t": "text", "s": f"Tape from: {stakes_words(base, used)}"}] if used else []),
        {"t": "text", "s": carried(of, one, plan)},
        *([{"t": "text", "s": proof}] if proof else []),
        _table(of, one, plan, easy),
        *({"t": "text", "s": s} for s in (thick_words(of, one), grows_words(of, one), asked_words(of, one)) if s),
        *_nearer_words(of, one, plan),
        {"t": "caution", "s": CARE},
        {
            "t": "text",
            "s": "Too tall?  yes  /  no        Move it:  ______  towards  ______        Its string should be at  ______",
        },
        {"t": "small", "s": COVERS},
    ]
    title = of.words.name(one.owner)
    return Page(
        capital(title), tuple(blocks), of.paper.size_mm, f"full size, as in {year} · {scale.said}", scale.said,
        foot=scale.said,
    )  # fmt: skip


def _size(of: Set, metres: float) -> str:
    """Write a height or a walk as near as canes show it: to 1 cm or 1/2 in, in one line."""
    return whole(format_length(metres, of.garden.style))


def _stand_ties(of: Set, one: Trial, plan: Planned) -> tuple[Placed, ...]:
    """Return how to find the place to stand, which may be a seat that is yet to come; nothing if it can't be taped."""
    if one.stand is None:
        return ()
    mark = Mark("stand", "", one.stand.at, one.owner)
    return set_points(of, {"stand": mark}, plan.base, plan.before, (one.owner,))[0].points


def _stand_words(of: Set, one: Trial, plan: Planned, ties: tuple[Placed, ...]) -> str:
    if one.stand is None:
        return "Walk round it, and look from where you will mostly be."
    eye, where = _size(of, one.eye_m), ""
    for placed in ties:
        a, b = placed.ties
        names = plan.names
        first, second = names[a.stake], names[b.stake]
        where = (
            f" (not there yet? {tape(of, a.mark_m)} from {first} and {tape(of, b.mark_m)} from {second}, on the"
            f" {placed.side} of {first} to {second})"
        )
    return (
        f"Stand at {one.stand.name}{where}, your eye {eye} up. What you see over the string you will go on seeing; what is below"
        " it will be hidden, or is where the thing will be."
    )


def carried(of: Set, one: Trial, plan: Planned) -> str:
    """Return what to take along: canes long enough, string, tapes, and what the caution asks for."""
    low = [c for c in one.canes if c.string_m <= LONG_M]
    nearer = [n for n in one.nearer if n is not None]
    tall = max([c.string_m for c in low] + [n.string_m for n in nearer], default=0.0)
    parts = []
    if low or nearer:
        long = _size(of, math.ceil((tall + IN_GROUND_M) * 10.0) / 10.0)
        parts.append(f"{counted(len(low) + len(nearer), 'cane')} of {long} or more, as many caps")
    if marks := len(one.canes) - len(low):
        parts.append(f"{counted(marks, 'short peg')}")
    parts.append(f"{_size(of, math.ceil(_string_m(one)))} of string")
    reach = max((t.mark_m for p in plan.found.points for t in p.ties), default=0.0)
    if reach:
        parts.append(f"two tapes that reach {_size(of, math.ceil(reach))}")
    return f"Carry: {', '.join(parts)}, a mallet, this page and a pencil. Two people are quicker than one."


def _string_m(one: Trial) -> float:
    """Return how much string goes round the canes once, and once more where there is an underside [m]."""
    around = [c.at for c in one.canes]
    once = sum(math.dist(a, b) for a, b in itertools.pairwise(around)) + 0.5 * len(around)
    return once * (2.0 if any(c.under_m is not None for c in one.canes) else 1.0)


def _planned(of: Set, one: Trial, base: Base) -> tuple[Planned, Easy | None]:
    """Return the canes as points to set out, numbered as they stand along the thing, and which of them need no tapes."""
    marks = {f"cane-{n:02d}": Mark(f"cane-{n:02d}", "", c.at, one.owner) for n, c in enumerate(one.canes, 1)}
    before = of.timeline.at(of.timeline.leaf_date(of.timeline.years[0]))
    easy = easier(of, [c.at for c in one.canes])
    first = {i: m for k, (i, m) in enumerate(marks.items()) if easy is None or k in easy.tape}
    found, through = set_points(of, first, base, before, (one.owner,))
    if easy is not None and found.unreachable:
        easy, (found, through) = None, set_points(of, marks, base, before, (one.owner,))
    numbers = {i: n for n, i in enumerate(marks, 1)}
    feature = of.timeline.feature(one.owner)
    stood = {} if feature is None else {one.owner: of.timeline.stood(feature, one.scene.on)}
    job = Job(id="canes", name="Canes")
    plan = Planned(
        job, (one.owner,), stood, marks, before, found=found, numbers=numbers, base=base, through=through
    )  # fmt: skip
    return plan, easy


def _table(of: Set, one: Trial, plan: Planned, easy: Easy | None) -> Block:
    ties = {p.id: p for p in plan.found.points}
    rows: list[list[Any]] = []
    for (mark, number), cane, near in zip(plan.numbers.items(), one.canes, one.nearer, strict=True):
        high = cane.string_m > LONG_M
        string: dict[str, Any] = {"s": _size(of, cane.string_m), "bold": not high}
        under = _size(of, cane.under_m) if cane.under_m is not None else ""
        taped = (
            [*easy.others[number - 1], ""]
            if easy is not None and number - 1 in easy.others
            else _taped(of, ties.get(mark), plan)
        )
        note = "" if not high else "see below" if near is not None else "too high for a cane: mark its place only"
        rows.append([BOX, {"s": str(number), "bold": True}, string, under, *taped, note])
    head = ["", "cane", "string at", "underside", "first tape", "second tape", "lies", ""]
    widths = [0, 0, 0.8, 0.8, 1.2, 1.2, 1.2, 1.0]
    used = [k for k, name in enumerate(head) if k < 3 or (name and k != 3) or any(row[k] for row in rows)]
    return {
        "t": "table", "head": [head[k] for k in used], "rows": [[row[k] for k in used] for row in rows],
        "widths": [widths[k] for k in used], "align": ["left"] * len(used), "size": 10 if len(rows) <= 8 else 9,
        "inset": 1.5,
    }  # fmt: skip


def _taped(of: Set, placed: Placed | None, plan: Planned) -> list[str]:
    """Return the two tapes to one cane, and on which side of them it lies."""
    if placed is None:
        return ["no two stakes in reach", "", ""]
    (one, two), names = placed.ties, plan.names
    return [
        f"{tape(of, one.mark_m)} from {names[one.stake]}",
        f"{tape(of, two.mark_m)} from {names[two.stake]}",
        f"{placed.side} of {names[one.stake]} to {names[two.stake]}",
    ]


def _nearer_words(of: Set, one: Trial, plan: Planned) -> list[Block]:
    """Return how to show what is too high for a cane: a lower string, nearer to the eye."""
    if one.stand is None or not any(one.nearer):
        return []
    rows: list[list[Any]] = []
    for number, near in zip(plan.numbers.values(), one.nearer, strict=True):
        if near is not None:
            walk = f"{_size(of, near.from_eye_m)} from {one.stand.name} towards cane {number}"
            rows.append(
                [BOX, {"s": f"for {number}", "bold": True}, walk, {"s": _size(of, near.string_m), "bold": True}]
            )
    words = (
        f"Too high for a cane: from {one.stand.name} the same line is drawn by a lower string nearer to you. It is right"
        " only from there, with the eye at that height."
    )
    table: Block = {
        "t": "table", "head": ["", "in place of", "stands", "string at"], "rows": rows, "widths": [0, 0.6, 3.0, 1.0],
        "align": ["left"] * 4, "size": 10, "inset": 1.5,
    }  # fmt: skip
    return [{"t": "text", "s": words}, table]
