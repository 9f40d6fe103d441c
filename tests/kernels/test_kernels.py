"""Compiled and plain answers are the same; the cache is by content and may fail; threads may come first together."""

import importlib
import os
import subprocess
import sys
import threading
import typing
from importlib.resources import files
from pathlib import Path
from types import FunctionType

import numpy as np
import pytest
from numpy.typing import NDArray

from quincunx import kernels
from quincunx.kernels import Kernel, all_kernels, cache_folder, kernel, warm
from quincunx.kernels.__main__ import modules
from tests.kernels import samples

ROOT = Path(__file__).parents[2]
VALUES = np.array([1.0, 2.0, 3.5])


def fresh(one: Kernel) -> Kernel:
    """A kernel like ``one`` that has not been called, over helpers that have not been either."""
    function = one._function
    others = {n: fresh(v) for n, v in one._others()}
    copy = FunctionType(function.__code__, {**function.__globals__, **others}, function.__name__)
    copy.__module__, copy.__qualname__ = function.__module__, function.__qualname__
    return Kernel(copy, one.signatures, lent=one.lent)


def child(code: str, **env: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", code],
        env={**os.environ, "PYTHONPATH": f"{ROOT}{os.pathsep}{ROOT / 'src'}", **env},
        capture_output=True,
        text=True,
        check=True,
    )


@pytest.fixture(autouse=True)
def cache(tmp_path, monkeypatch):
    monkeypatch.setenv("QUINCUNX_CACHE", str(tmp_path / "cache"))
    monkeypatch.delenv("QUINCUNX_PLAIN", raising=False)
    return tmp_path / "cache"


def test_compiled_and_plain_answer_the_same():
    one = fresh(samples.total)
    assert one(VALUES) == one.plain(VALUES) == pytest.approx((1 + 4 + 12.25) * 0.5 + 2 + 2)
    assert len(one.compiled().signatures) == 1
    assert fresh(samples.factorial)(10) == samples.factorial.plain(10) == 3_628_800


def test_plain_calls_nothing_compiled():
    one = fresh(samples.total)
    plain = one.plain
    assert isinstance(plain, FunctionType)
    assert isinstance(plain.__globals__["square"], FunctionType)


def test_the_setting_plain_compiles_nothing(cache):
    code = "import sys, numpy; from tests.kernels import samples as s\n"
    code += "print(s.total(numpy.ones(3)), 'numba' in sys.modules)"
    assert child(code, QUINCUNX_PLAIN="1").stdout.split() == ["5.5", "False"]
    assert child(code, NUMBA_DISABLE_JIT="1").stdout.split() == ["5.5", "True"]
    assert child(code).stdout.split() == ["5.5", "True"]
    assert list(cache.rglob("*.nbc"))


def test_a_helper_is_lent_its_arrays_and_may_not_make_one():
    from numba.core.errors import TypingError

    assert samples.halve.lent
    assert not samples.halved.lent
    assert fresh(samples.halved)(VALUES).tolist() == samples.halved.plain(VALUES).tolist() == [0.5, 1.0, 1.75]
    assert samples.doubled.plain(VALUES) == 6
    with pytest.raises(TypingError, match="Only accept returning of array passed into the function"):
        fresh(samples.doubled)(VALUES)


def arrays_in(hint: object) -> bool:
    """Whether a type, or one it is made of, is an array."""
    return typing.get_origin(hint) is np.ndarray or any(map(arrays_in, typing.get_args(hint)))


def test_no_helper_returns_an_array():
    # Its caller would let go of what nobody counted, and the array would vanish under its owner.
    for module in modules(files("quincunx"), "quincunx"):
        importlib.import_module(module)
    lent = [one for one in all_kernels() if one.lent and one.name.startswith("quincunx.")]
    assert len(lent) > 40
    hints = {one.name: typing.get_type_hints(one._function)["return"] for one in lent}
    assert [name for name, hint in hints.items() if arrays_in(hint)] == []
    assert arrays_in(tuple[int, NDArray[np.float64]])


def test_without_numba_the_plain_function_runs(monkeypatch):
    monkeypatch.setitem(sys.modules, "numba", None)
    one = fresh(samples.total)
    assert one(VALUES) == samples.total.plain(VALUES)
    assert isinstance(one.compiled(), FunctionType)


def test_importing_costs_nothing():
    code = "import sys, quincunx.kernels; print([m for m in ('numba', 'numpy', 'platformdirs') if m in sys.modules])"
    assert child(code).stdout.strip() == "[]"


def test_what_is_compiled_is_kept_in_the_users_folder_and_found_again(cache):
    warm([fresh(samples.total)])
    assert cache_folder().is_relative_to(cache)
    assert len(list(cache_folder().glob("*.nbc"))) == 4  # two signatures, each with its helper
    again = fresh(samples.total)
    warm([again])
    hits = again.compiled().stats.cache_hits
    assert sum(hits.values()) == 2


def test_the_folder_names_the_versions(monkeypatch):
    import numba

    assert f"-numba{numba.__version__}-cpython3.{sys.version_info.minor}" in cache_folder().name
    monkeypatch.setattr(numba.config, "BOUNDSCHECK", 1)
    assert cache_folder().name.endswith("-checked")
    monkeypatch.delenv("QUINCUNX_CACHE")
    assert "quincunx" in cache_folder().parts


def test_what_is_kept_is_loaded_without_what_only_a_compiler_needs():
    code = "import sys, numpy; from tests.kernels import samples\nprint(samples.total(numpy.array([1.0, 2.0, 3.5])))\n"
    code += "print([m for m in ('numba.np.arraymath', 'scipy.linalg') if m in sys.modules])\n"
    first, again = (child(code).stdout.split("\n") for _ in range(2))
    assert first[0] == again[0] == str(samples.total.plain(VALUES))
    assert first[1] != "[]"
    assert again[1] == "[]"
    # One that is kept calls the compiler in for one that is not.
    both = child(code + "print(samples.factorial(10), 'numba.np.arraymath' in sys.modules)").stdout.split("\n")
    assert both[1:3] == ["[]", "3628800 True"]


def test_bounds_are_checked_when_asked_by_what_is_kept_too():
    code = "import numpy; from tests.kernels import samples\ntry: samples.third(numpy.ones(2), 2)\n"
    code += "except IndexError: print('out')"
    assert [child(code, NUMBA_BOUNDSCHECK="1").stdout.strip() for _ in range(2)] == ["out", "out"]


def test_the_key_sees_source_constants_and_called_kernels(monkeypatch):
    before = samples.total.key()
    assert fresh(samples.total).key() == before
    monkeypatch.setattr(samples, "STEP_M", 0.25)
    step = samples.total.key()
    monkeypatch.setattr(samples, "TABLE", np.array([1.0, 2.5, 4.0]))
    table = samples.total.key()
    monkeypatch.setattr(samples, "square", samples.factorial)
    assert len({before, step, table, samples.total.key()}) == 4


@pytest.mark.parametrize("damage", [lambda f: f.write_bytes(b"not a pickle"), Path.unlink])
def test_a_damaged_cache_only_costs_compiling(damage):
    warm([fresh(samples.total)])
    for file in cache_folder().iterdir():
        damage(file)
    assert fresh(samples.total)(VALUES) == samples.total.plain(VALUES)


def test_a_folder_that_cannot_be_made_only_costs_keeping(tmp_path, monkeypatch):
    (tmp_path / "file").write_text("in the way")
    monkeypatch.setenv("QUINCUNX_CACHE", str(tmp_path / "file"))
    assert fresh(samples.total)(VALUES) == samples.total.plain(VALUES)


def test_threads_may_call_first_together():
    one, want = fresh(samples.total), samples.total.plain(VALUES)
    gate, got = threading.Barrier(8), []

    def call():
        gate.wait()
        got.append(one(VALUES))

    threads = [threading.Thread(target=call) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert got == [want] * 8
    assert len(one.compiled().signatures) == 1


def plain_helper(value):
    return value


def uses_a_plain_helper(value):
    return plain_helper(value)


def uses_our_module(value):
    return kernels.warm(value)


def test_a_plain_helper_or_module_of_our_own_is_refused(monkeypatch):
    monkeypatch.setattr(plain_helper, "__module__", "quincunx.walk")
    with pytest.raises(TypeError, match=r"uses plain_helper, a function of quincunx\.walk; expected"):
        Kernel(uses_a_plain_helper, ()).key()
    with pytest.raises(TypeError, match=r"uses kernels, a module of quincunx\.kernels"):
        Kernel(uses_our_module, ()).key()


def test_a_function_within_a_function_is_refused():
    around = 1.0

    def inner(value):
        return value * around

    with pytest.raises(TypeError, match="uses no variables of a function around it"):
        kernel(inner)


def test_set_up_finds_the_modules_with_kernels(tmp_path):
    (tmp_path / "walk").mkdir()
    (tmp_path / "walk/__init__.py").write_text("")
    (tmp_path / "walk/grid.py").write_text("from quincunx.kernels import kernel\n")
    (tmp_path / "sight.py").write_text("from quincunx.kernels import kernel\n")
    assert modules(tmp_path, "made") == ["made.sight", "made.walk.grid"]


def test_every_kernel_of_the_package_is_compiled_by_set_up(monkeypatch):
    monkeypatch.delenv("QUINCUNX_CACHE")  # the user's own folder, where set-up has just left them
    said = subprocess.run([sys.executable, "-m", "quincunx.kernels"], capture_output=True, text=True, check=True)
    assert "kernels: " in said.stderr
    assert said.stdout == ""
    # All that is kept can be linked again, each of them by a process that has not compiled anything.
    code = "from quincunx.kernels import all_kernels; from quincunx.kernels.__main__ import main; main()\n"
    code += "print([k.name for k in all_kernels() if not k.is_warm() or (k.signatures and not k.compiled().stats.cache_hits)])"
    assert child(code).stdout.strip() == "[]"


def test_kernels_look_like_their_functions():
    assert samples.total.__doc__ == "Add the squares."
    assert repr(samples.total) == "<kernel tests.kernels.samples.total>"
    assert samples.total in all_kernels()
