"""A place to sit under each roof that could stand there: as it is, and each of a held place's shortlist."""

from __future__ import annotations

from dataclasses import dataclass, replace

import shapely
from shapely import Point

from quincunx.features import Feature, HeldPlace
from quincunx.garden import Garden
from quincunx.scene import Scene, Timeline
from quincunx.units import compass_words
from quincunx.water import Dry, Weather, dryness
from quincunx.water.roofs import roofs_of
from quincunx.water.shelter import Floats, sitting

NEAR_M = 1.5
"""A held place this near to a seat may shelter it [m]."""
SIDES_FIELD = "closed_sides"
"""The field by which a structure says which of its sides are closed."""
MOST_CLOSED = 2


@dataclass(frozen=True, eq=False)
class Roofed:
    """One way to cover a place: what it is called, the garden with it, how dry the place stays, the roof over it [m2].

    ``feature`` is what would stand in the place held open (``held``), its ``closed`` sides closed; None as it is.
    """

    id: str
    words: str
    scene: Scene
    dry: Dry
    roof_m2: float
    closed: tuple[int, ...] = ()
    held: str = ""
    feature: Feature | None = None


def compared(
    garden: Garden, timeline: Timeline, place: str, weather: Weather, months: tuple[int, ...], year: int | None = None
) -> tuple[Roofed, ...]:
    """Return a place as it stands at the end of the summer of ``year`` (the last), then under each roof thought of.

    A roof whose sides can be closed is tried open, and with the one side and the two sides closed that keep most rain
    off; its front, the first side, stays open.  Empty where the place doesn't stand.
    """
    on = timeline.leaf_date(timeline.years[-1] if year is None else year)
    now = timeline.at(on)
    points = sitting(now, place)
    if points is None:
        return ()
    out = [_roofed("as-it-stands", "as it stands", now, points, weather, months)]
    for held, choices in _choices(garden, points):
        for choice, words, feature in choices:
            out += _tried(timeline, held, (choice, words, feature), points, weather, months, on.year)
    return tuple(out)


def _choices(garden: Garden, points: Floats) -> list[tuple[Feature, tuple[tuple[str, str, Feature], ...]]]:
    place = shapely.convex_hull(shapely.multipoints(points[:, :2]))
    found = []
    for feature in garden.features:
        held: HeldPlace | None = feature.held_place()
        if held is not None and held.outline.distance(place) < NEAR_M:
            found.append((feature, held.shortlist))
    return found


def _tried(
    timeline: Timeline,
    held: Feature,
    one: tuple[str, str, Feature],
    points: Floats,
    weather: Weather,
    months: tuple[int, ...],
    year: int,
) -> list[Roofed]:
    choice, words, feature = one
    open_ = replace(
        _roofed(choice, words, _with(timeline, held, feature, year), points, weather, months),
        held=held.id,
        feature=feature,
    )
    out = [open_]
    if SIDES_FIELD not in type(feature).model_fields or open_.dry.whole <= 0:
        return out
    closed: tuple[int, ...] = tuple(getattr(feature, SIDES_FIELD))
    for n in range(1, MOST_CLOSED + 1):
        if len(closed) >= n:
            continue
        tries = []
        for side in _sides(feature):
            if side not in closed:
                more = (*closed, side)
                there = _with(timeline, held, feature.changed(**{SIDES_FIELD: more}), year)
                tries.append(_roofed(f"{choice}-{n}", "", there, points, weather, months, more))
        best = max(tries, key=lambda r: (r.dry.whole, r.dry.part, [-s for s in r.closed]), default=None)
        if best is None or best.dry.whole <= out[-1].dry.whole:
            break
        closed = best.closed
        names = [_side_name(feature, side) for side in closed]
        said = f"{words}, {' and '.join(names)} side{'s' if len(names) > 1 else ''} closed"
        made = feature.changed(**{SIDES_FIELD: closed})
        out.append(Roofed(best.id, said, best.scene, best.dry, best.roof_m2, closed, held.id, made))
    return out


def _side_name(feature: Feature, side: int) -> str:
    """Return the way a side looks: ``south-west``."""
    return compass_words(feature.sides()[side - 1].out_deg)  # type: ignore[attr-defined]


def _sides(feature: Feature) -> range:
    sides = getattr(feature, "sides", None)
    return range(2, (len(sides()) if sides is not None else 0) + 1)


def _with(timeline: Timeline, held: Feature, feature: Feature, year: int) -> Scene:
    """Return the garden with a structure in its held place, built before the year's summer."""
    built = feature.changed(id=held.id, name=held.name, there_from=f"{min(year, timeline.years[-1])}-01")
    return timeline.with_features([built]).at(timeline.leaf_date(year))


def _roofed(
    id_: str,
    words: str,
    scene: Scene,
    points: Floats,
    weather: Weather,
    months: tuple[int, ...],
    closed: tuple[int, ...] = (),
) -> Roofed:
    place = shapely.convex_hull(shapely.multipoints(points[:, :2]))
    over = [r for r in roofs_of(scene) if r.shape.intersects(place)]
    return Roofed(
        id_, words, scene, dryness(scene, points, weather, months), sum(r.area_m2 for r in over), closed=closed
    )


def places_to_sit(garden: Garden, timeline: Timeline) -> tuple[str, ...]:
    """Return the places that are worth asking about: those that a must about rain names, and spots by a held place."""
    last = timeline.at(timeline.leaf_date(timeline.years[-1]))
    asked = [m.things()[0] for m in garden.intents if "rain" in m.reads and len(m.things()) == 1]
    out = [ref for ref in asked if sitting(last, ref) is not None and not _holds_water(last, ref)]
    helds = [h for f in garden.features if (h := f.held_place()) is not None]
    for spot in timeline.frame.spots:
        near = any(h.outline.distance(Point(spot.at)) < NEAR_M for h in helds)
        if spot.height_m > 0 and near and not any(_same(last, ref, spot.at) for ref in out):
            out.append(spot.id)
    return tuple(dict.fromkeys(out))


def _holds_water(scene: Scene, ref: str) -> bool:
    """Return whether it is a tank or a butt, or a roof drains into it: nobody sits there."""
    return any(s.owner == ref for s in scene.supplies) or any(s.sheds_to == ref for s in scene.solids)


def _same(scene: Scene, ref: str, at: tuple[float, float]) -> bool:
    """Return whether a place asked about already is where this point is."""
    shape = scene.area_of(ref)
    return shape is not None and shape.distance(Point(at)) < 1.0


__all__ = ["Roofed", "compared", "places_to_sit"]
