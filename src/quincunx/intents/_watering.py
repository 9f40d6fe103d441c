"""What the musts about watering share: the water of the year, what it needs to be known, and who asks for most."""

from __future__ import annotations

from quincunx.intents._base import Words
from quincunx.scene import Timeline
from quincunx.shapes import Figure, PathFigure
from quincunx.water.watering import Need, YearWater, watering

NO_CLIMATE = (
    "The monthly rain and temperatures of the place are not written down. Write them down (on the board: Given, "
    "The place, Climate): the nearest weather station publishes both."
)
MOST_NAMED = 3


def water_of(timeline: Timeline, year: int) -> YearWater | None:
    """Return the water of a year of the plan; None where the climate is not known or the year lies outside."""
    found = watering(timeline)
    return None if found is None else found.get(year)


def most_of(needs: tuple[Need, ...]) -> list[Need]:
    """Return the few that ask for most."""
    return sorted((n for n in needs if n.litres > 0), key=lambda n: (-n.litres, n.of.owner))[:MOST_NAMED]


def thirstiest(needs: tuple[Need, ...], words: Words) -> str:
    """Return who asks for most, as a sentence; empty where nobody asks for any."""
    named = words.both(tuple(n.of.owner for n in most_of(needs)))
    return f" Most goes to {named}." if named else ""


def rings_of(needs: tuple[Need, ...], timeline: Timeline, year: int) -> tuple[Figure, ...]:
    """Return the outlines of the few that ask for most, for the sheet."""
    scene = timeline.at(timeline.leaf_date(year))
    drawn = []
    for need in most_of(needs):
        area = scene.area_of(need.of.owner)
        for part in getattr(area, "geoms", [area]) if area is not None else ():
            ring = tuple((float(x), float(y)) for x, y in part.exterior.coords[:-1])
            drawn.append(PathFigure(ring, "evidence", need.of.owner, closed=True, weight="thick"))
    return tuple(drawn)
