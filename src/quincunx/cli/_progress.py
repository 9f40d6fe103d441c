"""A word about long work, on stderr, only when a person is there to read it and only after a second."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

QUIET_S = 1.0
"""Nothing is said about work shorter than this [s]."""


@contextmanager
def progress() -> Iterator[Callable[[str, float], None]]:
    """Give a function to call with (what, share done 0..1); it writes one changing line and wipes it at the end."""
    start, shown = time.monotonic(), 0

    def tell(what: str, share: float) -> None:
        nonlocal shown
        if time.monotonic() - start < QUIET_S or not sys.stderr.isatty():
            return
        line = f"{what} … {round(100 * share)} %"
        sys.stderr.write("\r" + line.ljust(shown))
        sys.stderr.flush()
        shown = len(line)

    try:
        yield tell
    finally:
        if shown:
            sys.stderr.write("\r" + " " * shown + "\r")
