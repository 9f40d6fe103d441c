"""Sums, angles and hours sent as the person typed them, read in the garden's writing.

Lengths read themselves (:class:`quincunx.units.fields.Length`); the document holds other figures as plain numbers, so
their text is read here, by the unit that each field declares.
"""

from __future__ import annotations

import types
from collections.abc import Callable, Mapping
from typing import Annotated, Any, Union, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from quincunx.garden import Edit, Fault, Garden, GardenError, Op
from quincunx.units import Style, UnitsError, parse_bearing, parse_hours, parse_money

_READERS: dict[str, Callable[[str, Style], float]] = {
    "money": parse_money,
    "deg": parse_bearing,
    "h": parse_hours,
}


def read_edit(edit: Edit, garden: Garden) -> Edit:
    """Return ``edit`` with the typed figures of its values read; :class:`GardenError` if one can't be."""
    return Edit(label=edit.label, ops=tuple(_read_op(op, garden) for op in edit.ops))


def _read_op(op: Op, garden: Garden) -> Op:
    whole = Garden.model_fields.get(op.part)
    if whole is None or not isinstance(op.value, Mapping):
        return op
    there = next((x for x in getattr(garden, op.part) if x.id == op.id), None) if op.id else None
    kind = op.value.get("kind", getattr(there, "kind", None))
    value = read_typed({**op.value}, whole.annotation, garden.style, f"{op.part} → {op.id}" if op.id else op.part, kind)
    return op if value == op.value else Op(do=op.do, part=op.part, id=op.id, value=value, index=op.index)


def read_typed(value: Any, kind: Any, style: Style, path: str, tag: Any = None) -> Any:
    """Return ``value``, which is to be of the type ``kind``, with typed figures read in ``style``."""
    if isinstance(value, (list, tuple)):
        return [read_typed(v, kind, style, path) for v in value]
    if not isinstance(value, Mapping):
        return value
    model = model_for(kind, tag or value.get("kind"))
    if model is None:
        return value
    return {k: _field(v, model.model_fields.get(k), style, f"{path} → {k}") for k, v in value.items()}


def _field(value: Any, info: FieldInfo | None, style: Style, path: str) -> Any:
    if info is None:
        return value
    extra = info.json_schema_extra
    reader = _READERS.get(str(extra.get("unit"))) if isinstance(extra, dict) else None
    if reader is None:
        return read_typed(value, info.annotation, style, path)
    if isinstance(value, list):
        return [_number(v, reader, style, path) for v in value]
    return _number(value, reader, style, path)


def _number(value: Any, reader: Callable[[str, Style], float], style: Style, path: str) -> Any:
    if not isinstance(value, str) or not value.strip():
        return value if value != "" else None
    try:
        return reader(value, style)
    except UnitsError as error:
        raise GardenError([Fault(path, str(error))]) from None


def model_for(kind: Any, tag: Any = None) -> type[BaseModel] | None:
    """Return the model inside an annotation (a list's item, an option's value); of several, the one of kind ``tag``."""
    found = list(models_in(kind))
    if len(found) == 1:
        return found[0]
    return next((m for m in found if "kind" in m.model_fields and m.model_fields["kind"].default == tag), None)


def models_in(kind: Any) -> list[type[BaseModel]]:
    """Return the models an annotation holds, through lists, options, unions and ``Annotated``."""
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        return [kind]
    if get_origin(kind) is Annotated:
        return models_in(get_args(kind)[0])
    if get_origin(kind) in (Union, types.UnionType, tuple, list):
        return [m for a in get_args(kind) for m in models_in(a)]
    return []
