"""Kernels made ready beside the board: what no run has compiled yet is compiled in a process of its own.

Compiling in the board's own process would hold it up: every other thread, that of judging too, waits for the compiler.
"""

from __future__ import annotations

import importlib
from threading import Lock
from typing import Any

from quincunx.kernels import Kernel, all_kernels, warm
from quincunx.kernels.beside import begin, missing

MODULES = (
    "scene.spread", "light._cast", "scene.lines", "water.balance", "walk._string", "walk._parting", "walk._coming",
    "walk._arrivals", "walk._taut", "walk._ears", "walk._narrow", "years._placing",
)  # fmt: skip
"""Where there are kernels the board calls: first those of looks that wait for them; walking goes by NumPy until its come."""

_ONE_AT_A_TIME = Lock()


def begin_all() -> bool:
    """Begin to compile all that no run has compiled yet, beside the board; return whether there is any."""
    at = [importlib.import_module(f"quincunx.{name}").__name__ for name in MODULES]
    return begin(sorted(missing(k for k in all_kernels() if k.name.rpartition(".")[0] in at), key=at.index))


def kernels_have_come() -> bool:
    """Return whether some run has compiled all the board calls: then a new process only loads them."""
    for name in MODULES:
        importlib.import_module(f"quincunx.{name}")
    return not missing(all_kernels())


def make_ready(*needed: Kernel[..., Any]) -> None:
    """Load some kernels, once the process beside has compiled those that no run had; waits for it."""
    if all(k.is_warm() for k in needed):
        return
    with _ONE_AT_A_TIME:
        begin(missing(needed))
        warm(needed)


def for_distances() -> tuple[Kernel[..., Any], ...]:
    """Return what finds the ways between all places."""
    from quincunx.walk._ears import ears
    from quincunx.walk._taut import lines_of_sight, straight_pairs, ways_from

    return ears, lines_of_sight, straight_pairs, ways_from
