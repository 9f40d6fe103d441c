"""Edits: the only way a garden changes, as data, each with its inverse."""

from __future__ import annotations

from collections.abc import Container, Mapping, Sequence
from typing import Any, Literal

from quincunx.garden.document import LISTS, WHOLES, Garden
from quincunx.garden.plain import plain
from quincunx.garden.reading import Fault, GardenError, garden_from
from quincunx.units.fields import Doc, field


class Op(Doc):
    """One change: ``put`` a whole thing, ``change`` some of its fields, or ``remove`` it.

    ``part`` is a list of the garden (``features``) with the ``id`` of a thing in it, or a whole part (``means``)
    with no id.  ``index`` keeps a thing's place in its list when it is put back.
    """

    do: Literal["put", "change", "remove"]
    part: str
    id: str | None = None
    value: Any = None
    index: int | None = None

    def __hash__(self) -> int:
        """Hash by the canonical text."""
        return hash(self.model_dump_json())


class Edit(Doc):
    """A named group of changes that is made, and undone, as one."""

    label: str = field("What was done", max_length=200)
    ops: tuple[Op, ...] = field("Changes")


MOST_ID = 56
"""Letters of a made-up id, so that a number fits behind it."""


def free_id(wanted: str, taken: Container[str]) -> str:
    """Return ``wanted`` as an id, with a number behind it if it is taken."""
    name = base = wanted[:MOST_ID].rstrip("-")
    n = 1
    while name in taken:
        n += 1
        name = f"{base}-{n}"
    return name


def apply(garden: Garden, edit: Edit) -> tuple[Garden, Edit]:
    """Return the garden after ``edit``, and the edit that takes it back.

    Raises :class:`GardenError` (and changes nothing) if the result would not be a garden.
    """
    data = plain(garden)
    inverse: list[Op] = []
    for op in edit.ops:
        inverse.extend(reversed(_do(data, op)))
    result = garden_from(data)
    if garden.means.now is not None:
        means = result.means.read_in(garden.means.now, garden.means.fits)
        result = result.model_copy(update={"means": means})
    return result, Edit(label=edit.label, ops=tuple(reversed(inverse)))


def _do(data: dict[str, Any], op: Op) -> list[Op]:
    if op.part in WHOLES:
        return [_whole(data, op)]
    if op.part not in LISTS:
        raise GardenError(
            [Fault(op.part, f"A garden has no part {op.part!r}. Parts are: {', '.join(WHOLES + LISTS)}.")]
        )
    if not op.id:
        raise GardenError([Fault(op.part, "The change doesn't say which thing it is about. Give its id.")])
    items: list[dict[str, Any]] = data.setdefault(op.part, [])
    at = next((i for i, item in enumerate(items) if item.get("id") == op.id), None)
    if op.do == "put":
        return [_put(items, at, op)]
    if at is None:
        raise GardenError(
            [Fault(f"{op.part} → {op.id}", "It is no longer there. Somebody took it out; nothing was changed.")]
        )
    return [_remove(items, at, op) if op.do == "remove" else _change(items, at, op)]


def _whole(data: dict[str, Any], op: Op) -> Op:
    before = data.get(op.part)
    if op.do == "change" and isinstance(op.value, Mapping):
        old = dict(before) if isinstance(before, Mapping) else {}
        data[op.part] = {k: v for k, v in {**old, **op.value}.items() if v is not None}
    elif op.do == "remove" or op.value is None:
        data.pop(op.part, None)
    else:
        data[op.part] = op.value
    return Op(do="remove" if before is None else "put", part=op.part, value=before)


def _put(items: list[dict[str, Any]], at: int | None, op: Op) -> Op:
    if not isinstance(op.value, Mapping):
        raise GardenError([Fault(f"{op.part} → {op.id}", "A whole thing is expected: an object with named fields.")])
    value = {**op.value, "id": op.id}
    if at is None:
        items.insert(len(items) if op.index is None else min(op.index, len(items)), value)
        return Op(do="remove", part=op.part, id=op.id)
    before, items[at] = items[at], value
    return Op(do="put", part=op.part, id=op.id, value=before)


def _remove(items: list[dict[str, Any]], at: int, op: Op) -> Op:
    return Op(do="put", part=op.part, id=op.id, value=items.pop(at), index=at)


def _change(items: list[dict[str, Any]], at: int, op: Op) -> Op:
    if not isinstance(op.value, Mapping):
        raise GardenError([Fault(f"{op.part} → {op.id}", "Fields with their new values are expected.")])
    before = items[at]
    after = {k: v for k, v in {**before, **op.value}.items() if v is not None}
    items[at] = after
    new_id = str(after.get("id", op.id))
    if new_id == op.id:
        return Op(do="put", part=op.part, id=op.id, value=before)
    return Op(do="change", part=op.part, id=new_id, value={**dict.fromkeys(after), **before})


def put(part: str, value: Doc | Mapping[str, Any], label: str = "") -> Edit:
    """Return the edit that puts one thing into a list, or in place of the one with its id."""
    data = plain(value)
    return Edit(
        label=label or f"Put {data.get('name') or data['id']}",
        ops=(Op(do="put", part=part, id=data["id"], value=data),),
    )


def change(part: str, thing_id: str | None, fields: Mapping[str, Any], label: str = "") -> Edit:
    """Return the edit that changes some fields of one thing (None sets a field back to its default)."""
    value = {k: plain(v) for k, v in fields.items()}
    return Edit(
        label=label or f"Change {thing_id or part}", ops=(Op(do="change", part=part, id=thing_id, value=value),)
    )


def remove(part: str, ids: Sequence[str], label: str = "") -> Edit:
    """Return the edit that takes things out of a list."""
    return Edit(label=label or f"Remove {', '.join(ids)}", ops=tuple(Op(do="remove", part=part, id=i) for i in ids))
