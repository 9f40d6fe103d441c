"""As built: what was staked, what was found, how far off, whether that is allowed, and what it changes."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from quincunx.review.changed import musts_changed
from quincunx.review.judging import judge_one
from quincunx.sheets._as_built import Built, as_built, built_words, matters, moves_words
from quincunx.sheets._outdoors import base_of, compass, planned_whole
from quincunx.sheets._set import Set
from quincunx.sheets.book import Page
from quincunx.survey import Shift
from quincunx.survey.words import as_planned, close
from quincunx.units import format_length

ID = "as-built"
WORDS = "As built"
NEEDS = (
    "Nothing was taped again yet. Tape between the points of what was set out or built, enter it outdoors, and this page "
    "holds it against the plan."
)
ALLOWED = {"within": "yes", "outside": "NO", "unsure": "tape it once more"}


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:  # noqa: ARG001 - tables have no scale
    """Yield one page for each job of which something was taped again."""
    about = {e.about for e in of.garden.journal if e.what == "measured" and e.length is not None and len(e.points) == 2}
    jobs = [j for j in of.garden.jobs if j.id in about]
    base = base_of(of) if jobs else None
    for job in jobs:
        built = as_built(of, planned_whole(of, job, base))
        if built is not None:
            foot = "as planned: worked out from the drawing; off by: found less planned"
            yield Page(f"{WORDS}: {job.name}", tuple(_blocks(of, built)), of.paper.size_mm, _state(built), foot=foot)


def _state(built: Built) -> str:
    if built.doubtful:
        return "a tape doesn't fit: take it once more"
    out, long = len(built.out), sum(d.state == "outside" for d in built.lengths)
    if out:
        return f"{out} point{'s' if out > 1 else ''} off by more than allowed"
    return f"{long} length{'s' if long > 1 else ''} off by more than allowed" if long else "all lies where it may"


def _blocks(of: Set, built: Built) -> Iterator[dict[str, Any]]:
    yield {"t": "heading", "s": "Lengths"}
    yield _lengths(of, built)
    if built.shifts:
        yield {"t": "heading", "s": "Points"}
        yield _points(of, built)
    yield {"t": "heading", "s": "What it says"}
    yield from ({"t": "text", "s": line} for line in built_words(of, built))
    moves = moves_words(of, built)
    if moves:
        yield {"t": "heading", "s": "If the plan is drawn as built"}
        yield from ({"t": "text", "s": line} for line in [*moves, *_musts(of, built)])
    yield {
        "t": "small",
        "s": "How do we know? Points that were not taped again are taken to stand as they were set, within what setting "
        "leaves; a length may be off by what its tape may be off, and counts as outside only beyond both. What is allowed "
        "is common practice; where a drawing, a maker or the local code says less, that holds.",
    }  # fmt: skip


def _lengths(of: Set, built: Built) -> dict[str, Any]:
    style, names = of.garden.style, built.plan.names
    rows = [
        [
            f"{names.get(d.start, d.start)} to {names.get(d.end, d.end)}",
            format_length(d.planned_m, style, kind="tape"),
            format_length(d.measured_m, style, kind="tape"),
            _off(d.off_m, style),
            close(d.tolerance_m, style),
            {"s": ALLOWED[d.state], "bold": d.state != "within"},
        ]
        for d in built.lengths
    ]
    head = ["between", "staked", "found", "off by", "allowed", "within"]
    return _table(head, rows)


def _points(of: Set, built: Built) -> dict[str, Any]:
    style, names = of.garden.style, built.plan.names
    rows = [
        [
            f"point {names[s.point]}",
            "nothing" if as_planned(s.off_m, style) else close(s.off_m, style),
            "" if as_planned(s.off_m, style) else f"to the {compass((s.east_m, s.north_m), (0.0, 0.0))}",
            close(s.tolerance_m, style),
            {"s": _stands(s), "bold": s.state == "outside" or matters(s)},
        ]
        for s in built.shifts
    ]
    return _table(["point", "off by", "which way", "allowed", "within"], rows)


def _stands(s: Shift) -> str:
    """Return whether a point lies within what is allowed, as far as it was taped."""
    return "as far as taped" if s.state == "unsure" and not matters(s) else ALLOWED[s.state]


def _table(head: list[str], rows: list[list[Any]]) -> dict[str, Any]:
    right = ["left", *["right"] * (len(head) - 2), "left"]
    return {
        "t": "table",
        "head": head,
        "rows": rows,
        "widths": [2, *[1] * (len(head) - 1)],
        "align": right,
        "size": 9.5,
    }


def _off(off_m: float, style: Any) -> str:
    if as_planned(off_m, style):
        return "nothing"
    return f"{close(abs(off_m), style)} {'long' if off_m > 0 else 'short'}"


def _musts(of: Set, built: Built) -> list[str]:
    """Return which of the musts that name what moves would be answered otherwise; the board judges them all."""
    moved = {f.id for f in built.moved}
    named = [m for m in of.garden.intents if moved & set(m.things()) and not m.muted]
    if not named:
        return ["No must names what moves. The board says under Outdoors whether any is answered otherwise."]
    then = of.timeline.with_features(built.moved)
    before = [judge_one(m, of.timeline, of.words) for m in named]
    said = [c.sentence for c in musts_changed(before, [judge_one(m, then, of.words) for m in named])]
    return said or ["What the garden must do of what moves is answered as before, in every year."]
