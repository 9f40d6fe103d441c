"""Observation equations: what each reading says of the stakes, its value, its slope and its weight.

A reading gives one or more *rows*.  A row is (kind, up to four points, value, standard deviation); the rows of a
network are kept as arrays, so that all of one kind are evaluated at once.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from quincunx.survey._normal import Array
from quincunx.survey.accuracy import (
    HANDLING,
    Handling,
    bearing_sd_deg,
    level_distance_m,
    paced_sd_m,
    tape_sd_m,
    warmth_correction_m,
    worn_tape_m,
)
from quincunx.survey.readings import (
    Bearing,
    Distance,
    Instrument,
    Offset,
    Paced,
    Reading,
    RightAngle,
    Seen,
    SlopeDistance,
    Straight,
    WallDistance,
)

DIST, AZ, ALONG, ACROSS, COS, WALL_SQUARE, WALL_ALONG = range(7)
"""Row kinds.  ACROSS is positive to the right of the line, ALONG counts from its start, AZ is in radians."""

ARITY = (2, 2, 3, 3, 3, 3, 4)
"""How many points each row kind touches."""

Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Row:
    """One equation: ``points`` are stake numbers; ``value`` and ``sd`` in metres, radians or a cosine."""

    kind: int
    points: tuple[int, ...]
    value: float
    sd: float
    reading: str
    part: str


@dataclass(frozen=True, slots=True)
class Rows:
    """The rows of a network in arrays: kind (m), points (m, 4; -1 where unused), value (m), sd (m)."""

    listed: tuple[Row, ...]
    kind: Ints
    points: Ints
    value: Array
    sd: Array

    @classmethod
    def of(cls, listed: Sequence[Row]) -> Rows:
        """Gather ``listed`` rows into arrays."""
        points = np.full((len(listed), 4), -1, dtype=np.int64)
        for i, row in enumerate(listed):
            points[i, : len(row.points)] = row.points
        kinds = np.array([row.kind for row in listed], dtype=np.int64)
        return cls(
            tuple(listed),
            kinds,
            points,
            np.array([r.value for r in listed], float),
            np.array([r.sd for r in listed], float),
        )

    def only(self, keep: NDArray[np.bool_]) -> Rows:
        """Return the rows where ``keep`` (m,) is true."""
        listed = tuple(row for row, k in zip(self.listed, keep, strict=True) if k)
        return Rows(listed, self.kind[keep], self.points[keep], self.value[keep], self.sd[keep])


def rows_of(
    readings: Sequence[Reading],
    number: dict[str, int],
    tools: dict[str, Instrument],
    declination_deg: float = 0.0,
    handling: Handling = HANDLING,
) -> list[Row]:
    """Turn readings into rows; ``number`` gives the row number of each stake id.

    Level readings and answers to mirror questions give no rows, and neither do readings that can't be: one that names a
    stake twice, a tape laid along a slope that would fall as far as it is long.
    """
    rows: list[Row] = []
    for reading in readings:
        tool = tools.get(reading.instrument) if reading.instrument else None
        found = _rows(reading, number, tool, declination_deg, handling)
        rows += [row for row in found if len(set(row.points)) == len(row.points)]
    return rows


def _rows(  # noqa: PLR0911 - one return for each kind of reading
    r: Reading, n: dict[str, int], tool: Instrument | None, declination_deg: float, hands: Handling
) -> list[Row]:
    given = None if r.accuracy is None else float(r.accuracy)
    match r:
        case Distance():
            d = true_length_m(float(r.length), tool)
            return [Row(DIST, (n[r.start], n[r.end]), d, given or tape_sd_m(d, tool, hands), r.id, "")]
        case SlopeDistance():
            slope = true_length_m(float(r.length), tool)
            if abs(float(r.fall)) >= slope:
                return []
            return [Row(DIST, (n[r.start], n[r.end]), *_levelled(r, slope, given, tool, hands), r.id, "")]
        case Paced():
            d = r.paces * (float(tool.pace) if tool is not None and tool.pace else 0.75)
            return [Row(DIST, (n[r.start], n[r.end]), d, given or paced_sd_m(d, hands), r.id, "")]
        case Offset():
            return _offset_rows(r, n, tool, given, hands)
        case RightAngle():
            sd = math.radians(hands.eye_square_deg if tool is None else hands.set_square_deg)
            return [Row(COS, (n[r.start], n[r.corner], n[r.end]), 0.0, sd, r.id, "")]
        case Straight():
            ends = (n[r.through[0]], n[r.through[-1]])
            sd = given or hands.sight_line_m
            return [Row(ACROSS, (*ends, n[p]), 0.0, sd, r.id, p) for p in r.through[1:-1]]
        case WallDistance():
            d = true_length_m(float(r.length), tool)
            sd, wall = given or tape_sd_m(d, tool, hands), (n[r.wall[0]], n[r.wall[1]])
            if r.toward is None:
                return [Row(WALL_SQUARE, (*wall, n[r.start]), d, sd, r.id, "")]
            return [Row(WALL_ALONG, (n[r.start], n[r.toward], *wall), d, math.hypot(sd, hands.sight_line_m), r.id, "")]
        case Bearing():
            true = r.bearing_deg + (declination_deg if r.north == "magnetic" else 0.0)
            kind, magnetic = tool.kind if tool is not None else None, r.north == "magnetic"
            sd = math.radians(bearing_sd_deg(r.typed, kind, magnetic=magnetic, handling=hands))
            return [Row(AZ, (n[r.start], n[r.end]), math.radians(true), sd, r.id, "")]
        case _:
            return []


def true_length_m(read_m: float, tool: Instrument | None) -> float:
    """Return a length as read [m] put right for a worn tape, and for a steel one's warmth where that is known."""
    if tool is None:
        return read_m
    worn = tool.marked is not None and tool.true is not None
    length = worn_tape_m(read_m, float(tool.marked or 0), float(tool.true or 0)) if worn else read_m
    if tool.steel and tool.warmth is not None:
        length += warmth_correction_m(length, tool.warmth)
    return length


def _levelled(
    r: SlopeDistance, slope_m: float, given: float | None, tool: Instrument | None, hands: Handling
) -> tuple[float, float]:
    level = level_distance_m(slope_m, float(r.fall))
    tape = given or tape_sd_m(slope_m, tool, hands)
    return level, math.hypot(tape * slope_m / level, 0.02 * float(r.fall) / level)


def _offset_rows(
    r: Offset, n: dict[str, int], tool: Instrument | None, given: float | None, hands: Handling
) -> list[Row]:
    points = (n[r.start], n[r.end], n[r.point])
    along, off = true_length_m(float(r.along), tool), true_length_m(float(r.offset), tool)
    by_eye = math.radians(hands.set_square_deg if tool is not None and tool.kind == "square" else hands.eye_square_deg)
    sd_along = math.hypot(given or tape_sd_m(along, tool, hands), by_eye * off)
    signed = off if r.side == "right" else -off
    return [
        Row(ALONG, points, along, sd_along, r.id, "along"),
        Row(
            ACROSS, points, signed, math.hypot(given or tape_sd_m(off, tool, hands), hands.sight_line_m), r.id, "offset"
        ),
    ]


def sides_of(readings: Sequence[Reading], number: dict[str, int]) -> list[tuple[int, int, int, int]]:
    """Return the answers to mirror questions as (start, end, point, +1 right or -1 left)."""
    return [
        (number[r.start], number[r.end], number[r.point], 1 if r.side == "right" else -1)
        for r in readings
        if isinstance(r, Seen)
    ]


def evaluate(rows: Rows, xy: Array) -> tuple[Array, Array]:
    """Return the misclosures and slopes of all rows at positions ``xy`` (n, 2).

    Misclosure (m,) is value minus computed; slopes (m, 4, 2) are the derivatives of the computed value by the
    coordinates of the row's points.
    """
    m = len(rows.listed)
    computed, slopes = np.zeros(m), np.zeros((m, 4, 2))
    for kind in np.unique(rows.kind):
        at = np.flatnonzero(rows.kind == kind)
        points = [xy[rows.points[at, k]] for k in range(ARITY[kind])]
        computed[at], slopes[at, : ARITY[kind]] = _FORMS[kind](points)
    misclosure = rows.value - computed
    turn = rows.kind == AZ
    misclosure[turn] = (misclosure[turn] + math.pi) % (2.0 * math.pi) - math.pi
    return misclosure, slopes


def computed_at(rows: Rows, xy: Array) -> Array:
    """Return what the rows would read if the points were at ``xy`` (n, 2)."""
    return rows.value - evaluate(rows, xy)[0]


def dense(rows: Rows, slopes: Array, count: int) -> Array:
    """Spread slopes (m, 4, 2) into a full design matrix (m, 2 count), x and y of each stake side by side."""
    m = len(rows.listed)
    design = np.zeros((m, count, 2))
    at = np.arange(m)
    for k in range(4):
        used = rows.points[:, k] >= 0
        np.add.at(design, (at[used], rows.points[used, k]), slopes[used, k])
    return design.reshape(m, 2 * count)


def _unit(d: Array) -> tuple[Array, Array]:
    size = np.maximum(np.hypot(d[:, 0], d[:, 1]), 1e-9)
    return d / size[:, None], size


def _distance(p: list[Array]) -> tuple[Array, Array]:
    u, size = _unit(p[1] - p[0])
    return size, np.stack([-u, u], axis=1)


def _azimuth(p: list[Array]) -> tuple[Array, Array]:
    d = p[1] - p[0]
    size2 = np.maximum((d**2).sum(axis=1), 1e-18)[:, None]
    slope = np.stack([d[:, 1], -d[:, 0]], axis=1) / size2
    return np.arctan2(d[:, 0], d[:, 1]), np.stack([-slope, slope], axis=1)


def _along(p: list[Array]) -> tuple[Array, Array]:
    u, size = _unit(p[1] - p[0])
    q = p[2] - p[0]
    f = (q * u).sum(axis=1)
    by_d = (q - f[:, None] * u) / size[:, None]
    return f, np.stack([-u - by_d, by_d, u], axis=1)


def _across(p: list[Array]) -> tuple[Array, Array]:
    u, size = _unit(p[1] - p[0])
    q = p[2] - p[0]
    right = np.stack([u[:, 1], -u[:, 0]], axis=1)
    f = (q * right).sum(axis=1)
    by_d = (np.stack([-q[:, 1], q[:, 0]], axis=1) - f[:, None] * u) / size[:, None]
    return f, np.stack([-right - by_d, by_d, right], axis=1)


def _cosine(p: list[Array]) -> tuple[Array, Array]:
    e, size_e = _unit(p[0] - p[1])
    g, size_g = _unit(p[2] - p[1])
    f = (e * g).sum(axis=1)
    by_e = (g - f[:, None] * e) / size_e[:, None]
    by_g = (e - f[:, None] * g) / size_g[:, None]
    return f, np.stack([by_e, -by_e - by_g, by_g], axis=1)


def _wall_square(p: list[Array]) -> tuple[Array, Array]:
    f, slope = _across(p)
    sign = np.where(f < 0.0, -1.0, 1.0)
    return np.abs(f), slope * sign[:, None, None]


def _wall_along(p: list[Array]) -> tuple[Array, Array]:
    start, toward, c, d = p
    u, size = _unit(toward - start)
    w, wall = _unit(d - c)
    n = np.stack([w[:, 1], -w[:, 0]], axis=1)
    facing = (n * u).sum(axis=1)
    facing = np.where(np.abs(facing) < 1e-6, 1e-6, facing)
    t = (n * (c - start)).sum(axis=1) / facing
    share = ((start + t[:, None] * u - c) * w).sum(axis=1) / wall
    push = n / facing[:, None]
    by_toward = -(t / size)[:, None] * (n - facing[:, None] * u) / facing[:, None]
    by_start = -push - by_toward
    return t, np.stack([by_start, by_toward, (1.0 - share)[:, None] * push, share[:, None] * push], axis=1)


_FORMS = (_distance, _azimuth, _along, _across, _cosine, _wall_square, _wall_along)
