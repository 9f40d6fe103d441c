"""Ways through a wall, and the changes one thing makes to another."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from shapely import LineString, Polygon

Latch = Literal["none", "latched", "locked", "shut"]


@dataclass(frozen=True, slots=True)
class Leaf:
    """A gate's leaf when shut: ``height_m`` high, ``under_m`` clear below it, largest hole ``gap_m``."""

    height_m: float
    under_m: float = 0.05
    gap_m: float = 0.0


@dataclass(frozen=True, slots=True)
class Opening:
    """A way through a wall: its ``clear`` line [m], clear ``width_m``, ``headroom_m`` and ``step_m`` up.

    Without a ``leaf`` it always stands open.  ``latch``: ``none`` pushes open, ``latched`` needs a hand,
    ``locked`` needs a key, ``shut`` is closed for good: nobody opens it, and it is never left open.  ``hinge`` says at which
    end of the line a single leaf hangs; empty where that isn't known, or two leaves meet in the middle.
    """

    owner: str
    clear: LineString
    width_m: float
    headroom_m: float | None = None
    step_m: float = 0.0
    latch: Latch = "none"
    leaf: Leaf | None = None
    hinge: Literal["", "start", "end"] = ""


@dataclass(frozen=True, slots=True)
class Cut:
    """``owner`` cuts what stands as a wall inside ``place``, up to ``up_to_m`` above ground (None: to its top).

    With ``through`` only what that line runs in is cut, so that what merely stands near it is left alone.
    ``needed`` is False for what may as well stand free (an arch over a path, steps down an open slope).
    ``only`` says what it cuts: any wall, or no more than what retains higher ground.  With ``way``, the line on which
    people go through, each wall cut is entered there: an opening with steps of ``step_m`` [m].
    """

    owner: str
    place: Polygon
    up_to_m: float | None = None
    through: LineString | None = None
    needed: bool = True
    only: Literal["walls", "retaining"] = "walls"
    way: LineString | None = None
    step_m: float = 0.0


@dataclass(frozen=True, slots=True)
class Cover:
    """``owner`` covers ``place`` with something whose largest hole is ``gap_m`` (a net, a cage)."""

    owner: str
    place: Polygon
    gap_m: float


@dataclass(frozen=True, slots=True)
class Guard:
    """``owner`` guards ``target`` (a feature's id), or all planted inside ``place``, to ``height_m``."""

    owner: str
    height_m: float
    gap_m: float
    target: str | None = None
    place: Polygon | None = None


@dataclass(frozen=True, slots=True)
class Shut:
    """``owner`` keeps the opening of ``target`` shut for good (a gate screwed up, a hurdle put across, its ``leaf``)."""

    owner: str
    target: str
    leaf: Leaf | None = None


@dataclass(frozen=True, slots=True)
class Narrow:
    """``owner`` (a climber) takes ``side_m`` off each side and ``head_m`` off the headroom of ``target``'s opening."""

    owner: str
    target: str
    side_m: float
    head_m: float


Change = Cut | Cover | Guard | Shut | Narrow
