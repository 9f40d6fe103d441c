"""Compile all kernels, or those of some modules, into the user's cache folder: ``python -m quincunx.kernels [MODULE ...]``.

Set-up runs it for all.  With ``--gently`` other programs go first.
"""

import importlib
import os
import sys
from importlib.resources import files
from importlib.resources.abc import Traversable

from quincunx.kernels import all_kernels, warm

GENTLY, NICENESS = "--gently", 10


def modules(folder: Traversable, name: str) -> list[str]:
    """Return the modules under a package's ``folder`` whose text asks for kernels."""
    found: list[str] = []
    for entry in sorted(folder.iterdir(), key=lambda entry: entry.name):
        if entry.is_dir():
            found += modules(entry, f"{name}.{entry.name}")
        elif entry.name.endswith(".py") and "from quincunx.kernels import" in entry.read_text(encoding="utf-8"):
            found.append(name if entry.name == "__init__.py" else f"{name}.{entry.name[:-3]}")
    return [module for module in found if not module.startswith("quincunx.kernels")]


def main() -> None:
    """Import each module that has kernels, and compile what their decorators name."""
    if GENTLY in sys.argv and hasattr(os, "nice"):
        os.nice(NICENESS)
    known = modules(files("quincunx"), "quincunx")
    wanted = [module for module in sys.argv[1:] if module in known] or known
    for module in wanted:
        importlib.import_module(module)
    at = {module: place for place, module in enumerate(wanted)}
    kernels = sorted(
        (k for k in all_kernels() if k.name.rpartition(".")[0] in at), key=lambda k: at[k.name.rpartition(".")[0]]
    )
    print(f"kernels: {len(kernels)} to compile or find compiled", file=sys.stderr)
    warm(kernels)


if __name__ == "__main__":
    main()
