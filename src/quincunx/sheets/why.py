"""The page of reasons: what holds each job where it is, what a year earlier would cost, what would let the rest in."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from quincunx.sheets._set import Set
from quincunx.sheets.book import Block, Page
from quincunx.units import capital, own_marks
from quincunx.years.explained import Explained, explain_garden
from quincunx.years.gone_by import months_gone
from quincunx.years.months import Run, runs_of
from quincunx.years.safe import how_safe

ID = "why"
WORDS = "Why: the reason for each job's month"
NEEDS = "There are no jobs yet. Write down what is to be done, and this page says why each is done when it is."
LITTLE = 0.0005
"""A plan behind the best known by less than this share is as good as it."""


HOW_KNOWN = (
    "Use counts each thing for the time it is there to be enjoyed, by how much it was said to matter; a hedge from when it "
    "hides, a thing that needs another from when both are done; what comes later counts a little less. “1.5 in 100” is that "
    "share of the use of the whole garden. Each year-earlier plan was looked for among all orders that keep the money, the "
    "hours after upkeep, the seasons and what must come first; “at most” means that a cheaper one may exist. The reason is "
    "what stands in the way while all other jobs stay put."
)


def has_pages(of: Set) -> bool:
    """Return whether there is anything to say why of."""
    return bool(of.garden.jobs)


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:  # noqa: ARG001 - words have no scale
    """Yield the page of reasons; nothing if there are no jobs."""
    if not of.garden.jobs:
        return
    told = explain_garden(of.garden, of.timeline, of.keep, of.today)
    blocks: list[Block] = [{"t": "large", "s": own_marks(s, of.garden.style)} for s in _how_good(told)]
    if told.nonsense:
        blocks += [{"t": "list", "items": list(told.nonsense)}]
    else:
        blocks += [
            {"t": "space", "mm": 2},
            *_broken(told),
            _table(of, told),
            *_left_out(told),
            *_how_safe(of, told),
            *_how_known(of, told),
        ]
    yield Page("Why it is done when it is", tuple(blocks), of.paper.size_mm)


def _how_good(told: Explained) -> Iterator[str]:
    """Say how good the plan is and how sure we are."""
    if told.nonsense:
        yield "The jobs contradict themselves. Mend this first:"
    elif told.found is None or told.found.starts is None:
        yield told.found.how_sure if told.found else ""
    elif told.behind > LITTLE:
        more = 100 * told.behind / (1 - told.behind) if told.behind < 1 else 100.0
        yield (
            f"A better order of works is known: it gives {more:.1f} in 100 more use of the garden than this one. "
            "Let the years be found again to see it."
        )
    elif told.broken:
        yield "This order of works breaks a rule; see below."
    elif told.found.proven:
        yield "This order of works gives the most use of the garden that the money and hours allow: nothing better exists."
    else:
        share = max(0.1, 100 * told.found.gap)
        yield (
            "This is the best order of works that was found. It is sure that no other gives more than "
            f"{share:.1f} in 100 more use of the garden."
        )


def _broken(told: Explained) -> Iterator[Block]:
    if told.broken:
        yield {"t": "heading", "s": "What this order breaks"}
        yield {"t": "list", "items": list(told.broken)}


def _table(of: Set, told: Explained) -> Block:
    rows: list[list[Any]] = []
    for run in runs_of(of.garden):
        if run.start is None:
            continue
        name: Any = {"s": run.job.name, "bold": True} if run.job.large else run.job.name
        rows.append([_when(told, run), name, capital(told.held[run.job.id].reason), _earlier(of, told, run)])
    return {
        "t": "table",
        "head": ["when", "what", "what holds it there", "a year earlier would cost"],
        "rows": rows,
        "widths": [0, 2.0, 2.9, 2.0],
        "align": ["left"] * 4,
        "size": 8.5,
        "inset": 1.3,
    }


def _earlier(of: Set, told: Explained, run: Run) -> str:
    p = told.problem[run.job.id]
    if p.fixed_start is not None:
        return "–"
    gone = 0 if of.today is None else months_gone(told.problem, of.today)
    if 0 <= told.starts.get(p.id, 0) - 12 < gone:
        return "that month has gone by"
    return own_marks(told.cost(p.id), of.garden.style) or (
        "it is in the first year" if told.starts.get(p.id, 0) < 12 else "–"
    )


def _when(told: Explained, run: Run) -> str:
    first = told.problem.first_year * 12 + told.problem.first_month - 1
    return told.problem.month_words((run.start or 0) - first)


def _left_out(told: Explained) -> Iterator[Block]:
    out = [p for p in told.problem.projects if p.id not in told.starts]
    if not out:
        return
    yield {"t": "heading", "s": "Left out, and what would let it in"}
    ways = {way.project: way.sentences for way in told.ways}
    rows = [[p.name, capital(told.held[p.id].reason) + ".", " ".join(ways.get(p.id, ())) or "–"] for p in out]
    yield {
        "t": "table",
        "head": ["what", "what keeps it out", "what would let it in"],
        "rows": rows,
        "widths": [1.6, 2.2, 3],
        "align": ["left"] * 3,
        "size": 8.5,
        "inset": 1.3,
    }


def _how_safe(of: Set, told: Explained) -> Iterator[Block]:
    """Say how likely each year's money and hours are enough."""
    if told.broken or not told.starts:
        return
    safe = how_safe(of.garden, told.problem, told.starts)
    yield {"t": "heading", "s": "How safe is it?"}
    yield {"t": "text", "s": own_marks(safe.words, of.garden.style)}
    rows = [[str(y.year), *(part.split(": ")[1] for part in y.words.split("; "))] for y in safe.years]
    yield {
        "t": "table",
        "head": ["year", "money enough", "time enough over the year"],
        "rows": rows,
        "widths": [0, 1, 1],
        "align": ["left"] * 3,
        "size": 8.5,
        "inset": 1.0,
    }
    yield {"t": "small", "s": own_marks(" ".join(safe.how), of.garden.style)}


def _how_known(of: Set, told: Explained) -> Iterator[Block]:
    yield {"t": "heading", "s": "How do we know?"}
    yield {
        "t": "small",
        "s": own_marks(HOW_KNOWN, of.garden.style),
    }
    if told.found is not None:
        yield {
            "t": "small",
            "s": f"Worked out with {told.found.solver}; the same garden gives the same answer with it.",
        }
