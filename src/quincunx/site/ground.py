"""The lie of the ground from spot heights and break lines.

Between levels the ground is flat triangles (a triangulated irregular network) whose edges follow every
break line: the top of a bank, the foot of a wall, a terrace edge.  It passes exactly through each level and
along each break line.  A wall's face is drawn by two break lines a little apart, top and foot.

Beyond the outermost levels the height at the nearest measured edge is carried on by the plane that fits all
levels best: continuous, and blind to the thin triangles that lie along an edge.  With no levels the ground
is flat at 0; with one it is flat at that height; levels all in one line are joined along it.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike, NDArray

from quincunx.site._locate import Locator
from quincunx.site._mesh import XY, Piece, part, triangulate

if TYPE_CHECKING:
    from shapely import LineString, Polygon

Floats = NDArray[np.float64]
XYZ = tuple[float, float, float]

PER_M = 1_000_000
"""Points are put on whole micrometres before triangles are made."""
NEAR_M = 0.001
"""A level this near to a break line lies on it [m]."""
SAME_M = 0.01
"""Levels at one point that differ by more than this are reported [m]."""


@dataclass(frozen=True)
class Contour:
    """A line of equal height ``z_m`` [m above the datum]; closed when it ends where it began."""

    z_m: float
    line: LineString


@dataclass(frozen=True)
class Profile:
    """Heights along a line: ``distance_m`` from its start and ``z_m``, with a point wherever the ground bends."""

    distance_m: Floats
    z_m: Floats


@dataclass(frozen=True, eq=False)
class Ground:
    """A surface over the plane; make it with :meth:`from_levels` or :meth:`flat`.

    ``vertices`` (n, 3) [m], sorted by x then y; ``triangles`` (m, 3) anticlockwise; ``boundary`` the ground
    that is drawn, if given; ``doubtful`` the points (x, y) [m] where levels disagreed and their mean stands.
    """

    vertices: Floats
    triangles: NDArray[np.int64]
    boundary: Polygon | None = None
    doubtful: tuple[tuple[float, float], ...] = ()

    @classmethod
    def flat(cls, z_m: float = 0.0) -> Ground:
        """Return level ground at ``z_m`` [m]."""
        vertices = np.array([[0.0, 0.0, z_m]]) if z_m else np.empty((0, 3))
        return cls(vertices, np.empty((0, 3), np.int64))

    @classmethod
    def from_levels(
        cls,
        points: Iterable[XYZ],
        breaklines: Iterable[Sequence[XYZ]] = (),
        boundary: Polygon | None = None,
    ) -> Ground:
        """Return the ground through ``points`` and ``breaklines``, all (x, y, z) [m].

        The order of points and lines, and the sense of a line, do not matter.  Several heights at one point
        give their mean, and the point is named in ``doubtful`` if they differ by more than 1 cm; so is a
        crossing of two break lines, and the start of a piece that could not be kept (lines tangled within a
        few micrometres).  Raises ValueError for a coordinate that is not finite.
        """
        lines = [[_micro(p) for p in line] for line in breaklines]
        heights, doubtful = _means([*(_micro(p) for p in points), *(p for line in lines for p in line)])
        pieces: list[Piece] = [(a[0], b[0]) for line in lines for a, b in pairwise(line)]
        heights, parted, crossed = part(heights, pieces, round(NEAR_M * PER_M))
        places = sorted(heights)
        number = {xy: i for i, xy in enumerate(places)}
        corners = triangulate(places, ((number[a], number[b]) for a, b in parted))
        vertices = np.array([(x / PER_M, y / PER_M, heights[x, y]) for x, y in places]).reshape(-1, 3)
        standing = {frozenset(side) for a, b, c in corners for side in ((a, b), (b, c), (c, a))}
        lost = [a for a, b in parted if corners and {number[a], number[b]} not in standing]
        marked = tuple((x / PER_M, y / PER_M) for x, y in sorted({*doubtful, *crossed, *lost}))
        return cls(vertices, np.array(corners, np.int64).reshape(-1, 3), boundary, marked)

    def key(self) -> bytes:
        """Return 16 bytes that depend only on the surface: equal for equal levels in any order."""
        digest = hashlib.blake2b(digest_size=16)
        digest.update(self.vertices.astype("<f8").tobytes())
        digest.update(self.triangles.astype("<i8").tobytes())
        return digest.digest()

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Ground) and self.key() == other.key() and self.boundary == other.boundary

    def __hash__(self) -> int:
        return hash(self.key())

    @cached_property
    def trend(self) -> tuple[float, float]:
        """Rise per metre east and per metre north of the plane that fits all levels best.

        Across the line when levels lie almost in one (ten times longer than wide), the plane is level.
        """
        if len(self.vertices) < 2:
            return (0.0, 0.0)
        centred = self.vertices - self.vertices.mean(axis=0)
        u, s, vt = np.linalg.svd(centred[:, :2], full_matrices=False)
        keep = s > 0.1 * s[0]
        east, north = vt[keep].T @ ((u.T @ centred[:, 2])[keep] / s[keep])
        return (float(east), float(north))

    @cached_property
    def _locator(self) -> Locator:
        return Locator(self.vertices, self.triangles, self.trend)

    def height(self, x_m: ArrayLike, y_m: ArrayLike) -> Floats:
        """Return the height above the datum [m] at points [m]; arrays of any one shape, or two numbers."""
        x, y = _points(x_m, y_m)
        return self._locator.heights(x.ravel(), y.ravel()).reshape(x.shape)

    def slope(self, x_m: ArrayLike, y_m: ArrayLike) -> tuple[Floats, Floats]:
        """Return the grade (rise over run) and the downhill bearing [deg clockwise from north] at points [m].

        Where the ground is level the bearing is 0.  On a break line it is that of one of the two sides.
        """
        x, y = _points(x_m, y_m)
        east, north = self._locator.gradients(x.ravel(), y.ravel())
        grade = np.hypot(east, north)
        aspect = np.where(grade > 1e-12, np.degrees(np.arctan2(-east, -north)) % 360.0, 0.0)
        return np.where(grade > 1e-12, grade, 0.0).reshape(x.shape), aspect.reshape(x.shape)

    def triangles_over(self, area: Polygon) -> tuple[Floats, NDArray[np.int64]]:
        """Return corners (n, 3) [m] and triangles (m, 3) that cover the measured ground and all of ``area`` about it.

        None where fewer than two levels are known: the ground is level then.
        """
        return self._locator.drawn(area)

    def contours(self, step_m: float) -> list[Contour]:
        """Return the contours at whole multiples of ``step_m`` [m], lowest first.

        They cover the ``boundary`` if there is one, and else the measured ground.
        """
        from quincunx.site._contours import trace

        if not step_m > 0:
            raise ValueError(f"got a contour step of {step_m} m; expected more than 0; try 0.25 m")
        traced = trace(*self._locator.drawn(self.boundary), step_m, self.boundary)
        return [Contour(z, line) for z, line in traced]

    def profile(self, line: LineString | Sequence[tuple[float, float]]) -> Profile:
        """Return the heights along ``line`` [m], exact at every bend of the ground under it."""
        at = np.asarray(getattr(line, "coords", line), np.float64)[:, :2]
        if len(at) < 2:
            raise ValueError(f"got a line of {len(at)} points; expected two or more")
        lengths = np.hypot(*np.diff(at, axis=0).T)
        start = np.concatenate(([0.0], np.cumsum(lengths)))
        shares = [self._locator.bends(a, b) for a, b in pairwise(at)]
        along = [start[i] + shares[i] * lengths[i] for i in range(len(lengths))]
        across = [at[i] + shares[i][:, None] * (at[i + 1] - at[i]) for i in range(len(lengths))]
        distance, first = np.unique(np.concatenate([*along, start]), return_index=True)
        xy = np.concatenate([*across, at])[first]
        return Profile(distance, self.height(xy[:, 0], xy[:, 1]))


def _points(x_m: ArrayLike, y_m: ArrayLike) -> tuple[Floats, Floats]:
    x, y = np.asarray(x_m, np.float64), np.asarray(y_m, np.float64)
    if x.shape != y.shape:
        x, y = np.broadcast_arrays(x, y)
    return x, y


def _micro(point: XYZ) -> tuple[XY, float]:
    x, y, z = (float(value) for value in point)
    if not all(np.isfinite((x, y, z))):
        raise ValueError(f"got a level at {x}, {y} of {z} m; expected three numbers; measure it again")
    return (round(x * PER_M), round(y * PER_M)), z


def _means(levels: list[tuple[XY, float]]) -> tuple[dict[XY, float], list[XY]]:
    """Return one height for each point, and the points at which the given ones differ."""
    given: dict[XY, list[float]] = {}
    for xy, z in sorted(levels):
        given.setdefault(xy, []).append(z)
    doubtful = [xy for xy, all_z in given.items() if all_z[-1] - all_z[0] > SAME_M]
    return {xy: all_z[0] if len(set(all_z)) == 1 else sum(all_z) / len(all_z) for xy, all_z in given.items()}, doubtful
