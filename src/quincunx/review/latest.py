"""The newest of what was worked out, never more than is good."""

from __future__ import annotations

from collections import OrderedDict
from threading import Lock
from typing import Any, Generic, TypeVar

T = TypeVar("T")


class Latest(Generic[T]):
    """Keeps the newest ``most`` values by key; safe from several threads."""

    def __init__(self, most: int) -> None:
        """Keep at most ``most`` values."""
        self._most = most
        self._kept: OrderedDict[Any, T] = OrderedDict()
        self._lock = Lock()

    def get(self, key: Any) -> T | None:
        """Return the value of ``key``, as newly used; None if it isn't kept."""
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
            return self._kept.get(key)

    def put(self, key: Any, value: T) -> T:
        """Keep ``value`` and return it."""
        with self._lock:
            self._kept[key] = value
            self._kept.move_to_end(key)
            while len(self._kept) > self._most:
                self._kept.popitem(last=False)
        return value

    def drop(self, key: Any) -> None:
        """Forget the value of ``key``, if it is kept."""
        with self._lock:
            self._kept.pop(key, None)

    def clear(self) -> None:
        """Forget all."""
        with self._lock:
            self._kept.clear()
