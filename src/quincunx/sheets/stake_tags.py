"""Tags for stakes, to print on waterproof paper: what is coming there, when, and the ties to find the place again."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from shapely import Point, Polygon, minimum_rotated_rectangle
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points

from quincunx.scene import Scene
from quincunx.shapes import XY, united
from quincunx.sheets._outdoors import TAPES_M, Base, base_of, begins, obstacles, ready_on, tape, upright, waiting, whole
from quincunx.sheets._outlooks import photo_day, standing_words
from quincunx.sheets._set import Set
from quincunx.sheets.book import Page
from quincunx.survey import Placed, Target, marks_for, refix, set_out
from quincunx.units import capital, format_length
from quincunx.units.dates import MONTHS, first_day, format_month
from quincunx.works import Job

ID = "stake-tags"
WORDS = "Stake tags"
NEEDS = (
    "There is nothing to tag: no stake is measured yet, and no job has a month that is still to do, and no peg is set."
)
RIM_M = 0.3
"""So far outside the water a tag stands (our own choice: its rim is dug too)."""
INSIDE_M = 0.25
"""No deeper than this inside a building a stake is at its wall, and in what is narrower it is beside it (our own choice)."""
BROAD_M = 0.8
"""The sizes of what is narrower are not worth the room on a tag [m]."""
FILLS = 0.6
"""What fills less than this share of the rectangle round it is no matter of two sizes."""
HIGH_MM, COLUMNS, ROWS = 57.0, 2, 4
"""Size of a tag [mm] and how many lie on a page."""


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:  # noqa: ARG001 - tags have no scale
    """Yield the tags, those of what is coming first, eight on a page."""
    base = base_of(of)
    tags = [*_coming(of, base), *_pegs(of, base), *_stakes(of, base)]
    high = min(HIGH_MM, (of.paper.frame_mm[1] - 4) / ROWS)
    for start in range(0, len(tags), COLUMNS * ROWS):
        block = {"t": "tags", "columns": COLUMNS, "high": high, "items": tags[start : start + COLUMNS * ROWS]}
        foot = "waterproof paper, or laminate; tie it to the stake"
        yield Page("Stake tags", (block,), of.paper.size_mm, "cut along the dashes, punch the ring", foot=foot)


def _coming(of: Set, base: Base) -> Iterator[dict[str, Any]]:
    """Yield a tag for the chief thing of each job still to do: it stands at that thing's middle."""
    for job in waiting(of):
        owner = job.does[0].partition("/")[0] if job.does else ""
        spot = _middle(of, owner, job)
        if spot is None:
            continue
        at, size = spot
        where = f"the middle of {of.words.the(owner)}"
        rim = _rim(of, owner, job, at, base)
        if rim is not None:
            at, where = rim[0], f"the edge of {of.words.the(owner)}, towards {rim[1]}"
        placed = _placed(of, base, at, owner)
        before = of.timeline.at(first_day(begins(of, job)))
        large = "Plant nothing here that can't move." if job.large else "Keep this place free."
        more = len({t.partition("/")[0] for t in job.does}) - 1
        rest = f" (and {more} more)" if more else ""
        what = f"{format_month(begins(of, job))}. Here: {where}{size}{rest}."
        out = _out_of_reach(of, before, at, owner)
        yield {"name": job.name, "what": what, "lines": [*out, *_ties(of, base, placed), large]}


def _middle(of: Set, owner: str, job: Job) -> tuple[XY, str] | None:
    """Return the middle of a thing as it stands when its job is done, and its size in words; None for no place."""
    feature = of.timeline.feature(owner)
    if feature is None:
        return None
    stood = of.timeline.stood(feature, ready_on(of, job))
    shapes = [s.area for s in stood.surfaces] + [s.footprint for s in stood.solids]
    shapes += [o.clear.buffer(0.05) for o in stood.openings]
    if not shapes:
        return None
    ground = united(shapes)
    at = ground.centroid if ground.intersects(ground.centroid) else ground.representative_point()
    return (float(at.x), float(at.y)), _size(of, ground)


def _rim(of: Set, owner: str, job: Job, at: XY, base: Base) -> tuple[XY, str] | None:
    """Return the place just outside water that is to be there, on the side of the nearest stake, and that stake's name.

    None where the middle of the thing will not be in water.
    """
    feature = of.timeline.feature(owner)
    if feature is None or not base.controls:
        return None
    stood = of.timeline.stood(feature, ready_on(of, job))
    wet = united([s.area for s in stood.surfaces if s.water_depth_m > 0])
    if not wet.intersects(Point(at)):
        return None
    dug = united([s.area for s in stood.surfaces]).buffer(RIM_M)
    stake = min(base.controls, key=lambda c: (dug.distance(Point(c.xy)), c.id))
    edge, _ = nearest_points(dug.exterior if isinstance(dug, Polygon) else dug.boundary, Point(stake.xy))
    return (float(edge.x), float(edge.y)), base.names[stake.id]


def _out_of_reach(of: Set, scene: Scene, at: XY, owner: str) -> list[str]:
    """Return a line where a place lies in water, or in what stands there on that day; nothing where a stake can stand."""
    place = Point(at)
    wet = [s.owner for s in scene.surfaces if s.owner != owner and s.water_depth_m > 0 and s.area.contains(place)]
    built = [
        s.owner
        for s in scene.solids
        if s.owner != owner and s.footprint.buffer(-INSIDE_M).contains(place) and upright(scene, s) and not s.reluctant
    ]
    if not wet and not built:
        return []
    return [f"Out of reach: it lies in {of.words.the((wet or built)[0])}. Tie this beside it."]


def _size(of: Set, ground: BaseGeometry) -> str:
    """Return how long and broad a thing is, as it lies; nothing of what is narrow, or bent so that two sizes say little."""
    sides = minimum_rotated_rectangle(ground)
    if sides.area <= 0.0 or ground.area < FILLS * sides.area:
        return ""
    a, b, c, *_ = sides.exterior.coords
    across, along = sorted((math.dist(a, b), math.dist(b, c)))
    if across <= BROAD_M:
        return ""
    return ", " + whole(" by ".join(format_length(s, of.garden.style) for s in (across, along)))


def _placed(of: Set, base: Base, at: XY, owner: str) -> Placed | None:
    marks = marks_for(of.garden.style.system)
    there = of.timeline.at(first_day(f"{of.timeline.years[0]:04d}-01"))
    for blocked in (obstacles(there, (owner,)), []):
        found = set_out([Target("here", at)], base.controls, obstacles=blocked, longest_m=TAPES_M[1], marks=marks)
        if found.points:
            return found.points[0]
    return None


def _pegs(of: Set, base: Base) -> Iterator[dict[str, Any]]:
    """Yield a tag for each peg of the same-spot book: how the next photo is taken from it."""
    for peg in of.garden.pegs:
        scene = of.timeline.at(photo_day(of.timeline, of.timeline.years[0]))
        how = standing_words(peg, scene, of.words, of.timeline.frame.north_offset_deg)
        out = _out_of_reach(of, scene, peg.place, "")
        lines = [
            *out,
            *_ties(of, base, _placed(of, base, peg.place, "")),
            f"A photo each {MONTHS[scene.on.month - 1]}.",
        ]
        yield {"name": peg.name or "Peg", "what": how, "lines": lines}


def _stakes(of: Set, base: Base) -> Iterator[dict[str, Any]]:
    """Yield a tag for each measured stake: don't move it; if it is lost, so it is set again."""
    if not base.measured:
        return
    now = of.timeline.at(first_day(f"{of.timeline.years[0]:04d}-01"))
    for control in base.controls:
        adjusted = of.measured.searched.adjusted
        again = refix(control.id, adjusted, marks=marks_for(of.garden.style.system), longest_m=TAPES_M[1])
        what = capital(base.about[control.id])
        yield {
            "name": base.names[control.id],
            "what": f"{what}. All is measured from here: leave it.",
            "lines": [*_out_of_reach(of, now, control.xy, ""), *_ties(of, base, again)],
        }


def _ties(of: Set, base: Base, placed: Placed | None) -> list[str]:
    if placed is None:
        return ["No two stakes are in reach to find it again."]
    one, two = placed.ties
    a, b = base.names[one.stake], base.names[two.stake]
    lines = [
        f"If lost: {tape(of, one.mark_m)} from {a}, {tape(of, two.mark_m)} from {b},",
        f"on the {placed.side} as you look from {a} to {b}.",
    ]
    if placed.check is not None:
        lines.append(f"Check: {tape(of, placed.check.mark_m)} from {base.names[placed.check.stake]}.")
    return lines
