"""How each structure is built: plan, two views, parts, cutting, order of work, what was looked up, cautions."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from shapely import LineString, Polygon

from quincunx.build.reckon import Reckoned
from quincunx.build.screening import Screened
from quincunx.garden.safety import looked_up
from quincunx.shapes import (
    XY,
    AreaFigure,
    DimensionFigure,
    Figure,
    FlightWork,
    FrameWork,
    KitWork,
    Member,
    PathFigure,
    RampWork,
    TextFigure,
    Work,
)
from quincunx.sheets._building import (
    bill_table,
    care,
    cutting_blocks,
    ended,
    looked_up_table,
    to_saw,
)
from quincunx.sheets._finishes import finished_twice
from quincunx.sheets._runs import runs_and_floors
from quincunx.sheets._sawing import Sawing
from quincunx.sheets._set import Set
from quincunx.sheets._sheet_cuts import sheet_blocks
from quincunx.sheets.book import Block, Page
from quincunx.sheets.scales import Scale, fitting
from quincunx.sheets.svg import Look, draw
from quincunx.units import Style, format_hours, format_length, format_mass, format_money, own_units, section_words
from quincunx.works import Job

ID = "construction"
WORDS = "How each structure is built"
NEEDS = "Nothing that is built of posts and beams is in any job yet. Draw a shelter, a pergola or a fence, and name it in a job."
LEAST_MEMBERS = 6
"""Frames of fewer pieces (a row's two posts) are told well enough by the bill."""
VIEW_MM = (90.0, 92.0)
CARE = "a first look, not a design: your local code and a licensed person decide"
"""At the foot of every page, for the caution itself stands only once."""


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:  # noqa: ARG001 - each view finds its own scale
    """Yield the pages of each structure that a job makes."""
    sawing = Sawing(of)
    plain: list[tuple[str, tuple[Work, ...], Job]] = []
    for c in of.costed:
        options = {o.id: (o.words, o.works) for o in c.options}
        named = [(of.words.name(t.partition("/")[0]), w) for t, w in c.works.items()]
        if options:
            named = [x for x in named if x[1] not in [w for _, w in options.values()]]
            named += [(f"{c.job.name}: {words}", works) for words, works in options.values()]
        choices = [w for _, w in options.values()]
        parts = [(name, works, every in choices) for called, every in named for name, works in _parted(called, every)]
        for name, works, open_yet in parts:
            frames = [w for w in works if isinstance(w, FrameWork) and (w.roof is not None or w.order)]
            if frames and sum(len(f.members) for f in frames) >= LEAST_MEMBERS:
                found = sawing.reckon(c.job, works, chosen=not open_yet)
                yield _drawn(of, name, works, frames[0], found)
                yield _cut(of, name, found, looked_up(of.garden, works, of.timeline))
            elif any(isinstance(w, KitWork) and not w.what for w in works):
                checked = looked_up(of.garden, works, of.timeline)
                blocks = ended([looked_up_table(of, checked)], care(of.garden))
                yield Page(name, blocks, of.paper.size_mm, "bought as a kit", foot=CARE)
            else:
                plain.append((name, works, c.job))
    yield from runs_and_floors(of, plain, sawing)
    yield from finished_twice(of)


def _parted(name: str, works: Sequence[Work]) -> Iterator[tuple[str, tuple[Work, ...]]]:
    """Yield what is built: of steps or a ramp with a handrail worth a page of its own, first the one, then the other.

    What is only looked up goes with both.
    """
    rails = tuple(w for w in works if isinstance(w, FrameWork))
    climbs = tuple(w for w in works if isinstance(w, (FlightWork, RampWork)))
    if not climbs or sum(len(f.members) for f in rails) < LEAST_MEMBERS:
        yield name, tuple(works)
        return
    yield name, tuple(w for w in works if not isinstance(w, FrameWork))
    yield f"{name}: handrail", (*rails, *climbs)


def _drawn(of: Set, name: str, works: Sequence[Work], frame: FrameWork, found: Reckoned) -> Page:
    style = of.garden.style
    front = _main_deg(frame)
    views = [("from the front", front), ("from the side", front + 90.0)]
    box = max(_reach(frame, front), _reach(frame, front + 90.0)), _high(frame)
    scale = fitting(box[0] + 0.8, box[1] + 1.0, VIEW_MM, style)
    cells: list[list[Block]] = [
        [{"t": "small", "s": f"{words}, {scale.said}"}, _view(of, frame, deg, scale)] for words, deg in views
    ]
    plan: list[Block] = [{"t": "small", "s": f"plan, {scale.said}"}, _plan(of, frame, scale, front)]
    blocks: list[Block] = [
        {"t": "row", "widths": [1, 1], "cells": [plan, [*_facts(of, frame, found), *_in_order(works, frame)]]},
        {"t": "row", "widths": [1, 1], "cells": cells},
    ]  # fmt: skip
    blocks += _joints(of, frame)
    last: list[Block] = []
    if found.notes:
        last.append({"t": "small", "s": own_units(f"Taken for granted: {'; '.join(found.notes)}.", of.garden.style)})
    total = f"{format_money(found.sum, style, whole=True)} for what has a price, " if found.sum else ""
    last.append({"t": "text", "s": f"{total}about {format_hours(found.hours, style)}, {format_mass(found.kg, style)}."})
    return Page(
        name,
        ended(blocks, [*last, *care(of.garden)]),
        of.paper.size_mm,
        "how it is built",
        scale=scale.said,
        foot=CARE,
    )


def _in_order(works: Sequence[Work], frame: FrameWork) -> list[Block]:
    return [
        {"t": "heading", "s": "In this order"},
        {"t": "list", "items": order_of_work(works, frame), "size": 8.0},
    ]


def _joints(of: Set, frame: FrameWork) -> Iterator[Block]:
    if not frame.joints:
        return
    rows = [
        [j.words, str(j.count), own_units(j.how, of.garden.style), ", ".join(f"{n} × {what}" for what, n in j.fixings)]
        for j in frame.joints
    ]
    yield {"t": "heading", "s": "Joints and fixings"}
    yield {"t": "table", "head": ["where", "how many", "made so", "each takes"], "rows": rows, "widths": [1.5, 0.6, 2.6, 1.8],
           "align": ["left", "right", "left", "left"], "size": 8.0, "inset": 1.0}  # fmt: skip


def _cut(of: Set, name: str, found: Reckoned, checked: Sequence[Screened]) -> Page:
    asked: list[Block] = [
        {"t": "heading", "s": "Looked up before anybody builds"},
        looked_up_table(of, checked),
        *care(of.garden),
    ]
    blocks: list[Block] = [
        *(asked if checked else []),
        {"t": "heading", "s": "Parts"},
        bill_table(of, found.bill),
    ]
    sawn = [*cutting_blocks(of, found.cuts, of.paper.frame_mm[0]), *sheet_blocks(of, found.sheets)]
    closed = ended(sawn, care(demo=found.demo)) if sawn else care(demo=found.demo)
    return Page(name, (*blocks, *closed), of.paper.size_mm, "looked up; parts; sawing: one bar is one board", foot=CARE)


def _facts(of: Set, frame: FrameWork, found: Reckoned) -> list[Block]:
    """Return the pieces by name: how many, what section, how long."""
    style = of.garden.style
    rows = [[p.name, str(p.count), section_words(p.section_m, style), _long(p, style)] for p in _by_name(found)]
    table = {
        "t": "table", "head": ["piece", "", "section", "length"], "rows": rows[:24], "widths": [1.3, 0.4, 1.5, 1],
        "align": ["left", "right", "left", "right"], "size": 8.5, "inset": 1.1,
    }  # fmt: skip
    if frame.roof is None:
        return [table]
    low, high = format_length(frame.roof.eaves_m, style), format_length(frame.roof.ridge_m, style)
    said = f"Roof {frame.roof.pitch_deg:g} degrees, {low} clear at the eaves, {high} at its highest."
    return [table, {"t": "small", "s": said}]


def _by_name(found: Reckoned) -> list[_Row]:
    """Return the pieces, those of one name and section that differ by less than a fifth of their length in one row."""
    out: list[_Row] = []
    for c in found.cuts:
        for p in c.pieces:
            like = next((i for i, r in enumerate(out) if r.takes(p.name, p.section_m, p.length_m)), None)
            if like is None:
                out.append(_Row(p.name, p.section_m, p.count, p.length_m, p.length_m))
            else:
                out[like] = out[like].with_(p.count, p.length_m)
    return out


@dataclass(frozen=True, slots=True)
class _Row:
    """Pieces of one name and section: how many, the shortest and the longest [m]."""

    name: str
    section_m: tuple[float, float]
    count: int
    short_m: float
    long_m: float

    def takes(self, name: str, section_m: tuple[float, float], length_m: float) -> bool:
        """Return whether a piece stands in this row."""
        close = max(self.long_m, length_m) - min(self.short_m, length_m) < 0.2 * self.long_m
        return (name, section_m) == (self.name, self.section_m) and close

    def with_(self, count: int, length_m: float) -> _Row:
        """Return the row with more pieces."""
        return replace(
            self,
            count=self.count + count,
            short_m=min(self.short_m, length_m),
            long_m=max(self.long_m, length_m),
        )


def _long(row: _Row, style: Style) -> str:
    low, high = to_saw(row.short_m, style), to_saw(row.long_m, style)
    return low if low == high else f"{low} to {high}"


METAL = frozenset({"aluminium", "steel"})
"""Pieces of these have no sawn ends to treat."""


def order_of_work(works: Sequence[Work], frame: FrameWork) -> list[str]:
    """Return the steps of building a frame in the order in which they are done: its own, or the usual ones."""
    del works
    names = {m.name for m in frame.members}
    set_ = [f"Set the {n}s" for n in ("plate", "beam", "tie", "ridge", "hip", "rafter", "rail", "slat") if n in names]
    posts = any(m.support == "post" for m in frame.members)
    # What has a roof says in its own order how its posts are stood too.
    whole = bool(frame.order) and (frame.roof is not None or frame.order_is_whole)
    stood = posts and not whole
    square = "" if len(frame.footings) == 2 else "; tape both diagonals until they agree"
    first = [
        f"Set out the {'posts' if posts or not frame.footings else 'pads'}{square}",
        *(["Dig and pour the pads, set the bases level, leave them to harden for a week"] if frame.footings else []),
    ]
    covered = frame.roof is not None and frame.roof.open_share == 0 and not whole
    sawn = any(m.material not in METAL for m in frame.members)
    return [
        "Have buried lines located and marked; close to a mark dig by hand",
        *([] if frame.order_is_whole else first),
        *(["Stand the posts, plumb them both ways, brace each with two laths until all is fixed"] if stood else []),
        *(frame.order or set_),
        *(["Fix the braces that stay, both ways"] if stood else []),
        *(["Cover the roof from the eaves up, from a sound ladder or tower, never alone"] if covered else []),
        f"{'Treat sawn ends; look' if sawn else 'Look'} over every joint before the first winter",
    ]


def _main_deg(frame: FrameWork) -> float:
    """Return the bearing of the longest level piece: the front runs along it [deg]."""
    level = [m for m in frame.members if m.support != "post" and abs(m.start[2] - m.end[2]) < 0.05]
    longest = max(level or frame.members, key=lambda m: round(math.dist(m.start[:2], m.end[:2]), 4))
    dx, dy = longest.end[0] - longest.start[0], longest.end[1] - longest.start[1]
    return math.degrees(math.atan2(dx, dy)) % 180.0


def _flat(m: Member, along_deg: float) -> tuple[XY, XY]:
    """Return both ends of a piece as seen square to ``along_deg``: how far along, how high [m]."""
    a = math.radians(along_deg)
    u = (math.sin(a), math.cos(a))
    (ax, ay, az), (bx, by, bz) = m.start, m.end
    return (ax * u[0] + ay * u[1], az), (bx * u[0] + by * u[1], bz)


def _reach(frame: FrameWork, along_deg: float) -> float:
    xs = [p[0] for m in frame.members for p in _flat(m, along_deg)]
    return max(xs) - min(xs)


def _high(frame: FrameWork) -> float:
    return max(max(m.start[2], m.end[2]) for m in frame.members) + 0.7


def _view(of: Set, frame: FrameWork, along_deg: float, scale: Scale) -> Block:
    """Return the frame seen square to ``along_deg``, with its width, its height and the ground."""
    figures: list[Figure] = []
    ends = [p for m in frame.members for p in _flat(m, along_deg)]
    west, east = min(p[0] for p in ends), max(p[0] for p in ends)
    # A roof is as high as its facts say, over the block in which its hips meet and over its slats.
    top = max(p[1] for p in ends) if frame.roof is None else frame.roof.ridge_m
    far = {m: _depth(m, along_deg) for m in frame.members}
    for m in sorted(frame.members, key=lambda m: far[m]):
        shape = _bar(m, along_deg)
        figures.append(
            AreaFigure(
                (tuple((float(x), float(y)) for x, y in shape.exterior.coords[:-1]),),
                "built",
                "",
                "plain",
                weight="thin",
            )
        )
    feet = _feet(frame, along_deg)
    level = [(west - 0.4, feet[0][1] if feet else 0.0), *feet, (east + 0.4, feet[-1][1] if feet else 0.0)]
    ground = PathFigure(tuple(level), "datum", "ground", weight="thick")
    half = frame.pad_m / 2
    for x, z in feet:
        ring = ((x - half, z - 0.45), (x + half, z - 0.45), (x + half, z), (x - half, z))
        figures.append(PathFigure(ring, "below", "", closed=True, weight="thin", dash=True))
    low = min(z for _, z in level)
    (first, last) = (feet[0][0], feet[-1][0]) if feet else (west, east)
    figures += [ground, DimensionFigure((first, low), (last, low), last - first, offset_m=-0.62)]
    figures.append(DimensionFigure((east + 0.15, 0.0), (east + 0.15, top), top, offset_m=-0.12))
    look = Look(scale.number, of.garden.style)
    bounds = (west - 0.5, low - 0.95, east + 0.75, top + 0.25)
    wide, high = (1000 * d / scale.number for d in (bounds[2] - bounds[0], bounds[3] - bounds[1]))
    return {"t": "drawing", "svg": draw(figures, bounds, look), "w": wide, "h": high}


def _feet(frame: FrameWork, along_deg: float) -> list[XY]:
    """Return where the nearest posts meet the ground, seen square to ``along_deg``: how far along, how high [m]."""
    found: dict[float, tuple[float, float]] = {}
    for m in frame.members:
        if m.support == "post":
            x, z = _flat(m, along_deg)[0]
            near = _depth(m, along_deg)
            key = round(x, 3)
            if key not in found or near > found[key][0]:
                found[key] = (near, 0.0 if not frame.on_pads else z)
    return [(x, z) for x, (_, z) in sorted(found.items())]


def _depth(m: Member, along_deg: float) -> float:
    a = math.radians(along_deg + 90.0)
    return (m.start[0] + m.end[0]) * math.sin(a) + (m.start[1] + m.end[1]) * math.cos(a)


def _bar(m: Member, along_deg: float) -> Polygon:
    """Return a piece as it is seen: a bar as thick as its section, or the section itself where it is seen end on."""
    (ax, az), (bx, bz) = _flat(m, along_deg)
    wide, deep = m.section_m
    if m.support == "post":
        return LineString([(ax, az), (bx, bz)]).buffer(wide / 2, cap_style="flat")
    if math.dist((ax, az), (bx, bz)) < 0.02:
        return Polygon(
            [(ax - wide / 2, az), (ax + wide / 2, az), (ax + wide / 2, az + deep), (ax - wide / 2, az + deep)]
        )
    length = math.dist((ax, az), (bx, bz))
    nx, nz = -(bz - az) / length, (bx - ax) / length
    if nz < 0:
        nx, nz = -nx, -nz
    return Polygon([(ax, az), (bx, bz), (bx + nx * deep, bz + nz * deep), (ax + nx * deep, az + nz * deep)])


def _plan(of: Set, frame: FrameWork, scale: Scale, front_deg: float) -> Block:
    """Return the frame from above, its front along the page, posts with the distances between them."""
    a = math.radians(front_deg)
    u, v = (math.sin(a), math.cos(a)), (-math.cos(a), math.sin(a))

    def turn(p: Sequence[float]) -> XY:
        return (p[0] * u[0] + p[1] * u[1], p[0] * v[0] + p[1] * v[1])

    figures: list[Figure] = []
    points: list[XY] = []
    for m in frame.members:
        s, e = turn(m.start), turn(m.end)
        points += [s, e]
        if m.support == "post":
            half = m.section_m[0] / 2
            ring = (
                (s[0] - half, s[1] - half),
                (s[0] + half, s[1] - half),
                (s[0] + half, s[1] + half),
                (s[0] - half, s[1] + half),
            )
            figures.append(AreaFigure((ring,), "built", "", "hatch", weight="normal"))
        elif math.dist(s, e) > 1e-3:
            shape = LineString([s, e]).buffer(m.section_m[0] / 2, cap_style="flat")
            outer = tuple((float(x), float(y)) for x, y in shape.exterior.coords[:-1])
            figures.append(AreaFigure((outer,), "roof", "", "plain", weight="fine"))
    feet = [turn(f) for f in frame.footings]
    figures += list(_between(feet))
    look = Look(scale.number, of.garden.style)
    west, east = min(p[0] for p in points) - 0.5, max(p[0] for p in points) + 0.3
    south, north = min(p[1] for p in points) - 0.5, max(p[1] for p in points) + 0.3
    wide, high = (1000 * d / scale.number for d in (east - west, north - south))
    return {"t": "drawing", "svg": draw(figures, (west, south, east, north), look), "w": wide, "h": high}


def _between(feet: Sequence[XY]) -> Iterator[Figure]:
    """Yield the distances between neighbouring post centres along the first two sides, and one diagonal."""
    if len(feet) < 3:
        return
    yield DimensionFigure(feet[0], feet[1], math.dist(feet[0], feet[1]))
    yield DimensionFigure(feet[1], feet[2], math.dist(feet[1], feet[2]))
    far = max(range(len(feet)), key=lambda i: round(math.dist(feet[0], feet[i]), 4))
    yield PathFigure((feet[0], feet[far]), "datum", weight="fine", dash=True)
    middle = ((feet[0][0] + feet[far][0]) / 2, (feet[0][1] + feet[far][1]) / 2)
    yield TextFigure(middle, "diagonal", "datum", size="small")
