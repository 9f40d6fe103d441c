"""The package read as syntax trees: what the house tests look at, and never import."""

from __future__ import annotations

import ast
import gc
import subprocess
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, cached_property
from pathlib import Path

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "src/quincunx"
UI = ROOT / "ui/src"

FLOORS = {
    "units": 1,
    "shapes": 2,
    "site": 2,
    "works": 2,
    "plants": 2,
    "kernels": 2,
    "scene": 3,
    "features": 3,
    "walk": 4,
    "sight": 4,
    "light": 4,
    "water": 4,
    "grow": 4,
    "build": 4,
    "survey": 4,
    "model": 4,
    "intents": 5,
    "garden": 6,
    "review": 7,
    "years": 7,
    "store": 7,
    "demos": 7,
    "sheets": 8,
    "board": 9,
    "cli": 10,
    "__main__": 11,
}


@dataclass(frozen=True)
class Module:
    """One module: its full name and its text."""

    name: str
    text: str
    is_package: bool = False

    @cached_property
    def tree(self) -> ast.Module:
        return ast.parse(self.text)

    @cached_property
    def nodes(self) -> tuple[ast.AST, ...]:
        """All that stands in the tree, read once for every test that looks at it."""
        return tuple(walk(self.tree))

    @property
    def room(self) -> str:
        """The part of the house it belongs to; empty for the package itself."""
        return self.name.split(".")[1] if "." in self.name else ""

    def at(self, node: ast.AST) -> str:
        return f"{self.name}:{getattr(node, 'lineno', 0)}"


@cache
def modules() -> list[Module]:
    """Return every module of the package, by name."""
    found = []
    for path in sorted(PACKAGE.rglob("*.py")):
        parts = ["quincunx", *path.relative_to(PACKAGE).with_suffix("").parts]
        package = parts[-1] == "__init__"
        name = ".".join(parts[:-1] if package else parts)
        found.append(Module(name, path.read_text(encoding="utf-8"), package))
    gc.disable()  # a million nodes that stay: not to be looked over again and again
    for module in found:
        assert module.nodes is not None
    gc.enable()
    gc.freeze()
    return found


def is_typing_only(node: ast.AST) -> bool:
    return isinstance(node, ast.If) and "TYPE_CHECKING" in ast.unparse(node.test)


def walk(tree: ast.AST, *, typing_too: bool = True) -> Iterator[ast.AST]:
    """Walk a tree, with or without what stands under ``if TYPE_CHECKING``."""
    todo = [tree]
    while todo:
        node = todo.pop()
        if node is not tree:
            yield node
        todo += [c for c in reversed(list(ast.iter_child_nodes(node))) if typing_too or not is_typing_only(c)]


def imports(module: Module, *, typing_too: bool = True) -> Iterator[tuple[ast.AST, str]]:
    """Yield what a module imports, wherever it does: ``a.b`` and, for ``from a import b``, also ``a.b``."""
    for node in module.nodes if typing_too else walk(module.tree, typing_too=False):
        if isinstance(node, ast.Import):
            yield from ((node, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{module.at(node)}: relative import"
            yield from ((node, f"{node.module}.{alias.name}") for alias in node.names)


def chain(node: ast.AST) -> str:
    """Return ``a.b.c`` of an attribute's chain of names, or what of it ends in plain names."""
    if isinstance(node, ast.Name):
        return node.id
    if isinstance(node, ast.Attribute):
        return f"{chain(node.value)}.{node.attr}".lstrip(".")
    return ""


def committed() -> list[Path]:
    """Return the files that git holds and that are still there."""
    listed = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True, check=True).stdout
    return [path for name in sorted(listed.split("\0")) if name and (path := ROOT / name).is_file()]
