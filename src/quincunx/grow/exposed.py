"""Whether the place's wind, its winters' cold and the room beside a planting suit it; each misfit with what to do."""

from __future__ import annotations

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


def spreads(one: Planting, points: BaseGeometry, scene: Scene, founded: tuple[str, ...]) -> Iterator[Misfit]:
    """Yield where a planting that is left to grow comes over a way, or stands too near the walls of a house."""
    plant, standing = one.plant, one.standing
    if standing.kept or standing.spacing_m or plant.form not in GROWS_FREE:
        return
    half = mature_spread(plant).mid / 2
    if plant.clear_stem_m < HEADROOM_M:
        ways: dict[str, float] = {}
        for surface in scene.surfaces:
            if surface.layer in WAYS:
                apart = float(shapely.distance(points, surface.area))
                ways[surface.owner] = min(apart, ways.get(surface.owner, apart))
        for owner, apart in ways.items():
            if apart < (1 - OVER_WAY_SHARE) * half:
                yield _over(one, owner, half - apart)
    high = mature_height(plant).mid
    far = next((m for at_least, m in STEM_M if high >= at_least), 0.0)
    for owner in founded:
        shape = scene.area_of(owner)
        if shape is not None and (apart := float(shapely.distance(points, shape))) < far:
            words = f"{name(one)} stands {{m:{apart:.3f}}} from the walls of {{{owner}}}; when grown it wants {{m:{far:.3f}}}."
            yield Misfit(
                one.owner, "walls", Severity.HINT, words, "Set it farther off, or train it flat and keep it small.",
                "BS 5837:2012 Annex A gives 1 to 3 m for light walls, more for large trees; from memory", owner,
            )  # fmt: skip


def _over(one: Planting, owner: str, over_m: float) -> Misfit:
    words = f"{name(one)} grows {{m:{over_m:.3f}}} over the edge of {{{owner}}} when it is grown."
    return Misfit(
        one.owner, "way", Severity.HINT, words,
        "Set it farther off, raise its crown as it grows, or keep it to a width.",
        f"width when grown: {one.plant.known('spread_m')}; {PRACTICE}", owner,
    )  # fmt: skip
