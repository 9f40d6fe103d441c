"""What was worked out about things that stay the same objects from scene to scene, found again by their identity."""

from __future__ import annotations

from collections.abc import Callable
from typing import Generic, TypeVar

T = TypeVar("T")

_ALL: list[Kept[object]] = []


class Kept(Generic[T]):
    """Values by (things, more): ``things`` go by identity, ``more`` by equality.

    The things are held, so that their identities stay theirs; of more than ``most`` values the older half is let go,
    unless it was asked for again.  Safe from several threads: at worst a value is worked out twice.
    """

    def __init__(self, most: int) -> None:
        """Keep at most ``most`` values."""
        self._half = max(most // 2, 1)
        self._values: dict[object, tuple[tuple[object, ...], T]] = {}
        self._older: dict[object, tuple[tuple[object, ...], T]] = {}
        _ALL.append(self)  # type: ignore[arg-type]

    def get(self, things: tuple[object, ...], more: object, make: Callable[[], T]) -> T:
        """Return the value kept for these, or what ``make`` makes now."""
        if len(things) == 1:  # most are, and this is asked some thousand times a pull
            key: object = id(things[0]) if more is None else (more, id(things[0]))
        else:
            key = (more, *map(id, things))
        known = self._values.get(key)
        if known is None:
            known = self._older.get(key) or (things, make())
            if len(self._values) >= self._half:
                self._older, self._values = self._values, {}
            self._values[key] = known
        return known[1]

    def has(self, things: tuple[object, ...], more: object) -> bool:
        """Return whether a value is kept for these."""
        key = id(things[0]) if more is None and len(things) == 1 else (more, *map(id, things))
        return key in self._values or key in self._older

    def age(self) -> None:
        """Let go what was not asked for since this was said last."""
        self._older, self._values = self._values, {}

    def clear(self) -> None:
        """Let all go."""
        self._values.clear()
        self._older.clear()


def age_all() -> None:
    """Let go everything kept by anybody that was not asked for since this was said last."""
    for kept in _ALL:
        kept.age()


def forget_all() -> None:
    """Let go everything kept by anybody."""
    for kept in _ALL:
        kept.clear()
