"""Plants set along a string: from where to where in each row, how many, and where an opening leaves them out."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from shapely import LineString, Point

from quincunx.scene import Stands, Stood
from quincunx.scene.left_open import Way, planted_line
from quincunx.shapes import XY
from quincunx.sheets._outdoors import Planned, tape
from quincunx.sheets._set import Set
from quincunx.survey import offset_of
from quincunx.units import listed

IN_ROW_M = 0.02
"""Plants no farther than this beside the line are on it, and rows no farther apart are one [m]."""
FEWEST = 3
"""Fewer plants than this are set each by itself."""
CLOSER = 0.99
"""What stands nearer than this share of the spacing to both its neighbours closes a gap outside a bend."""
MOST_BENDS = 4
"""A line with more bends than this is a curve: how far along it plants stand says nothing by a straight string."""


def parted_rows(of: Set, plan: Planned) -> Iterator[str]:
    """Yield how plants are set along the strings of what openings part: their number and distance alone would mislead."""
    for owner, stood in plan.stood.items():
        feature = of.timeline.feature(owner)
        if feature is not None and _open(of, feature):
            yield from (
                f"{of.words.name(owner)}: {words[:1].lower()}{words[1:]}"
                for words in plant_rows(of, plan, owner, stood)
            )


def plant_rows(of: Set, plan: Planned, owner: str, stood: Stood) -> Iterator[str]:
    """Yield how the plants of one thing are set along its string: nothing for what isn't planted along a line."""
    feature = of.timeline.feature(owner)
    found = None if feature is None else planted_line(feature)
    at = [p for one in stood.plants for p in one.at]
    spacing = max((one.spacing_m for one in stood.plants), default=0.0)
    if feature is None or found is None or len(at) < FEWEST or not spacing or len(found[0]) > MOST_BENDS + 2:
        return
    course = LineString(found[0])
    rows, start = rows_of(course, at), _string(plan, at, found[0])
    if start is None:
        return
    words, zero = start
    long = course.length if course.is_closed else math.inf
    told = [row_words(of, aside, [s - zero for s in along], spacing, long) for aside, along in rows]
    none = "".join(
        f" None between {tape(of, w.stretch[0] - zero)} and {tape(of, w.stretch[1] - zero)}: {of.words.name(w.owner)}"
        " is there."
        for w in _open(of, feature)
    )
    yield f"Plants {tape(of, spacing)} apart along {words}{': ' if len(told) == 1 else '. '}{'. '.join(told)}.{none}"


def _open(of: Set, feature: Stands) -> list[Way]:
    """Return the openings in a planted line that are there when it is planted."""
    begins = of.timeline.span(feature.id).begins
    month = of.timeline.means.first_year * 12 if begins is None else begins
    return [w for w in of.timeline.ways_in(feature) if w.begins <= month < w.ends]


def _string(plan: Planned, at: Sequence[XY], line: Sequence[XY]) -> tuple[str, float] | None:
    """Return how the string is called and how far along the line its first point lies [m]; None if no end of it is set."""
    course = LineString(line)
    set_ = {i: course.project(Point(plan.marks[i].at)) for i in plan.numbers if _on(course, plan.marks[i].at)}
    if len(set_) < 2:
        return None
    mine = sorted(set_, key=lambda i: set_[i])
    ends = (at[0], line[0])
    if all(min(Point(plan.marks[mine[0]].at).distance(Point(p)) for p in ends) > IN_ROW_M for _ in ends):
        return None
    first, *_, last = (str(plan.numbers[i]) for i in mine)
    if course.is_closed:
        on = [str(plan.numbers[b]) for a, b in pairwise(mine) if set_[b] - set_[a] > IN_ROW_M]  # both its ends are one
        return (f"the string from {first} by {', '.join(on)} and back to {first}", set_[mine[0]]) if on else None
    bends = " round the bends" if len(line) > 2 else ""
    return f"the string from {first} to {last}{bends}", set_[mine[0]]


def _on(course: LineString, at: XY) -> bool:
    return bool(course.distance(Point(at)) <= IN_ROW_M)


def rows_of(course: LineString, at: Sequence[XY]) -> list[tuple[float, list[float]]]:
    """Return each row: how far it lies to the right of the line, and how far along it its plants stand [m]."""
    rows: dict[float, list[float]] = {}
    for p in at:
        along = course.project(Point(p))
        aside = _aside(course, p, along)
        if course.is_closed and along < 1e-6:  # where it begins it ends too: the straight it lies beside tells which
            last = _aside(course, p, course.length)
            along, aside = (course.length, last) if abs(last) > abs(aside) + 1e-9 else (along, aside)
        aside = math.copysign(course.distance(Point(p)), aside)  # round a corner: how far from that
        key = next((k for k in rows if abs(k - aside) <= IN_ROW_M), aside)
        rows.setdefault(key, []).append(along)
    return sorted((k, sorted(v)) for k, v in rows.items())


def _aside(course: LineString, at: XY, along: float) -> float:
    """Return how far to the right of a line a point lies, beside the straight it is nearest to [m]."""
    done = 0.0
    for a, b in pairwise(course.coords):
        done += LineString([a, b]).length
        if along <= done + 1e-6:
            return float(offset_of(at, (a[0], a[1]), (b[0], b[1]))[1])
    return 0.0


def row_words(of: Set, aside: float, along: Sequence[float], spacing: float, long: float = math.inf) -> str:
    """Return one row in words: ``13 from 0.000 m to 3.960 m, 14 from 6.030 m to 10.320 m``, and on which side it lies.

    ``long`` is the length of a line that comes back to where it began [m].
    """
    ring = [along[-1] - long, *along, along[0] + long]
    more = [b for a, b, c in zip(ring, ring[1:], ring[2:], strict=False) if max(b - a, c - b) < CLOSER * spacing]
    along = [s for s in along if s not in more]
    side = "" if abs(aside) <= IN_ROW_M else f"Row {tape(of, abs(aside))} to its {'right' if aside > 0 else 'left'}: "
    if not along:  # a line so short that it bends between any two plants
        return f"{side}{len(more)} round the bends, at {listed([tape(of, s) for s in more])}"
    runs: list[list[float]] = [[along[0]]]
    for a, b in pairwise(along):
        if b - a > 1.01 * spacing:
            runs.append([])
        runs[-1].append(b)
    parts = [
        f"{len(run)} from {tape(of, run[0])} to {tape(of, run[-1])}" if len(run) > 1 else f"1 at {tape(of, run[0])}"
        for run in runs
    ]
    bend = f"; {len(more)} more outside the bends, at {listed([tape(of, s) for s in more])}" if more else ""
    return f"{side}{', '.join(parts)}{bend}"
