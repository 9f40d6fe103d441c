"""The search for misreadings takes seconds in a thin net: it is run once at a time for each survey, and can be stopped.

What was stopped is kept with what was known by then, until somebody asks to go on.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from threading import Event, Lock
from typing import Generic, TypeVar

from quincunx.review.latest import Latest

T = TypeVar("T")
Enough = Callable[[], bool]
"""Asked now and then by what works: is what is known enough?"""


class _Run:
    def __init__(self) -> None:
        self.stop, self.ended = Event(), Event()


class Searches(Generic[T]):
    """Keeps the newest ``most`` results by key; safe from several threads."""

    def __init__(self, most: int) -> None:
        """Keep at most ``most`` results."""
        self._kept: Latest[tuple[T, bool]] = Latest(most)
        self._running: dict[Hashable, _Run] = {}
        self._lock = Lock()

    def result(self, key: Hashable, work: Callable[[Enough], T]) -> T:
        """Return the result of ``key``, worked out by ``work`` unless it is kept; who comes meanwhile waits for it."""
        while True:
            with self._lock:
                known = self._kept.get(key)
                if known is not None:
                    return known[0]
                run = self._running.get(key)
                mine = run is None
                if run is None:
                    run = self._running[key] = _Run()
            if mine:
                return self._worked(key, run, work)
            run.ended.wait()

    def _worked(self, key: Hashable, run: _Run, work: Callable[[Enough], T]) -> T:
        try:
            found = work(run.stop.is_set)
            self._kept.put(key, (found, run.stop.is_set()))
            return found
        finally:
            with self._lock:
                del self._running[key]
            run.ended.set()

    def stopped(self, key: Hashable) -> bool:
        """Tell whether what is kept of ``key`` was stopped before its end."""
        known = self._kept.get(key)
        return known is not None and known[1]

    def stop(self) -> bool:
        """Let what runs end with what it knows; tell whether anything ran."""
        with self._lock:
            running = list(self._running.values())
        for run in running:
            run.stop.set()
        return bool(running)

    def forget(self, key: Hashable) -> bool:
        """Forget what was stopped before its end, so that it is worked out anew; tell whether there was any."""
        stopped = self.stopped(key)
        if stopped:
            self._kept.drop(key)
        return stopped
