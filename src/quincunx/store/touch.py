"""What an edit touches, so that two people's edits can be merged when they touch different things."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from quincunx.garden import Edit, Op

Touched = tuple[str, str, str]
"""(part, id or "", field or "*")."""


def touched(edit: Edit) -> set[Touched]:
    """Return what ``edit`` touches: fields for a change, ``*`` for a whole thing."""
    return {t for op in edit.ops for t in _op(op)}


def _op(op: Op) -> Iterable[Touched]:
    if op.do == "change" and isinstance(op.value, Mapping):
        return [(op.part, op.id or "", str(field)) for field in op.value]
    return [(op.part, op.id or "", "*")]


def clash(mine: Edit, theirs: Edit) -> bool:
    """Return whether two edits touch the same thing (a whole thing clashes with any field of it)."""
    for part, thing, field in touched(mine):
        for other_part, other_thing, other_field in touched(theirs):
            if (part, thing) == (other_part, other_thing) and (field == other_field or "*" in (field, other_field)):
                return True
    return False
