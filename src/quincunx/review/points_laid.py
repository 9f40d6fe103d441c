"""Points brought in, laid on the plan: in which unit, which number runs east, and where they belong."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from quincunx.garden import Garden
from quincunx.garden.reading import Fault, GardenError
from quincunx.review.ground import measure
from quincunx.site.geodesy import plan_m
from quincunx.site.place import DatumAt
from quincunx.survey.given import UNITS, Brought, Given, Order, look_like_degrees
from quincunx.survey.rings import AGAIN_M
from quincunx.units import counted, format_length

XY = tuple[float, float]
Floats = NDArray[np.float64]
FIRST, SAME, NAMES, PLAN = "first", "same", "names", "plan"
LAYS = {
    SAME: "Where they belong beside what was brought in before",
    NAMES: "By the stakes and spots that have the same names",
    PLAN: "The numbers are the plan’s own, from its datum stake",
    FIRST: "The first point is the datum stake",
}
"""How points can be laid on the plan, in words."""
M_A_DEGREE = 111_320.0
"""Metres in a degree of latitude, about."""
NEAR_M = 300.0
"""Points farther than this from what is drawn are not in the plan's own numbers [m]."""
FITS_M = 0.5
"""Points called as stakes or spots that miss them by more than this are likely others of the same name [m]."""
MOST_OFF_M = 20_000.0
"""Points farther than this from each other are no garden [m]."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What the person said of the file; empty where they left it to the file, or to what is likely.

    ``become`` is ``boundary``, ``stakes``, ``spots``, ``heights`` or a kind; ``only`` names points, in their order.
    ``round`` says that what they become has corners all round.
    """

    unit: str = ""
    order: str = ""
    group: int = 0
    become: str = "boundary"
    lay: str = ""
    only: tuple[str, ...] = ()
    round: bool = False


@dataclass(frozen=True, slots=True)
class Laid:
    """Points on the plan [m] with their names and heights; how they were laid, and what the datum then is."""

    names: tuple[str, ...]
    at: tuple[XY, ...]
    z: tuple[float | None, ...]
    unit: str
    order: Order
    lay: str
    lays: tuple[str, ...]
    datum: DatumAt | None
    said: tuple[str, ...]


def laid(garden: Garden, brought: Brought, asked: Asked) -> Laid:
    """Return the points of the group asked for on the plan; :class:`GardenError` where they can't be laid so."""
    points, once = _once(garden, brought, _chosen(brought, asked), asked)
    unit, order = unit_of(garden, brought, asked), order_of(garden, brought, asked)
    own = _own_numbers(points, unit, order)
    lays = _lays(garden, points, own, unit)
    if asked.lay and asked.lay not in lays:
        raise GardenError([Fault("points", f"They can't be laid so. {_lacking(asked.lay)}")])
    lay = asked.lay or lays[0]
    said: list[str] = once
    plane = _flat(garden, own, unit, lay)
    if lay == NAMES:
        plane, _, words = _by_names(garden, points, plane)
        said.append(words)
    spread = float(np.max(np.ptp(plane, axis=0)))
    if not math.isfinite(spread) or spread > MOST_OFF_M:
        raise GardenError(
            [Fault("points", f"They lie {spread / 1000:,.0f} km apart: is that the right unit and order?")]
        )
    scale = 1.0 if unit == "deg" else UNITS[unit][1]
    return Laid(
        tuple(p.name for p in points),
        tuple((round(float(x), 3), round(float(y), 3)) for x, y in plane),
        tuple(None if p.z is None else round(p.z * scale, 3) for p in points),
        unit, order, lay, lays, _datum(garden, own, unit, lay), tuple(said),
    )  # fmt: skip


def _chosen(brought: Brought, asked: Asked) -> tuple[Given, ...]:
    """Return the points of a group, or those named, in the order they are named."""
    if not 0 <= asked.group < len(brought.groups):
        raise GardenError([Fault("points", f"The file holds {counted(len(brought.groups), 'part')}, not that many.")])
    points = brought.groups[asked.group].points
    if not asked.only:
        return points
    known = {p.name.casefold(): p for p in reversed(points)}
    lost = [n for n in asked.only if n.casefold() not in known]
    if lost:
        raise GardenError(
            [Fault("points", f"No point is called {lost[0]!r}. They are: {', '.join(p.name for p in points)}.")]
        )
    return tuple(known[n.casefold()] for n in asked.only)


def _once(
    garden: Garden, brought: Brought, points: tuple[Given, ...], asked: Asked
) -> tuple[tuple[Given, ...], list[str]]:
    """Return points each once where they go round nothing: one measured again under its own name is left out, and said."""
    if asked.round:
        return points, []
    scale = UNITS[unit_of(garden, brought, asked)][1]
    near = AGAIN_M / (scale if math.isfinite(scale) else M_A_DEGREE)
    kept: list[Given] = []
    for p in points:
        twins = (k for k in kept if math.dist((k.first, k.second), (p.first, p.second)) <= near)
        if not any(k.name.casefold() == p.name.casefold() or (k.first, k.second) == (p.first, p.second) for k in twins):
            kept.append(p)
    left = len(points) - len(kept)
    return tuple(kept), [
        f"{counted(left, 'point')} came again and {'was' if left == 1 else 'were'} taken once."
    ] if left else []


def unit_of(garden: Garden, brought: Brought, asked: Asked) -> str:
    """Return the unit the numbers are taken in: as said, as the file says, or as is likely."""
    if asked.unit and asked.unit not in UNITS:
        raise GardenError([Fault("points", f"{asked.unit!r} is no unit here. Units are: {', '.join(UNITS)}.")])
    likely = "deg" if brought.degrees else "ft" if garden.style.system == "feet" else "m"
    return asked.unit or brought.unit or likely


def order_of(garden: Garden, brought: Brought, asked: Asked) -> Order:
    """Return which number comes first: as said, as the file says, or as is likely.

    Degrees whose order isn't said lie nearer the garden's place in one than in the other; without a place the latitude
    is taken to come first, as hand receivers write it (common practice, no source).  Lengths: east first.
    """
    if asked.order in ("east", "north"):
        return "east" if asked.order == "east" else "north"
    if asked.order:
        raise GardenError([Fault("points", f"{asked.order!r} is no order. Say east (east comes first) or north.")])
    if brought.order is not None:
        return brought.order
    points = [p for g in brought.groups for p in g.points]
    if asked.unit not in ("", "deg") or (not asked.unit and not look_like_degrees(points)):
        return "east"
    if any(abs(p.second) > 90 for p in points) or any(abs(p.first) > 90 for p in points):
        return "north" if any(abs(p.second) > 90 for p in points) else "east"
    place = garden.site.place
    if place is None:
        return "north"
    a, b = points[0].first, points[0].second
    as_east = math.hypot(a - place.longitude_deg, b - place.latitude_deg)
    return "east" if as_east < math.hypot(b - place.longitude_deg, a - place.latitude_deg) else "north"


def _own_numbers(points: Sequence[Given], unit: str, order: Order) -> Floats:
    """Return (n, 2) east and north in the file's own frame: metres, or degrees of longitude and latitude."""
    rows = [(p.first, p.second) if order == "east" else (p.second, p.first) for p in points]
    if unit != "deg":
        return np.array(rows, np.float64).reshape(-1, 2) * UNITS[unit][1]
    own = np.array(rows, np.float64).reshape(-1, 2)
    if np.any(np.abs(own[:, 1]) > 90) or np.any(np.abs(own[:, 0]) > 180):
        words = "Those numbers are no longitudes and latitudes in that order: a latitude lies between -90 and 90."
        raise GardenError([Fault("points", words)])
    return own


def _origin(garden: Garden, own: Floats, lay: str) -> tuple[float, float]:
    """Return latitude and longitude of the plan's origin for points in degrees."""
    known, place = garden.site.datum.on_earth, garden.site.place
    if lay == SAME and known is not None:
        return known
    if lay == PLAN and place is not None:
        return place.latitude_deg, place.longitude_deg
    return float(own[0, 1]), float(own[0, 0])


def _flat(garden: Garden, own: Floats, unit: str, lay: str) -> Floats:
    """Return points (n, 2) on the plan [m] before they are laid by names."""
    if unit == "deg":
        place = garden.site.place
        return plan_m(own, *_origin(garden, own, lay), 0.0 if place is None else place.north_offset_deg)
    if lay == PLAN:
        return own
    numbers = garden.site.datum.numbers
    origin: Floats = np.array(numbers) if lay == SAME and numbers is not None else own[0]
    return own - origin


def _lays(garden: Garden, points: Sequence[Given], own: Floats, unit: str) -> tuple[str, ...]:
    """Return the ways these points can be laid, the likeliest first."""
    out: list[str] = []
    drawn = _drawn(garden)
    known = garden.site.datum
    if (known.on_earth if unit == "deg" else known.numbers) is not None:
        out.append(SAME)
    by_names = len(_shared(garden, points)) >= 2
    if by_names and _by_names(garden, points, _flat(garden, own, unit, NAMES))[1] <= FITS_M:
        out.append(NAMES)
    if unit != "deg" and float(np.max(np.abs(own))) < 1e5:
        near = bool(drawn) and _gap(_flat(garden, own, unit, PLAN), np.array(drawn)) < NEAR_M
        out += [PLAN, FIRST] if near else [FIRST, PLAN]
    elif unit == "deg" and garden.site.place is not None:
        near = float(np.max(np.abs(_flat(garden, own, unit, PLAN)))) < NEAR_M
        out += [PLAN, FIRST] if near else [FIRST]
    else:
        out.append(FIRST)
    return (*out, NAMES) if by_names and NAMES not in out else tuple(out)


def _drawn(garden: Garden) -> list[XY]:
    """Return points of what the plan holds by now: its boundary, spots and things."""
    found = [(float(x), float(y)) for x, y in garden.boundary]
    found += [(float(s.at[0]), float(s.at[1])) for s in garden.spots]
    for feature in garden.features:
        found += list(feature.holds().values())
    return found


def _gap(some: Floats, others: Floats) -> float:
    return float(np.min(np.hypot(*(some[:, None, :] - others[None, :, :]).transpose(2, 0, 1))))


def _shared(garden: Garden, points: Sequence[Given]) -> dict[int, XY]:
    """Return where the points lie that are called as a stake with a place, or a spot: by number."""
    known = {(s.name or s.id).casefold(): (float(s.at[0]), float(s.at[1])) for s in garden.spots}
    if garden.survey.stakes:
        m = measure(garden)
        known |= {m.names[i].casefold(): at for i, at in m.places.items()}
    return {i: known[p.name.casefold()] for i, p in enumerate(points) if p.name.casefold() in known}


def _by_names(garden: Garden, points: Sequence[Given], plane: Floats) -> tuple[Floats, float, str]:
    """Return the points moved and turned, not stretched, on those of the same name; how far the worst is off [m]; words.

    Least squares (K. Arun, T. Huang, S. Blostein, Least-squares fitting of two 3-D point sets, IEEE Transactions on
    Pattern Analysis and Machine Intelligence 9(5), 1987), in the plane.
    """
    shared = _shared(garden, points)
    ours, theirs = plane[list(shared)], np.array(list(shared.values()))
    mid_ours, mid_theirs = ours.mean(axis=0), theirs.mean(axis=0)
    a, b = ours - mid_ours, theirs - mid_theirs
    turn = math.atan2(float(np.sum(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0])), float(np.sum(a * b)))
    spin = np.array([[math.cos(turn), math.sin(turn)], [-math.sin(turn), math.cos(turn)]])
    moved = (plane - mid_ours) @ spin + mid_theirs
    off = np.hypot(*(moved[list(shared)] - theirs).T)
    worst = int(np.argmax(off))
    names = [points[i].name for i in shared]
    far = format_length(float(off[worst]), garden.style, kind="tape")
    words = f"Laid by {', '.join(dict.fromkeys(names))}: they fit to within {far}, {names[worst]} the worst."
    return moved, float(off[worst]), words


def _datum(garden: Garden, own: Floats, unit: str, lay: str) -> DatumAt | None:
    """Return where the datum lies once these points are in; None where they don't tell it anew."""
    if lay != FIRST:
        return None
    if unit == "deg":
        latitude, longitude = _origin(garden, own, lay)
        return garden.site.datum.changed(latitude_deg=latitude, longitude_deg=longitude)
    return garden.site.datum.changed(east_m=float(own[0, 0]), north_m=float(own[0, 1]))


def _lacking(lay: str) -> str:
    if lay == SAME:
        return "Nothing was brought in before that says where they belong."
    if lay == NAMES:
        return "Two or more of the points must be called as stakes that have a place, or as spots."
    if lay == PLAN:
        return "The numbers are too large for a plan, or the garden has no place on the map."
    return f"The ways are: {', '.join(LAYS)}."
