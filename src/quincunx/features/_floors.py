"""Floors: what people walk on, how firm it is by month, and what lies under it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from shapely import Polygon

from quincunx.shapes import GROUND, AreaWork, Height, Layer, Pattern
from quincunx.units.fields import Doc, Length, Slug, field, length

FloorName = Literal["grass", "earth", "woodchip", "gravel", "brick", "flags", "setts", "concrete", "boards", "bark", "sand"]

_DRY = (1.0,) * 12
_SOFT = (0.35, 0.35, 0.45, 0.6, 0.75, 0.8, 0.8, 0.8, 0.7, 0.55, 0.4, 0.35)
_LOOSE = (0.7, 0.7, 0.75, 0.8, 0.8, 0.8, 0.8, 0.8, 0.8, 0.75, 0.7, 0.7)


@dataclass(frozen=True, slots=True)
class Floor:
    """One floor: firmness by northern month, share of rain that runs off, how it is drawn, usual layers (top down) [m].

    Run-off shares: Texas Manual on Rainwater Harvesting, 3rd ed. 2005 (hard floors; from memory); the rest common
    practice, no source.  Layers: base 100 mm and bedding 25 mm under units on walks and patios after the Interlocking
    Concrete Pavement Institute's construction tolerances; the rest common practice, no source.
    """

    words: str
    firmness: tuple[float, ...]
    run_off: float
    pattern: Pattern
    layers: tuple[Layer, ...]
    unit_m: tuple[float, float] | None = None
    joint_m: float = 0.0


FLOORS: dict[str, Floor] = {
    "grass": Floor("grass", _SOFT, 0.15, "tufts", (Layer("turf", 0.03), Layer("topsoil", 0.1))),
    "earth": Floor("trodden earth", _SOFT, 0.3, "plain", ()),
    "woodchip": Floor("woodchip", _LOOSE, 0.1, "dots", (Layer("woodchip", 0.08),)),
    "bark": Floor("bark", _LOOSE, 0.1, "dots", (Layer("bark", 0.08),)),
    "gravel": Floor("gravel", _LOOSE, 0.3, "dots", (Layer("gravel", 0.05), Layer("crushed stone", 0.1))),
    "sand": Floor("sand", _LOOSE, 0.1, "dots", (Layer("sand", 0.1),)),
    "brick": Floor(
        "brick", _DRY, 0.8, "bricks",
        (Layer("brick", 0.065), Layer("bedding sand", 0.025), Layer("crushed stone", 0.1)), (0.215, 0.1025), 0.004,
    ),
    "flags": Floor(
        "stone flags", _DRY, 0.85, "stones",
        (Layer("flags", 0.04), Layer("bedding mortar", 0.03), Layer("crushed stone", 0.1)), (0.6, 0.6), 0.01,
    ),
    "setts": Floor(
        "setts", _DRY, 0.75, "bricks",
        (Layer("setts", 0.1), Layer("bedding sand", 0.03), Layer("crushed stone", 0.1)), (0.1, 0.1), 0.01,
    ),
    "concrete": Floor("concrete", _DRY, 0.9, "plain", (Layer("concrete", 0.1), Layer("crushed stone", 0.1))),
    "boards": Floor("boards", _DRY, 0.6, "boards", (Layer("boards", 0.028), Layer("joists", 0.1)), (2.4, 0.12), 0.006),
}  # fmt: skip


class Finish(Doc):
    """One finish of a floor: what it is and, if known, how deep it needs to be dug."""

    id: Slug = field("Id", "first")
    floor: FloorName = field("Floor", "gravel")
    dig: Length | None = length("Depth dug for it", None, ge=0.0, le=1.0)


def raised_by() -> Height:
    """Return the height of a floor that lies with the ground."""
    return GROUND


def depth_m(finish: Finish) -> float:
    """Return how deep a finish needs to be dug [m]: as typed, else all its layers."""
    return float(finish.dig) if finish.dig is not None else sum(layer.thickness_m for layer in FLOORS[finish.floor].layers)


def floor_work(owner: str, shape: Polygon, finish: Finish, every: Sequence[Finish]) -> AreaWork:
    """Return the work of one finish; the first one digs for the deepest that is to come."""
    floor = FLOORS[finish.floor]
    layers = floor.layers
    deepest = max(depth_m(f) for f in every)
    if finish is every[0] and deepest > depth_m(finish):
        layers = (*layers, Layer("fill for later", round(deepest - depth_m(finish), 4)))
    return AreaWork(owner, shape, layers, "running" if floor.unit_m else "none", floor.unit_m, floor.joint_m)
