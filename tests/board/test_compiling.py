"""What no run has compiled yet is compiled beside the board, not in it."""

from __future__ import annotations

from typing import Any

import pytest

from quincunx.board import compiling
from quincunx.kernels.__main__ import modules


class Fake:
    """A kernel as far as making it ready goes."""

    signatures = ("float64",)

    def __init__(self, name: str, *, warm: bool = False, kept: bool = False) -> None:
        self.name, self._warm, self._kept = name, warm, kept

    def is_warm(self) -> bool:
        return self._warm

    def has_come(self) -> bool:
        return self._warm or self._kept

    def warm(self) -> None:
        self._warm = True


@pytest.fixture
def begun(monkeypatch) -> list[list[str]]:
    said: list[list[str]] = []
    monkeypatch.setattr(compiling, "begin", lambda names: said.append(list(names)))
    return said


def test_only_modules_with_something_missing_are_compiled_and_in_a_process_of_their_own(begun):
    kernels: list[Any] = [Fake("a.one.f"), Fake("a.one.g"), Fake("a.two.h", kept=True)]
    compiling.make_ready(*kernels)
    assert begun == [["a.one"]]
    assert all(k.is_warm() for k in kernels), "and loaded here afterwards"


def test_what_is_kept_is_only_loaded_and_what_is_warm_left_alone(begun):
    kept: Any = Fake("a.one.f", kept=True)
    warm: Any = Fake("a.one.g", warm=True)
    compiling.make_ready(kept, warm)
    compiling.make_ready(kept, warm)
    assert begun == [[]], "nothing to compile, and the second time not even asked"
    assert kept.is_warm()


def test_all_that_is_missing_is_begun_and_what_is_looked_at_first_comes_first(begun, monkeypatch):
    names = ["quincunx.walk._taut.f", "quincunx.light._cast.g", "quincunx.scene.spread.h", "tests.samples.i"]
    monkeypatch.setattr(compiling, "all_kernels", lambda: [Fake(name) for name in names])
    compiling.begin_all()
    assert begun == [["quincunx.scene.spread", "quincunx.light._cast", "quincunx.walk._taut"]]


def test_every_module_that_a_call_enters_is_on_the_list():
    from importlib import import_module
    from importlib.resources import files

    from quincunx.kernels import all_kernels

    for name in modules(files("quincunx"), "quincunx"):
        import_module(name)
    entered = {k.name.rpartition(".")[0] for k in all_kernels() if k.signatures and k.name.startswith("quincunx.")}
    assert entered == {f"quincunx.{name}" for name in compiling.MODULES}
