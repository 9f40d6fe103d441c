"""Which way north is on the plan: from shadows of an upright stake, from its shortest shadow, or from a compass.

Each sight is one line, as it is written outdoors: ``A>T shadow 2027-05-01 15:20`` (the shadow of stake A ends at peg T, by
the clock of the day), ``A>T noon 2027-05-01`` (its shortest shadow of the day), ``A>B compass 134.5 2027-05-01``.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time

from quincunx.garden import Edit, Garden, change
from quincunx.review.ground import Measured, measure
from quincunx.shapes import XY
from quincunx.site import Place, zone_of
from quincunx.survey import (
    Bearing,
    North,
    Shadow,
    declination_deg,
    north_from_compass,
    north_from_noon_line,
    north_from_shadows,
    stake_id,
)
from quincunx.units import capital, own_marks

APART_DEG = 2.0
"""Sights that differ from their middle by more are told as not agreeing [deg] (common practice, no source)."""
NO_PLACE = "Say first where the garden lies: how the sun goes, and where a needle points, depend on it."
HOW = (
    "A sight is two stakes and one of: shadow 2027-05-01 15:20, noon 2027-05-01, compass 134.5 2027-05-01, such as"
    " A>T shadow 2027-05-01 15:20."
)
COVERS = (
    "The stake stands upright (hold a plumb line to it), the shadow falls on level ground, and the clock is right: in the"
    " middle of a summer's day one minute is half a degree and more. Iron, a car or a fence can turn a needle by more than"
    " all of this."
)
_LINE = re.compile(
    r"^\s*(?P<a>[A-Za-z][A-Za-z0-9.]*)\s*[> ]\s*(?P<b>[A-Za-z][A-Za-z0-9.]*)\s+(?P<how>shadow|noon|compass)"
    r"(?:\s+(?P<deg>\d+(?:[.,]\d+)?)\s*(?:deg|°)?)?\s+(?P<day>\d{4}-\d{2}-\d{2})(?:\s+(?P<clock>\d{1,2}:\d{2}))?\s*$",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Sight:
    """One sight: its line, what it says of north in words, and the turn [deg]; ``fault`` if it can't be used."""

    line: str
    words: str
    turn_deg: float | None
    fault: str = ""


@dataclass(frozen=True, slots=True)
class Northward:
    """All sights and what they come to: in words, and as the turn of the plan [deg]; None where nothing is known."""

    sights: tuple[Sight, ...]
    turn_deg: float | None
    words: str
    agree: bool


def northward(garden: Garden, lines: Sequence[str]) -> Northward:
    """Return what the sights in ``lines`` say: how far up on the plan lies clockwise from true north, averaged."""
    from quincunx.survey.north import averaged

    place = garden.site.place
    if place is None:
        return Northward((), None, NO_PLACE, agree=False)
    m = measure(garden)
    sights = tuple(_sight(m, place, line) for line in lines if line.strip())
    turns = [s.turn_deg for s in sights if s.turn_deg is not None]
    if not turns:
        return Northward(sights, None, "No sight can be used yet." if sights else HOW, agree=False)
    mean = averaged(turns)
    return Northward(sights, mean.turn_deg, own_marks(_words(mean), garden.style), mean.agree)


def _words(mean: North) -> str:
    said, count = points_words(mean.turn_deg), len(mean.each_deg)
    if count == 1:
        return f"{said} A second sight, some hours later, tells whether it is right."
    most = max(abs((t - mean.turn_deg + 180) % 360 - 180) for t in mean.each_deg)
    if not mean.agree:
        return f"{said} But the {count} sights differ from it by up to {most:.1f}°: take them again."
    return f"{said} {'Both' if count == 2 else f'All {count}'} sights lie within {max(most, 0.1):.1f}° of it."


def points_words(turn_deg: float) -> str:
    """Return in words how up on the plan lies to true north, for a turn [deg clockwise]."""
    if abs(turn_deg) < 0.05:
        return "Up on the plan is true north."
    return f"Up on the plan points {abs(turn_deg):.1f}° {'east' if turn_deg > 0 else 'west'} of true north."


def up_words(garden: Garden) -> str:
    """Return how up on the plan lies to true north, and whether anything was looked at that says so."""
    place, survey = garden.site.place, garden.survey
    turn = 0.0 if place is None else place.north_offset_deg
    if abs(turn) < 0.05 and not any(r.type == "bearing" for r in survey.readings):
        return "Up on the plan is taken for true north: no sight has said so yet."
    return own_marks(points_words(turn), garden.style)


def _sight(m: Measured, place: Place, line: str) -> Sight:
    said = line.strip()
    found = _LINE.match(said)
    if found is None:
        return Sight(said, "", None, HOW)
    try:
        start, end = (_placed(m, found[g]) for g in ("a", "b"))
        day = _day(found["day"])
        north = _north(found, place, start, end, day)
    except ValueError as error:
        because = str(error).rstrip(".")
        return Sight(said, "", None, f"{capital(because)}.")
    return Sight(said, own_marks(points_words(north.turn_deg), m.style), north.turn_deg)


def _north(found: re.Match[str], place: Place, start: XY, end: XY, day: date) -> North:
    where = (place.latitude_deg, place.longitude_deg)
    how = found["how"].lower()
    if how == "compass":
        if found["deg"] is None:
            raise ValueError("a compass sight says its bearing: A>B compass 134.5 2027-05-01")
        bearing = float(found["deg"].replace(",", "."))
        return north_from_compass([(start, end, bearing)], declination_deg(*where, day))
    if how == "noon":
        return north_from_noon_line(*where, start, end, day)
    if found["clock"] is None:
        raise ValueError("a shadow says its time by the clock: A>T shadow 2027-05-01 15:20")
    hour, minute = (int(part) for part in found["clock"].split(":"))
    moment = datetime.combine(day, time(hour, minute), zone_of(place))
    return north_from_shadows(*where, [Shadow(start, end, moment)])


def _day(said: str) -> date:
    try:
        return date.fromisoformat(said)
    except ValueError:
        raise ValueError(f"there is no day {said}; expected one such as 2027-05-01") from None


def _placed(m: Measured, name: str) -> XY:
    stake = stake_id(name)
    if stake not in m.places:
        known = ", ".join(sorted(m.names[i] for i in m.places)) or "none yet"
        raise ValueError(f"{name} has no place yet: tape it to two stakes first; those with a place are {known}")
    return m.places[stake]


def needle_words(place: Place | None, on: date) -> str:
    """Return how far a compass needle points beside true north at the garden on a day; nothing where it isn't known."""
    if place is None:
        return ""
    try:
        off = declination_deg(place.latitude_deg, place.longitude_deg, on)
    except ValueError:
        return ""
    side = "east" if off > 0 else "west"
    return f"A compass needle points {abs(off):.1f}° {side} of true north here in {on.year} (World Magnetic Model)."


NEEDLE_OFF_DEG = 0.3
"""A needle set this near to what the model says is set well enough [deg]."""


def needle_asked(garden: Garden, on: date) -> float | None:
    """Return by what compass bearings still have to be put right here [deg east]; None where they are, or there are none."""
    place, survey = garden.site.place, garden.survey
    if place is None or not any(isinstance(r, Bearing) and r.north == "magnetic" for r in survey.readings):
        return None
    try:
        off = declination_deg(place.latitude_deg, place.longitude_deg, on)
    except ValueError:
        return None
    return None if abs(off - survey.declination_deg) < NEEDLE_OFF_DEG else round(off, 1)


def needle_edit(garden: Garden, on: date) -> Edit | None:
    """Return the edit that counts compass bearings from true north, for the needle of a day; None if none is needed."""
    off = needle_asked(garden, on)
    return None if off is None else change("survey", None, {"declination_deg": off}, "Count bearings from true north")


def north_edit(garden: Garden, found: Northward) -> Edit | None:
    """Return the edit that turns true north on the plan; nothing drawn moves.

    None without a place, or where the sights say nothing or don't agree.
    """
    place = garden.site.place
    if place is None or found.turn_deg is None or not found.agree:
        return None
    turn = round((found.turn_deg + 180.0) % 360.0 - 180.0, 2)
    return change("site", None, {"place": place.changed(north_offset_deg=turn)}, "Say where true north is")
