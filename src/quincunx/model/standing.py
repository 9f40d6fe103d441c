"""All that stands on a date as named things in their paints, and as a file."""

from __future__ import annotations

from collections.abc import Iterable

from quincunx.model.floors import floors_of
from quincunx.model.glb import Piece, Thing, glb
from quincunx.model.paints import Find, Paint, Paints, material_paint, paint
from quincunx.model.triangles import Mesh, meshes_of
from quincunx.scene import Scene
from quincunx.shapes import Solid
from quincunx.shapes.solids import every_month

GROUND = {"ground": "The ground", "around": "The ground around"}
LEAF_M = 0.05
"""Thickness of a gate's leaf (common practice, no source)."""


def things_of(scene: Scene, find: Find, flowering: Iterable[str] = ()) -> tuple[Thing, ...]:
    """Return all that stands, by its owner; gates stand shut.  ``flowering`` names the things in flower."""
    paints = Paints(scene, find, flowering)
    pieces: dict[str, dict[Paint, list[Mesh]]] = {}
    for solid, mesh in meshes_of((*scene.solids, *_leaves(scene)), scene.ground):
        pieces.setdefault(solid.owner, {}).setdefault(paints.of(solid), []).append(mesh)
    grounds = []
    for floor in floors_of(scene):
        found = paint(floor.material) if floor.material in GROUND else material_paint(floor.material)
        colour = found or paint("ground")
        if floor.owner:
            pieces.setdefault(floor.owner, {}).setdefault(colour, []).append(floor.mesh)
        else:
            grounds.append(Thing("", GROUND[floor.material], (Piece(colour, floor.mesh),)))
    return (*grounds, *(_thing(scene, owner, pieces[owner]) for owner in sorted(pieces)))


def _thing(scene: Scene, owner: str, by_paint: dict[Paint, list[Mesh]]) -> Thing:
    parts: list[Piece] = []
    for colour, meshes in by_paint.items():
        for smooth in (False, True):
            some = [m for m in meshes if m.smooth == smooth]
            parts += [Piece(colour, Mesh.joined(some))] if some else []
    return Thing(owner, scene.name_of(owner), tuple(parts))


def _leaves(scene: Scene) -> Iterable[Solid]:
    """Yield the leaf of each gate, shut."""
    from quincunx.shapes import Height

    for opening in scene.openings:
        leaf = opening.leaf
        if leaf is not None:
            shape = opening.clear.buffer(LEAF_M / 2, cap_style="flat")
            stops = every_month(1.0 if leaf.gap_m < 0.02 else 0.5)
            yield Solid(
                opening.owner,
                "leaf",
                shape,
                Height(leaf.under_m),
                Height(leaf.height_m),
                gap_m=leaf.gap_m,
                opacity=stops,
            )


def glb_of(scene: Scene, find: Find, flowering: Iterable[str] = (), *, name: str = "", made: str = "") -> bytes:
    """Return all that stands on the scene's date as a binary glTF file."""
    about = {"date": scene.on.isoformat(), "metres": True, "north": "-z"}
    return glb(things_of(scene, find, flowering), f"{name} on {scene.on.isoformat()}".strip(), about, made)
