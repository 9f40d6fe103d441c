"""Kernels made ready beside the board: what no run has compiled yet is compiled in a process of its own.

Compiling in the board's own process would hold it up: every other thread, that of judging too, waits for the compiler.
"""

from __future__ import annotations

import subprocess
import sys
from threading import Lock
from typing import Any

from quincunx.kernels import Kernel, warm

_ONE_AT_A_TIME = Lock()


def make_ready(*needed: Kernel[..., Any]) -> None:
    """Load some kernels, compiling their modules in a process of its own first where they are not kept; waits for it."""
    if all(k.is_warm() for k in needed):
        return
    with _ONE_AT_A_TIME:
        missing = sorted({k.name.rpartition(".")[0] for k in needed if not (k.is_warm() or k.is_kept())})
        if missing:
            words = [sys.executable, "-m", "quincunx.kernels", *missing]
            subprocess.run(words, stderr=subprocess.DEVNULL, check=False)  # noqa: S603 - our own modules only
        warm(needed)
