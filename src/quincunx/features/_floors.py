"""Floors: what people walk on, how firm it is by month, and what lies under it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import IntEnum
from typing import Literal

from shapely import Polygon

from quincunx.features._base import Feature
from quincunx.scene.moment import Moment
from quincunx.shapes import GROUND, AreaWork, Layer, Lie, Pattern, Surface
from quincunx.units.fields import Doc, Length, Slug, field, length

FloorName = Literal[
    "grass", "earth", "woodchip", "gravel", "brick", "flags", "setts", "concrete", "boards", "bark", "sand"
]  # fmt: skip
Bond = Literal["none", "running", "stack", "basket", "herringbone", "herringbone 45", "diagonal", "circular", "random"]
Bedding = Literal["sand", "mortar", "concrete"]


class Lies(IntEnum):
    """Which surface shows where several lie over each other: the higher one.

    What is said of bare ground lies lowest, sown ground over it, then tilled, then loose, then laid floors, then what
    climbs, holds soil or holds water.
    """

    FLOOD_GROUND = -2
    LAWN = 0
    MEADOW = 2
    BANK = 4
    SMOTHERED = 6
    MEANWHILE = 10
    BED = 12
    MULCH = 14
    GRAVEL = 16
    PAVING = 18
    PATH = 20
    DRAIN = 22
    RAMP = 24
    STEPS = 26
    RAISED = 30
    POND_EDGE = 34
    POND = 36
    POND_DEEP = 38
    BRIDGE = 40


_DRY = (1.0,) * 12
_SOFT = (0.35, 0.35, 0.45, 0.6, 0.75, 0.8, 0.8, 0.8, 0.7, 0.55, 0.4, 0.35)
_LOOSE = (0.7, 0.7, 0.75, 0.8, 0.8, 0.8, 0.8, 0.8, 0.8, 0.75, 0.7, 0.7)


@dataclass(frozen=True, slots=True)
class Floor:
    """One floor: firmness by northern month, share of rain that runs off, how it is drawn, usual layers down [m].

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
        "stone flags", _DRY, 0.85, "flags",
        (Layer("flags", 0.04), Layer("bedding mortar", 0.03), Layer("crushed stone", 0.1)), (0.6, 0.6), 0.01,
    ),
    "setts": Floor(
        "setts", _DRY, 0.75, "bricks",
        (Layer("setts", 0.1), Layer("bedding sand", 0.03), Layer("crushed stone", 0.1)), (0.1, 0.1), 0.01,
    ),
    "concrete": Floor("concrete", _DRY, 0.9, "plain", (Layer("concrete", 0.1), Layer("crushed stone", 0.1))),
    "boards": Floor("boards", _DRY, 0.6, "boards", (Layer("boards", 0.028), Layer("joists", 0.1)), (2.4, 0.12), 0.006),
}  # fmt: skip


_BEDDINGS: dict[str, Layer] = {
    "sand": Layer("bedding sand", 0.025),
    "mortar": Layer("bedding mortar", 0.03),
    "concrete": Layer("concrete", 0.1),
}
"""What units are laid on (common practice, no source)."""


class Finish(Doc):
    """One finish of a floor: what it is, how its units are laid and, if known, how deep it needs to be dug."""

    id: Slug = field("Id", "first")
    floor: FloorName = field("Floor", "gravel")
    dig: Length | None = length("Depth dug for it", None, ge=0.0, le=1.0)
    pattern: Bond | None = field("Laid in", None, help="empty: as is usual for that floor")
    base: Bedding | None = field("Laid on", None, help="empty: as is usual for that floor")
    unit_long: Length | None = length("Length of one unit", None, ge=0.02, le=4.0)
    unit_wide: Length | None = length("Width of one unit", None, ge=0.02, le=4.0)
    joint: Length | None = length("Joint between units", None, ge=0.0, le=0.1)
    edge: Literal["none", "across", "along"] = field(
        "Course round its edge", "none", help="units laid across the edge, or along it"
    )

    def layers(self) -> tuple[Layer, ...]:
        """Return its layers from the top down, on the bedding that was chosen."""
        usual = FLOORS[self.floor].layers
        if self.base is None or len(usual) < 2:
            return usual
        return (usual[0], _BEDDINGS[self.base], *usual[2:])

    def unit_m(self) -> tuple[float, float] | None:
        """Return length and width of one unit [m]; None for a floor that is poured, spread or sown."""
        usual = FLOORS[self.floor].unit_m
        if self.unit_long is None and self.unit_wide is None:
            return usual
        long, wide = usual or (0.3, 0.3)
        return (float(self.unit_long or long), float(self.unit_wide or wide))


WEIGHED: tuple[FloorName, ...] = ("woodchip", "gravel", "brick", "flags", "setts", "concrete")
"""Floors a path or a place to sit may be made of, from the cheapest usually to the dearest."""


def other_floors(feature: Feature, finishes: Sequence[Finish]) -> Iterator[tuple[str, str, Feature]]:
    """Yield a feature with each other floor as its only finish: (id, words, feature)."""
    fields = {n: getattr(feature, n) for n in type(feature).model_fields}
    for name in WEIGHED:
        if [name] != [f.floor for f in finishes]:
            other = type(feature).model_validate(fields | {"finishes": (Finish(id=finishes[0].id, floor=name),)})
            yield f"floor-{name}", f"all of {FLOORS[name].words}", other


def depth_m(finish: Finish) -> float:
    """Return how deep a finish needs to be dug [m]: as typed, else all its layers."""
    return float(finish.dig) if finish.dig is not None else sum(layer.thickness_m for layer in finish.layers())


def floor_work(owner: str, shape: Polygon, finish: Finish, every: Sequence[Finish]) -> AreaWork:
    """Return the work of one finish.

    The first one digs for the deepest that is to come and fills up with base, so that a later one neither digs nor
    changes the level: it takes off what lay on the base, and lays its own on as much more base as it needs.
    """
    floor, layers, unit = FLOORS[finish.floor], finish.layers(), finish.unit_m()
    deepest = max(depth_m(f) for f in every)
    first = finish is every[0]
    if first and deepest > depth_m(finish):
        layers = (*layers, Layer(FILL, round(deepest - depth_m(finish), 4)))
    elif not first:
        more = _base_m(finish) + deepest - depth_m(finish) - _base_m(every[0]) - deepest + depth_m(every[0])
        layers = tuple(x for x in layers if x.material != BASE)
        layers += (Layer(BASE, round(more, 4)),) if more > 1e-4 else ()
    bond = finish.pattern or ("running" if unit else "none")
    joint = floor.joint_m if finish.joint is None else float(finish.joint)
    return AreaWork(owner, shape, layers, bond, unit, joint, finish.edge, dug=first)


BASE, FILL = "crushed stone", "fill for later"


def _base_m(finish: Finish) -> float:
    return sum(x.thickness_m for x in finish.layers() if x.material == BASE)


def floor_surface(
    owner: str, part: str, shape: Polygon, floor_name: str, moment: Moment, layer: Lies, lie: Lie = GROUND
) -> Surface:
    """Return a floor, lying with the ground unless said, as firm as it is in each month of this hemisphere."""
    floor = FLOORS[floor_name]
    firm = moment.year_months(floor.firmness)
    return Surface(owner, part, shape, floor_name, lie, firm, run_off=floor.run_off, layer=layer)
