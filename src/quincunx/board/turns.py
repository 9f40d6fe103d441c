"""Whose turn it is to compute: what a hand waits for goes first, work in the background waits."""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import contextmanager
from threading import Condition

QUIET_S = 0.25
"""After something urgent the background rests this long, for a drag asks again at once [s]."""


class Turns:
    """One computes at a time: two at once would only share the processor and both be late."""

    def __init__(self) -> None:
        """Begin with nobody at work."""
        self._free = Condition()
        self._busy = False
        self._waiting = 0
        self._urgent_until = 0.0
        self._over = False

    @contextmanager
    def urgent(self) -> Iterator[None]:
        """Take the next turn, before all that is not urgent."""
        with self._free:
            self._waiting += 1
            self._free.wait_for(lambda: not self._busy)
            self._waiting -= 1
            self._busy = True
        try:
            yield
        finally:
            self._done(time.monotonic() + QUIET_S)

    @contextmanager
    def ahead(self) -> Iterator[None]:
        """Work at once, beside whoever has the turn; nothing new begins in the background meanwhile."""
        with self._free:
            self._waiting += 1
        try:
            yield
        finally:
            with self._free:
                self._waiting -= 1
                self._free.notify_all()

    @contextmanager
    def background(self) -> Iterator[None]:
        """Take a turn when nobody wants one urgently; take a short one."""
        with self._free:
            while self._busy or (not self._over and (self._waiting or time.monotonic() < self._urgent_until)):
                self._free.wait(0.05)
            self._busy = True
        try:
            yield
        finally:
            self._done(0.0)

    def end(self) -> None:
        """Let nobody rest any more: the garden is being closed."""
        with self._free:
            self._over = True
            self._free.notify_all()

    def _done(self, urgent_until: float) -> None:
        with self._free:
            self._busy = False
            self._urgent_until = max(self._urgent_until, urgent_until)
            self._free.notify_all()
