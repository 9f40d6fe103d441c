"""What things look like: a muted paint for each material, and for leaves by their season."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from quincunx.plants.catalogue import Plant
from quincunx.scene import Scene
from quincunx.shapes import AreaWork, FrameWork, LineWork, Slab, Slats, Solid

Find = Callable[[str], Plant | None]

GLASS = 0.5
"""What is built, has no holes and yet lets more than this share of the sun through is glazed."""
GLAZED_STOPS = 0.3
"""How much of a view glass is drawn to stop."""
YOUNG, TURNING = (3, 4, 5), (10, 11)
"""Northern months in which leaves are young, and in which they turn (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Paint:
    """A colour (linear red, green, blue, 0 to 1), its roughness, and how much of a view it stops (1: all)."""

    name: str
    rgb: tuple[float, float, float]
    rough: float = 1.0
    stops: float = 1.0


@cache
def _data() -> dict[str, Any]:
    text = (files("quincunx.model") / "data" / "paints.json").read_text(encoding="utf-8")
    found: dict[str, Any] = json.loads(text)
    return found


def _linear(code: str) -> tuple[float, float, float]:
    """Return an sRGB colour as linear light (IEC 61966-2-1:1999)."""
    shares = (int(code[k : k + 2], 16) / 255 for k in (1, 3, 5))
    r, g, b = (s / 12.92 if s <= 0.04045 else ((s + 0.055) / 1.055) ** 2.4 for s in shares)
    return round(r, 4), round(g, 4), round(b, 4)


@cache
def paint(name: str, stops: float = 1.0) -> Paint:
    """Return a paint by its name."""
    code, rough = _data()["paints"][name]
    return Paint(name, _linear(code), rough, stops)


@cache
def material_paint(material: str, stops: float = 1.0) -> Paint | None:
    """Return the paint of a material by the first known word in its name; None if there is none."""
    for word, found in _data()["materials"]:
        if word in material:
            if found.startswith("#"):
                return Paint(material, _linear(found), 1.0, stops)
            base = paint(found)
            return Paint(material, base.rgb, base.rough, min(stops, GLAZED_STOPS) if found == "glass" else stops)
    return None


def made_of(scene: Scene) -> dict[str, str]:
    """Return what each thing that is built is chiefly made of, as its work says."""
    out: dict[str, str] = {}
    for work in scene.work:
        if isinstance(work, LineWork):
            out.setdefault(work.owner, work.material)
        elif isinstance(work, FrameWork) and work.members:
            out.setdefault(work.owner, work.members[0].material)
    return out


def roofed_with(scene: Scene) -> dict[str, str]:
    """Return what each roof is covered with, as its work says."""
    out: dict[str, str] = {}
    for work in scene.work:
        if isinstance(work, AreaWork) and not work.dug and work.layers:
            out.setdefault(work.owner, work.layers[0].material)
    return out


class Paints:
    """The paints of one scene; ``flowering`` names the things in flower."""

    def __init__(self, scene: Scene, find: Find, flowering: Iterable[str] = ()) -> None:
        """Look up what is made of what, and how leaves stand in the scene's month."""
        self.month, self.southern = scene.on.month, scene.latitude_deg < 0
        self.made, self.roofs = made_of(scene), roofed_with(scene)
        self.plants = {p.owner: p.plant for p in scene.plants}
        self.find, self.flowering = find, frozenset(flowering)

    def of(self, solid: Solid) -> Paint:
        """Return the paint of a solid."""
        stops = round(solid.opacity[self.month - 1], 1)
        if solid.grown:
            woody = solid.gap_m == 0 and min(solid.opacity) >= 1.0
            return paint("bark") if woody else paint(self.leaf(solid.owner), max(stops, 0.1))
        if isinstance(solid.form, Slats):
            return paint("timber")
        if solid.gap_m == 0 and min(solid.transmittance) > GLASS:
            return paint("glass", GLAZED_STOPS)
        if isinstance(solid.form, Slab):
            return material_paint(self.roofs.get(solid.owner, "")) or self._wall(solid) or paint("roof")
        return self._wall(solid) or paint("plaster" if solid.gap_m == 0 else "timber")

    def _wall(self, solid: Solid) -> Paint | None:
        found = material_paint(self.made.get(solid.owner, ""))
        fine = found is not None and found.rgb == paint("wire").rgb
        return found if found is None or not fine else Paint(found.name, found.rgb, found.rough, 0.3)

    def leaf(self, owner: str) -> str:
        """Return how the leaves of a thing stand in the month: in flower, young, full, turning, evergreen or none."""
        plant = self.find(self.plants.get(owner, ""))
        if owner in self.flowering:
            return "blossom"
        if plant is None:
            return "leaf"
        if plant.evergreen:
            return "leaf evergreen"
        if not plant.in_leaf(southern=self.southern)[self.month - 1]:
            return "twigs"
        northern = (self.month + 5) % 12 + 1 if self.southern else self.month
        return "leaf young" if northern in YOUNG else "leaf turning" if northern in TURNING else "leaf"
