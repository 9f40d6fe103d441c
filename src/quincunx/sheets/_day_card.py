"""What was done on one day as one picture: who did what, and where in the garden; to keep, or to send to whom one likes."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from html import escape

from quincunx.shapes import AreaFigure, Figure, PathFigure
from quincunx.sheets._both_card import CARD_MM, EDGE_MM, FONT, INK, PAPER, SOFT, folded, text_at
from quincunx.sheets._outdoors import Planned
from quincunx.sheets._place import background, box_of, coming, view
from quincunx.sheets._set import Set
from quincunx.units.dates import format_day

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MORE = "and "
"""How the line begins that tells the number of those left out."""
PLAN_MM = (CARD_MM - 2 * EDGE_MM, 150.0)
"""Room for the plan on the card [mm]."""
AROUND_M = 1.5
"""So far round its points the ring of a job goes [m]."""
MOST_LINES = 10
"""So many steps of one job are told one by one; of more their number."""
FOOT = "Drawn from the plan{rings}. No sums of money, no address."
RINGS = ": rings where this day’s work was"


@dataclass(frozen=True)
class DoneJob:
    """What was done of one job on a day: its steps in words, each with who did it, and whether it was finished."""

    name: str
    steps: tuple[tuple[str, str], ...]
    finished: bool

    @property
    def lines(self) -> list[str]:
        """Return the steps as lines, the first of them where there are many."""
        told = [f"{words}{f' ({by})' if by else ''}" for words, by in self.steps[:MOST_LINES]]
        more = len(self.steps) - len(told)
        return [*told, *([f"{MORE}{more} more steps" if more > 1 else f"{MORE}one more step"] if more > 0 else [])]

    @property
    def head(self) -> str:
        """Return its name, and that it is finished where it is."""
        return f"{self.name}: finished" if self.finished else self.name


def title(day: date) -> str:
    """Return the day as the card is headed: Saturday, 6 November 2027."""
    return f"{WEEKDAYS[day.weekday()]}, {format_day(day)}"


def day_card(of: Set, day: date, people: str, done: Sequence[DoneJob], plans: Sequence[Planned]) -> tuple[str, float]:
    """Return the card as SVG, in millimetres, and its height [mm]; ``people`` is who was there, as a sentence has them."""
    y, body = EDGE_MM, list[str]()
    heads = [
        (of.garden.name, 13.0, 700, INK),
        (title(day), 9.0, 400, INK),
        *([(people, 9.0, 400, INK)] if people else []),
    ]
    lines = [(line, size, weight, colour) for text, size, weight, colour in heads for line in folded(text, size)]
    for one in done:
        lines += [(line, 9.0, 700, INK) for line in folded(one.head, 9.0)]
        for words in one.lines:
            mark = "" if words.startswith(MORE) else "✓ "
            lines += [(line, 7.5, 400, INK) for line in folded(mark + words, 7.5)]
    for line, size, weight, colour in lines:
        y += size * (1.0 if not body else 1.9 if weight == 700 else 1.35)
        body.append(text_at(EDGE_MM, y, size, line, weight, colour))
    svg, high = _plan(of, plans)
    y += 8.0
    body.append(_nested(svg, y, high))
    y += high
    for line in folded(FOOT.format(rings=RINGS if any(plan.marks for plan in plans) else ""), 6.0):
        y += 9.0
        body.append(text_at(EDGE_MM, y, 6.0, line, 400, SOFT))
    y += EDGE_MM
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {CARD_MM:g} {y:g}" width="{CARD_MM:g}mm" height="{y:g}mm"'
        f' font-family="{FONT}"><title>{escape(f"{of.garden.name}, {title(day)}")}</title>'
        f'<rect width="{CARD_MM:g}" height="{y:g}" fill="{PAPER}"/>{"".join(body)}</svg>'
    ), y


def _plan(of: Set, plans: Sequence[Planned]) -> tuple[str, float]:
    """Return the whole ground with what the jobs make drawn in full, and its height on the card [mm]."""
    figures: list[Figure] = background(of, plans[0]) if plans else [f for f in of.frame() if isinstance(f, PathFigure)]
    figures += [f for plan in plans for f in coming(plan) if isinstance(f, (PathFigure, AreaFigure))]
    figures += [_ring(plan) for plan in plans if plan.marks]
    ring = [(float(x), float(y)) for x, y in of.garden.boundary] or [
        p for plan in plans for p in (m.at for m in plan.marks.values())
    ]
    west, south, east, north = box_of(ring, 0.8)
    block, _ = view(of, [(west, south), (east, north)], figures, PLAN_MM)
    return str(block["svg"]).replace('font-family="Source Sans 3"', f'font-family="{FONT}"'), float(block["h"])


def _ring(plan: Planned) -> PathFigure:
    """Return a ring round the place of a job."""
    west, south, east, north = box_of([m.at for m in plan.marks.values()], AROUND_M)
    x, y, wide, high = (west + east) / 2, (south + north) / 2, (east - west) / 2, (north - south) / 2
    turns = [2 * math.pi * k / 48 for k in range(48)]
    points = tuple((x + wide * math.cos(t), y + high * math.sin(t)) for t in turns)
    return PathFigure(points, "evidence", f"day/{plan.job.id}", closed=True, weight="thick")


def _nested(svg: str, y: float, high: float) -> str:
    size = f'x="{EDGE_MM:g}" y="{y:g}" width="{PLAN_MM[0]:g}" height="{high:g}"'
    return re.sub(r'width="[\d.]+mm" height="[\d.]+mm"', size, svg, count=1)
