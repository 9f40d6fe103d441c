"""The first ten minutes: four sides and one diagonal (or three sides), the house, one thing wanted, one must, this year's sum."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from quincunx.features import Feature, kind_id, kinds
from quincunx.garden.document import FORMAT, Garden, Writing
from quincunx.garden.reading import Fault, GardenError, garden_from
from quincunx.site.place import DatumAt
from quincunx.survey.readings import Begun
from quincunx.units import UnitsError, capital, format_length, parse_length, parse_money
from quincunx.units.fields import Doc, Length, Name, field
from quincunx.units.style import Style

XY = tuple[float, float]
GAP_M = 0.05
"""Sides that miss each other by no more than this still close [m]."""
OVER_M = 0.3
"""So far may the house reach beyond the ground and still stand on it: what taping leaves open [m]."""
HOUSE = "house"
"""What stands there already is stored as this kind."""
SIDES = ("first", "second", "third", "fourth")


class House(Doc):
    """The house: its size, the side of the ground it stands along (1 to 4), how far along and how far in."""

    width: Length = field("Along the side")
    depth: Length = field("Depth")
    side: int = field("Stands along side", 3, ge=1, le=4)
    along: Length = field("From the side's start", Length(1.0))
    set_back: Length = field("In from the side", Length(1.0))


class Answers(Doc):
    """What a new person answers; everything but the ground may be left out."""

    name: Name = field("Name of the garden", "My garden")
    town: str = field("Town", "")
    country: str | None = field(
        "Country", None, pattern="^[A-Z]{2}$", help="Two letters (ISO 3166), as the town has it."
    )
    latitude_deg: float | None = field("Latitude", None, ge=-90, le=90)
    longitude_deg: float | None = field("Longitude", None, ge=-180, le=180)
    writing: dict[str, str] = field("Way of writing", {})
    sides: tuple[Length, ...] = field("Four sides, or three, in order round the ground", ())
    diagonal: Length | None = field("From the first corner to the third", None)
    check: Length | None = field("Of three sides: from the third corner to the middle of the first side", None)
    first_side_deg: float = field("Direction of the first side", 90.0, ge=0, lt=360)
    outline: tuple[tuple[Length, Length], ...] = field("Or the corners", ())
    datum: DatumAt = field("Where the first corner lies, if a file says it", DatumAt())
    house: House | None = field("House", None)
    wanted: dict[str, Any] | None = field("One thing wanted", None)
    must: dict[str, Any] | None = field("One must", None)
    sum_a_year: int = field("Sum a year", 0, ge=0)
    hours_a_month: float = field("Hours a month", 8.0, ge=0)
    first_year: int = field("First year", 2027, ge=1900, le=2199)
    years: int = field("Years", 6, ge=1, le=30)


def corners(
    sides: Sequence[float], diagonal_m: float | None = None, first_side_deg: float = 90.0, style: Style | None = None
) -> tuple[XY, ...]:
    """Return the corners [m] from four sides and the diagonal from the first corner to the third, or from three sides.

    The first corner is the datum stake (0, 0); the first side runs towards ``first_side_deg`` and the ground lies
    to its left.  Raises :class:`GardenError` naming the sides that can't meet.
    """
    style = style or Style()
    if len(sides) == 3 and diagonal_m is None:
        flat = _three([float(s) for s in sides], style)
    elif len(sides) == 4 and diagonal_m is not None:
        flat = _four([float(s) for s in sides], float(diagonal_m), style)
    else:
        raise GardenError([Fault("sides", _how_many(len(sides)))])
    bearing = math.radians(first_side_deg)
    ux, uy = math.sin(bearing), math.cos(bearing)
    return tuple((x * ux - y * uy, x * uy + y * ux) for x, y in flat)


def _how_many(given: int) -> str:
    """Return why so many sides, with a diagonal or without, make no shape."""
    if given == 4:
        return "Four sides don't fix the shape. Tape one diagonal too, first corner to third."
    if given == 3:
        return "Three sides fix the shape, and three corners have no diagonal: leave it out, or give the fourth side."
    sides = "side was" if given == 1 else "sides were"
    return f"{given} {sides} given; four and a diagonal are needed, or three, in order round the ground."


def _three(sides: Sequence[float], style: Style) -> tuple[XY, ...]:
    """Return three corners from three sides, the first along x; :class:`GardenError` where they can't meet."""
    a, b, c = sides
    if min(sides) <= 0:
        raise GardenError([Fault("sides", "Every side must be longer than nothing.")])
    longest = max(range(3), key=lambda i: sides[i])
    rest = sum(sides) - sides[longest]
    if sides[longest] >= rest:
        words = (
            f"The {SIDES[longest]} side ({format_length(sides[longest], style)}) is as long as the two others together"
            f" ({format_length(rest, style)}) or longer: they can't meet. Tape one of the three again."
        )
        raise GardenError([Fault("sides", words)])
    x = (a**2 + c**2 - b**2) / (2 * a)
    return ((0.0, 0.0), (a, 0.0), (x, math.sqrt(max(c**2 - x**2, 0.0))))


def to_middle_m(sides: Sequence[float]) -> float:
    """Return how far the third of three corners is from the middle of the first side [m], by the three sides.

    References: Apollonius's theorem of the median, which follows from Euclid, *Elements* II.12 and 13:
    b² + c² = 2 m² + a² / 2.
    """
    a, b, c = (float(s) for s in sides)
    return math.sqrt(max(2 * b**2 + 2 * c**2 - a**2, 0.0)) / 2


def _checked(sides: Sequence[Length], taped: Length, style: Style) -> None:
    """Raise :class:`GardenError` where a tape from the third corner to the middle of the first side speaks against the sides."""
    from quincunx.survey.accuracy import SURE
    from quincunx.survey.begun import first_sd_m

    a, b, c = (float(s) for s in sides)
    said = to_middle_m((a, b, c))
    each = (a / (4 * said), b / (2 * said), c / (2 * said))
    spread = math.hypot(*(d * first_sd_m(s, style) for d, s in zip(each, sides, strict=True)), first_sd_m(taped, style))
    if abs(float(taped) - said) <= SURE * spread:
        return
    words = (
        f"By the three sides it is {format_length(said, style)} from the third corner to the middle of the first side, but"
        f" {format_length(float(taped), style)} was taped: one of the four is misread. Tape them again; the check can be left empty."
    )
    raise GardenError([Fault("check", words)])


def _four(sides: Sequence[float], diagonal_m: float, style: Style) -> tuple[XY, ...]:
    """Return four corners from four sides and a diagonal, the first along x; :class:`GardenError` where they can't meet."""
    a, b, c, d = sides
    if min(a, b, c, d, diagonal_m) <= 0:
        raise GardenError([Fault("sides", "Every side and the diagonal must be longer than nothing.")])
    first, second = _triangle(a, b, diagonal_m, 0, style), _triangle(d, c, diagonal_m, 2, style)
    p3_dir = math.atan2(first[1], first[0])
    corner2 = (a, 0.0)
    corner3 = (diagonal_m * math.cos(p3_dir), diagonal_m * math.sin(p3_dir))
    angle = p3_dir + math.atan2(second[1], second[0])
    corner4 = (d * math.cos(angle), d * math.sin(angle))
    return ((0.0, 0.0), corner2, corner3, corner4)


def _triangle(near: float, far: float, diagonal: float, start: int, style: Style) -> XY:
    """Return the diagonal's end (cos, sin scaled) seen from a side ``near`` out of the first corner."""
    if near + far < diagonal - GAP_M or abs(near - far) > diagonal + GAP_M:
        one, two = SIDES[start if start == 0 else 3], SIDES[1 if start == 0 else 2]
        words = (
            f"The {one} and {two} sides ({format_length(near, style)} and {format_length(far, style)})"
            f" can't meet over a diagonal of {format_length(diagonal, style)}."
            " Tape one of the three again."
        )
        raise GardenError([Fault("sides", words)])
    cosine = (near**2 + diagonal**2 - far**2) / (2 * near * diagonal)
    cosine = min(1.0, max(-1.0, cosine))
    return (cosine, math.sqrt(1 - cosine**2))


def begin(answers: Answers) -> Garden:
    """Return the garden of the first ten minutes; :class:`GardenError` says what doesn't fit."""
    style = Writing.model_validate({k: v for k, v in answers.writing.items() if k in Writing.model_fields}).style
    first = Begun()
    if answers.outline:
        ring: tuple[XY, ...] = tuple((float(x), float(y)) for x, y in answers.outline)
    else:
        across = None if answers.diagonal is None else float(answers.diagonal)
        ring = corners([float(s) for s in answers.sides], across, answers.first_side_deg, style)
        if len(ring) == 3 and answers.check is not None:
            _checked(answers.sides, answers.check, style)
        from quincunx.survey.begun import begun

        first = begun([(Length(x), Length(y)) for x, y in ring], answers.sides, answers.diagonal, style)
    data: dict[str, Any] = {
        "format": FORMAT,
        "name": answers.name,
        "writing": answers.writing,
        "site": _site(answers),
        "boundary": [[round(x, 3), round(y, 3)] for x, y in ring],
        "survey": {"begun": first},
        "means": {
            "first_year": answers.first_year,
            "years": answers.years,
            "sum_a_year": answers.sum_a_year,
            "hours_by_month": [answers.hours_a_month] * 12,
        },
        "features": [],
        "intents": [],
    }
    if answers.house is not None:
        house = house_feature(ring, answers.house)
        _on_ground(ring, house["outline"], style)
        data["features"].append(house)
    if answers.wanted is not None:
        data["features"].append(answers.wanted)
    if answers.must is not None:
        data["intents"].append(answers.must)
    else:
        data["intents"].append({"kind": "spend-no-more", "id": "money", "sum": answers.sum_a_year})
    return _with_job(garden_from(data))


def _with_job(garden: Garden) -> Garden:
    """Return the garden with what is wanted in it as its first job, called by its kind."""
    from quincunx.garden.as_job import as_job, without_job
    from quincunx.garden.edits import apply, put

    for wanted in without_job(garden):
        if wanted.there_from:
            continue
        if not wanted.name:
            garden, _ = apply(garden, put("features", wanted.changed(name=capital(wanted.words))))
        edit = as_job(garden, (wanted.id,))
        if edit is not None:
            garden, _ = apply(garden, edit)
    return garden


def _site(answers: Answers) -> dict[str, Any]:
    """Return the site if a latitude is known: an unknown longitude only shifts the clock, so 0 serves until it is given."""
    datum = {} if answers.datum == DatumAt() else {"datum": answers.datum}
    latitude, longitude = answers.latitude_deg, answers.longitude_deg
    if latitude is None and answers.datum.on_earth is not None:
        latitude, longitude = (round(v, 4) for v in answers.datum.on_earth)
    if latitude is None:
        return datum
    place: dict[str, Any] = {
        "name": answers.town,
        "latitude_deg": latitude,
        "longitude_deg": 0.0 if longitude is None else longitude,
    }
    if answers.country is not None:
        place["country"] = answers.country
    return {"place": place, **datum}


def _on_ground(ring: Sequence[XY], outline: Sequence[Sequence[float]], style: Style) -> None:
    """Raise :class:`GardenError` if the house reaches beyond the ground by more than taping leaves open."""
    from shapely import Point, Polygon, get_coordinates

    ground, house = Polygon(ring), Polygon(outline)
    if not ground.is_valid or house.difference(ground.buffer(OVER_M)).is_empty:
        return
    over = max(ground.distance(Point(p)) for p in get_coordinates(house.difference(ground)))
    words = (
        f"The house reaches {format_length(over, style)} beyond the ground. Give its length, its depth or where it begins"
        " again, or leave it out if it stands outside."
    )
    raise GardenError([Fault(HOUSE, words)])


def house_feature(ring: Sequence[XY], house: House) -> dict[str, Any]:
    """Return the house as a feature: a rectangle inside the ground, along one of its sides, its ridge the long way [m]."""
    width, depth = float(house.width), float(house.depth)
    data = placed_along(kinds()[HOUSE], ring, house.side, float(house.along), float(house.set_back), (width, depth))
    start, end = data["outline"][:2] if width >= depth else data["outline"][1:3]
    ridge = math.degrees(math.atan2(end[0] - start[0], end[1] - start[1])) % 180
    return {**data, "ridge_deg": round(ridge, 1), "there_from": "start"}


def placed_along(
    kind: type[Feature],
    ring: Sequence[XY],
    side: int,
    along: float,
    set_back: float,
    size: tuple[float, float] = (2.0, 2.0),
) -> dict[str, Any]:
    """Return a feature of ``kind`` inside the ground, by one of its sides (1, 2 ...), as data.

    What stands at a point stands ``along`` that side and ``set_back`` in from it; a line runs on from there for the
    first of ``size``; an outline is a rectangle, ``size`` along the side and in from it [m].  Raises
    :class:`GardenError` where it would reach past the side.
    """
    n = len(ring)
    start, end = ring[(side - 1) % n], ring[side % n]
    run = math.dist(start, end)
    long = 0.0 if "at" in kind.model_fields else size[0]
    if along + long > run + GAP_M:
        reach = f"begins {along:.2f} m along a side of {run:.2f} m" + (f" and is {long:.2f} m long" if long else "")
        raise GardenError(
            [Fault(kind_id(kind), f"The {kind.words} {reach}: it lies outside. Bring it nearer the side's start.")]
        )
    ux, uy = (end[0] - start[0]) / run, (end[1] - start[1]) / run
    nx, ny = _inward(ring, start, (ux, uy))

    def at(far: float, back: float) -> list[float]:
        return [round(start[0] + ux * far + nx * back, 3), round(start[1] + uy * far + ny * back, 3)]

    data: dict[str, Any] = {"kind": kind_id(kind), "id": kind_id(kind), "name": kind.words.capitalize()}
    if "at" in kind.model_fields:
        return {**data, "at": at(along, set_back)}
    if "line" in kind.model_fields:
        return {**data, "line": [at(along, set_back), at(along + long, set_back)]}
    back = set_back + size[1]
    return {
        **data,
        "outline": [at(along, set_back), at(along + long, set_back), at(along + long, back), at(along, back)],
    }


def _inward(ring: Sequence[XY], start: XY, along: XY) -> XY:
    middle = (sum(p[0] for p in ring) / len(ring), sum(p[1] for p in ring) / len(ring))
    left = (-along[1], along[0])
    inside = left[0] * (middle[0] - start[0]) + left[1] * (middle[1] - start[1]) > 0
    return left if inside else (-left[0], -left[1])


def read_length(text: str, style: Style, what: str) -> Length:
    """Return a typed length; :class:`GardenError` naming ``what`` if it can't be read."""
    try:
        return Length(parse_length(text, style), typed=text.strip())
    except UnitsError as error:
        raise GardenError([Fault(what, str(error))]) from None


def read_sum(text: str, style: Style, what: str) -> int:
    """Return a typed sum in minor units; :class:`GardenError` naming ``what`` if it can't be read."""
    try:
        return parse_money(text, style)
    except UnitsError as error:
        raise GardenError([Fault(what, str(error))]) from None


__all__ = [
    "Answers",
    "House",
    "begin",
    "corners",
    "house_feature",
    "placed_along",
    "read_length",
    "read_sum",
    "to_middle_m",
]
