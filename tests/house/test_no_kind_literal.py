"""No code outside a kind's own file compares or looks up its word; only the explicit list imports its file.

A word may be a kind's and something else's too (a *wall* is also a role of a drawn line). So a comparison counts as
one of kinds unless its other side is a name, other than ``kind``, whose declared choices hold that word.
"""

import ast
import re
from collections import defaultdict
from collections.abc import Iterable, Iterator

import pytest

from tests.house.source import UI, Module, imports, modules

LISTS = {"quincunx.features", "quincunx.intents"}


def is_kind_file(module: Module) -> bool:
    return module.room in {"features", "intents"} and not module.is_package


def kind_words(given: Iterable[Module]) -> dict[str, str]:
    """Return each kind's word and the module it lives in: ``kind: Literal["wall"] = "wall"`` in a class."""
    found: dict[str, str] = {}
    for module in given:
        if is_kind_file(module):
            for node in module.nodes:
                if isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name) and node.target.id == "kind":
                    found |= dict.fromkeys(_choices(node.annotation), module.name)
    return found


def vocabularies(given: Iterable[Module]) -> dict[str, set[str]]:
    """Return the names other than ``kind`` that are declared with closed choices, and all their choices."""
    given = list(given)
    aliases: dict[str, set[str]] = defaultdict(set)
    for module in given:
        for node in module.nodes:
            if isinstance(node, ast.Assign) and isinstance(node.targets[0], ast.Name):
                aliases[node.targets[0].id] |= _choices(node.value)
    names: dict[str, set[str]] = defaultdict(set, aliases)
    for module in given:
        for node in module.nodes:
            if isinstance(node, ast.AnnAssign | ast.arg) and node.annotation is not None:
                name = node.arg if isinstance(node, ast.arg) else getattr(node.target, "id", "")
                words = _choices(node.annotation)
                for inner in ast.walk(node.annotation):
                    words |= aliases.get(getattr(inner, "id", getattr(inner, "attr", "")), set())
                names[name] |= words
    names.pop("kind", None)
    return names


def _choices(node: ast.AST) -> set[str]:
    """Return the strings of all ``Literal[...]`` within a node."""
    literals = (n for n in ast.walk(node) if isinstance(n, ast.Subscript) and ast.unparse(n.value).endswith("Literal"))
    return {word for literal in literals for word in _strings(literal.slice)}


def _strings(node: ast.AST) -> list[str]:
    """Return a string, or the strings of a tuple, list, set or dict's keys."""
    if isinstance(node, ast.Constant):
        return [node.value] if isinstance(node.value, str) else []
    if isinstance(node, ast.Dict):
        return [word for key in node.keys if key is not None for word in _strings(key)]
    if isinstance(node, ast.Call) and ast.unparse(node.func) in {"set", "frozenset", "tuple"} and node.args:
        return _strings(node.args[0])
    if isinstance(node, ast.Tuple | ast.List | ast.Set):
        return [word for item in node.elts for word in _strings(item)]
    return []


def _last_name(node: ast.AST) -> str:
    return getattr(node, "attr", getattr(node, "id", ""))


def offences(module: Module, kinds: dict[str, str], names: dict[str, set[str]]) -> Iterator[str]:
    """Yield each comparison, match or table by a kind's word, and each import of a kind's file, outside that file."""
    theirs = {word for word, home in kinds.items() if home != module.name}
    for node in module.nodes:
        for word in sorted(theirs & set(_compared(node, names))):
            yield f"{module.at(node)} tells kinds apart by {word!r}"
    if module.name not in LISTS:
        files = set(kinds.values()) - {module.name}
        for node, name in imports(module):
            if files & {name, name.rpartition(".")[0]}:
                yield f"{module.at(node)} imports {name}: only the list of kinds does"


def _compared(node: ast.AST, names: dict[str, set[str]]) -> Iterator[str]:
    if isinstance(node, ast.Compare):
        sides = [node.left, *node.comparators]
        known = set().union(*(names.get(_last_name(side), set()) for side in sides))
        yield from (word for side in sides for word in _strings(side) if word not in known)
    elif isinstance(node, ast.Match):
        known = names.get(_last_name(node.subject), set())
        for inner in (inner for case in node.cases for inner in ast.walk(case.pattern)):
            values = [inner.value] if isinstance(inner, ast.MatchValue) else getattr(inner, "keys", [])
            yield from (word for value in values for word in _strings(value) if word not in known)
    elif isinstance(node, ast.Dict):
        words = set(_strings(node))
        if words & {"id", "kind"}:
            return  # one thing as data: its keys are its fields
        if len(words) < 2 or not any(words <= known for known in names.values()):
            yield from words


def page_offences(name: str, text: str, kinds: Iterable[str]) -> list[str]:
    """Return each place where the browser's side tells kinds apart."""
    words = "|".join(map(re.escape, kinds))
    quoted = rf"""['"`](?:{words})['"`]"""
    patterns = [rf"\bkind\)?\s*[!=]==?\s*{quoted}", rf"{quoted}\s*[!=]==?\s*[\w.?]*\bkind\b"]
    patterns += [
        rf"\bswitch\s*\([\w.?]*\bkind\)[^}}]*?case\s+{quoted}",
        rf"\[{quoted}[^\]]*\]\.includes\([\w.?]*\bkind\)",
    ]
    return [f"{name}: {match[0]}" for pattern in patterns for match in re.finditer(pattern, text)]


def mock_offences(name: str, text: str) -> list[str]:
    """Return each import that would build ``mock/``, which answers in the program's place and so knows kinds, in."""
    return [
        f"{name}: {match[0]}"
        for match in re.finditer(r"""\bfrom\s+['"][^'"]*/mock/|^import\s+['"][^'"]*/mock/""", text)
    ]


def test_no_code_tells_kinds_apart_by_their_words():
    all_modules = modules()
    kinds, names = kind_words(all_modules), vocabularies(all_modules)
    assert kinds
    assert [line for module in all_modules for line in offences(module, kinds, names)] == []


def test_the_page_knows_no_kinds():
    kinds = kind_words(modules())
    files = [
        path
        for path in sorted(UI.rglob("*"))
        if path.suffix in {".ts", ".svelte"} and path.parent.name != "mock" and ".fake." not in path.name
    ]
    texts = {path.relative_to(UI).as_posix(): path.read_text(encoding="utf-8") for path in files}
    assert texts
    assert [line for name, text in texts.items() for line in page_offences(name, text, kinds)] == []
    assert [line for name, text in texts.items() for line in mock_offences(name, text)] == []


WALL = Module("quincunx.features.wall", 'class Wall:\n    kind: Literal["wall"] = "wall"\n    x = kind == "wall"')
PATH = Module("quincunx.features.path", 'class Path:\n    kind: Literal["path"] = "path"')
ROLES = Module("quincunx.shapes.figures", 'Role = Literal["wall", "way"]\nclass Figure:\n    role: Role')


@pytest.mark.parametrize(
    "text",
    [
        'x = feature.kind == "wall"',
        'x = "wall" != feature.kind',
        'x = feature.kind in ("hedge", "wall")',
        'x = feature.kind in frozenset({"wall"})',
        'WIDTHS = {"wall": 0.2, "hedge": 0.6}',
        'WIDTHS = {"wall": 0.2, "path": 0.9}',
        'match feature.kind:\n    case "wall" | "hedge": pass',
        'match feature:\n    case {"kind": "wall"}: pass',
        'x = feature.role_of == "wall"',
        "from quincunx.features.wall import Wall",
        "from quincunx.features import wall",
    ],
)
def test_telling_kinds_apart_is_seen(text):
    kinds, names = kind_words([WALL, PATH, ROLES]), vocabularies([WALL, PATH, ROLES])
    found = list(offences(Module("quincunx.walk.made", text), kinds, names))
    assert found
    assert all("wall" in line or "path" in line for line in found)


@pytest.mark.parametrize(
    "module",
    [
        WALL,
        Module("quincunx.sheets.made", 'x = figure.role == "wall"'),
        Module("quincunx.sheets.made", 'x = figure.role in ("wall", "way")'),
        Module("quincunx.sheets.made", 'WIDTHS = {"wall": 0.5, "way": 0.2}'),
        Module("quincunx.cli.demo", 'x = {"kind": "wall", "id": "north-wall"}'),
        Module("quincunx.features", "from quincunx.features.wall import Wall"),
    ],
)
def test_the_words_other_uses_are_not_seen(module):
    kinds, names = kind_words([WALL, PATH, ROLES]), vocabularies([WALL, PATH, ROLES])
    assert list(offences(module, kinds, names)) == []


@pytest.mark.parametrize(
    "text",
    [
        "if (feature.kind === 'wall') go()",
        'if ("wall" !== f.kind) go()',
        "switch (f.kind) { case 'wall': go() }",
        "['wall', 'hedge'].includes(f.kind)",
    ],
)
def test_a_page_that_knows_kinds_is_seen(text):
    assert page_offences("made.ts", text, ["wall"])
    assert page_offences("made.ts", "figure.role === 'wall'", ["wall"]) == []


def test_a_page_with_the_mock_built_in_is_seen():
    assert mock_offences("main.ts", "import { install } from './mock/install';")
    assert mock_offences("main.ts", "if (import.meta.env.MODE === 'mock') await import('./mock/install');") == []
