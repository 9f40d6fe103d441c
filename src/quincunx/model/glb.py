"""Triangles as a binary glTF file (.glb): metres, y up, named things, one material for each paint.

Khronos Group, glTF 2.0 Specification (ISO/IEC 12113:2022): 3.4 units and axes, 3.6 buffers, views and accessors (each
aligned to the size of its components, with the bounds of positions), 3.9 materials, 4 the binary container.
"""

from __future__ import annotations

import json
import struct
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from quincunx.model.paints import Paint
from quincunx.model.triangles import Mesh

FLOAT, USHORT, UINT = 5126, 5123, 5125
ARRAY, ELEMENTS = 34962, 34963
MAGIC, VERSION, JSON, BIN = 0x46546C67, 2, 0x4E4F534A, 0x004E4942


@dataclass(frozen=True, eq=False)
class Piece:
    """What one thing gives in one paint."""

    paint: Paint
    mesh: Mesh


@dataclass(frozen=True, eq=False)
class Thing:
    """One named thing: its id (empty: the ground), what the person calls it, and its pieces."""

    id: str
    name: str
    pieces: tuple[Piece, ...]


class _Writing:
    """The parts of the file as they come together."""

    def __init__(self) -> None:
        """Begin with nothing."""
        self.data = bytearray()
        self.views: list[dict[str, Any]] = []
        self.accessors: list[dict[str, Any]] = []
        self.materials: dict[Paint, int] = {}

    def put(self, values: NDArray[Any], target: int, about: dict[str, Any]) -> int:
        """Add an array as a view and its accessor; return the accessor's number."""
        self.data += b"\0" * (-len(self.data) % 4)
        raw = np.ascontiguousarray(values).tobytes()
        self.views.append({"buffer": 0, "byteOffset": len(self.data), "byteLength": len(raw), "target": target})
        self.data += raw
        self.accessors.append({"bufferView": len(self.views) - 1, "count": len(values), **about})
        return len(self.accessors) - 1

    def positions(self, corners: NDArray[np.float64]) -> int:
        """Add corners (x east, y north, z up) turned to y up: x east, y up, z south."""
        turned = upright(corners)
        bounds = {"min": turned.min(axis=0).tolist(), "max": turned.max(axis=0).tolist()}
        return self.put(turned, ARRAY, {"componentType": FLOAT, "type": "VEC3", **bounds})

    def normals(self, mesh: Mesh) -> int:
        """Add the mean direction of the faces at each corner."""
        return self.put(upright(smooth_normals(mesh)), ARRAY, {"componentType": FLOAT, "type": "VEC3"})

    def faces(self, triangles: NDArray[np.int64], corners: int) -> int:
        """Add triangles, in the shortest numbers that do."""
        kind: tuple[Any, int] = (np.dtype("<u2"), USHORT) if corners < 65_535 else (np.dtype("<u4"), UINT)
        flat = triangles.reshape(-1).astype(kind[0])
        return self.put(flat, ELEMENTS, {"componentType": kind[1], "type": "SCALAR"})

    def material(self, paint: Paint) -> int:
        """Return the number of a paint's material."""
        return self.materials.setdefault(paint, len(self.materials))


def upright(at: NDArray[np.float64]) -> NDArray[np.float32]:
    """Return points or directions (x east, y north, z up) as glTF has them: x, z up as y, and y turned to south."""
    return np.column_stack([at[:, 0], at[:, 2], -at[:, 1]]).astype("<f4")


def smooth_normals(mesh: Mesh) -> NDArray[np.float64]:
    """Return a unit direction for each corner: the mean of its faces by their size."""
    a, b, c = (mesh.corners[mesh.triangles[:, k]] for k in range(3))
    face = np.cross(b - a, c - a)
    out = np.zeros_like(mesh.corners)
    for k in range(3):
        np.add.at(out, mesh.triangles[:, k], face)
    length = np.linalg.norm(out, axis=1)
    out[length < 1e-12] = (0.0, 0.0, 1.0)
    return np.asarray(out / np.where(length < 1e-12, 1.0, length)[:, None])


def glb(things: Iterable[Thing], name: str, about: Mapping[str, Any] | None = None, made: str = "") -> bytes:
    """Return a binary glTF file of ``things``; ``about`` goes into the extras of its scene, ``made`` says by what."""
    writing = _Writing()
    nodes: list[dict[str, Any]] = []
    meshes: list[dict[str, Any]] = []
    for thing in things:
        pieces = [p for p in thing.pieces if len(p.mesh.triangles)]
        if not pieces:
            continue
        meshes.append({"name": thing.name, "primitives": [_primitive(writing, p) for p in pieces]})
        nodes.append({"name": thing.name, "mesh": len(meshes) - 1, "extras": {"id": thing.id}})
    document: dict[str, Any] = {
        "asset": {"version": "2.0", "generator": made or "Quincunx"},
        "scene": 0,
        "scenes": [{"name": name, "nodes": list(range(len(nodes))), "extras": dict(about or {})}],
        "nodes": nodes,
        "meshes": meshes,
        "materials": [_material(p) for p in writing.materials],
        "accessors": writing.accessors,
        "bufferViews": writing.views,
        "buffers": [{"byteLength": len(writing.data)}],
    }
    return _container({k: v for k, v in document.items() if v != []}, bytes(writing.data))


def _primitive(writing: _Writing, piece: Piece) -> dict[str, Any]:
    mesh = piece.mesh
    attributes = {"POSITION": writing.positions(mesh.corners)}
    if mesh.smooth:
        attributes["NORMAL"] = writing.normals(mesh)
    faces = writing.faces(mesh.triangles, len(mesh.corners))
    return {"attributes": attributes, "indices": faces, "material": writing.material(piece.paint)}


def _material(paint: Paint) -> dict[str, Any]:
    metal = {"baseColorFactor": [*paint.rgb, paint.stops], "metallicFactor": 0.0, "roughnessFactor": paint.rough}
    out: dict[str, Any] = {"name": paint.name, "pbrMetallicRoughness": metal}
    return out | ({"alphaMode": "BLEND", "doubleSided": True} if paint.stops < 1 else {})


def _container(document: Mapping[str, Any], data: bytes) -> bytes:
    text = json.dumps(document, ensure_ascii=False, separators=(",", ":")).encode()
    text += b" " * (-len(text) % 4)
    data += b"\0" * (-len(data) % 4)
    chunks: Sequence[tuple[int, bytes]] = [(JSON, text), (BIN, data)] if data else [(JSON, text)]
    body = b"".join(struct.pack("<II", len(part), kind) + part for kind, part in chunks)
    return struct.pack("<III", MAGIC, VERSION, 12 + len(body)) + body
