"""Compiling in a process beside this one, of low priority, so that nobody waits for the compiler who need not.

Numba compiles under the interpreter's lock: in this process it would hold up every other thread.  While the process
beside is at work, a kernel that is called here waits, without the lock, until that process has kept it, and loads it.
"""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Iterable
from threading import Lock

from quincunx.kernels import Kernel

__all__ = ["begin", "missing", "wait"]

LOOK_S = 0.1
"""How often is looked whether a kernel has come [s]."""

_lock = Lock()
_at_work: list[subprocess.Popen[bytes]] = []


def missing(kernels: Iterable[Kernel[..., object]]) -> list[str]:
    """Return the modules of those kernels that would have to be compiled here, each once, in their order."""
    return list(dict.fromkeys(k.name.rpartition(".")[0] for k in kernels if k.signatures and not k.has_come()))


def begin(modules: Iterable[str]) -> bool:
    """Begin to compile the kernels of some modules beside this process, the first ones first; return whether it began.

    Nothing begins without modules, nor while the process beside is at work.
    """
    words = [sys.executable, "-m", "quincunx.kernels", "--gently", *modules]
    with _lock:
        if len(words) == 4 or _running():
            return False
        _at_work[:] = [subprocess.Popen(words, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)]  # noqa: S603
    return True


def wait(kernel: Kernel[..., object]) -> None:
    """Wait until a kernel has come, or the process beside has ended without it."""
    while _running() and not kernel.has_come():
        time.sleep(LOOK_S)


def _running() -> bool:
    return any(one.poll() is None for one in _at_work)
