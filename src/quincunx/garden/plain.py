"""The document as text: one normal form, byte for byte."""

from __future__ import annotations

import json
from typing import Any

from pydantic import BaseModel
from pydantic_core import PydanticUndefined

from quincunx.garden.document import Garden
from quincunx.units.fields import Length

ALWAYS = frozenset({"format", "kind", "type", "id", "name"})
"""Fields written even when they have their default."""


def plain(value: Any) -> Any:
    """Return a document or part of it as JSON values, leaving out fields that have their default."""
    if isinstance(value, BaseModel):
        fields = type(value).model_fields
        return {
            n: plain(getattr(value, n)) for n, f in fields.items() if _written(n, getattr(value, n), f.get_default())
        }
    if isinstance(value, Length):
        return _length(value)
    if isinstance(value, (tuple, list)):
        return [plain(v) for v in value]
    if isinstance(value, dict):
        return {k: plain(v) for k, v in value.items()}
    return value


def _written(name: str, value: Any, default: Any) -> bool:
    if default is PydanticUndefined:
        return True
    if name in ALWAYS and value not in ("", None):
        return True
    return bool(value != default) or (isinstance(value, Length) and value.typed is not None)


def _length(value: Length) -> float | int | dict[str, Any]:
    number = int(value) if float(value).is_integer() else float(value)
    return number if value.typed is None else {"m": number, "typed": value.typed}


def garden_text(garden: Garden) -> str:
    """Return the garden as JSON text in its normal form: fields in order, one thing a line, ending in a newline."""
    return _pretty(plain(garden)) + "\n"


def _pretty(value: Any, indent: str = "") -> str:
    """Lay out so that a person can read it: short things on one line, lists of things one a line."""
    flat = json.dumps(value, ensure_ascii=False, allow_nan=False)
    if len(flat) + len(indent) <= 118 or not isinstance(value, (dict, list)) or not value:
        return flat
    inner = indent + "  "
    if isinstance(value, dict):
        items = [f"{inner}{json.dumps(k, ensure_ascii=False)}: {_pretty(v, inner)}" for k, v in value.items()]
        return "{\n" + ",\n".join(items) + f"\n{indent}}}"
    return "[\n" + ",\n".join(inner + _pretty(v, inner) for v in value) + f"\n{indent}]"
