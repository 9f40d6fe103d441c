"""What stops feet, sight, sun and rain."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from shapely import Polygon

from quincunx.shapes.heights import GROUND, Height, Plane

Monthly = tuple[float, ...]
"""Twelve numbers, January to December."""

OPAQUE: Monthly = (1.0,) * 12
NO_LIGHT: Monthly = (0.0,) * 12


def every_month(value: float) -> Monthly:
    """Return ``value`` for each of the twelve months."""
    return (float(value),) * 12


@dataclass(frozen=True, slots=True)
class Prism:
    """Upright sides over the footprint, flat or following the ground on top."""


@dataclass(frozen=True, slots=True)
class Crown:
    """A tree's or shrub's head from base to top: ``ellipsoid``, ``cone`` (narrow above) or ``dome`` (flat below)."""

    outline: Literal["ellipsoid", "cone", "dome"] = "ellipsoid"


@dataclass(frozen=True, slots=True)
class Slab:
    """A sheet of ``thickness_m`` whose upper side is ``plane``: a roof slope."""

    plane: Plane
    thickness_m: float = 0.05


@dataclass(frozen=True, slots=True)
class Slats:
    """Parallel slats running along ``direction_deg``: ``depth_m`` deep, ``thickness_m`` thick, clear ``gap_m`` apart.

    ``tilt_deg`` leans the slats from upright (0) about their length, clockwise seen along ``direction_deg``.
    """

    direction_deg: float
    depth_m: float
    gap_m: float
    tilt_deg: float = 0.0
    thickness_m: float = 0.045


Form = Prism | Crown | Slab | Slats


@dataclass(frozen=True, slots=True)
class Solid:
    """One upright or overhead thing.

    ``footprint`` is its outline in plan [m].  ``gap_m`` is the largest hole through it [m] (0 a wall, 0.10
    pickets, larger in a young hedge).  ``reluctant`` marks planted things people don't tread on though they
    could.  ``opacity`` is the share of a view it blocks and ``transmittance`` the share of sunlight it lets
    through, each by month.  ``sheds_to`` names where its rain goes.  ``retains`` marks what holds back higher
    ground: steps and ramps are built through it.
    """

    owner: str
    part: str
    footprint: Polygon
    base: Height = GROUND
    top: Height = Height(1.0)
    form: Form = field(default_factory=Prism)
    gap_m: float = 0.0
    reluctant: bool = False
    opacity: Monthly = OPAQUE
    transmittance: Monthly = NO_LIGHT
    sheds_to: str | None = None
    grown: bool = False
    retains: bool = False

    @property
    def upright(self) -> bool:
        """Return whether it stands on the ground it covers, and isn't a crown, a roof or slats over it."""
        return not isinstance(self.form, (Crown, Slab, Slats))

    @property
    def name(self) -> str:
        """Return ``owner/part``, unique in a scene."""
        return f"{self.owner}/{self.part}" if self.part else self.owner
