"""The measured ground: stakes, the lines taped, how surely each stake is known, and the readings that don't fit."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from quincunx.review.begun_words import (
    anew_words,
    apart_words,
    first_text,
    left_words,
    pair,
    since_text,
    state_words,
    together_words,
)
from quincunx.review.ground import Measured, summary, sure_of
from quincunx.review.ground_drawn import ground_figures, ring_times, rings_words
from quincunx.review.traversed import walked, walked_rows, walked_words
from quincunx.shapes import AreaFigure, Figure, PathFigure, TextFigure
from quincunx.sheets._outdoors import base_of
from quincunx.sheets._place import stake_mark, thin, view
from quincunx.sheets._set import Set
from quincunx.sheets.book import Block, Page
from quincunx.sheets.scales import fitting
from quincunx.sheets.svg import Look
from quincunx.survey.words import mirror, next_tape, swing
from quincunx.units import capital, format_length

ID = "survey-plan"
WORDS = "The measured ground"
NEEDS = (
    "Nothing is measured yet. Print the form for readings, tape between three stakes or more, and put the readings in."
)


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:  # noqa: ARG001 - the network finds its own scale
    """Yield the survey drawn with its stakes listed; nothing where fewer than two stakes are found."""
    m = of.measured
    if len(m.places) < 2 or not m.survey.readings:
        return
    wide, high = of.paper.frame_mm
    frame = (wide, high * 0.58)
    drawing, scale = view(of, network_points(of), drawn(of, frame), frame)
    blocks: list[Block] = [
        drawing,
        {"t": "small", "s": rings_words(ring_times(m))},
        *_bad(m),
        _stakes(of, m),
        *_begun(of, m),
        *_walked(m),
        *_todo(m),
    ]
    yield Page("The measured ground", tuple(blocks), of.paper.size_mm, scale.said, scale.said, foot=scale.said)


def network_points(of: Set) -> list[tuple[float, float]]:
    """Return the stakes and the corners of the boundary: what a drawing of the network shows [m]."""
    ring = [(float(x), float(y)) for x, y in of.garden.boundary]
    return [*of.measured.places.values(), *ring]


def drawn(of: Set, frame_mm: tuple[float, float], *, rings: bool = True) -> list[Figure]:
    """Return the network with what stands there from the start in thin line, marks in sizes of the paper."""
    scene = of.timeline.at(of.timeline.leaf_date(of.timeline.years[0]))
    out: list[Figure] = [f for f in of.frame() if isinstance(f, PathFigure) and f.owner == "boundary"]
    there = {f.id for f in of.garden.features if f.there_from == "start"}
    out += [t for f in scene.figures if f.owner in there for t in thin(f)]
    for f in ground_figures(of.measured):
        if isinstance(f, TextFigure) or f.owner.startswith("stake/") or (isinstance(f, AreaFigure) and not rings):
            continue
        out.append(f)
    points = network_points(of)
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    scale = fitting(max(xs) - min(xs), max(ys) - min(ys), frame_mm, of.garden.style)
    look = Look(scale.number, of.garden.style)
    for stake, at in of.measured.places.items():
        out += stake_mark(at, of.measured.names[stake], look)
    return out


def _bad(m: Measured) -> list[Block]:
    """Return what doesn't fit, with what it probably was, and the questions only the person can answer."""
    questions = [mirror(q, m.names) for q in m.searched.adjusted.questions]
    blocks: list[Block] = [{"t": "large", "s": summary(m)}]
    blocks += [{"t": "caution", "s": f"{words} It is left out of this plan."} for words in m.suspects]
    if questions:
        blocks.append({"t": "caution", "s": "The plan may be the wrong way round. " + " ".join(questions)})
    return blocks


def _stakes(of: Set, m: Measured) -> Block:
    about = base_of(of).about
    rows: list[list[Any]] = []
    for s in m.survey.stakes:
        at = m.places.get(s.id)
        where = ["–", "–"] if at is None else [format_length(v, m.style, kind="tape") for v in at]
        sure = "has no place yet" if at is None else sure_of(m, s.id)
        rows.append([{"s": s.name, "bold": True}, about.get(s.id, s.kind), *where, sure])
    return {
        "t": "table",
        "head": ["stake", "what it is", "east", "north", "how surely"],
        "rows": rows,
        "widths": [0, 2, 1, 1, 1.6],
        "align": ["left", "left", "right", "right", "left"],
        "size": 10,
    }


def _begun(of: Set, m: Measured) -> list[Block]:
    """Return the lengths that began the garden beside what was taped since, and what to do where they differ."""
    if not m.firsts:
        return []
    rows: list[list[Any]] = []
    for f in m.firsts:
        a, b = pair(m, f.begun)
        sign = "" if f.agrees else "! "
        rows.append(
            [
                {"s": f"{a} to {b}", "bold": True},
                first_text(f, m.style),
                since_text(f, m.style),
                sign + state_words(f, m.style),
            ]
        )
    return [
        {"t": "heading", "s": "The lengths that began the garden"},
        *([{"t": "text", "s": together_words(m)}] if together_words(m) else []),
        {
            "t": "table", "head": ["from, to", "to begin with", "taped since", ""], "rows": rows, "widths": [0.8, 1, 1, 2.2],
            "align": ["left", "right", "right", "left"], "size": 10,
        },
        *({"t": "caution", "s": words} for words in (*anew_words(of.garden, m), *apart_words(m))),
    ]  # fmt: skip


def _walked(m: Measured) -> list[Block]:
    """Return what was walked by compass and tape: by how much it missed, and each leg as read and put right."""
    w = walked(m)
    if w is None:
        return []
    table: Block = {
        "t": "table", "head": ["leg", "read", "", "put right", ""], "rows": walked_rows(m, w), "widths": [1, 1, 1.2, 1, 1.2],
        "align": ["left", "right", "right", "right", "right"], "size": 10,
    }  # fmt: skip
    words: list[Block] = [{"t": "text", "s": s} for s in walked_words(m, w)]
    return [{"t": "heading", "s": "Walked by compass and tape"}, *words, table]


def _todo(m: Measured) -> list[Block]:
    """Return what to tape so that loose stakes stand still, and what would help most."""
    items = [f"{capital(words)}." for s in m.searched.adjusted.swings for words in [swing(s, m.names)]]
    items += [next_tape(n, m.names, m.style) for n in m.next[: 3 if not items else 1]]
    items += [left_words(m)] if left_words(m) else []
    return [{"t": "heading", "s": "What to tape next"}, {"t": "list", "items": items, "size": 10.5}] if items else []
