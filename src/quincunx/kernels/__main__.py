"""Compile all kernels, or those of some modules, into the user's cache folder: ``python -m quincunx.kernels [MODULE ...]``.

Set-up runs it for all.
"""

import importlib
import sys
from importlib.resources import files
from importlib.resources.abc import Traversable

from quincunx.kernels import all_kernels, warm


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
    known = modules(files("quincunx"), "quincunx")
    wanted = [module for module in known if module in sys.argv[1:]] or known
    for module in wanted:
        importlib.import_module(module)
    kernels = [k for k in all_kernels() if k.name.rpartition(".")[0] in wanted]
    print(f"kernels: {len(kernels)} to compile or find compiled", file=sys.stderr)
    warm(kernels)


if __name__ == "__main__":
    main()
