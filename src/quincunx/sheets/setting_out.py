"""The points of this year's jobs, each with two tapes, the hand and a check, in the order to set them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from quincunx.sheets._care import COVERS, first_cautions
from quincunx.sheets._outdoors import Planned, base_of, begins, planned, this_year
from quincunx.sheets._place import place
from quincunx.sheets._set import Set
from quincunx.sheets._shaping import heights, shaping
from quincunx.sheets._tables import diagonals_table, first_check, stakes_words, ties_table, used_stakes
from quincunx.sheets.book import Block, Page
from quincunx.sheets.scales import Scale
from quincunx.units.dates import format_month
from quincunx.works import Job

ID = "setting-out"
WORDS = "Setting out"
APART_MM = 7.0
"""Points nearer than this on paper hide each other's numbers [mm]."""
MOST_BETWEEN = 9
"""Lines on what lies between the points: a page holds no more beside its tables."""
NEEDS = (
    "There is no job with a month whose points can be set out. Give the jobs their months, and measure the ground or"
    " draw its boundary: two stakes or corners are needed to tape from."
)


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:  # noqa: ARG001 - each place finds its own scale
    """Yield a page for each job that begins in the first year with a job not done, if anything of it can be set."""
    found = this_year(of)
    yield from pages_for(of, found[1] if found else ())


def pages_for(of: Set, jobs: Sequence[Job]) -> Iterator[Page]:
    """Yield a page for each of some jobs, if anything of it can be set."""
    base = base_of(of)
    for job in jobs:
        first = planned(of, job, base)
        for plan in (first, *(planned(of, job, base, part) for part in range(1, len(first.counts)))):
            if plan.found.points:
                yield _page(of, plan)


def _page(of: Set, plan: Planned) -> Page:
    few = len(plan.found.points) <= 8
    wide, high = of.paper.frame_mm
    tall = high * (0.44 if len(plan.found.points) <= 5 else 0.36 if few else 0.3)
    drawing, scale = place(of, plan, (wide, tall), whole=True)
    if _crowded(plan, scale):
        drawing, scale = _beside(of, plan, wide, tall)
    blocks: list[Block] = [
        drawing,
        *_before(of, plan),
        ties_table(of, plan, 10.5 if few else 9.5),
        *_after(of, plan, few=few),
    ]
    month = format_month(begins(of, plan.job))
    part = f", part {plan.part + 1} of {len(plan.counts)}" if len(plan.counts) > 1 else ""
    return Page(
        f"{plan.job.name}{part}",
        tuple(blocks),
        of.paper.size_mm,
        f"setting out · {month} · {scale.said}",
        scale.said,
        foot=scale.said,
    )


def _crowded(plan: Planned, scale: Scale) -> bool:
    """Return whether two numbers would stand on each other at a scale."""
    at = [plan.marks[i].at for i in plan.numbers]
    return any(math.dist(p, q) * 1000 / scale.number < APART_MM for n, p in enumerate(at) for q in at[n + 1 :])


def _beside(of: Set, plan: Planned, wide: float, tall: float) -> tuple[Block, Scale]:
    """Return the points as large as they go, and beside them, small, where the stakes are; the scale of the first."""
    left = wide * 0.56
    near, scale = place(of, plan, (left, tall), whole=False)
    far, small = place(of, plan, (wide - left - 4, tall * 0.92), whole=True)
    where: Block = {"t": "small", "s": f"where to tape from, {small.said}"}
    row: Block = {"t": "row", "widths": [left, wide - left - 4], "cells": [[near], [far, where]]}
    return row, scale


def _before(of: Set, plan: Planned) -> list[Block]:
    """Return what is done before the first point: what the stakes are, the tape held level, the line to try first."""
    first = first_check(of, plan)
    words = f"Tape from: {stakes_words(plan.base, used_stakes(plan))}"
    how = " Hold the tape level and taut, its zero on the nail of the stake; a point is where both tapes meet."
    blocks: list[Block] = [{"t": "text", "s": words + how}]
    if plan.through:
        across = "A tape has to cross something that stands there: lift it level over the top, or hold it through."
        blocks.append({"t": "text", "s": across})
    return [{"t": "text", "s": first}, *blocks] if first else blocks


def _of_part(plan: Planned) -> Planned:
    """Return the job with only the things whose points this part has."""
    if len(plan.counts) == 1:
        return plan
    marked = {m.owner for m in plan.marks.values()}
    return replace(plan, stood={o: s for o, s in plan.stood.items() if o in marked})


def _after(of: Set, plan: Planned, *, few: bool) -> list[Block]:
    """Return the checks between the points, what couldn't be set, the cautions and what the page doesn't cover."""
    blocks: list[Block] = []
    between = [
        *shaping(of, _of_part(plan)),
        *(f"Point {plan.numbers[i]}: {words}" for i, words in heights(of, plan).items()),
    ]
    if between:
        blocks += [
            {"t": "heading", "s": "Between the points"},
            {"t": "list", "items": between[:MOST_BETWEEN], "size": 9.5},
        ]
    table = diagonals_table(of, plan, 11.0 if few else 9.5, 4)
    if table is not None:
        blocks += [{"t": "heading", "s": "Then prove it"}, table]
    for point, why in plan.found.unreachable:
        blocks.append({"t": "text", "s": f"{plan.marks[point].words} can't be set from these stakes: {why}."})
    blocks += first_cautions(of, plan, 3)
    return [*blocks, {"t": "small", "s": f"“Comes to” is how near the point comes, 19 times in 20. {COVERS}"}]
