"""What is built along a line stops at the openings in it: mesh, boards, rails and posts end where a gate or a gap is."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import shapely
from shapely import LineString, Point, Polygon

from quincunx.shapes import XY, FrameWork, LineWork, Member, Work, united

IN_RUN_M = 0.15
"""An opening whose ends lie no farther than this from a run is in it [m]."""
SAME_POST_M = 0.15
"""Posts nearer to each other than this can't both be set: one does for both [m]."""
REACH_M = 0.3
"""How far to both sides of its clear line an opening takes away what stands there [m]."""
LEAST_M = 0.01
"""Pieces of a run shorter than this are none [m]."""


@dataclass(frozen=True, slots=True)
class Way:
    """An opening: the ``owner`` it belongs to, its ``clear`` line [m], whether it stands on ``posts`` of its own."""

    owner: str
    clear: LineString
    posts: bool


def parted(works: Sequence[Work], ways: Iterable[Way]) -> tuple[Work, ...]:
    """Return ``works`` with each run ended at the ``ways`` that lie in it, and its posts left out there.

    At a way without posts of its own (a gap) the run gets one at either side, as its others are.
    """
    runs = [w for w in works if isinstance(w, LineWork)]
    inside = [way for way in ways if any(_lies_in(way, run) for run in runs)]
    if not inside:
        return tuple(works)
    frames = [_posts(w, inside, runs) for w in works if isinstance(w, FrameWork)]
    out: list[Work] = []
    for work in works:
        if isinstance(work, LineWork):
            pieces = _pieces(work, [way for way in inside if _lies_in(way, work)])
            out += [replace(p, posts=_along(p, [at for f in frames for at in f.footings])) for p in pieces]
        elif isinstance(work, FrameWork):
            out.append(frames.pop(0))
        else:
            out.append(work)
    return tuple(out)


def _lies_in(way: Way, run: LineWork) -> bool:
    line = run.course
    return all(line.distance(Point(end)) <= IN_RUN_M for end in (way.clear.coords[0], way.clear.coords[-1]))


def _band(clear: LineString) -> Polygon:
    return clear.buffer(REACH_M, cap_style="flat")


def _pieces(run: LineWork, ways: Sequence[Way]) -> list[LineWork]:
    """Return what is left of a run, from its start on."""
    if not ways:
        return [run]
    line = run.course
    left = line.difference(united([_band(way.clear) for way in ways]))
    pieces = [p for p in shapely.get_parts(shapely.line_merge(left)) if p.length > LEAST_M]
    pieces.sort(key=lambda p: round(line.project(p.interpolate(0.5, normalized=True)), 6))
    return [replace(run, line=p, closed=False) for p in pieces]


def _along(run: LineWork, posts: Iterable[XY]) -> tuple[XY, ...]:
    return tuple(at for at in posts if run.line.distance(Point(at)) <= IN_RUN_M)


def _posts(frame: FrameWork, ways: Sequence[Way], runs: Sequence[LineWork]) -> FrameWork:
    """Return a run's posts without those in an opening, and with those that a gap ends on."""
    old = [m for m in frame.members if m.support == "post"]
    if not old:
        return frame
    kept = [m for m in old if not any(_in_way(m, way) for way in ways)]
    for end, clear in ((end, way.clear) for way in ways if not way.posts for end in _ends(way.clear)):
        like = min(old, key=lambda m: Point(m.start[:2]).distance(Point(end)))
        at = _outwards(end, clear, min(like.section_m) / 2)
        if not any(Point(m.start[:2]).distance(Point(at)) < SAME_POST_M for m in kept):
            kept.append(replace(like, start=(*at, like.start[2]), end=(*at, like.end[2])))
    line = runs[0].course
    kept.sort(key=lambda m: round(line.project(Point(m.start[:2])), 6))
    rest = tuple(m for m in frame.members if m.support != "post")
    joints = tuple(replace(j, count=len(kept)) if j.count == len(old) else j for j in frame.joints)
    footings = tuple((m.start[0], m.start[1]) for m in kept)
    return replace(frame, members=(*kept, *rest), footings=footings, joints=joints)


def _in_way(post: Member, way: Way) -> bool:
    """Return whether a post stands in an opening, or where the opening's own post is set."""
    long, reach = way.clear.length, SAME_POST_M if way.posts else -LEAST_M
    a, b = (_outwards(end, way.clear, min(reach, long)) for end in _ends(way.clear))
    return bool(_band(LineString([a, b])).contains(Point(post.start[:2])))


def _ends(clear: LineString) -> tuple[XY, XY]:
    (ax, ay), (bx, by) = clear.coords[0], clear.coords[-1]
    return (float(ax), float(ay)), (float(bx), float(by))


def _outwards(end: XY, clear: LineString, by_m: float) -> XY:
    """Return the point ``by_m`` beyond an end of a clear line [m]."""
    middle = clear.interpolate(0.5, normalized=True)
    half = max(clear.length / 2, LEAST_M)
    return (end[0] + (end[0] - middle.x) / half * by_m, end[1] + (end[1] - middle.y) / half * by_m)
