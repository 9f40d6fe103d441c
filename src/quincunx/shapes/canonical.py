"""The same thing gives the same bytes in every process."""

from __future__ import annotations

import hashlib
import struct
from dataclasses import fields, is_dataclass
from datetime import date
from enum import Enum
from functools import cache
from typing import Any

import shapely
from shapely.geometry.base import BaseGeometry


def canonical(value: Any) -> bytes:
    """Return bytes that depend only on the content of ``value``.

    Takes dataclasses, pydantic models, shapely geometries, tuples, lists, dicts, sets, enums, dates, numbers,
    text and None; raises TypeError for anything else.
    """
    out = bytearray()
    _write(value, out)
    return bytes(out)


def content_key(value: Any) -> str:
    """Return a short hexadecimal digest of :func:`canonical`."""
    return hashlib.blake2b(canonical(value), digest_size=16).hexdigest()


def _write(value: Any, out: bytearray) -> None:
    if isinstance(value, Enum):
        value = value.value
    if value is None or isinstance(value, (bool, str, int)):
        out += repr(value).encode() + b";"
    elif isinstance(value, float):
        out += float.__repr__(value + 0.0).encode() + b";"
    elif isinstance(value, (tuple, list)):
        _sequence(value, out)
    elif isinstance(value, BaseGeometry):
        out += shapely.to_wkb(value, byte_order=1) + b";"
    elif isinstance(value, bytes):
        out += b"b" + value + b";"
    elif isinstance(value, date):
        out += value.isoformat().encode() + b";"
    elif isinstance(value, (set, frozenset)):
        _sequence(sorted(value), out)
    elif isinstance(value, dict):
        _sequence(sorted(value.items()), out)
    elif hasattr(value, "model_dump"):
        _sequence(sorted(value.model_dump().items()), out)
    elif is_dataclass(value):
        out += type(value).__name__.encode()
        _sequence([getattr(value, name) for name in _field_names(value.__class__)], out)
    else:
        raise TypeError(f"cannot make canonical bytes of {type(value).__name__}")


@cache
def _field_names(kind: type[Any]) -> tuple[str, ...]:
    return tuple(f.name for f in fields(kind))


def _sequence(values: Any, out: bytearray) -> None:
    if values and all(type(v) is float for v in values):  # months and coordinates, quickly
        out += b"(%d;" % len(values) + struct.pack(f"<{len(values)}d", *[v + 0.0 for v in values])
        return
    out += b"["
    for item in values:
        _write(item, out)
    out += b"]"
