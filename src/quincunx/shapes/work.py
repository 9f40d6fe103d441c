"""What work a feature is: what ``build`` can expand into parts, price, cut and screen."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from shapely import LineString, Polygon

from quincunx.shapes.figures import XY


@dataclass(frozen=True, slots=True)
class Layer:
    """One layer of a floor: ``material`` laid ``thickness_m`` thick."""

    material: str
    thickness_m: float


@dataclass(frozen=True, slots=True)
class AreaWork:
    """A floor to lay over ``outline``: a unit ``pattern`` (or none) on ``layers`` from the top down."""

    owner: str
    outline: Polygon
    layers: tuple[Layer, ...]
    pattern: str = "none"
    unit_m: tuple[float, float] | None = None
    joint_m: float = 0.0


@dataclass(frozen=True, slots=True)
class Member:
    """One straight piece: from ``start`` to ``end`` (x, y, z above ground) [m], cut from ``section_m``."""

    name: str
    start: tuple[float, float, float]
    end: tuple[float, float, float]
    section_m: tuple[float, float]
    material: str
    support: Literal["simple", "cantilever", "post", "ground"] = "simple"
    count: int = 1


@dataclass(frozen=True, slots=True)
class FrameWork:
    """A structure of ``members`` with its ``footings`` (x, y) [m]."""

    owner: str
    members: tuple[Member, ...]
    footings: tuple[XY, ...] = ()


@dataclass(frozen=True, slots=True)
class LineWork:
    """A thing by the running metre along ``line``: a wall, a fence, an edging, a drain."""

    owner: str
    line: LineString
    height_m: float
    thickness_m: float
    material: str
    closed: bool = False


@dataclass(frozen=True, slots=True)
class PlantWork:
    """Plants to set: ``plant`` ids ``count`` times, ``spacing_m`` apart."""

    owner: str
    plant: str
    count: int
    spacing_m: float
    stock: str


@dataclass(frozen=True, slots=True)
class KitWork:
    """A thing bought as a kit, with what its maker states; None where nothing is stated: can't tell.

    ``size_m`` is (width, depth, height) [m], ``price`` in minor units, ``weight_kg`` [kg], ``people`` to put it up,
    ``wind_limit_m_s`` [m/s] and ``snow_limit_kpa`` [kN/m2].  ``footings`` are the points it is fixed down at [m].
    """

    owner: str
    size_m: tuple[float | None, float | None, float | None] = (None, None, None)
    price: int | None = None
    weight_kg: float | None = None
    people: int | None = None
    wind_limit_m_s: float | None = None
    snow_limit_kpa: float | None = None
    footings: tuple[XY, ...] = ()


Work = AreaWork | FrameWork | KitWork | LineWork | PlantWork
