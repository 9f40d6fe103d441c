"""Compiling beside: whoever calls a kernel meanwhile waits for what the other process keeps, and compiles nothing."""

from __future__ import annotations

import sys
from typing import Any, ClassVar

import pytest

from quincunx.kernels import Kernel, at_work, beside
from quincunx.water.balance import days_compiled


@pytest.fixture
def own_cache(tmp_path, monkeypatch):
    monkeypatch.setenv("QUINCUNX_CACHE", str(tmp_path))
    return tmp_path


def fresh() -> Kernel[Any, Any]:
    return Kernel(days_compiled._function, days_compiled.signatures)


def test_a_kernel_called_meanwhile_is_loaded_from_what_the_process_beside_kept(own_cache):
    one = fresh()
    assert not one.has_come()
    assert not at_work(one), "calling it would wait for the compiler"
    assert beside.missing([one]) == ["quincunx.water.balance"]
    assert beside.begin(["quincunx.water.balance"])
    assert not beside.begin(["quincunx.water.balance"]), "one process at a time"
    one.warm()
    assert sum(one.compiled().stats.cache_hits.values()) == 1, "loaded, not compiled here"
    assert one.has_come()
    assert at_work(one)
    assert beside.missing([one, fresh()]) == []


class Ended:
    """A process that has ended without keeping anything."""

    said: ClassVar[list[list[str]]] = []

    def __init__(self, words: list[str], **_: Any) -> None:
        self.said.append(words)

    def poll(self) -> int:
        return 1


def test_a_process_that_ends_without_it_holds_nobody_up(own_cache, monkeypatch):
    monkeypatch.setattr("subprocess.Popen", Ended)
    monkeypatch.setattr(beside, "_at_work", [])
    one = fresh()
    assert not beside.begin([])
    assert beside.begin(["quincunx.water.balance"])
    beside.wait(one)
    assert not one.has_come()
    assert Ended.said == [[sys.executable, "-m", "quincunx.kernels", "--gently", "quincunx.water.balance"]]


def test_kernels_that_only_others_call_are_never_waited_for():
    helper = Kernel(days_compiled._function, ())
    assert beside.missing([helper]) == []
