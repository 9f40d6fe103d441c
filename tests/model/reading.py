"""Reads a .glb from nothing but its bytes, and holds it to the rules of the glTF 2.0 specification.

Khronos Group, glTF 2.0 Specification (ISO/IEC 12113:2022), sections named beside each rule.
"""

from __future__ import annotations

import json
import struct
from dataclasses import dataclass
from typing import Any

import numpy as np

SIZES = {5120: 1, 5121: 1, 5122: 2, 5123: 2, 5125: 4, 5126: 4}  # 3.6.2.2, table of component types
KINDS = {5123: "<u2", 5125: "<u4", 5126: "<f4"}
COUNTS = {"SCALAR": 1, "VEC2": 2, "VEC3": 3, "VEC4": 4}


@dataclass
class Model:
    """A file's document and its binary chunk."""

    doc: dict[str, Any]
    data: bytes

    def array(self, number: int) -> np.ndarray:
        """The values of an accessor."""
        one = self.doc["accessors"][number]
        view = self.doc["bufferViews"][one["bufferView"]]
        parts = COUNTS[one["type"]]
        start = view.get("byteOffset", 0) + one.get("byteOffset", 0)
        flat = np.frombuffer(self.data, KINDS[one["componentType"]], one["count"] * parts, start)
        return flat.reshape(-1, parts) if parts > 1 else flat

    def node(self, name: str) -> dict[str, Any]:
        """The one node of that name or id."""
        found: dict[str, Any]
        (found,) = [n for n in self.doc["nodes"] if name in (n["name"], n["extras"]["id"])]
        return found

    def corners(self, name: str) -> np.ndarray:
        """All corners of a node's mesh (x east, y up, z south)."""
        mesh = self.doc["meshes"][self.node(name)["mesh"]]
        return np.vstack([self.array(p["attributes"]["POSITION"]) for p in mesh["primitives"]])

    def paints(self, name: str) -> set[str]:
        """The names of a node's materials."""
        mesh = self.doc["meshes"][self.node(name)["mesh"]]
        return {self.doc["materials"][p["material"]]["name"] for p in mesh["primitives"]}


def read(raw: bytes) -> Model:
    """Take the container apart (4.4: header, chunks of 4-byte length, JSON first) and hold it to the rules."""
    magic, version, length = struct.unpack_from("<4sII", raw)
    assert (magic, version, length) == (b"glTF", 2, len(raw))
    chunks, at = [], 12
    while at < len(raw):
        size, kind = struct.unpack_from("<I4s", raw, at)
        assert size % 4 == 0
        chunks.append((kind, raw[at + 8 : at + 8 + size]))
        at += 8 + size
    assert at == len(raw)
    assert [k for k, _ in chunks] == [b"JSON", b"BIN\0"]
    model = Model(json.loads(chunks[0][1]), chunks[1][1])
    _rules(model)
    return model


def _rules(model: Model) -> None:
    doc = model.doc
    assert doc["asset"]["version"] == "2.0"  # 3.2
    (buffer,) = doc["buffers"]
    assert buffer["byteLength"] <= len(model.data) <= buffer["byteLength"] + 3  # 4.4.3.3
    for view in doc["bufferViews"]:
        assert view["byteOffset"] + view["byteLength"] <= buffer["byteLength"]
        assert view["target"] in {34962, 34963}
    for one in doc["accessors"]:
        view, size = doc["bufferViews"][one["bufferView"]], SIZES[one["componentType"]]
        assert (view["byteOffset"] + one.get("byteOffset", 0)) % size == 0  # 3.6.2.4 alignment
        assert one["count"] * size * COUNTS[one["type"]] <= view["byteLength"]
    used = set()
    for mesh in doc["meshes"]:
        for part in mesh["primitives"]:
            used |= {part["indices"], *part["attributes"].values()}
            at = doc["accessors"][part["attributes"]["POSITION"]]
            values = model.array(part["attributes"]["POSITION"])
            assert np.isfinite(values).all()
            assert np.array_equal(values.min(0), np.array(at["min"], "<f4"))  # 3.7.2.1: bounds of positions
            assert np.array_equal(values.max(0), np.array(at["max"], "<f4"))
            faces = model.array(part["indices"])
            assert len(faces) % 3 == 0
            assert faces.max() < at["count"]
            if "NORMAL" in part["attributes"]:
                lengths = np.linalg.norm(model.array(part["attributes"]["NORMAL"]), axis=1)
                assert np.abs(lengths - 1).max() < 1e-4  # 3.7.2.1: unit length
    assert used == set(range(len(doc["accessors"])))
    for paint in doc["materials"]:
        metal = paint["pbrMetallicRoughness"]
        assert all(0 <= v <= 1 for v in (*metal["baseColorFactor"], metal["metallicFactor"], metal["roughnessFactor"]))
        assert metal["baseColorFactor"][3] == 1 or paint["alphaMode"] == "BLEND"  # 3.9.4
    (scene,) = doc["scenes"]
    assert scene["nodes"] == list(range(len(doc["nodes"])))
    assert all(node["mesh"] < len(doc["meshes"]) for node in doc["nodes"])
