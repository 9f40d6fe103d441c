"""What was worked out about things that stay the same objects from scene to scene, found again by their identity.

While things are only tried, at one place after another, most of what is worked out is of no use to the next try.  What
only one try asked for is let go soon: the memory it took is used again while it is still at hand, and what all tries
ask for is found among less.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any, Generic, TypeVar

T = TypeVar("T")

TRIES = 40
"""What only one try asked for is kept through so many tries, its own among them."""

_ALL: list[Kept[object]] = []


class Kept(Generic[T]):
    """Values by (things, more): ``things`` go by identity, ``more`` by equality.

    The things are held, so that their identities stay theirs; of more than ``most`` values the older half is let go,
    unless it was asked for again.  Safe from several threads: at worst a value is worked out twice.
    """

    def __init__(self, most: int) -> None:
        """Keep at most ``most`` values, and as many of tries."""
        self._half, self._most = max(most // 2, 1), most
        self._values: dict[object, tuple[tuple[object, ...], T]] = {}
        self._older: dict[object, tuple[tuple[object, ...], T]] = {}
        self._tried: dict[object, tuple[tuple[object, ...], T, int]] = {}
        _ALL.append(self)  # type: ignore[arg-type]

    def get(self, things: tuple[object, ...], more: object, make: Callable[[], T]) -> T:
        """Return the value kept for these, or what ``make`` makes now."""
        key = _key(things, more)
        known = self._values.get(key)
        if known is None:
            known = self._older.get(key)
            if known is None:
                tried = self._tried.get(key)
                if tried is None:
                    value = make()
                    if _NOW:
                        return self._try(key, things, value)
                    known = (things, value)
                elif tried[2] == _NOW:
                    return tried[1]
                else:  # another try asks for it too
                    known = tried[:2]
            if len(self._values) >= self._half:
                self._older, self._values = self._values, {}
            self._values[key] = known
        return known[1]

    def _try(self, key: object, things: tuple[object, ...], value: T) -> T:
        """Keep a value as long as tries like the one at hand last."""
        if len(self._tried) >= self._most:
            self._tried.clear()
        self._tried[key] = (things, value, _NOW)
        _MADE[-1].append((self._tried, key))
        return value

    def has(self, things: tuple[object, ...], more: object) -> bool:
        """Return whether a value is kept for these."""
        key = _key(things, more)
        return any(key in kept for kept in (self._values, self._older, self._tried))

    def age(self) -> None:
        """Let go what was not asked for since this was said last."""
        self._older, self._values = self._values, {}

    def clear(self) -> None:
        """Let all go."""
        for kept in (self._values, self._older, self._tried):
            kept.clear()


def _key(things: tuple[object, ...], more: object) -> object:
    if len(things) == 1:  # most are, and this is asked some thousand times a try
        return id(things[0]) if more is None else (more, id(things[0]))
    return (more, *map(id, things))


_NOW = 0
"""The number of the try at hand; 0 where none is."""
_MADE: deque[list[tuple[dict[Any, Any], object]]] = deque()
"""What each of the last tries was the first to ask for."""
_begun = 0


@contextmanager
def trying(*, anew: bool) -> Iterator[None]:
    """Say that what is worked out inside is of a try: a new one, or ``anew`` not, the last one still."""
    global _NOW, _begun  # noqa: PLW0603 - one process tries one thing at a time
    if anew:
        _begun += 1
        _MADE.append([])
    _NOW = _begun
    try:
        yield
    finally:
        _NOW = 0


def let_go() -> None:
    """Let go what only tries asked for that are long past: a little after each try, as all at once takes its time."""
    while len(_MADE) > TRIES:
        for kept, key in _MADE.popleft():
            kept.pop(key, None)


def age_all() -> None:
    """Let go everything kept by anybody that was not asked for since this was said last."""
    for kept in _ALL:
        kept.age()


def forget_all() -> None:
    """Let go everything kept by anybody."""
    for kept in _ALL:
        kept.clear()
