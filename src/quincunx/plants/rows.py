"""Where the plants of a row, a square, a triangle or a quincunx stand."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from shapely import Polygon

XY = tuple[float, float]
Stretch = tuple[float, float]
"""From so far to so far along a line [m]; past the end of a closed one it goes on from its start."""
Layout = Literal["square", "triangular", "quincunx"]
ROW_SHARE = math.sqrt(3) / 2
"""Distance of staggered rows as a share of the distance of the plants: all six neighbours equally far."""
HAIR_M = 1e-9
CROWDED = 0.7
"""Plants of one row nearer than this share of their spacing crowd each other (our own choice)."""
BENT = math.radians(20.0)
"""Where a line turns by less than this from one plant to the next, the row outside it is hardly wider set [rad] (our own choice)."""
SHARPEST = math.radians(150.0)
"""A line that turns back more sharply is looked at as if it turned so [rad]."""
MOST_PLACES = 20000
"""Layouts of more places than this are refused."""


def points_along(
    line: Sequence[XY],
    spacing_m: float,
    *,
    rows: int = 1,
    apart_m: float = 0.4,
    left_out: Sequence[Stretch] = (),
    taken_out: Sequence[Stretch] = (),
) -> tuple[XY, ...]:
    """Return plants every ``spacing_m`` along a polyline, half a spacing in from its ends; rows are staggered [m].

    They are set from the sides of the stretches that are ``left_out`` (openings there when they are planted), half a
    spacing from each; those nearer than that to a stretch ``taken_out`` have been dug out since.

    Inside a bend a row beside the line is shorter than it: what would crowd there is left out.  Outside one it is
    longer: as many more are set there, evenly, as leave no gap wider than the spacing (common practice, no source).

    Half a spacing from the edges of what the hedge grows to fill: *Spacing a Staggered Double Row Hedge at 6 Plants per
    Metre*, Ashridge Trees, ashridgetrees.co.uk (read 2026).  The second row begins half a spacing farther on.  With
    one opening or none at the ends of a piece it has as many plants, or one less where half a spacing or more is left
    over; there they set one less always (where the spacing leaves no rest, ours has its last at the very end).  Between
    two openings it has one less.
    """
    return _rows_along(tuple(line), spacing_m, rows, apart_m, tuple(left_out), tuple(taken_out))


@lru_cache(maxsize=1000)
def _rows_along(
    line: tuple[XY, ...],
    step_m: float,
    rows: int,
    apart_m: float,
    left: tuple[Stretch, ...],
    taken: tuple[Stretch, ...],
) -> tuple[XY, ...]:
    long = sum(math.dist(a, b) for a, b in pairwise(line))
    closed = math.dist(line[0], line[-1]) < HAIR_M
    rounds = (-long, 0.0, long) if closed else (0.0,)  # an opening by the end of a closed line is by its start too
    taken = tuple((a + r, b + r) for a, b in taken for r in rounds)
    out: list[XY] = []
    for row in range(rows):
        aside = (row - (rows - 1) / 2) * apart_m
        set_ = [s for piece in _pieces(long, left, closed=closed) for s in _set(*piece, step_m, staggered=row % 2 == 1)]
        along = sorted(s - long if s > long + HAIR_M else s for s in set_)
        along = _uncrowded(line, along, aside, step_m, closed=closed) if aside and len(line) > 2 else along
        near = step_m / 2 - HAIR_M
        set_out = list(zip(along, _places(line, along, aside), strict=True))
        if aside and len(line) > 2:
            set_out = _filled(line, set_out, aside, step_m, left, closed=closed)
        out += [at for s, at in set_out if not any(a - near < s < b + near for a, b in taken)]
    return tuple(out)


def pieces_of(line: Sequence[XY], left_out: Sequence[Stretch]) -> tuple[tuple[XY, ...], ...]:
    """Return what is left of a polyline without the stretches ``left_out``, from its start on [m]."""
    if not left_out:
        return (tuple(line),)
    from shapely import LineString
    from shapely.ops import substring

    whole = LineString(line)
    long, out = whole.length, list[tuple[XY, ...]]()
    for low, high, _, _ in _pieces(long, left_out, closed=whole.is_closed):
        coords = list(substring(whole, low, min(high, long)).coords)
        coords += list(substring(whole, 0.0, high - long).coords)[1:] if high > long + HAIR_M else []
        out.append(tuple((float(x), float(y)) for x, y in coords))
    return tuple(out)


Piece = tuple[float, float, bool, bool]


def _pieces(long_m: float, left: Sequence[Stretch], *, closed: bool) -> list[Piece]:
    """Return what is left of a line (from, to) [m], and whether an opening is at either end of it.

    What lies on both sides of where a closed line begins is one piece, which goes on past its end.
    """
    found = list(_straight_on(long_m, left))
    if not closed or not found:
        return found
    (start, first_end, after, first_before), (last_start, end, last_after, before) = found[0], found[-1]
    begins, ends = start < HAIR_M and not after, end > long_m - HAIR_M and not before
    if begins and ends:
        return found if len(found) == 1 else [*found[1:-1], (last_start, long_m + first_end, True, True)]
    if begins:
        return [(start, first_end, True, first_before), *found[1:]]
    return [*found[:-1], (last_start, end, last_after, True)] if ends else found


def _straight_on(long_m: float, left: Sequence[Stretch]) -> Iterator[Piece]:
    """Yield what is left of a line from its start to its end, as if it were not closed."""
    done, opened = 0.0, False
    for low, high in sorted(_unwound(long_m, left)):
        if low > done + HAIR_M:
            yield done, low, opened, True
        done, opened = max(done, high), True
    if long_m > done + HAIR_M:
        yield done, long_m, opened, False


def _unwound(long_m: float, stretches: Sequence[Stretch]) -> tuple[Stretch, ...]:
    """Return the stretches of a line, those that go on past its end in two: the second from its start on [m]."""
    over = tuple((0.0, high - long_m) for _, high in stretches if high > long_m + HAIR_M)
    return (*((low, min(high, long_m)) for low, high in stretches), *over)


def _set(start: float, end: float, after: bool, before: bool, step_m: float, *, staggered: bool) -> list[float]:  # noqa: FBT001
    """Return how far along plants of one piece are set: from an opening ``after`` or ``before`` which it lies [m]."""
    first, room = (step_m if staggered else step_m / 2), end - start
    if after and before:
        count = math.floor(room / step_m + HAIR_M)
        margin = (room - (count - 1) * step_m) / 2
        first, count = (margin + step_m / 2, count - 1) if staggered else (margin, count)
        return [start + first + i * step_m for i in range(count)]
    count = math.floor((room - first) / step_m + HAIR_M) + 1
    if before:
        return [end - first - i * step_m for i in reversed(range(count))]
    return [start + first + i * step_m for i in range(count)]


def _uncrowded(line: tuple[XY, ...], along: list[float], aside_m: float, step_m: float, *, closed: bool) -> list[float]:
    """Return how far along plants of a row beside the line are set without those that would crowd inside a bend [m].

    A row on the inner side turns its own corner before the line does: what would come past that, and what would then
    stand too near to the last before it, is left out.
    """
    room = list(_inner_corners(line, aside_m, closed=closed))
    free = [s for s in along if not any(abs(s - at) < short - HAIR_M for at, short in room)]
    placed = list(zip(free, _places(line, free, aside_m), strict=True))
    kept: list[tuple[float, XY]] = []
    for s, at in placed:
        bent = bool(kept) and any(kept[-1][0] < corner < s for corner, _ in room)
        if not (bent and math.dist(kept[-1][1], at) < CROWDED * step_m):
            kept.append((s, at))
    around = closed and len(kept) > 2 and any(corner < HAIR_M for corner, _ in room)
    if around and math.dist(kept[-1][1], kept[0][1]) < CROWDED * step_m:
        kept.pop()
    return [s for s, _ in kept]


def _inner_corners(line: tuple[XY, ...], aside_m: float, *, closed: bool) -> Iterator[tuple[float, float]]:
    """Yield where a line bends towards the side of a row, and by how much that row is shorter to either side of it [m]."""
    long = sum(math.dist(a, b) for a, b in pairwise(line))
    for at, _, turn, _ in _turns(line, closed=closed):
        if turn * aside_m > HAIR_M:
            short = abs(aside_m) * math.tan(min(abs(turn), SHARPEST) / 2)
            yield from ((where, short) for where in ((at,) if at else (0.0, long)))


@dataclass(frozen=True, slots=True)
class _Bend:
    """Where a line bends away from the side of a row: how far along, the corner, by how much, and the way it came (unit)."""

    at: float
    corner: XY
    turn: float
    came: XY
    seam: float = 0.0
    """More than nothing where a closed line begins: a plant just there stands past the bend, elsewhere before it."""


def _filled(
    line: tuple[XY, ...],
    placed: list[tuple[float, XY]],
    aside_m: float,
    step_m: float,
    left: Sequence[Stretch],
    *,
    closed: bool,
) -> list[tuple[float, XY]]:
    """Return the plants of a row beside the line with those that close its gaps outside bends, and how far along they are.

    Round the corner the row keeps as far from the line as along its straights.
    """
    long, bends = sum(math.dist(a, b) for a, b in pairwise(line)), _outer_bends(line, aside_m, closed=closed)
    open_ = _unwound(long, left)
    out: list[tuple[float, XY]] = []
    follows = [*placed[1:], *((placed[0],) if closed and len(placed) > 1 else ())]
    for n, (s, at) in enumerate(placed):
        out.append((s, at))
        if n >= len(follows):
            break
        end, to = follows[n]
        end = end + long if end <= s else end
        between = [b for b in bends if s <= b.at + HAIR_M and b.at + HAIR_M < end + b.seam]
        wide = math.dist(at, to) > step_m + HAIR_M and sum(b.turn for b in between) >= BENT
        shut = any(low < end and high > s for a, b in open_ for low, high in ((a, b), (a + long, b + long)))
        if wide and not shut:
            out += [(x - long if x > long else x, p) for x, p in _round(line, (s, end), between, aside_m, step_m)]
    return sorted(out, key=lambda one: one[0])


def _round(
    line: tuple[XY, ...], ends: Stretch, bends: Sequence[_Bend], aside_m: float, step_m: float
) -> Iterator[tuple[float, XY]]:
    """Yield the plants set evenly between two of a row, on the straights and the arcs between them."""
    start, end = ends
    arcs = [abs(aside_m) * b.turn for b in bends]
    whole = end - start + sum(arcs)
    count = math.ceil(whole / step_m - HAIR_M) - 1
    long = sum(math.dist(a, b) for a, b in pairwise(line))
    for k in range(1, count + 1):
        far, rounded = k * whole / (count + 1), 0.0
        for bend, arc in zip(bends, arcs, strict=True):
            gone = far - rounded - (bend.at - start)
            if gone <= 0:
                break
            if gone < arc:
                yield max(bend.at, start), _on_arc(bend, gone / arc, aside_m)  # a plant just at the bend comes first
                break
            rounded += arc
        else:
            gone = 0.0
        if gone <= 0:
            s = start + far - rounded
            yield s, _places(line, [s - long if s > long else s], aside_m)[0]


def _on_arc(bend: _Bend, share: float, aside_m: float) -> XY:
    """Return a place round the outside of a corner, so much of its turn on [m]."""
    (x, y), (ux, uy) = bend.corner, bend.came
    a = math.copysign(share * bend.turn, aside_m)  # away from the row: to the left if it lies to the right
    vx, vy = ux * math.cos(a) - uy * math.sin(a), ux * math.sin(a) + uy * math.cos(a)
    return x + vy * aside_m, y - vx * aside_m


def _outer_bends(line: tuple[XY, ...], aside_m: float, *, closed: bool) -> list[_Bend]:
    """Return the bends of a line away from the side of a row; those of a closed line twice, as it is gone round again."""
    long, out = sum(math.dist(a, b) for a, b in pairwise(line)), list[_Bend]()
    for at, corner, turn, came in _turns(line, closed=closed):
        if turn * aside_m < -HAIR_M:
            one = _Bend(at, corner, abs(turn), came)
            out += [one, replace(one, at=at + long)] if at else [replace(one, at=long, seam=2 * HAIR_M)]
    return sorted(out, key=lambda b: b.at)


def _turns(line: tuple[XY, ...], *, closed: bool) -> Iterator[tuple[float, XY, float, XY]]:
    """Yield where a line turns: how far along, its corner, by how much (to the right is more than nothing), the way it came."""
    legs = [(a, b) for a, b in pairwise(line) if math.dist(a, b) > HAIR_M]
    done, before = 0.0, legs[-1] if closed else None
    for a, b in legs:
        if before is not None:
            (px, py), (qx, qy) = before
            ux, uy, vx, vy = qx - px, qy - py, b[0] - a[0], b[1] - a[1]
            turn, came = math.atan2(uy * vx - ux * vy, ux * vx + uy * vy), math.hypot(ux, uy)
            yield done, a, turn, (ux / came, uy / came)
        before, done = (a, b), done + math.dist(a, b)


def _places(line: Sequence[XY], along: Sequence[float], aside_m: float) -> list[XY]:
    """Return the places so far along a line, ``aside_m`` to the right of it [m]."""
    out, done, due = [], 0.0, list(reversed(along))
    for (ax, ay), (bx, by) in pairwise(line):
        run = math.hypot(bx - ax, by - ay)
        if run < HAIR_M:
            continue
        ux, uy = (bx - ax) / run, (by - ay) / run
        while due and due[-1] <= done + run + HAIR_M:
            s = due.pop() - done
            out.append((ax + ux * s + uy * aside_m, ay + uy * s - ux * aside_m))
        done += run
    return out


def plants_on(area_m2: float, spacing_m: float, layout: Layout = "square") -> float:
    """Return how many plants a large area holds, edges apart.

    Square A/d2; triangular A/(0.866 d2); quincunx, the square with a plant in each middle, 2 A/d2 at the outer
    spacing (Wiant 1973, Tree Planters' Notes 24(3), for the geometry of the middles).
    """
    each = {"square": 1.0, "triangular": ROW_SHARE, "quincunx": 0.5}[layout]
    return area_m2 / (each * spacing_m**2)


def places_inside(
    outline: Polygon, spacing_m: float, layout: Layout = "square", *, edge_m: float = 0.0, rows_deg: float = 90.0
) -> tuple[XY, ...]:
    """Return the places of a layout inside ``outline`` [m], row by row.

    Plants stand ``spacing_m`` apart in rows that run along the bearing ``rows_deg``, nowhere nearer to the outline
    than ``edge_m``; the layout is centred, so that what is left over is shared by both sides.  Every second row of
    the triangular and the quincunx layout is set between the last and holds one less where the sides are straight.
    ValueError if that would be more places than anyone plants one by one.
    """
    import shapely
    import shapely.affinity

    inner = outline.buffer(-edge_m, join_style="mitre") if edge_m else outline
    if inner.is_empty:
        return ()
    if plants_on(inner.envelope.area, spacing_m, layout) > MOST_PLACES:
        raise ValueError(f"a spacing of {spacing_m:g} m gives over {MOST_PLACES} plants: widen it or sow the area")
    flat = shapely.affinity.rotate(inner, rows_deg - 90.0, origin=(0, 0))
    found = _lattice(flat.bounds, spacing_m, layout)
    inside = shapely.intersects_xy(flat.buffer(1e-9), *zip(*found, strict=True)) if found else ()
    a = math.radians(rows_deg - 90.0)
    turn = [(x * math.cos(a) + y * math.sin(a), y * math.cos(a) - x * math.sin(a)) for x, y in found]
    return tuple(p for p, good in zip(turn, inside, strict=True) if good)


def _lattice(box: tuple[float, float, float, float], step_m: float, layout: Layout) -> list[XY]:
    """Return the places of a layout in an upright box, edges planted, rows along x [m]."""
    west, south, east, north = box
    pitch = {"square": 1.0, "triangular": ROW_SHARE, "quincunx": 0.5}[layout] * step_m
    across, rows = _fits(east - west, step_m), _fits(north - south, pitch)
    x0 = west + (east - west - (across - 1) * step_m) / 2
    y0 = south + (north - south - (rows - 1) * pitch) / 2
    out: list[XY] = []
    for row in range(rows):
        between = layout != "square" and row % 2 == 1
        first, count = (x0 + step_m / 2, across - 1) if between else (x0, across)
        out += [(first + i * step_m, y0 + row * pitch) for i in range(count)]
    return out


def _fits(room_m: float, step_m: float) -> int:
    return math.floor(room_m / step_m + 1e-9) + 1
