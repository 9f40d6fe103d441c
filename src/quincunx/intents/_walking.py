"""What the musts about walking share: their words and the figures that show why."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from functools import lru_cache, partial

from shapely import LineString, Point
from shapely.geometry.base import BaseGeometry

from quincunx.intents._base import Words
from quincunx.scene import Scene
from quincunx.scene._kept import Kept
from quincunx.scene.difference import Difference
from quincunx.shapes import XY, Crown, DimensionFigure, Figure, PathFigure, TextFigure, Verdict
from quincunx.units import capital
from quincunx.walk.barriers import Barrier, is_overhead, opening_barriers
from quincunx.walk.crossings import Crossing, crossings
from quincunx.walk.going import Stretch, going
from quincunx.walk.ground import FreeGround, ground_of
from quincunx.walk.hemmed import pieces_drawn, shut_in_by, widest_beside
from quincunx.walk.places import OUTSIDE, Place, pieces_reached, zone_of
from quincunx.walk.reach import Walk, walk_of
from quincunx.walk.rooms import Leak
from quincunx.walk.untouched import crossed_kept, stays_apart, way_kept
from quincunx.walk.walkers import Walker
from quincunx.walk.ways import Way
from quincunx.walk.widths import Narrowest, widths_of

GATE_M = 0.7
"""How far from an opening's line a narrow place still is that opening [m]."""


def way_figure(way: Way) -> PathFigure:
    """Return a way as it is drawn: a line with an arrow."""
    return PathFigure(way.points, "evidence", weight="thick", arrow=True)


def steep_figures(stretch: Stretch) -> tuple[Figure, ...]:
    """Return a steep or stepped stretch of a way as it is drawn: a thick line along it."""
    return (PathFigure((stretch.start, stretch.end), "evidence", stretch.owner, weight="thick"),)


def across_figure(narrow: Narrowest) -> DimensionFigure | None:
    """Return a narrowest place as a measured line across it, or None where there is none."""
    if narrow.line is None or narrow.width_m is None:
        return None
    (ax, ay), (bx, by) = narrow.line.coords
    return DimensionFigure((ax, ay), (bx, by), narrow.width_m, "evidence")


SIDES_M = 3.0
"""What is said twice of one thing within this distance, once from each side of it, is drawn once [m]."""


BESIDE_M = 1.0
"""What is said of two things no farther apart than this is drawn as one line of words [m]."""


def leak_figures(found: Iterable[Leak], words: Words) -> tuple[Figure, ...]:
    """Return leaks as they are drawn: a measured line across a gap, else a few words on what lets through."""
    lines: list[Figure] = []
    said: list[tuple[XY, tuple[str, ...], str]] = []
    texts: dict[XY, list[str]] = {}
    for leak in found:
        if leak.line is not None and leak.width_m is not None:
            lines.append(DimensionFigure(*leak.line, leak.width_m, "evidence"))
            continue
        label = _leak_label(leak, words)
        if any((leak.owners, label) == (o, t) and math.dist(leak.at, at) <= SIDES_M for at, o, t in said):
            continue
        said.append((leak.at, leak.owners, label))
        place = next((at for at in texts if math.dist(leak.at, at) <= BESIDE_M), leak.at)
        if label not in texts.setdefault(place, []):
            texts[place].append(label)
    return (*lines, *(TextFigure(at, "; ".join(some), "evidence", size="small") for at, some in texts.items()))


def _leak_label(leak: Leak, words: Words) -> str:
    """Return what lets through, for words drawn on it: which thing it is shows by the place."""
    size = words.length(leak.width_m or 0.0)
    labels = {
        "open": "no wall on this side",
        "holes": f"not closed yet: holes of {size}",
        "through": f"holes of {size}",
        "under": f"{size} clear below",
        "low": f"only {size} high",
        "snow": f"only {size} out of the snow",
    }
    return labels.get(leak.kind, size)


def gate_figure(scene: Scene, gate: str) -> tuple[PathFigure, ...]:
    """Return an opening's clear line, drawn thick; empty where it doesn't stand."""
    found = [o for o in scene.openings if o.owner == gate]
    return tuple(PathFigure(tuple((x, y) for x, y in o.clear.coords), "evidence", gate, weight="thick") for o in found)


def leak_words(leak: Leak, words: Words) -> str:
    """Return where and how wide a room leaks, as the end of a sentence."""
    if leak.kind == "open":
        return "there is no wall on that side"
    size = words.length(leak.width_m or 0.0)
    if leak.kind == "holes":
        return f"{words.the(leak.owners[0])} has not closed: holes of {size}"
    by = {
        "through": f"has holes of {size}",
        "under": f"has {size} clear below it",
        "low": f"is only {size} high",
        "snow": f"stands only {size} out of the snow",
    }
    if leak.kind in by:
        return f"{words.the(leak.owners[0])} {by[leak.kind]}"
    if not leak.owners:
        return f"a gap of {size}"
    if len(leak.owners) == 1:
        return f"a gap of {size} beside {words.the(leak.owners[0])}"
    return f"a gap of {size} between {words.both(leak.owners)}"


def _at_gate(clear: BaseGeometry) -> BaseGeometry:
    """Return where a narrow place still is the opening with this line [m]."""
    return _AT_GATE.get((clear,), None, lambda: clear.buffer(GATE_M, cap_style="square"))


def between_words(scene: Scene, narrow: Narrowest, words: Words) -> str:
    """Return where a narrowest place is, as part of a sentence: `` at the side gate``, `` between two things``."""
    line = narrow.line
    gates = [o for o in scene.openings if line is not None and _at_gate(o.clear).covers(line)]
    owners = (gates[0].owner,) if gates else tuple(dict.fromkeys(o for o in narrow.owners if o))
    if not owners:
        return ""
    return f" between {words.both(owners)}" if len(owners) > 1 else f" at {words.both(owners)}"


def crossing_words(crossing: Crossing, words: Words, *, snow: bool = False) -> str:
    """Return one crossing as part of a sentence: ``over the side gate (1.20 m high)``; ``snow`` lies round it."""
    name = words.the(crossing.owner)
    size = "" if crossing.size_m is None else words.length(crossing.size_m)
    match crossing.how:
        case "opening":
            return f"by {name}"
        case "opens":
            return f"through {name}"
        case "over":
            return f"over {name} ({size} {'above the snow' if snow else 'high'})"
        case "under":
            return f"under {name} ({size} clear)"
    return f"through {name} (holes of {size})"


MOST_TOLD = 3
"""A sentence names no more crossings than this."""
RING = 0.8
"""A gate or a piece of a fence so much lower than the rest still counts as one with it."""
ONE_PLACE_M = 1.0
"""Two crossings of one thing no farther apart are one place [m]."""
EASY = 0.3
"""What going through or under something counts, as a share of the highest the walker gets over."""


def _in_nobodys_way(met: Sequence[Crossing]) -> set[str]:
    """Return what is got over and under in one place, such as a bench: it holds nobody, and is no piece of a barrier."""
    under = [c for c in met if c.how == "under"]
    return {
        c.owner
        for c in met
        if c.how == "over" and any(u.owner == c.owner and math.dist(u.at, c.at) <= ONE_PLACE_M for u in under)
    }


def by_way_of(walk: Walk, way: Way, words: Words, goal: str = "", start: str = "") -> str:
    """Return what a way crosses on its way to ``goal`` as part of a sentence, or an empty text.

    Where there is too much to tell and ``start`` is given, the ring that would keep the walker out is told.
    """
    all_met = [c for c in crossings(walk.scene, walk.walker, way) if c.owner != goal]
    met = [c for c in all_met if c.owner not in _in_nobodys_way(all_met)]
    snow = walk.walker.snow_lifts and walk.scene.snow_m > 0
    told = _told(walk, met, start, goal)
    said = ", ".join(crossing_words(c, words, snow=snow) for c in told)
    return said if len(told) == len(met) else f"{said}, among others"


def _told(walk: Walk, met: list[Crossing], start: str, goal: str) -> list[Crossing]:
    """Return the crossings to tell: the ring that would stop the walker if it were high enough, else the hardest."""
    if len(met) <= MOST_TOLD or not (start and goal):
        return _hardest(met, walk.walker)
    high = {c.owner: _top_m(walk, c.owner) for c in met}
    for size in sorted({h for h in high.values() if h > 0}, reverse=True):
        least = RING * size
        if parts(walk, least, start, goal):
            return _hardest([c for c in met if high[c.owner] >= least], walk.walker)
    return _hardest(met, walk.walker)


def _top_m(walk: Walk, owner: str) -> float:
    """Return how high a thing or its leaf stands above the ground or the snow the walker stands on [m]."""
    lift = walk.scene.snow_m if walk.walker.snow_lifts else 0.0
    tops = [s.top.value_m for s in walk.scene.solids if s.owner == owner and s.top.datum == "ground"]
    tops += [o.leaf.height_m for o in walk.scene.openings if o.owner == owner and o.leaf is not None]
    return max(tops, default=0.0) - lift


def _effort(met: list[Crossing], walker: Walker) -> dict[int, float]:
    return {k: (c.size_m or 0.0) / float(walker.over) if c.how == "over" else EASY for k, c in enumerate(met)}


def _hardest(met: list[Crossing], walker: Walker) -> list[Crossing]:
    """Return the three crossings that cost the walker most, in its order: what would have to change to stop it."""
    if len(met) <= MOST_TOLD:
        return met
    effort = _effort(met, walker)
    kept = sorted(effort, key=lambda k: (-effort[k], k))[:MOST_TOLD]
    return [met[k] for k in sorted(kept)]


def parts(walk: Walk, high_m: float, start: str, goal: str) -> bool:
    """Return whether two places would be parted for the walker if nobody got over what is ``high_m`` or more high [m].

    Heights count above the snow; what stands on or round the goal itself is left as it is.
    """
    a, b = walk.place(start), walk.place(goal)
    if a is None or b is None:
        return False
    free = _raised(walk, high_m, b.shape)
    return not pieces_reached(free, a, walk.walker) & pieces_reached(free, b, walk.walker)


def _raised(walk: Walk, high_m: float, goal: BaseGeometry) -> FreeGround:
    """Return the ground left if nobody got over what is so high, from that in the scene this one was changed from."""
    scene, found = walk.scene, walk.free.found
    lift = scene.snow_m if walk.walker.snow_lifts else 0.0
    stops = {id(b.shape) for b in found}
    raised = [
        _RAISED.get((s,), None, partial(Barrier, s.footprint, s.owner, "solid", s.grown))
        for s in scene.solids
        if id(s.footprint) not in stops and s.top.datum == "ground" and s.top.value_m - lift >= high_m
        if not is_overhead(s) and not isinstance(s.form, Crown) and not s.footprint.intersects(goal)
    ]
    raised += [
        leaf
        for o in scene.openings
        if o.leaf is not None and o.leaf.height_m - lift >= high_m and not walk.walker.opens_latch(o.latch)
        for leaf in opening_barriers(scene, walk.walker, o, "shut", None)
        if id(leaf.shape) not in stops
    ]
    like = None if walk.before is None else _raised(walk.before, high_m, goal)
    return ground_of(scene.world, (*found, *raised), float(walk.walker.body_width), like)


def narrowest_between(walk: Walk, start: Place, end: Place, up_to_m: float) -> Narrowest | None:
    """Return the narrowest place of the widest way between two places; None where nothing leads there."""
    zones = (zone_within(walk, start, up_to_m), zone_within(walk, end, up_to_m))
    asked = (start.ref, end.ref, walk.scene.on, walk.gates, up_to_m)
    was_wide = _WIDE.get((walk.walker,), asked, list)
    # Most ways have a place much narrower than is looked for, and fewer narrow places are found sooner.  Where the way
    # was wider when this was asked the last time, it mostly is again, and looking for the narrower ones would be in vain.
    if was_wide:
        whole = widths_of(walk.free, up_to_m).between(*zones)
        if whole is not None and (whole.width_m is None or whole.width_m > up_to_m / 2):
            return whole
        was_wide.clear()
    half = widths_of(walk.free, up_to_m / 2).between(*zones)
    if half is None or half.width_m is not None:
        return half
    was_wide.append(up_to_m)
    return widths_of(walk.free, up_to_m).between(*zones)


def zone_within(walk: Walk, place: Place, up_to_m: float) -> BaseGeometry:
    """Return where the middle of a body ``up_to_m`` wide has a place within the walker's reach [m]."""
    if place.kind == "outside":
        return place.shape
    room = max(up_to_m - float(walk.walker.body_width), 0.0) / 2
    return zone_of(walk.free, place, _reaching(walk.walker, float(walk.walker.reach) + room))


@lru_cache(maxsize=64)
def _reaching(who: Walker, reach_m: float) -> Walker:
    """Return a walker who reaches so far [m]."""
    return who.changed(reach=reach_m)


def _built_over(walk: Walk, ref: str, words: Words) -> str:
    """Return in what the point of a room or a spot lies and how it is moved, as an aside; nothing if it lies free."""
    place = walk.place(ref)
    if place is None or not isinstance(place.shape, Point):
        return ""
    owner = next(
        (b.owner for b in walk.free.barriers_near(place.shape) if b.owner and b.shape.covers(place.shape)), None
    )
    if owner is None:
        return ""
    how = f"on the board, under “What is there”, open {words.the(ref)} and press “Move it”"
    return f", as its point lies in {words.the(owner)} ({how}, if it belongs elsewhere now)"


def why_not(walk: Walk, start: str, end: str, words: Words) -> tuple[str, tuple[Figure, ...]]:
    """Return why the walker doesn't get from ``start`` to ``end``, as the end of a sentence, and what shows it."""
    for ref in (start, end):
        if not walk.pieces_at(ref):
            return _no_room(walk, ref, words)
    opened = walk_of(walk.scene, walk.walker, "open", polite=walk.polite, shut=walk.shut)
    if opened.reaches(start, end):
        way = opened.way(start, end)
        gates = _gates_on(walk, way)
        if gates:
            drawn = tuple(f for g in gates for f in gate_figure(walk.scene, g))
            return f"{words.both(gates)} {'keeps' if len(gates) == 1 else 'keep'} {_them(walk.walker)} out", drawn
    stepped = _steps_bar(walk, start, end, words)
    if stepped is not None:
        return stepped
    a, b = opened.place(start), opened.place(end)
    narrow = None if a is None or b is None else narrowest_between(opened, a, b, float(walk.walker.body_width))
    if narrow is not None and narrow.width_m is not None and narrow.width_m > 0.02:
        drawn_line = across_figure(narrow)
        where = between_words(walk.scene, narrow, words)
        need = words.length(float(walk.walker.body_width))
        text = f"the widest way is {words.length(narrow.width_m)}{where}, and {need} is needed"
        return text, (drawn_line,) if drawn_line else ()
    if walk.polite and walk_of(walk.scene, walk.walker, walk.gates, shut=walk.shut).reaches(start, end):
        return "the only way is through young plants", ()
    return _shut_in(opened, (start, end), words)


MOST_NAMED = 3
"""A sentence names no more of the things that stand round a place than this."""
HAND_M = 0.05
"""A narrower room beside something is none to speak of [m]."""


def _no_room(walk: Walk, ref: str, words: Words) -> tuple[str, tuple[Figure, ...]]:
    """Return that there is no room to stand at a place: what hems it in and how wide the widest place beside it is."""
    place, text = walk.place(ref), f"there is no room to stand at {words.the(ref)}"
    built = _built_over(walk, ref, words)
    if built or place is None or place.kind == "outside":
        return text + built, ()
    widest = widest_beside(walk.free, place, walk.walker)
    if widest.width_m < HAND_M:
        some = widest.owners[:MOST_NAMED]
        return text + (f": {words.both(some)} {'hems' if len(some) == 1 else 'hem'} it in" if some else ""), ()
    join = " between " if len(widest.owners) > 1 else " beside "
    where = join + words.both(widest.owners[:MOST_NAMED]) if widest.owners else ""
    need = words.length(float(walk.walker.body_width))
    text += f": the widest place within reach is {words.length(widest.width_m)}{where}, and {need} is needed"
    drawn = across_figure(Narrowest(widest.width_m, widest.line))
    return text, (drawn,) if drawn else ()


def _shut_in(walk: Walk, ends: tuple[str, str], words: Words) -> tuple[str, tuple[Figure, ...]]:
    """Return what shuts in the place on the smaller piece of ground, or that no way leads there."""
    asked = {ref: sorted(walk.pieces_at(ref)) for ref in ends if ref != OUTSIDE}
    found = pieces_drawn(walk.free, {n for some in asked.values() for n in some})
    pieces = [(found[n], ref) for ref, some in asked.items() for n in some if n in found]
    if not pieces:
        return "no way leads there", ()
    piece, ref = min(pieces, key=lambda p: p[0].area)
    some = tuple(o for o in shut_in_by(walk.free, piece) if o != ref)[:MOST_NAMED]
    if not some:
        return "no way leads there", ()
    ring = piece.normalize().exterior  # begun at one corner, however the piece was found
    rim = PathFigure(tuple((x, y) for x, y in ring.coords), "evidence", dash=True)
    return f"{words.both(some)} {'shuts' if len(some) == 1 else 'shut'} in {words.the(ref)}", (rim,)


def same_reason(found: Difference, walk: Walk, start: str, end: str) -> bool:
    """Return whether :func:`why_not` surely says the same of both scenes of a difference.

    ``walk`` is the walk on the rest of the two.
    """
    if not stays_apart(found, walk, start, end) or not walk.pieces_at(start) or not walk.pieces_at(end):
        return False
    who = walk.walker
    opened = walk_of(walk.scene, who, "open", polite=walk.polite, shut=walk.shut)
    if opened.reaches(start, end):
        way = way_kept(found, opened, start, end)
        return way is not None and crossed_kept(found, way) and bool(_gates_on(opened, way))
    foot = walk_of(walk.scene, on_foot(who), "open", polite=walk.polite, shut=walk.shut)
    if float(who.step_up) < SMALL_STEP_M and foot.reaches(start, end):
        way = way_kept(found, foot, start, end)
        return way is not None and crossed_kept(found, way) and _steps_bar(walk, start, end, Words()) is not None
    return False  # what else is in the way is told by what stands round the places


SMALL_STEP_M = 0.2
"""Who takes no higher step than this may be barred by steps and slopes that others take [m]."""


@lru_cache(maxsize=64)
def on_foot(who: Walker) -> Walker:
    """Return somebody as wide who takes steps and slopes as people on foot do."""
    return who.changed(step_up=0.4, over=0.4, steepest=max(who.steepest, 0.6))


def _steps_bar(walk: Walk, start: str, end: str, words: Words) -> tuple[str, tuple[Figure, ...]] | None:
    """Return that steps or a slope bar the way, if one as wide on foot gets there; else None."""
    who = walk.walker
    if float(who.step_up) >= SMALL_STEP_M:
        return None
    way = walk_of(walk.scene, on_foot(who), "open", polite=walk.polite, shut=walk.shut).way(start, end)
    if way is None:
        return None
    under = going(walk.scene, way)
    flight = next((s for s in under.stretches if s.steps), None)
    if flight is not None:
        some = "1 step" if under.steps == 1 else f"{under.steps} steps"
        where = f" at {words.the(flight.owner)}" if flight.owner else ""
        return f"there {'is' if under.steps == 1 else 'are'} {some}{where}", steep_figures(flight)
    steep = under.steepest
    if steep is not None and steep.grade > who.steepest:
        where = f" on {words.the(steep.owner)}" if steep.owner else ""
        return f"it is as steep as {words.slope(steep.grade)}{where}", steep_figures(steep)
    return None


def _them(walker: Walker) -> str:
    return "them" if walker.many else "it" if walker.animal or walker.wheels else "them"


def _gates_on(walk: Walk, way: Way | None) -> tuple[str, ...]:
    if way is None or len(way.points) < 2:
        return ()
    line = LineString(way.points)
    return tuple(dict.fromkeys(o.owner for o in walk.scene.openings if o.clear.intersects(line) and o.leaf is not None))


def same_way(found: Difference, walk: Walk, start: str, end: str, *, crossed: bool = False) -> bool:
    """Return whether both scenes of a difference surely have the same shortest way, and ``crossed`` the same on it.

    ``walk`` is the walk on the rest of the two.
    """
    way = way_kept(found, walk, start, end)
    return way is not None and (not crossed or crossed_kept(found, way))


def drawn_way(verdict: Verdict) -> bool:
    """Return whether a verdict shows a way with an arrow, and so was reached by finding one."""
    return any(isinstance(f, PathFigure) and f.arrow for f in verdict.evidence)


def missing(walk: Walk, refs: tuple[str, ...], words: Words) -> str | None:
    """Return a sentence naming the first place that doesn't stand or can't be stood on, or None if all do."""
    for ref in refs:
        place = walk.place(ref)
        if place is None:
            return capital(f"{words.the(ref)} does not stand then.")
        if ref != OUTSIDE and not walk.scene.world.intersects(place.shape):
            return capital(f"{words.the(ref)} lies too far outside the boundary to be judged.")
    return None


_RAISED: Kept[Barrier] = Kept(2048)
_WIDE: Kept[list[float]] = Kept(512)
_AT_GATE: Kept[BaseGeometry] = Kept(512)
