"""Modules stay small; every public function says what it does and what it takes and gives."""

import ast
from collections.abc import Iterator

import pytest

from tests.house.source import UI, Module, modules

MOST_LINES = 600


def public_functions(module: Module) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef]:
    """Yield the functions and methods that others may call: no underscore in the way to them."""
    if any(part.startswith("_") for part in module.name.split(".")):
        return
    scopes: list[ast.Module | ast.ClassDef] = [module.tree]
    while scopes:
        for node in scopes.pop().body:
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                scopes.append(node)
            elif isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef) and not node.name.startswith("_"):
                yield node


def bare(module: Module) -> Iterator[str]:
    """Yield each public function without a docstring or with an argument or result of no stated type."""
    for function in public_functions(module):
        marks = {ast.unparse(mark).split(".")[-1] for mark in function.decorator_list}
        if not ast.get_docstring(function) and not marks & {"overload", "override", "setter"}:
            yield f"{module.at(function)} {function.name} has no docstring"
        given = function.args
        named = [*given.posonlyargs, *given.args, *given.kwonlyargs, given.vararg, given.kwarg]
        own = {"self", "cls"} if given.args and given.args[0].arg in {"self", "cls"} else set()
        untyped = [arg.arg for arg in named if arg is not None and arg.annotation is None and arg.arg not in own]
        if untyped or function.returns is None:
            yield f"{module.at(function)} {function.name} has no type for {', '.join(untyped) or 'its result'}"


def too_long(name: str, text: str) -> list[str]:
    lines = len(text.splitlines())
    return (
        [f"{name} has {lines} lines; at most {MOST_LINES}: split it by reason to change"] if lines > MOST_LINES else []
    )


def test_no_module_is_too_long():
    page = [path for path in sorted(UI.rglob("*")) if path.suffix in {".ts", ".svelte", ".css"}]
    texts = [(m.name, m.text) for m in modules()] + [(p.name, p.read_text(encoding="utf-8")) for p in page]
    assert [line for name, text in texts for line in too_long(name, text)] == []


def test_public_functions_are_documented_and_typed():
    all_modules = modules()
    assert any(True for module in all_modules for _ in public_functions(module))
    assert [line for module in all_modules for line in bare(module)] == []


def test_a_long_module_is_seen():
    assert too_long("made", "x = 1\n" * 601)
    assert not too_long("made", "x = 1\n" * 600)


@pytest.mark.parametrize(
    "text",
    [
        "def f() -> int: return 1",
        "class A:\n    def f(self) -> int: return 1",
        'def f(x) -> int: "Say."',
        'def f(x: int): "Say."',
        'def f(*xs) -> int: "Say."',
    ],
)
def test_a_bare_function_is_seen(text):
    assert len(list(bare(Module("quincunx.walk.made", text)))) == 1


@pytest.mark.parametrize(
    "text",
    [
        "def _f(x): return 1",
        "class _A:\n    def f(self): return 1",
        'class A:\n    def f(self, x: int) -> int: "Say."',
        'class A:\n    @classmethod\n    def f(cls) -> int: "Say."',
    ],
)
def test_a_function_in_order_is_not_seen(text):
    assert list(bare(Module("quincunx.walk.made", text))) == []
