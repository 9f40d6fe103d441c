"""What work a feature is: what ``build`` can expand into parts, price, cut and screen."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from shapely import LineString, Polygon

from quincunx.shapes.figures import XY

CRUMB_M = 0.01
"""Sides of a run no longer than this are none [m]."""


@dataclass(frozen=True, slots=True)
class Layer:
    """One layer of a floor: ``material`` laid ``thickness_m`` thick."""

    material: str
    thickness_m: float


@dataclass(frozen=True, slots=True)
class AreaWork:
    """A floor to lay over ``outline``: a unit ``pattern`` (or none) on ``layers`` from the top down.

    ``edge`` is the course round its rim: none, units laid across it, or along it.  ``dug`` says whether its layers go
    into the ground (a roof's covering does not); ``up_deg`` is the bearing that goes up a roof's slope or a wall [deg].
    """

    owner: str
    outline: Polygon
    layers: tuple[Layer, ...]
    pattern: str = "none"
    unit_m: tuple[float, float] | None = None
    joint_m: float = 0.0
    edge: str = "none"
    dug: bool = True
    up_deg: float | None = None


Load = Literal["none", "roof", "slats", "floor"]
"""What a piece carries: nothing, a solid roof, open slats, or people."""


@dataclass(frozen=True, slots=True)
class Member:
    """One straight piece: from ``start`` to ``end`` (x, y, z above ground) [m], cut from ``section_m`` (wide, deep).

    ``carries`` says what it bears, over a strip ``strip_m`` wide in plan [m]; ``span_m`` is the part between supports
    (None: all of it, in plan) and ``past_m`` how far it reaches past the lower support [m].  ``more_m`` is added to
    the length for sawing its ends on the slope [m].
    """

    name: str
    start: tuple[float, float, float]
    end: tuple[float, float, float]
    section_m: tuple[float, float]
    material: str
    support: Literal["simple", "cantilever", "post", "ground"] = "simple"
    count: int = 1
    carries: Load = "none"
    strip_m: float = 0.0
    span_m: float | None = None
    past_m: float = 0.0
    more_m: float = 0.0


@dataclass(frozen=True, slots=True)
class Joint:
    """``count`` joints of one sort: what meets, how it is made, and the fixings each takes (what, how many)."""

    words: str
    how: str
    count: int
    fixings: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Roof:
    """The roof of a structure as loads see it: area in plan [m2], pitch [deg], weight up its slope [kN/m2].

    ``open_share`` is the open share of slats (0: a solid roof); ``closed_sides`` the share of its sides that are
    closed; ``eaves_m`` and ``ridge_m`` its heights above the ground [m]; ``falls`` how many slopes it has.
    """

    area_m2: float
    pitch_deg: float
    dead_kpa: float
    open_share: float
    closed_sides: float
    eaves_m: float
    ridge_m: float
    falls: int = 1
    slippery: bool = False


@dataclass(frozen=True, slots=True)
class FrameWork:
    """A structure of ``members`` with its ``footings`` (x, y) [m], its joints and what was taken for granted.

    ``floor_m2`` is the floor it carries, loaded by people or else by ``live_kpa`` [m2, kN/m2].  Its posts stand in
    holes of ``hole_m`` (across), or on pads of ``pad_m`` (side) [m]; ``on_pads`` says so where the ground falls and a foot
    lies lower than the frame's own floor.  ``order`` is what is done in which order; ``order_is_whole`` says that nothing
    of the usual steps of a frame (corners square, pads, posts braced) is to be told beside it.
    """

    owner: str
    members: tuple[Member, ...]
    footings: tuple[XY, ...] = ()
    joints: tuple[Joint, ...] = ()
    assumes: tuple[str, ...] = ()
    roof: Roof | None = None
    pad_m: float = 0.4
    hole_m: float = 0.3
    order: tuple[str, ...] = ()
    floor_m2: float = 0.0
    live_kpa: float | None = None
    on_pads: bool = False
    order_is_whole: bool = False


@dataclass(frozen=True, slots=True)
class LineWork:
    """A thing by the running metre along ``line``: a wall, a fence, an edging, a drain.

    ``posts`` are where it is fixed to posts, if it is (x, y) [m].
    """

    owner: str
    line: LineString
    height_m: float
    thickness_m: float
    material: str
    closed: bool = False
    posts: tuple[XY, ...] = ()

    @property
    def course(self) -> LineString:
        """Return its line with the way back to its start, if it comes back there [m]."""
        points = list(self.line.coords)
        return LineString([*points, points[0]]) if self.closed and points[0] != points[-1] else self.line

    @property
    def sides(self) -> tuple[tuple[XY, XY], ...]:
        """Return the straight sides of its course one after the other, without crumbs [m]."""
        points = [(float(x), float(y)) for x, y, *_ in self.course.coords]
        return tuple((a, b) for a, b in pairwise(points) if math.dist(a, b) > CRUMB_M)


@dataclass(frozen=True, slots=True)
class PlantWork:
    """Plants to set: ``plant`` ids ``count`` times, ``spacing_m`` apart."""

    owner: str
    plant: str
    count: int
    spacing_m: float
    stock: str


@dataclass(frozen=True, slots=True)
class LiftWork:
    """Plants to dig out of a planting where an opening comes: ``plant`` ids ``at`` these places [m], set ``years`` ago."""

    owner: str
    planting: str
    plant: str
    at: tuple[XY, ...]
    years: float


@dataclass(frozen=True, slots=True)
class DripWork:
    """Tube with drippers every ``between_m``, each giving ``litres_h``, in ``runs`` fed side by side from one end [m, l/h].

    ``bore_m`` is its width inside, ``feed_m`` the plain pipe from ``fed_from`` (a tap or tank; empty: not said), None
    where nobody has said how much; ``waters`` what it waters.
    """

    owner: str
    runs: tuple[LineString, ...]
    between_m: float
    litres_h: float
    bore_m: float
    feed_m: float | None = None
    fed_from: str = ""
    waters: tuple[str, ...] = ()

    @property
    def tube_m(self) -> float:
        """Return the length of all its runs [m]."""
        return float(sum(run.length for run in self.runs))

    @property
    def longest_m(self) -> float:
        """Return the length of its longest run [m]."""
        return float(max(run.length for run in self.runs))

    @property
    def header_m(self) -> float:
        """Return the length of the plain pipe across the ends of its runs [m]."""
        starts = [run.coords[0] for run in self.runs]
        return float(sum(LineString((a, b)).length for a, b in pairwise(starts)))

    @property
    def drippers(self) -> int:
        """Return how many drippers all its runs have: the first half their distance in, at least one a run."""
        return sum(max(int(run.length / self.between_m + 1e-6), 1) for run in self.runs)

    @property
    def flow_l_h(self) -> float:
        """Return what all its drippers give [l/h]."""
        return self.drippers * self.litres_h


@dataclass(frozen=True, slots=True)
class KitWork:
    """A thing bought as a kit, with what its maker states; None where nothing is stated: can't tell.

    ``size_m`` is (width, depth, height) [m], ``price`` in minor units, ``weight_kg`` [kg], ``people`` to put it up,
    ``wind_limit_m_s`` [m/s] and ``snow_limit_kpa`` [kN/m2].  ``footings`` are the points it is fixed down at [m].
    ``base`` is the base it asks for and ``life_years`` how long it lasts, both as its maker states them.
    ``what`` names a thing that is simply bought whole (a gate, a bench): it is no kit, and nothing is stated of it.
    """

    owner: str
    size_m: tuple[float | None, float | None, float | None] = (None, None, None)
    price: int | None = None
    weight_kg: float | None = None
    people: int | None = None
    wind_limit_m_s: float | None = None
    snow_limit_kpa: float | None = None
    footings: tuple[XY, ...] = ()
    what: str = ""
    base: str = ""
    life_years: int | None = None


@dataclass(frozen=True, slots=True)
class FlightWork:
    """A flight of steps as people climb it, to be looked up: ``count`` risers of ``rise_m``, treads of ``going_m`` [m].

    ``rails`` handrails (0 to 2) stand ``rail_m`` high beside it.
    """

    owner: str
    count: int
    rise_m: float
    going_m: float
    width_m: float
    rails: int = 0
    rail_m: float = 0.0


@dataclass(frozen=True, slots=True)
class DropWork:
    """A place with a drop beside it, to be looked up: how deep it is, and the guard that stands there [m].

    ``guard_m`` is the guard's height (0: none) and ``gap_m`` the widest hole in it; ``area_m2`` is the floor's, and
    ``touches_house`` says whether it is fixed to a building.  ``edges`` are the sides with no guard.
    """

    owner: str
    words: str
    drop_m: float
    guard_m: float = 0.0
    gap_m: float = 0.0
    area_m2: float = 0.0
    touches_house: bool = False
    edges: tuple[LineString, ...] = ()


@dataclass(frozen=True, slots=True)
class WaterWork:
    """Open water, to be looked up and dug: how deep it is at its deepest [m].

    Round it runs a shelf ``shelf_wide_m`` wide under ``shelf_m`` of water; the water lies ``below_m`` under the ground
    around [m].
    """

    owner: str
    deep_m: float
    shelf_m: float = 0.0
    shelf_wide_m: float = 0.0
    below_m: float = 0.0


@dataclass(frozen=True, slots=True)
class RampWork:
    """A ramp as wheels take it, to be looked up: ``rise_m`` over ``run_m`` measured level, ``width_m`` wide [m]."""

    owner: str
    rise_m: float
    run_m: float
    width_m: float


Checked = FlightWork | DropWork | RampWork | WaterWork
"""What is looked up and comes to nothing in parts."""
Work = AreaWork | DripWork | FrameWork | KitWork | LiftWork | LineWork | PlantWork | Checked
