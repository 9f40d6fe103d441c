"""What tests of kinds share: standing a feature up, and all examples."""

from __future__ import annotations

from datetime import date
from typing import Any

from shapely import Polygon, box
from shapely.geometry.base import BaseGeometry

from quincunx.features import Feature, feature_from, kinds
from quincunx.plants.catalogue import Plant, find_plant
from quincunx.scene import Moment, Scene, Stood, assemble
from quincunx.shapes import AreaFigure, DimensionFigure, Figure, PathFigure, TextFigure, united
from quincunx.site.ground import Ground

FLAT = Ground.flat()
ALL = sorted(kinds().items())
IDS = [word for word, _ in ALL]
FIELD = box(-50, -50, 50, 50)


def find(plant_id: str) -> Plant | None:
    return find_plant(plant_id)


def make(kind: str, **fields: Any) -> Feature:
    """The feature of a kind with some fields changed from its example."""
    return feature_from({**kinds()[kind].example, **fields, "kind": kind}, fields.get("id", f"a-{kind}"))


def moment(
    on: date = date(2030, 6, 15),
    *,
    age: float = 2.0,
    ground: Ground = FLAT,
    southern: bool = False,
    stage: int = 0,
) -> Moment:
    return Moment(on, age, ground, find, stage, southern)


def stand(feature: Feature, at: Moment | None = None) -> Stood:
    return feature.stand(at or moment())


def scene_of(*features: Feature, at: Moment | None = None) -> Scene:
    when = at or moment()
    return assemble(Scene(when.on, FIELD, when.ground), [stand(f, when) for f in features])


def footprint(stood: Stood) -> BaseGeometry:
    """All the ground that something takes in plan."""
    shapes: list[BaseGeometry] = [s.footprint for s in stood.solids] + [s.area for s in stood.surfaces]
    shapes += [o.clear.buffer(0.05, cap_style="flat") for o in stood.openings]
    places = [getattr(change, "place", None) for change in stood.changes]
    shapes += [place for place in places if isinstance(place, Polygon)]
    return united(shapes)


def points(figure: Figure) -> list[tuple[float, float]]:
    match figure:
        case PathFigure():
            return list(figure.points)
        case AreaFigure():
            return [p for ring in figure.rings for p in ring]
        case TextFigure():
            return [figure.at]
        case DimensionFigure():
            return [figure.start, figure.end]
