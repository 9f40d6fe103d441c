"""What no run has compiled yet is compiled beside the board, not in it."""

from __future__ import annotations

import sys
from typing import Any

import pytest

from quincunx.board import compiling


class Fake:
    """A kernel as far as making it ready goes."""

    def __init__(self, name: str, *, warm: bool = False, kept: bool = False) -> None:
        self.name, self._warm, self._kept = name, warm, kept

    def is_warm(self) -> bool:
        return self._warm

    def is_kept(self) -> bool:
        return self._kept

    def warm(self) -> None:
        self._warm = True


@pytest.fixture
def calls(monkeypatch) -> list[list[str]]:
    said: list[list[str]] = []
    monkeypatch.setattr("subprocess.run", lambda words, **_: said.append(words))
    return said


def test_only_modules_with_something_missing_are_compiled_and_in_a_process_of_their_own(calls):
    kernels: list[Any] = [Fake("a.one.f"), Fake("a.one.g"), Fake("a.two.h", kept=True)]
    compiling.make_ready(*kernels)
    assert calls == [[sys.executable, "-m", "quincunx.kernels", "a.one"]]
    assert all(k.is_warm() for k in kernels), "and loaded here afterwards"


def test_what_is_kept_is_only_loaded_and_what_is_warm_left_alone(calls):
    kept: Any = Fake("a.one.f", kept=True)
    warm: Any = Fake("a.one.g", warm=True)
    compiling.make_ready(kept, warm)
    compiling.make_ready(kept, warm)
    assert calls == []
    assert kept.is_warm()
