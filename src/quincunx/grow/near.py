"""What stands too near: neighbours, walls, buildings on clay, drains, treated timber, old paint, walnut roots."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from quincunx.grow.exposed import GROWS_FREE, spreads
from quincunx.grow.misfit import PRACTICE, Misfit, name
from quincunx.grow.partners import distance
from quincunx.grow.plantings import Planting, plantings
from quincunx.plants.growth import mature_height, mature_spread
from quincunx.scene import Frame, Scene, Timeline
from quincunx.scene._kept import Kept
from quincunx.shapes import LineWork, Severity
from quincunx.site.codes import held
from quincunx.site.country import country_of

TOGETHER = 0.7
"""Plants grow into each other when they stand nearer than this share of half their widths together (common practice)."""
CLAY_TIMES = {"high": 1.25, "moderate": 0.75, "low": 0.5}
"""Zone of influence on shrinkable clay, times the mature height, by water demand (NHBC Standards 4.2, Table 3b; read)."""
ROOTS_M = ((8.0, 3.0), (3.0, 1.5), (0.0, 0.5))
"""From a drain or line, by mature height: at least so high, so far off [m] (BS 5837:2012 Annex A has 1 to 3 m for drains
and light walls, more for large trees; from memory)."""
PAINT_M = 3.0
"""Soil within this of an old painted wall may hold lead (drip line of a building; general caution, from memory) [m]."""
WALNUT_M = 18.0
"""Black walnut roots poison what is sensitive within 50 to 60 ft (from memory) [m]."""
SENSITIVE = ("Solanum", "Malus", "Rhododendron", "Vaccinium", "Asparagus", "Capsicum", "Rheum", "Paeonia", "Brassica")
"""Genera that suffer under black walnut (from memory)."""

ROOTS, FOUNDED, TREATED, PAINTED = "roots clog it", "foundations", "treated timber", "old paint"
MINDED = (ROOTS, FOUNDED, TREATED, PAINTED)
"""What there are cautions of that matters to what is planted beside it."""

Heights = Mapping[str, tuple[float, float, float]]
"""How high what is clipped stands in the plan's last year [m]: low, middle, high, by owner."""


def minded(frame: Frame) -> tuple[tuple[str, str], ...]:
    """Return whatever there is a caution of that what is planted beside it minds: (id, caution) each."""
    return tuple((owner, caution) for owner, caution in frame.cautions if caution in MINDED)


def beside(timeline: Timeline, year: int, standing: Sequence[Planting], currency: str = "") -> Iterator[Misfit]:
    """Yield the misfits of plantings with what stands beside them in ``year``."""
    scene = timeline.at(timeline.leaf_date(year))
    cautions, trees = minded(timeline.frame), held(country_of(timeline.frame.place, currency), "trees").cited()
    at_last = {p.owner: p.standing.height_m for p in plantings(timeline, timeline.years[-1])}
    for k, one in enumerate(standing):
        for other in standing[k + 1 :]:
            yield from _neighbours(one, other)
        yield from _walnut(one, standing)
        if timeline.span(one.owner).begins is not None:
            yield from _roots(one, at_last, scene, [i for i, c in cautions if c == ROOTS], trees)
            yield from spreads(one, _points(one), scene, tuple(i for i, c in cautions if c == FOUNDED), trees)
        yield from _clay(one, at_last, timeline, scene, [i for i, c in cautions if c == FOUNDED])
        if one.plant.edible:
            yield from _poisoned_ground(one, scene, cautions)


def _points(one: Planting) -> BaseGeometry:
    return _POINTS.get((one.standing,), None, lambda: shapely.multipoints(np.reshape(one.standing.at, (-1, 2))))


_POINTS: Kept[BaseGeometry] = Kept(1024)


def _neighbours(one: Planting, other: Planting) -> Iterator[Misfit]:
    if not (_large(one) and _large(other)):
        return
    apart, half = distance(one, other), (mature_spread(one.plant).mid + mature_spread(other.plant).mid) / 2
    if one.owner == other.owner or apart >= TOGETHER * half:
        return
    words = f"{name(one)} and {name(other)} stand {{m:{apart:.3f}}} apart and grow {{m:{half - apart:.3f}}} into each other's room."
    yield Misfit(
        one.owner, "neighbours", Severity.CARE, words, "Set them farther apart, or keep one of them small by pruning.",
        f"width when grown: {one.plant.known('spread_m')}; nearer than seven tenths of it: {PRACTICE}", other.owner,
    )  # fmt: skip


def _large(one: Planting) -> bool:
    return one.plant.form in GROWS_FREE and not one.standing.kept and not one.standing.spacing_m


def _walnut(one: Planting, standing: Sequence[Planting]) -> Iterator[Misfit]:
    if "juglone" not in one.plant.poison_words:
        return
    for other in standing:
        if other.plant.botanical.split(" ")[0] in SENSITIVE and distance(one, other) < WALNUT_M:
            words = f"{name(other)} stands {{m:{distance(one, other):.3f}}} from {name(one)}, whose roots poison it."
            yield Misfit(
                other.owner, "walnut", Severity.FAULT, words, "Plant it out of reach of the walnut's roots.",
                "juglone; distance of 50 to 60 ft from memory", one.owner,
            )  # fmt: skip


def _roots(one: Planting, at_last: Heights, scene: Scene, drains: Sequence[str], source: str) -> Iterator[Misfit]:
    if not one.plant.woody or one.plant.form == "climber":
        return
    high = at_last.get(one.owner, one.standing.height_m)[1] if one.standing.kept else mature_height(one.plant).mid
    far = next(m for at_least, m in ROOTS_M if high >= at_least)
    points = _points(one)
    lines = [(b.owner, b.line) for b in scene.buried]
    lines += [(w.owner, w.line) for w in scene.work if isinstance(w, LineWork) and w.owner in drains]
    for owner, line in lines:
        apart = float(points.distance(line))
        if apart < far:
            yield _root(one, owner, apart, far, source)


def _root(one: Planting, owner: str, apart: float, far: float, source: str) -> Misfit:
    words = f"{name(one)} is planted {{m:{apart:.3f}}} from {{{owner}}}; roots want {{m:{far:.3f}}}."
    return Misfit(
        one.owner, "roots", Severity.CARE, words,
        "Move it away, or have a root barrier set; have lines located before you dig.",
        source, owner,
    )  # fmt: skip


def _clay(
    one: Planting, at_last: Heights, timeline: Timeline, scene: Scene, founded: Sequence[str]
) -> Iterator[Misfit]:
    demand = one.plant.water_demand
    if not timeline.frame.soil.shrinkable_clay or demand is None:
        return
    high = at_last.get(one.owner, one.standing.height_m)[2] if one.standing.kept else mature_height(one.plant).high
    far, points = CLAY_TIMES[demand] * high, _points(one)
    for owner in founded:
        shape = scene.area_of(owner)
        if shape is not None and (apart := float(shapely.distance(points, shape))) < far:
            words = (
                f"{name(one)} takes water from the clay up to {{m:{far:.3f}}} off and stands {{m:{apart:.3f}}} from"
                f" {{{owner}}}: clay that dries shrinks, and what stands on it can crack."
            )
            yield Misfit(
                one.owner, "clay", Severity.CARE, words,
                "Plant farther off or something that drinks less; for anything already grown ask a structural engineer before"
                " you plant, fell or build: felling can do harm too.",
                f"NHBC Standards 4.2, Table 3b: {CLAY_TIMES[demand]:g} times the mature height for {demand} water demand;"
                " it is for new foundations in Britain and no verdict on yours", owner,
            )  # fmt: skip


def _poisoned_ground(one: Planting, scene: Scene, cautions: Sequence[tuple[str, str]]) -> Iterator[Misfit]:
    points = _points(one)
    for owner, caution in cautions:
        shape = scene.area_of(owner) if caution in (TREATED, PAINTED) else None
        if shape is None:
            continue
        if caution == TREATED and shapely.intersects(shapely.convex_hull(shape), points):
            words = f"{name(one)} is grown to be eaten inside {{{owner}}}, whose timber is treated."
            remedy = "Line the sides, or build with untreated timber; old treated timber (arsenic) not at all."
            yield Misfit(one.owner, "timber", Severity.CARE, words, remedy, "general caution, from memory", owner)
        elif caution == PAINTED and (apart := float(shapely.distance(points, shape))) < PAINT_M:
            words = (
                f"{name(one)} is grown to be eaten {{m:{apart:.3f}}} from {{{owner}}}, whose old paint may hold lead."
            )
            remedy = "Have the soil there tested for lead first, or grow it elsewhere in clean soil."
            yield Misfit(one.owner, "paint", Severity.DANGER, words, remedy, "general caution, from memory", owner)
