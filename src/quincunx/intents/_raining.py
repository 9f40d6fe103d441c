"""What the musts about rain share: the weather of the place, and what shows why."""

from __future__ import annotations

import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from quincunx.scene import Scene, Timeline
from quincunx.shapes import AreaFigure, Figure, PathFigure
from quincunx.units import compass_words
from quincunx.units.dates import MONTHS as MONTH_NAMES, in_turn, unbroken
from quincunx.water import ORDINARY_MM_H, Weather, slant

NO_WEATHER = (
    "The monthly rain and mean wind of the place are not written down. Write them down (on the board: Given, "
    "The place, Climate): the nearest weather station publishes both."
)


def weather_of(timeline: Timeline) -> Weather | None:
    """Return the weather of a garden's place; None where its rain or wind is not known."""
    return Weather.of(timeline.frame.climate, timeline.frame.north_offset_deg)


def chances(share: float) -> str:
    """Return a share as chances: ``8 chances in 10``."""
    tenths = round(10 * share)
    return f"{tenths} chance{'' if tenths == 1 else 's'} in 10"


def side_words(bearing_deg: float | None) -> str:
    """Return from which side something comes, as the end of a sentence: ``from the south-west``."""
    if bearing_deg is None:
        return "from all round"
    return f"from the {compass_words(bearing_deg)}"


def months_words(months: tuple[int, ...]) -> str:
    """Return months in words: ``May to September``, ``December to February``; empty for the whole year."""
    run = in_turn(months)
    if not run or len(run) == 12:
        return ""
    if len(run) > 1 and unbroken(run):
        return f"{MONTH_NAMES[run[0] - 1]} to {MONTH_NAMES[run[-1] - 1]}"
    return ", ".join(MONTH_NAMES[m - 1] for m in run)


def ordinary(weather: Weather, months: tuple[int, ...]) -> tuple[float, float]:
    """Return the mean wind at the height of people [m/s] and the slant of ordinary rain in it, over some months."""
    wind = sum(weather.low_wind_m_s(m) for m in months) / len(months)
    return wind, slant(wind, ORDINARY_MM_H)


def dry_figures(scene: Scene, place: str, roofs: tuple[str, ...]) -> tuple[Figure, ...]:
    """Return what shelters a place as it is drawn: its roofs hatched, the place outlined thick."""
    drawn: list[Figure] = [
        AreaFigure((_ring(part),), "evidence", owner, "hatch")
        for owner in roofs
        for part in _parts(scene.area_of(owner))
    ]
    spot = scene.spot(place)
    around = scene.area_of(place) if spot is None else shapely.Point(spot.at).buffer(0.3, cap_style="square")
    drawn += [PathFigure(_ring(part), "evidence", place, closed=True, weight="thick") for part in _parts(around)]
    return tuple(drawn)


def _parts(shape: BaseGeometry | None) -> list[Polygon]:
    return [p for p in shapely.get_parts(shape) if isinstance(p, Polygon)] if shape is not None else []


def _ring(shape: Polygon) -> tuple[tuple[float, float], ...]:
    return tuple((float(x), float(y)) for x, y in shape.exterior.coords[:-1])
