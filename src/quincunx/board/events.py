"""Server-sent events: what the program tells every open window unasked."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncGenerator
from typing import Any

from quincunx.board.replies import encoded

BEAT_S = 15.0
"""A quiet connection is kept alive by a comment this often [s]."""
MOST_WINDOWS = 40
MOST_WAITING = 200
"""A window that doesn't read loses its oldest news beyond this many; the next `revision` makes it look again."""


class Hub:
    """Tells every window; :meth:`tell` may be called from any thread."""

    def __init__(self) -> None:
        """Begin with no window listening."""
        self._loop: asyncio.AbstractEventLoop | None = None
        self._queues: set[asyncio.Queue[bytes | None]] = set()
        self._closed = False

    @property
    def listening(self) -> int:
        """Return how many windows listen."""
        return len(self._queues)

    def tell(self, event: str, **data: Any) -> None:
        """Tell every window ``event`` with its ``data``."""
        text = b"event: " + event.encode() + b"\ndata: " + encoded(data) + b"\n\n"
        loop = self._loop
        if loop is not None and self._queues and not loop.is_closed():
            loop.call_soon_threadsafe(self._put, text)

    def close(self) -> None:
        """End every window's stream."""
        self._closed = True
        if self._loop is not None and not self._loop.is_closed():
            self._loop.call_soon_threadsafe(self._put, None)

    def _put(self, item: bytes | None) -> None:
        for queue in self._queues:
            if queue.qsize() >= MOST_WAITING:
                queue.get_nowait()
            queue.put_nowait(item)

    async def stream(self, first: bytes = b"") -> AsyncGenerator[bytes, None]:
        """Yield the events of one window, beginning with ``first``, until it goes or the program ends."""
        self._loop = asyncio.get_running_loop()
        if len(self._queues) >= MOST_WINDOWS:
            yield b"event: notice\ndata: " + encoded({"words": "Too many windows are open. Close one."}) + b"\n\n"
            return
        queue: asyncio.Queue[bytes | None] = asyncio.Queue()
        self._queues.add(queue)
        try:
            yield b"retry: 1000\n\n" + first
            while not self._closed:
                try:
                    item = await asyncio.wait_for(queue.get(), BEAT_S)
                except TimeoutError:
                    item = b": beat\n\n"
                if item is None:
                    return
                yield item
        finally:
            self._queues.discard(queue)
