"""What people walk on, rain falls on and plants grow in."""

from __future__ import annotations

from dataclasses import dataclass

from shapely import Polygon

from quincunx.shapes.heights import GROUND, Height, Plane
from quincunx.shapes.solids import Monthly, every_month


@dataclass(frozen=True, slots=True)
class Risers:
    """Steps climbing towards ``up_deg``: ``count`` risers of ``rise_m``, each with ``going_m`` of tread above it.

    The first riser stands at the foot edge of the surface; the last tread lies level with the ground above.
    """

    up_deg: float
    count: int
    rise_m: float
    going_m: float
    foot: Height = GROUND


Lie = Height | Plane | Risers


@dataclass(frozen=True, slots=True)
class Surface:
    """A piece of floor.

    ``area`` is its outline [m].  ``firmness`` is 0 (mire) to 1 (stone) by month.  ``planted`` ground is not
    walked on.  ``water_depth_m`` is standing water.  ``run_off`` is the share of rain that runs away.  Where
    surfaces lie over each other the higher ``layer`` shows.  ``tended_in`` are the months of the place in which the
    person wants it cut or mended; empty: as usual for its material.  ``flows`` is said of running water, ``floods_m`` of
    ground that high water covers, no deeper than that [m], in ``floods_in`` (months of the place).
    """

    owner: str
    part: str
    area: Polygon
    material: str
    lie: Lie = GROUND
    firmness: Monthly = every_month(1.0)
    planted: bool = False
    water_depth_m: float = 0.0
    run_off: float = 0.3
    layer: int = 0
    tended_in: tuple[int, ...] = ()
    flows: bool = False
    floods_m: float = 0.0
    floods_in: tuple[int, ...] = ()

    @property
    def name(self) -> str:
        """Return ``owner/part``, unique in a scene."""
        return f"{self.owner}/{self.part}" if self.part else self.owner
