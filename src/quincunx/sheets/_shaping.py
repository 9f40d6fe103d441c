"""Between the points: circles and ellipses by string, curves by offsets, posts along a line, square corners, depths."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

import shapely
from shapely import LineString, Polygon

from quincunx.build.parted import IN_RUN_M
from quincunx.garden.costing import works_of
from quincunx.scene import Stood
from quincunx.shapes import XY, AreaWork, FrameWork, Height, KitWork, LineWork, Plane, Slab, Slats, WaterWork, united
from quincunx.sheets._lifted import lifted_words
from quincunx.sheets._marks import half_width_m, middle_line
from quincunx.sheets._outdoors import Planned, tape, whole
from quincunx.sheets._plant_rows import plant_rows
from quincunx.sheets._rounds import ROUND_M, circle_of, ellipse_of, nails_of
from quincunx.sheets._section import water_words
from quincunx.sheets._set import Set
from quincunx.survey import ellipse_by_string, ellipse_offset_m, offset_of, square_corner
from quincunx.units import capital, format_length

SAME_M = 0.02
"""A corner no farther than this from a point that is set is that point [m]."""
BENT_M = 0.03
"""What strays less from a straight string is left to the eye [m]."""
STRAIGHT_M = 0.02
"""Posts no farther than this from a string stand in its line [m]."""
IN_WALL_M = IN_RUN_M
"""An opening whose ends lie no farther than this from a string is in its line [m]."""
MOST_OFFSETS = 5
"""Offsets told between two points; more are more than anyone sets by hand."""
MOST_LINES = 8
SQUARE_DEG = 2.0
"""A corner this near a right angle is meant to be one [deg]."""
LEVEL_M = 0.01
"""Differences in height below this are the ground's own unevenness [m]."""


def shaping(of: Set, plan: Planned, most: int = MOST_LINES) -> list[str]:
    """Return, in words, how what lies between the set points is found: each line one thing to do, ``most`` at most."""
    told: dict[str, list[str]] = {}
    taken = list(lifted_words(of, plan))
    for owner, stood in plan.stood.items():
        found = [
            *_posts(of, plan, owner),
            *plant_rows(of, plan, owner, stood),
            *_edges(of, plan, owner, stood),
            *_floors(of, plan, stood),
            *_curves(of, plan, stood),
            *_depths(of, stood),
        ]
        for line in dict.fromkeys(found):
            told.setdefault(line, []).append(of.words.name(owner))
    if len(plan.stood) < 2:
        return [*taken, *told][:most]
    return [*taken, *(f"{_together(names)}: {line[:1].lower()}{line[1:]}" for line, names in told.items())][:most]


def _together(names: list[str]) -> str:
    """Return one name, or the first with how many more."""
    return names[0] if len(names) == 1 else f"{names[0]} and {len(names) - 1} more"


def heights(of: Set, plan: Planned) -> dict[str, str]:
    """Return for points on a floor with a height of its own how it lies to the ground there, and how deep to dig."""
    out: dict[str, str] = {}
    for mark in plan.marks.values():
        stood = plan.stood.get(mark.owner)
        surface = (
            next((s for s in stood.surfaces if s.area.distance(shapely.points(mark.at)) < SAME_M), None)
            if stood
            else None
        )
        if stood is None or surface is None or not isinstance(surface.lie, (Height, Plane)):
            continue
        if any(s.water_depth_m > 0 for s in stood.surfaces):
            continue  # how deep water is dug is said once, for its shelf and its middle
        ground = plan.before.ground_z_m(*mark.at)
        top = lie_z_m(surface.lie, mark.at, plan.before.ground_z_m) - ground
        base = sum(layer.thickness_m for w in stood.work if isinstance(w, AreaWork) for layer in w.layers)
        if abs(top) < LEVEL_M:
            continue
        side = "above" if top > 0 else "below"
        words = f"Its top lies {_say(of, abs(top))} {side} the ground here"
        dig = base - top
        out[mark.id] = (
            f"{words}: dig {_say(of, dig)}." if dig > LEVEL_M else f"{words}: fill {_say(of, -dig)} under its base."
        )
    return out


def lie_z_m(lie: Height | Plane, at: XY, ground_z_m: object) -> float:
    """Return the height of a floor above the datum [m] at a point; ``ground_z_m`` says how high the ground lies."""
    ground = ground_z_m(*at)  # type: ignore[operator]
    if isinstance(lie, Height):
        return float(lie.z_m(ground))
    turn = math.radians(lie.fall_deg)
    down = (at[0] - lie.x_m) * math.sin(turn) + (at[1] - lie.y_m) * math.cos(turn)
    return float(lie.at.z_m(ground_z_m(lie.x_m, lie.y_m)) - lie.grade * down)  # type: ignore[operator]


def _say(of: Set, metres: float) -> str:
    return whole(format_length(metres, of.garden.style, kind="tape"))


def _number(plan: Planned, at: XY) -> str:
    """Return the number of the point set there; nothing if none is."""
    near = min(plan.marks.values(), key=lambda m: math.dist(m.at, at), default=None)
    if near is None or math.dist(near.at, at) > SAME_M or near.id not in plan.numbers:
        return ""
    return str(plan.numbers[near.id])


def _posts(of: Set, plan: Planned, owner: str) -> Iterator[str]:
    """Yield how posts stand: on one circle, or so far along a string."""
    feature = next((f for f in of.garden.features if f.id == owner), None)
    for work in () if feature is None else works_of(of.timeline, feature):
        posts = list(dict.fromkeys((round(x, 4), round(y, 4)) for x, y in getattr(work, "footings", ())))
        if not isinstance(work, (FrameWork, KitWork)) or len(posts) < 3:
            continue
        ring = circle_of(posts)
        if ring is not None:
            yield _ring_words(of, plan, posts, *ring)
        else:
            yield from _rows(of, plan, posts)


def _ring_words(of: Set, plan: Planned, posts: list[XY], middle: XY, radius: float) -> str:
    turn = sorted(posts, key=lambda p: math.atan2(p[0] - middle[0], p[1] - middle[1]))
    steps = [math.dist(a, b) for a, b in pairwise([*turn, turn[0]])]
    words = f"All {len(posts)} posts stand on one circle, {tape(of, radius)} from its middle"
    if max(steps) - min(steps) < 2 * ROUND_M:
        words += f" and {tape(of, sum(steps) / len(steps))} from each to the next"
    if len(posts) % 2 == 0:
        a, b = _number(plan, turn[0]), _number(plan, turn[len(turn) // 2])
        words += f"; the middle is halfway from {a} to {b}" if a and b else ""
    return f"{words}. A string from the middle to every post proves them all."


def _rows(of: Set, plan: Planned, posts: list[XY]) -> Iterator[str]:
    """Yield each string along which three or more posts stand, with the running lengths from its first point."""
    told: list[set[XY]] = []
    ordered = sorted(((a, b) for i, a in enumerate(posts) for b in posts[i + 1 :]), key=lambda e: (-math.dist(*e), e))
    for a, b in ordered:
        row = [
            p
            for p in posts
            if abs(offset_of(p, a, b)[1]) <= STRAIGHT_M and -SAME_M <= offset_of(p, a, b)[0] <= math.dist(a, b) + SAME_M
        ]
        if len(row) < 3 or any({a, b} <= seen for seen in told):
            continue
        told.append(set(row))
        first, last = _number(plan, a), _number(plan, b)
        gates = _openings_along(plan, a, b)
        free = [p for p in row if not any(low < offset_of(p, a, b)[0] < high for low, high, _ in gates)]
        along = [s for s in sorted(offset_of(p, a, b)[0] for p in free) if SAME_M < s < math.dist(a, b) - SAME_M]
        if first and last and along:
            words = f"Posts between {first} and {last}: a string from {first} to {last}; stand at {', '.join(tape(of, s) for s in along)} along it."
            yield words + "".join(_gate_words(of, gate) for gate in gates)


def _openings_along(plan: Planned, a: XY, b: XY) -> list[tuple[float, float, str]]:
    """Return (from, to, owner) [m] along the string from ``a`` to ``b`` of the openings this job or earlier ones leave in it."""
    out = []
    for opening in (*(o for s in plan.stood.values() for o in s.openings), *plan.before.openings):
        ends = [offset_of((float(x), float(y)), a, b) for x, y in opening.clear.coords]
        low, high = min(e[0] for e in ends), max(e[0] for e in ends)
        if all(abs(e[1]) <= IN_WALL_M for e in ends) and low > -SAME_M and high < math.dist(a, b) + SAME_M:
            out.append((low, high, opening.owner))
    return sorted(set(out))


def _gate_words(of: Set, gate: tuple[float, float, str]) -> str:
    low, high, owner = gate
    return f" None between {tape(of, low)} and {tape(of, high)}: {of.words.name(owner)} is there."


def _edges(of: Set, plan: Planned, owner: str, stood: Stood) -> Iterator[str]:
    """Yield how far the edges of a way lie from the string between the points of its middle line."""
    feature = of.timeline.feature(owner)
    middle = middle_line(stood, feature)
    if not middle or not all(_number(plan, p) for p in (middle[0], middle[-1])):
        return
    half = half_width_m(stood, middle)
    order = ", ".join(n for n in (_number(plan, p) for p in middle) if n)
    yield f"Its edges: {tape(of, half)} either side of the string through {order}, square to it; round the bends by eye."


def _floors(of: Set, plan: Planned, stood: Stood) -> Iterator[str]:
    for area in _outlines(stood):
        ring = [(float(x), float(y)) for x, y in area.exterior.coords[:-1]]
        circle = circle_of(ring) if len(ring) >= 12 else None
        if circle is not None:
            number = _number(plan, circle[0])
            if number and circle[1] > 0.2:
                yield f"Circle: a nail at {number}, a string of {tape(of, circle[1])} to the pin, level and taut; walk it round."
            continue
        oval = ellipse_of(ring)
        if oval is not None:
            yield from _oval_words(of, plan, *oval)
        elif len(ring) <= 6:
            yield from _square_words(of, plan, ring)


def _outlines(stood: Stood) -> list[Polygon]:
    shapes = [s.area for s in stood.surfaces]
    if not shapes:
        return []
    return [p for p in shapely.get_parts(united(shapes)) if isinstance(p, Polygon)][:4]


def _oval_words(of: Set, plan: Planned, middle: XY, long: float, short: float, bearing: float) -> Iterator[str]:
    """Yield how an oval is drawn by a loop round two nails, and by offsets where no loop can go round."""
    string = ellipse_by_string(long, short)
    one, two, end, other = (_number(plan, at) for at in nails_of(middle, long, short, bearing))
    size = f"Oval {tape(of, 2 * long)} by {tape(of, 2 * short)}"
    loop = f"a closed loop of {tape(of, string.loop_m)} round both and the pin; keep it taut and walk round."
    if not (one and two):
        far = f"{tape(of, string.focus_m)} either side of the middle"
        yield f"{size}, its length lying {bearing:.0f}° from north: two nails on the long line, {far}; {loop}"
        return
    yield f"{size}: nails at {one} and {two}; {loop} It must pass through {end} and {other}."
    if end and other:
        offsets = [
            f"{tape(of, ellipse_offset_m(long, short, x))} at {tape(of, long - x)} and at {tape(of, long + x)}"
            for x in (0.75 * long, 0.5 * long, 0.25 * long)
        ]
        middle_words = f"{tape(of, short)} at {tape(of, long)}"
        yield (
            f"Or, where something stands in the loop's way: a string from {end} to {other}, and square off it to both sides"
            f" {', '.join([*offsets, middle_words])}."
        )


def _square_words(of: Set, plan: Planned, ring: list[XY]) -> Iterator[str]:
    """Yield how the roomiest square corner is proved by three tapes."""
    best: tuple[float, str] | None = None
    unit = 0.3048 if of.garden.style.system == "feet" else 1.0
    for before, at, after in zip([ring[-1], *ring], ring, [*ring[1:], ring[0]], strict=False):
        along, across, number = math.dist(at, before), math.dist(at, after), _number(plan, at)
        if not number or abs(_corner_deg(before, at, after) - 90.0) > SQUARE_DEG or min(along, across) < unit:
            continue
        try:
            three = square_corner(along, across, unit_m=unit)
        except ValueError:
            continue
        a, b = _number(plan, before) or "one side", _number(plan, after) or "the other"
        words = (
            f"Square at {number}: {tape(of, three.along_m)} from it towards {a}, {tape(of, three.across_m)} towards {b};"
            f" between the two marks the tape reads {tape(of, three.diagonal_m)}."
        )
        if best is None or three.diagonal_m > best[0] + 1e-6:
            best = (three.diagonal_m, words)
    if best is not None:
        yield best[1]


def _corner_deg(a: XY, at: XY, b: XY) -> float:
    ux, uy, vx, vy = a[0] - at[0], a[1] - at[1], b[0] - at[0], b[1] - at[1]
    return math.degrees(math.atan2(abs(ux * vy - uy * vx), ux * vx + uy * vy))


def _curves(of: Set, plan: Planned, stood: Stood) -> Iterator[str]:
    """Yield the offsets of a curved edge from the straight string between two points that are set."""
    lines = [w.course for w in stood.work if isinstance(w, LineWork)]
    if not lines:
        rings = [a.exterior for a in _outlines(stood) if not _by_string(a)]
        lines = [LineString(r.coords) for r in rings if len(r.coords) > 8]
    for line in lines:
        points = [(float(x), float(y)) for x, y in line.coords]
        ends = [i for i, p in enumerate(points) if _number(plan, p)]
        for i, j in pairwise(ends):
            words = _offset_words(of, plan, points[i : j + 1])
            if words:
                yield words


def _by_string(area: Polygon) -> bool:
    """Return whether an outline is a circle or an oval."""
    ring = [(float(x), float(y)) for x, y in area.exterior.coords[:-1]]
    return circle_of(ring) is not None or ellipse_of(ring) is not None


def offsets_between(points: Sequence[XY]) -> list[tuple[float, float]]:
    """Return (along, to the right) [m] where a bent line strays from the string between its ends, a few even steps.

    The line is taken between its corners as it is drawn; nothing where it strays no more than the eye sees.
    """
    a, b = points[0], points[-1]
    if math.dist(a, b) < 0.3 or max((abs(offset_of(p, a, b)[1]) for p in points), default=0.0) < BENT_M:
        return []
    line, steps = LineString(points), min(MOST_OFFSETS, max(1, int(math.dist(a, b) // 0.5)))
    out = []
    for k in range(1, steps + 1):
        s = k / (steps + 1) * math.dist(a, b)
        foot = (a[0] + (b[0] - a[0]) * s / math.dist(a, b), a[1] + (b[1] - a[1]) * s / math.dist(a, b))
        across = _across(line, foot, a, b)
        if across is not None:
            out.append((s, across))
    return out


def _across(line: LineString, foot: XY, a: XY, b: XY) -> float | None:
    """Return how far to the right the line crosses the square through ``foot``, the nearest crossing [m]."""
    size = math.dist(a, b)
    nx, ny = (b[1] - a[1]) / size, -(b[0] - a[0]) / size
    reach = line.length
    square = LineString([(foot[0] - nx * reach, foot[1] - ny * reach), (foot[0] + nx * reach, foot[1] + ny * reach)])
    hits = shapely.get_coordinates(line.intersection(square)).tolist()
    if not hits:
        return None
    return min(((float(x) - foot[0]) * nx + (float(y) - foot[1]) * ny for x, y in hits), key=abs)


def _offset_words(of: Set, plan: Planned, points: Sequence[XY]) -> str:
    found = offsets_between(points)
    if not found:
        return ""
    first, last = _number(plan, points[0]), _number(plan, points[-1])
    parts = [f"{tape(of, abs(o))} {'right' if o > 0 else 'left'} at {tape(of, s)}" for s, o in found]
    return f"Curve {first} to {last}: string between them, square off it {', '.join(parts)}."


def _is_roof(work: AreaWork, stood: Stood) -> bool:
    """Return whether what is laid lies on a roof: a slab overhead covers most of it."""
    roofs = [s.footprint for s in stood.solids if isinstance(s.form, (Slab, Slats))]
    return bool(roofs) and united(roofs).intersection(work.outline).area > 0.5 * work.outline.area


def _depths(of: Set, stood: Stood) -> Iterator[str]:
    """Yield what a floor is built up of, and its fall."""
    waters = {w.owner: w for w in stood.work if isinstance(w, WaterWork)}
    for work in stood.work:
        if isinstance(work, AreaWork) and work.owner in waters and any(x.material == "water" for x in work.layers):
            yield f"{capital(water_words(waters[work.owner], of.garden.style))}."
        elif isinstance(work, AreaWork) and work.layers and not _is_roof(work, stood):
            deep = sum(layer.thickness_m for layer in work.layers)
            style = of.garden.style
            parts = ", ".join(
                f"{whole(format_length(x.thickness_m, style))} {x.material}" for x in work.layers if x.thickness_m > 0
            )
            if deep >= LEVEL_M:
                whose = "Its edge in all" if work.owner in waters else "In all"
                yield f"{whose} {whole(format_length(deep, style))} deep, from the finished top down: {parts}."
    for surface in stood.surfaces:
        if isinstance(surface.lie, Plane) and surface.lie.grade > 1e-4:
            drop, run = _say(of, surface.lie.grade), _say(of, 1.0)
            towards = f"{surface.lie.fall_deg:.0f}° from north"
            yield f"It falls 1 in {round(1 / surface.lie.grade)} towards {towards}: {drop} in every {run}."
