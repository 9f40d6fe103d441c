"""A way stays above high water."""

from __future__ import annotations

from dataclasses import replace
from typing import ClassVar, Literal

from shapely import LineString, get_coordinates

from quincunx.intents._base import Words
from quincunx.intents._between import Between
from quincunx.intents._walking import by_way_of, missing, way_figure, why_not
from quincunx.scene import Scene, Timeline
from quincunx.shapes import AreaFigure, Figure, Height, Plane, State, Surface, Verdict, united
from quincunx.units import capital
from quincunx.units.fields import Slug, field
from quincunx.walk.barriers import polygons
from quincunx.walk.reach import walk_of

OVER_ALL = 1000
"""High water shows over every floor that it covers."""


class DryShod(Between):
    """There is a way between two places that high water leaves dry."""

    words: ClassVar[str] = "a way that stays dry"
    about: ClassVar[str] = (
        "There is a way between two places though all ground that floods is under water, but for floors drawn higher than the"
        " water is deep (a bridge or a deck). How fast water comes, and whether it comes farther, nobody can promise."
    )
    reads: ClassVar[frozenset[str]] = frozenset({"walk"})
    example: ClassVar = {"id": "dry-to-road", "start": "kitchen-door", "end": "road"}

    kind: Literal["dry-shod"] = "dry-shod"
    walker: Slug = field("Who", "person")

    def sentence(self, words: Words) -> str:
        """Say who gets where when the water is high."""
        who = words.walker(self.walker)
        subject, verb = (capital(who.name), who.says("gets", "get")) if who else (self.walker, "gets")
        return f"When the water is high, {subject[:1].lower()}{subject[1:]} {verb} from {words.the(self.start)} to {words.the(self.end)} dry-shod."

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Look for the way while all ground that floods is under water."""
        who = words.walker(self.walker)
        assert who is not None  # noqa: S101 - judge() asked
        scene = timeline.at(timeline.leaf_date(year))
        wet = tuple(s for s in scene.surfaces if s.floods_m > 0)
        if not wet:
            text = "No ground that floods is drawn: peg the line of high water and draw it."
            return Verdict(year, State.UNKNOWN, text)
        walk = walk_of(_high(scene, wet), who, polite=True)
        gone = missing(walk, self.things(), words)
        if gone:
            return Verdict(year, State.UNKNOWN, gone)
        start, end = words.the(self.start), words.the(self.end)
        way = walk.way(self.start, self.end) if walk.reaches(self.start, self.end) else None
        if way is not None:
            by = by_way_of(walk, way, words, self.end)
            names, many = _named(wet, words)
            leave = "leave" if many else "leaves"
            text = f"{words.distance(way.length_m)}{', ' + by if by else ''}: {names} {leave} all of it dry."
            return Verdict(year, State.HOLDS, capital(text), evidence=(way_figure(way),))
        water = tuple(_drawn(s) for s in wet)
        usual = walk_of(scene, who, polite=True)
        if not usual.reaches(self.start, self.end):
            why, drawn = why_not(usual, self.start, self.end, words)
            return Verdict(year, State.FAILS, f"There is no way from {start} to {end} at all: {why}.", evidence=drawn)
        through = usual.way(self.start, self.end)
        met = wet if through is None else tuple(s for s in wet if s.area.intersects(LineString(through.points))) or wet
        shown: tuple[Figure, ...] = water if through is None else (way_figure(through), *water)
        deep, names = words.length(max(s.floods_m for s in met)), _named(met, words)[0]
        leads = "leads through" if len(met) == len(wet) == 1 else "is under water somewhere, the usual one in"
        text = f"Every way from {start} to {end} {leads} {names}, up to {deep} deep when the water is high."
        return Verdict(year, State.FAILS, text, evidence=shown)


def _named(wet: tuple[Surface, ...], words: Words) -> tuple[str, bool]:
    """Return what floods by name, and whether it is several."""
    owners = tuple(dict.fromkeys(s.owner for s in wet))
    return words.both(owners), len(owners) > 1


def _high(scene: Scene, wet: tuple[Surface, ...]) -> Scene:
    """Return a scene with the water standing on all ground that floods, but where a floor lies higher than it is deep."""
    flooded = []
    for one in wet:
        dry = united([s.area for s in scene.surfaces if _above_ground_m(scene, s) >= one.floods_m - 1e-9])
        for n, piece in enumerate(polygons(one.area.difference(dry))):
            flooded.append(
                Surface(one.owner, f"high water {n}", piece, "water", water_depth_m=one.floods_m, layer=OVER_ALL)
            )
    return replace(scene, surfaces=(*scene.surfaces, *flooded))


def _above_ground_m(scene: Scene, floor: Surface) -> float:
    """Return how high a level floor lies over the ground where it lies lowest over it [m]; 0 for steps and slopes."""
    if isinstance(floor.lie, Plane) and not floor.lie.grade:
        lie = floor.lie.at
    elif isinstance(floor.lie, Height):
        lie = floor.lie
    else:
        return 0.0
    return min(lie.above_ground_m(scene.ground_z_m(x, y)) for x, y in get_coordinates(floor.area))


def _drawn(wet: Surface) -> AreaFigure:
    ring = tuple((float(x), float(y)) for x, y in wet.area.exterior.coords)
    return AreaFigure((ring,), "evidence", wet.owner, "waves")
