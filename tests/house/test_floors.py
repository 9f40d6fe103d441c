"""Imports run downward only; rooms of one floor don't know each other; nothing imports in a circle."""

import ast
from collections.abc import Iterable

import pytest

from tests.house.source import FLOORS, Module, imports, modules

NEIGHBOURS = {("features", "scene")}
"""On one floor, yet the first may import the second: kinds say how they stand in a scene, which knows no kinds."""


def offences(given: Iterable[Module]) -> list[str]:
    found = []
    for module in given:
        for node, name in imports(module):
            if not name.startswith("quincunx."):
                continue
            room = name.split(".")[1]
            if room not in FLOORS and isinstance(node, ast.ImportFrom) and node.module == "quincunx":
                continue  # a name of the package itself, such as its version
            where = f"{module.at(node)} imports {name}"
            if room not in FLOORS:
                found.append(f"{where}: no floor is named for {room!r}")
            elif module.room == "":
                if node in module.tree.body:
                    found.append(f"{where}: importing the package loads nothing")
            elif module.room not in FLOORS:
                found.append(f"{where}: no floor is named for {module.room!r}")
            elif room != module.room and (module.room, room) not in NEIGHBOURS and FLOORS[room] >= FLOORS[module.room]:
                found.append(f"{where}: floor {FLOORS[module.room]} may import lower floors only")
    return found


def circles(given: Iterable[Module]) -> list[list[str]]:
    """Return the groups of modules that import each other, directly or around."""
    known = {module.name: module for module in given}
    edges = {}
    for name, module in known.items():
        targets = set()
        for _node, wanted in imports(module, typing_too=False):
            parts = wanted.split(".")
            places = [".".join(parts[:end]) for end in range(len(parts), 0, -1)]
            targets |= set([place for place in places if place in known][:1])
        edges[name] = targets - {name}
    reach = {name: _reachable(name, edges) for name in edges}
    groups = {tuple(sorted(b for b in reach[a] if a in reach[b])) for a in edges if a in reach[a]}
    return [list(group) for group in sorted(groups)]


def _reachable(start: str, edges: dict[str, set[str]]) -> set[str]:
    seen: set[str] = set()
    todo = list(edges[start])
    while todo:
        name = todo.pop()
        if name not in seen:
            seen.add(name)
            todo += edges[name]
    return seen


def test_imports_run_downward():
    assert offences(modules()) == []


def test_nothing_imports_in_a_circle():
    assert circles(modules()) == []


def test_every_room_has_a_floor():
    assert {m.room for m in modules()} - {""} <= FLOORS.keys()


@pytest.mark.parametrize(
    ("name", "text", "words"),
    [
        ("quincunx.units.length", "from quincunx.shapes import Solid", "floor 1 may import lower"),
        ("quincunx.walk.rooms", "def f():\n    from quincunx.sight import seen", "floor 4 may import lower"),
        ("quincunx.walk.rooms", "import quincunx.garden", "floor 4 may import lower"),
        ("quincunx.scene.scene", "from quincunx.features.wall import Wall", "floor 3 may import lower"),
        ("quincunx.scene.scene", "from quincunx import features", "floor 3 may import lower"),
        ("quincunx.walk.rooms", "from quincunx.cellar import coal", "no floor is named for 'cellar'"),
        ("quincunx.cellar", "from quincunx.units import length", "no floor is named for 'cellar'"),
        ("quincunx", "from quincunx.garden import Garden", "loads nothing"),
    ],
)
def test_a_wrong_import_is_seen(name, text, words):
    (found,) = offences([Module(name, text)])
    assert words in found


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("quincunx.features.wall", "from quincunx.scene.moment import Moment"),
        ("quincunx.walk.rooms", "from quincunx.walk.walkers import Walker"),
        ("quincunx.cli.main", "from quincunx import __version__"),
        ("quincunx", "def __getattr__(name):\n    from quincunx.garden import Garden"),
    ],
)
def test_a_right_import_is_not_seen(name, text):
    assert offences([Module(name, text)]) == []


def test_a_circle_is_seen():
    a = Module("quincunx.walk.a", "from quincunx.walk.b import x")
    b = Module("quincunx.walk.b", "def f():\n    from quincunx.walk import c")
    c = Module("quincunx.walk.c", "import quincunx.walk.a")
    apart = Module("quincunx.walk.d", "from quincunx.walk.a import y")
    assert circles([a, b, c, apart]) == [["quincunx.walk.a", "quincunx.walk.b", "quincunx.walk.c"]]
    typed = Module("quincunx.walk.c", "if TYPE_CHECKING:\n    import quincunx.walk.a")
    assert circles([a, b, typed]) == []
