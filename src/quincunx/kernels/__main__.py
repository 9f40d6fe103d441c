"""Compile all kernels into the user's cache folder: ``python -m quincunx.kernels``; set-up runs it."""

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
    for module in modules(files("quincunx"), "quincunx"):
        importlib.import_module(module)
    kernels = all_kernels()
    print(f"kernels: {len(kernels)} to compile or find compiled", file=sys.stderr)
    warm(kernels)


if __name__ == "__main__":
    main()
