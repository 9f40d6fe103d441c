"""Start values from the readings alone: stakes are placed one after another where two readings meet.

Where a stake may lie on either hand both places are kept and the readings that follow decide; a beam of the best
few drafts is carried along.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from quincunx.survey._loci import XY, Circle, Locus, loci, meet, reads
from quincunx.survey._model import ACROSS, AZ, COS, DIST, Row

BEAM = 6
"""How many drafts are carried along."""
Sides = Sequence[tuple[int, int, int, int]]


@dataclass(slots=True)
class Draft:
    """Stakes placed so far, and how badly the readings fit."""

    at: dict[int, XY]
    cost: float = 0.0


@dataclass(slots=True)
class Grown:
    """Drafts, best first; stakes that nothing reaches (``loose``) and that hang on a single reading (``hung``).

    ``oriented`` if a bearing turns them; ``spread`` if all stakes were placed at once.
    """

    drafts: list[Draft]
    loose: list[int] = field(default_factory=list)
    hung: list[int] = field(default_factory=list)
    oriented: bool = False
    spread: bool = False


Settle = Callable[[dict[int, XY]], tuple[dict[int, XY], float]]
"""Moves the stakes placed so far to their best fit; returns them and how badly they still fit."""
PAUSE = 6
"""A careful growth settles its drafts after every so many stakes."""


def grow(
    rows: Sequence[Row],
    count: int,
    sides: Sides,
    fixed: Mapping[int, XY],
    attempt: int = 0,
    settle: Settle | None = None,
) -> Grown:
    """Place ``count`` stakes from ``rows``; ``fixed`` are stakes whose coordinates are known.

    ``attempt`` counts the places begun from; with ``settle`` the drafts are settled on the way, which is slower.
    With fewer than two fixed stakes the drafts lie anywhere and turned anyhow, unless a taped bearing turns them.
    """
    seeds, oriented = _seeds(rows, count, fixed, attempt)
    grown = Grown([Draft(dict(seeds))], oriented=oriented)
    order = _Order([row for row in rows if oriented or row.kind != AZ], count)
    for seed in sorted(seeds):
        order.place(seed)
    both = oriented or len(seeds) > 2 or any(r.kind == ACROSS and r.value for r in rows) or bool(sides)
    while (stake := order.next(grown.drafts[0].at)) is not None:
        here = order.ready[stake]
        if len(here) == 1:
            grown.hung.append(stake)
        grown.drafts = _extend(grown.drafts, stake, here, sides, both=both)
        both = True
        order.place(stake)
        if settle is not None and len(grown.drafts[0].at) % PAUSE == 0:
            grown.drafts = sorted((Draft(*settle(d.at)) for d in grown.drafts), key=lambda d: d.cost)
    grown.loose = sorted(order.waiting)
    return grown


class _Order:
    """Which stake is placed next: the one whose readings from placed stakes fix it best."""

    def __init__(self, rows: Sequence[Row], count: int) -> None:
        self.waiting = set(range(count))
        self.ready: list[list[Row]] = [[] for _ in range(count)]
        self._rows = list(rows)
        self._missing = [set(row.points) for row in rows]
        self._touching: list[list[int]] = [[] for _ in range(count)]
        self._worth: dict[int, float] = {}
        self._stale: set[int] = set()
        for i, missing in enumerate(self._missing):
            for p in missing:
                self._touching[p].append(i)

    def next(self, at: Mapping[int, XY]) -> int | None:
        """Return the stake to place next, given one draft ``at``; None when no reading reaches any more."""
        for stake in self._stale & self.waiting:
            self._worth[stake] = _worth(stake, self.ready[stake], at)
        self._stale.clear()
        best = max(self.waiting, key=lambda s: (self._worth.get(s, 0.0), -s), default=None)
        return best if best is not None and self.ready[best] else None

    def place(self, stake: int) -> None:
        self.waiting.discard(stake)
        for i in self._touching[stake]:
            missing = self._missing[i]
            missing.discard(stake)
            if len(missing) == 1:
                other = next(iter(missing))
                self.ready[other].append(self._rows[i])
                self._stale.add(other)


def _worth(stake: int, here: Sequence[Row], at: Mapping[int, XY]) -> float:
    """Return how well ``here`` fixes a stake: one hand only, a good angle of cut, many readings."""
    count = min(len(here), 6)
    if count < 2:
        return 0.1 * count
    places = [locus for row in here[:6] for locus in loci(row, stake, at)]
    cut, spots = 0.0, list[XY]()
    for i, one in enumerate(places):
        for two in places[:i]:
            here_cut, found = _cut(one, two)
            if here_cut > cut:
                cut, spots = here_cut, found
    if not spots:
        return 0.5
    decided = len(spots) == 1
    if not decided:
        one_hand, other = _Over(at, stake, spots[0]), _Over(at, stake, spots[1])
        decided = any(abs(reads(row, one_hand) - reads(row, other)) > 4.0 * _loose(row) for row in here)
    return 10.0 * decided + 5.0 * min(cut, 0.7) + 0.5 * count


def _cut(one: Locus, two: Locus) -> tuple[float, list[XY]]:
    """Return the sine of the angle at which two loci cross, and where."""
    spots = meet(one, two)
    if not spots:
        return 0.0, spots
    ax, ay = _along(one, spots[0])
    bx, by = _along(two, spots[0])
    return abs(ax * by - ay * bx), spots


def _along(place: Locus, xy: XY) -> XY:
    if isinstance(place, Circle):
        dx, dy = xy[0] - place.x, xy[1] - place.y
        size = math.hypot(dx, dy) or 1e-9
        return -dy / size, dx / size
    return place.ux, place.uy


def _seeds(rows: Sequence[Row], count: int, fixed: Mapping[int, XY], attempt: int) -> tuple[dict[int, XY], bool]:
    if len(fixed) >= 2:
        return dict(fixed), True
    near: list[set[int]] = [set() for _ in range(count)]
    taped: dict[tuple[int, int], float] = {}
    turned: dict[tuple[int, int], float] = {}
    for row in rows:
        for p in row.points:
            near[p].update(row.points)
        a, b = row.points[:2]
        if row.kind == DIST:
            taped.setdefault((min(a, b), max(a, b)), row.value)
        elif row.kind == AZ:
            turned.setdefault((min(a, b), max(a, b)), row.value + (0.0 if a < b else math.pi))
    both = {pair: d for pair, d in taped.items() if pair in turned}
    if not taped:
        return {next(iter(fixed), 0): next(iter(fixed.values()), (0.0, 0.0))}, bool(turned)
    choice = sorted(both or taped, key=lambda p: (-len(near[p[0]] & near[p[1]]), -min(taped[p], 10.0), p))
    for _ in range(attempt):
        first = choice[0]
        choice = [p for p in choice if not set(p) & set(first)] or choice[1:] or choice
    a, b = choice[0]
    turn, d = turned.get((a, b), 0.0), taped[a, b]
    return {a: (0.0, 0.0), b: (d * math.sin(turn), d * math.cos(turn))}, bool(both)


def _extend(drafts: list[Draft], stake: int, here: list[Row], sides: Sides, *, both: bool) -> list[Draft]:
    grown: list[Draft] = []
    asked = [side for side in sides if stake in side[:3]]
    for draft in drafts:
        spots = spots_for(stake, here, draft.at)
        scored = sorted((fit(stake, xy, here, draft.at, asked), xy) for xy in spots)
        if not both:
            scored = scored[:1]
        for cost, xy in scored[:12]:
            if cost <= scored[0][0] + 24.0:
                grown.append(Draft({**draft.at, stake: xy}, draft.cost + cost))
    return sorted(grown, key=lambda d: d.cost)[:BEAM]


def spots_for(stake: int, here: Sequence[Row], at: Mapping[int, XY]) -> list[XY]:
    """Return where a stake may stand by the readings ``here``; more than two readings are balanced."""
    spots = candidates(stake, here, at)
    if len(here) > 2:
        spots.sort(key=lambda xy: fit(stake, xy, here, at, ()))
        spots = _merged([_polished(stake, xy, here, at) for xy in spots[:2]])
    return spots


def fit(stake: int, xy: XY, here: Sequence[Row], at: Mapping[int, XY], asked: Sides) -> float:
    """Return how badly a stake at ``xy`` fits: capped squares of its misfits, much for a wrong hand."""
    (x, y), spot, total = xy, _Over(at, stake, xy), 0.0
    for row in here:
        if row.kind == DIST:  # most are, and this is asked tens of thousands of times
            a, b = row.points
            u, v = at[b if a == stake else a]
            miss = (row.value - (math.hypot(x - u, y - v) or 1e-9)) / _loose(row)
        else:
            miss = reads(row, spot) / _loose(row)
        total += miss * miss if -4.0 < miss < 4.0 else 16.0
    return total + (_wrong(stake, xy, asked, at) if asked else 0.0)


def candidates(stake: int, here: Sequence[Row], at: Mapping[int, XY]) -> list[XY]:
    """Return the places where two of the readings in ``here`` meet, near twins merged."""
    places = [locus for row in sorted(here, key=lambda r: r.sd)[:5] for locus in loci(row, stake, at)]
    found: list[XY] = []
    for i, one in enumerate(places):
        for two in places[:i]:
            for x, y in meet(one, two):
                if all(abs(x - u) + abs(y - v) > 0.3 for u, v in found):
                    found.append((x, y))
    if not found:
        for place in places[:1]:
            found = _round(place)
    return found or [_beside_all(at)]


def _merged(spots: Sequence[XY]) -> list[XY]:
    found: list[XY] = []
    for x, y in spots:
        if all(abs(x - u) + abs(y - v) > 0.1 for u, v in found):
            found.append((x, y))
    return found


def _polished(stake: int, xy: XY, here: Sequence[Row], at: Mapping[int, XY], steps: int = 2) -> XY:
    """Move one stake to the middle of all its readings, those that fit badly counting little."""
    x, y = xy
    for _ in range(steps):
        xx = yy = xz = px = py = 0.0
        for row in here:
            miss, gx, gy = _pull(row, stake, x, y, at)
            loose = _loose(row)
            weight = 1.0 / (loose * loose + miss * miss)
            xx, yy, xz = xx + weight * gx * gx, yy + weight * gy * gy, xz + weight * gx * gy
            px, py = px + weight * gx * miss, py + weight * gy * miss
        det = xx * yy - xz * xz
        if det < 1e-6 * xx * yy or det <= 0.0:
            break
        dx, dy = (yy * px - xz * py) / det, (xx * py - xz * px) / det
        shrink = min(1.0, 2.0 / max(math.hypot(dx, dy), 1e-9))
        x, y = x + shrink * dx, y + shrink * dy
    return x, y


def _pull(row: Row, stake: int, x: float, y: float, at: Mapping[int, XY]) -> tuple[float, float, float]:
    """Return the misfit of a row with ``stake`` at (x, y) and how what it reads changes with x and y."""
    if row.kind == DIST:
        a, b = row.points
        u, v = at[b if a == stake else a]
        size = math.hypot(x - u, y - v) or 1e-9
        return row.value - size, (x - u) / size, (y - v) / size
    miss = reads(row, _Over(at, stake, (x, y)))
    by_x = miss - reads(row, _Over(at, stake, (x + 1e-4, y)))
    by_y = miss - reads(row, _Over(at, stake, (x, y + 1e-4)))
    return miss, by_x * 1e4, by_y * 1e4


def _round(place: Locus) -> list[XY]:
    if isinstance(place, Circle):
        turns = [math.radians(30.0 * k + 7.0) for k in range(12)]
        return [(place.x + place.r * math.sin(t), place.y + place.r * math.cos(t)) for t in turns]
    return [(place.x + s * place.ux, place.y + s * place.uy) for s in (10.0, -10.0, 3.0, -3.0)]


def _beside_all(at: Mapping[int, XY]) -> XY:
    return max(x for x, _ in at.values()) + 5.0, max(y for _, y in at.values()) + 3.0


def _loose(row: Row) -> float:
    """How far a reading may be off while the stakes before it still stand a little wrong."""
    return 3.0 * row.sd + (0.03 if row.kind in (AZ, COS) else 0.03 + 0.004 * abs(row.value))


class _Over(dict[int, XY]):
    """A mapping with one stake laid over another mapping, without copying it."""

    __slots__ = ("under",)

    def __init__(self, under: Mapping[int, XY], stake: int, xy: XY) -> None:
        super().__init__({stake: xy})
        self.under = under

    def __missing__(self, key: int) -> XY:
        return self.under[key]


def _wrong(stake: int, xy: XY, asked: Sides, at: Mapping[int, XY]) -> float:
    spot, total = _Over(at, stake, xy), 0.0
    for a, b, c, sign in asked:
        if all(p == stake or p in at for p in (a, b, c)):
            (ax, ay), (bx, by), (cx, cy) = spot[a], spot[b], spot[c]
            right = (cx - ax) * (by - ay) - (cy - ay) * (bx - ax)
            total += 0.0 if right * sign > 0.0 else 200.0
    return total
