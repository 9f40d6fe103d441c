"""Whether the place's wind, its winters' cold and the room beside a planting suit it; each misfit with what to do."""

from __future__ import annotations

import math
from collections.abc import Iterator

import shapely
from shapely.geometry.base import BaseGeometry

from quincunx.features._floors import Lies
from quincunx.grow.misfit import PRACTICE, Misfit, name
from quincunx.grow.plantings import Planting
from quincunx.plants.growth import mature_height, mature_spread
from quincunx.scene import Frame, Scene
from quincunx.scene._kept import Kept
from quincunx.shapes import Severity
from quincunx.site.seasons import Seasons, seasons
from quincunx.units.dates import MONTHS

WINDY_M_S, ROOTED_YEARS = 5.0, 2.0
"""A mean wind of a month at 10 m from which evergreens dry out and rock until they have rooted, so many years (common
practice, no source)."""
STEM_M = ((8.0, 3.0), (3.0, 1.5))
"""From a house's wall, by mature height: at least so high, so far off [m] (BS 5837:2012 Annex A has 1 to 3 m for light
walls and paving, more for large trees; from memory)."""
OVER_WAY_SHARE = 0.5
"""Of half its mature width so much may hang over the edge of a way before it is worth a word (common practice)."""
WAYS = frozenset((int(Lies.PATH), int(Lies.RAMP), int(Lies.STEPS)))
"""What is walked along, by how it lies."""
GROWS_FREE = frozenset(("tree", "shrub", "hedge"))
"""Forms of plants that take their whole width unless somebody clips them or sets them in a row."""
REACHES_OUT = frozenset((*GROWS_FREE, "row"))
"""Forms of plants whose wood reaches out over what lies beside them."""
LEAST_OVER_M, CLOSES_SHARE = 0.15, 0.5
"""Less than this over an edge is brushed aside [m]; who loses half the width of a way hardly gets by (common practice)."""
HEADROOM_M = 2.1
"""A crown that begins so high is walked under [m] (common practice, no source)."""


def exposed(one: Planting, frame: Frame) -> Iterator[Misfit]:
    """Yield how a planting doesn't fit the wind and the winters of a place."""
    yield from _windy(one, frame)
    yield from _chill(one, frame)


def _windy(one: Planting, frame: Frame) -> Iterator[Misfit]:
    wind = frame.climate.wind_m_s
    if wind is None or max(wind) < WINDY_M_S or not (one.plant.evergreen and one.plant.woody):
        return
    if not 0.0 <= one.standing.age_years < ROOTED_YEARS:
        return
    month = max(range(12), key=lambda m: wind[m])
    words = (
        f"{name(one)} is evergreen and young in a windy place (a mean of {wind[month]:g} m/s in {MONTHS[month]}): it dries"
        " out and rocks until it has rooted."
    )
    yield Misfit(
        one.owner, "wind", Severity.HINT, words,
        "Plant it small, firm it in, and shelter it by a net or hurdles for two winters, or plant a shelter belt first.",
        f"{PRACTICE}; the wind from your climate",
    )  # fmt: skip


def _chill(one: Planting, frame: Frame) -> Iterator[Misfit]:
    needs = one.plant.chill_h
    found = None if needs is None else _SEASONS.get((frame.climate,), frame.latitude_deg < 0, lambda: _of(frame))
    if needs is None or found is None or found.chill_h >= needs[0]:
        return
    words = (
        f"{name(one)} wants {needs[0]:g} to {needs[1]:g} hours of winter chill, and this place has about"
        f" {found.chill_h:.0f}: it leafs and flowers poorly."
    )
    yield Misfit(
        one.owner, "chill", Severity.CARE, words, "Choose a variety that wants little chill, and ask growers near you.",
        f"chill it wants: {one.plant.known('chill_h')}; chill of the place reckoned from its monthly temperatures",
    )  # fmt: skip


def _of(frame: Frame) -> Seasons | None:
    return seasons(frame.climate, southern=frame.latitude_deg < 0)


_SEASONS: Kept[Seasons | None] = Kept(16)


def spreads(
    one: Planting, points: BaseGeometry, scene: Scene, founded: tuple[str, ...], source: str
) -> Iterator[Misfit]:
    """Yield where a planting comes over a way or into an opening, or stands too near the walls of a house when grown."""
    plant, standing = one.plant, one.standing
    if plant.form not in REACHES_OUT:
        return
    # What is clipped is as wide as it is kept; a row or area still grows out to its sides.
    half = (standing.spread_m[1] if standing.kept else mature_spread(plant).mid) / 2
    if plant.clear_stem_m < HEADROOM_M or standing.spacing_m:
        yield from _over_ways(one, points, scene, half)
    if standing.kept or standing.spacing_m or plant.form not in GROWS_FREE:
        return
    high = mature_height(plant).mid
    far = next((m for at_least, m in STEM_M if high >= at_least), 0.0)
    for owner in founded:
        shape = scene.area_of(owner)
        if shape is not None and (apart := float(shapely.distance(points, shape))) < far:
            words = f"{name(one)} stands {{m:{apart:.3f}}} from the walls of {{{owner}}}; when grown it wants {{m:{far:.3f}}}."
            yield Misfit(
                one.owner, "walls", Severity.HINT, words, "Set it farther off, or train it flat and keep it small.",
                source, owner,
            )  # fmt: skip


def _over_ways(one: Planting, points: BaseGeometry, scene: Scene, half: float) -> Iterator[Misfit]:
    """Yield each way over whose edge, and each opening into which, a crown ``half`` [m] wide comes too far."""
    ways: dict[str, tuple[float, float]] = {}
    for surface in scene.surfaces:
        if surface.layer in WAYS:
            apart = float(shapely.distance(points, surface.area))
            if apart < ways.get(surface.owner, (half, 0.0))[0]:
                ways[surface.owner] = (apart, _width_m(surface.area))
    for opening in () if one.standing.kept else scene.openings:  # an opening is cut out of a clipped hedge
        apart = float(shapely.distance(points, opening.clear))
        if opening.owner != one.owner and apart < ways.get(opening.owner, (half, 0.0))[0]:
            ways[opening.owner] = (apart, opening.width_m)
    for owner, (apart, wide) in ways.items():
        over = half - apart
        if over > max(0.0 if one.standing.kept else OVER_WAY_SHARE * half, LEAST_OVER_M):
            yield _over(one, owner, over, wide)


def _width_m(way: BaseGeometry) -> float:
    """Return the width of the rectangle as large and as long round as a way [m]."""
    half = way.length / 2
    return float(half - math.sqrt(max(half * half - 4 * way.area, 0.0))) / 2


def _over(one: Planting, owner: str, over_m: float, wide_m: float) -> Misfit:
    """Return that a crown comes ``over_m`` over a way ``wide_m`` wide: graver where it takes half of it."""
    closes = over_m >= CLOSES_SHARE * wide_m
    across = f", {{m:{wide_m:.3f}}} wide," if closes else ""
    then = ": hardly anybody gets by." if closes else "."
    words = f"{name(one)} grows {{m:{over_m:.3f}}} over the edge of {{{owner}}}{across} when it is grown{then}"
    remedy = (
        "Clip it narrower, or move it"
        if one.standing.kept
        else "Set it farther off, raise its crown as it grows, or keep it to a width"
    )
    return Misfit(
        one.owner, "way", Severity.CARE if closes else Severity.HINT, words, f"{remedy}.",
        f"width when grown: {'as it is kept' if one.standing.kept else one.plant.known('spread_m')}; {PRACTICE}", owner,
    )  # fmt: skip
