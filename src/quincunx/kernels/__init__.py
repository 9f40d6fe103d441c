"""Compiled kernels: the one room that owns them, and the only one below floor 7 that touches files or settings.

A kernel is a plain function over numbers and NumPy arrays::

    @kernel("float64[:,::1], float64")
    def lengths_over(chords, least_m): ...

A function that only other kernels call is a :func:`helper`. Importing either costs nothing. On its first call numba
compiles it (without the interpreter's lock, so threads run it side by side), or loads what was compiled before from the
user's cache folder. Without numba, or with ``QUINCUNX_PLAIN=1``, the plain function runs: the same answers, slowly,
which makes it the oracle in tests (also :attr:`Kernel.plain`).
Division follows NumPy (1/0 is infinite) when compiled. A kernel may use numbers, tuples, arrays, modules such as
``math`` and ``numpy``, and other kernels; these are frozen at its first call.
"""

from __future__ import annotations

import hashlib
import inspect
import os
import sys
import threading
from collections.abc import Callable, Iterable, Iterator
from functools import cached_property, update_wrapper
from pathlib import Path
from types import CodeType, FunctionType, ModuleType
from typing import Any, Generic, ParamSpec, TypeVar, cast, overload

__all__ = ["Kernel", "all_kernels", "at_work", "cache_folder", "helper", "kernel", "warm"]

P = ParamSpec("P")
R = TypeVar("R")

_lock = threading.RLock()
_known: list[Kernel[..., Any]] = []


class Kernel(Generic[P, R]):
    """A function that is compiled when it is first called; made by :func:`kernel`."""

    def __init__(self, function: Callable[P, R], signatures: tuple[str, ...], *, lent: bool = False) -> None:
        if not isinstance(function, FunctionType) or function.__closure__:
            raise TypeError(f"got {function!r}; a kernel is a function that uses no variables of a function around it")
        update_wrapper(self, function)
        self.signatures = signatures
        self.lent = lent
        self._function = function
        self._call: Callable[P, R] = self._first_call
        self._come = False

    def __call__(self, *args: P.args, **kwargs: P.kwargs) -> R:
        """Run the compiled function, or the plain one where compiling is off."""
        return self._call(*args, **kwargs)

    def __repr__(self) -> str:
        return f"<kernel {self.name}>"

    @property
    def name(self) -> str:
        """The module and name of the function."""
        return f"{self._function.__module__}.{self._function.__qualname__}"

    @property
    def plain(self) -> Callable[P, R]:
        """The function as written, calling other kernels as written too: the oracle of the compiled one."""
        return cast("Callable[P, R]", self._with({name: other.plain for name, other in self._others()}))

    def compiled(self) -> Any:
        """Return what a call runs: numba's dispatcher, or the plain function where compiling is off."""
        beside = sys.modules.get(f"{__name__}.beside")
        if beside is not None and self.signatures and self._call == self._first_call:
            beside.wait(self)
        with _lock:
            if self._call == self._first_call:
                self._call = self._compile()
        return self._call

    def warm(self) -> None:
        """Compile, or load from the cache folder, each of the signatures that the decorator named."""
        run = self.compiled()
        if hasattr(run, "compile"):
            from numba.core.sigutils import normalize_signature

            for signature in self.signatures:
                run.compile(normalize_signature(f"({signature},)")[0])

    def is_warm(self) -> bool:
        """Return whether each named signature is compiled or loaded already (or compiling is off); waits for nothing."""
        if self._call == self._first_call:
            return False
        run: Any = self._call
        return not hasattr(run, "compile") or len(run.signatures) >= len(self.signatures)

    def is_kept(self) -> bool:
        """Return whether the cache folder holds its compiled form, so that warming it only loads."""
        try:
            names = os.listdir(cache_folder())  # noqa: PTH208 (asked for every kernel: a Path for each file would cost most)
        except ImportError:
            return True
        except OSError:
            return False
        mine = self.key()[:20]
        return any(mine in name and name.endswith(".nbi") for name in names)

    def has_come(self) -> bool:
        """Return whether a call need not wait for the compiler; asked often, so that a yes is remembered."""
        if not self._come:
            self._come = self.is_warm() or self.is_kept()
        return self._come

    def key(self) -> str:
        """Return a hash of all that is frozen into the compiled form: source, constants, kernels it calls."""
        total = hashlib.sha256(self._source.encode())
        for name, value in sorted(self._globals().items()):
            total.update(f"\0{name}\0".encode() + self._describe(name, value))
        return total.hexdigest()

    def _first_call(self, *args: P.args, **kwargs: P.kwargs) -> R:
        return cast("R", self.compiled()(*args, **kwargs))

    def _compile(self) -> Any:
        if os.environ.get("QUINCUNX_PLAIN") == "1":
            return self.plain
        try:
            import numba
        except ImportError:
            return self.plain
        function = self._with({name: other.compiled() for name, other in self._others()})
        counted = {"_nrt": False} if self.lent else {}
        run = numba.njit(nogil=True, error_model="numpy", **counted)(function)
        function.__globals__[function.__name__] = run  # for a kernel that calls itself
        if isinstance(run, FunctionType):  # NUMBA_DISABLE_JIT
            return self.plain
        from quincunx.kernels._cache import keep

        keep(run, cache_folder(), self.key())
        return run

    @cached_property
    def _source(self) -> str:
        """The function as written: found once, as it is asked for by every kernel that calls this one."""
        return inspect.getsource(self._function)

    @cached_property
    def _used(self) -> frozenset[str]:
        return frozenset(_names(self._function.__code__))

    def _globals(self) -> dict[str, Any]:
        mine = self._function.__globals__
        return {name: mine[name] for name in self._used if name in mine}

    def _others(self) -> Iterator[tuple[str, Kernel[..., Any]]]:
        return ((n, v) for n, v in self._globals().items() if isinstance(v, Kernel) and v is not self)

    def _with(self, others: dict[str, Any]) -> Any:
        mine = self._function
        own = {**mine.__globals__, **others}
        copy = FunctionType(mine.__code__, own, mine.__name__, mine.__defaults__)
        own[mine.__name__] = copy
        return update_wrapper(copy, mine)

    def _describe(self, name: str, value: Any) -> bytes:
        if value is self:
            return b"itself"
        if isinstance(value, Kernel):
            return value.key().encode()
        if isinstance(value, (bool, int, float, complex, str, tuple)):
            return repr(value).encode()
        if hasattr(value, "tobytes"):
            return f"{value.dtype} {value.shape}".encode() + bytes(value.tobytes())
        home = value.__name__ if isinstance(value, ModuleType) else getattr(value, "__module__", None) or "builtins"
        if home.split(".")[0] == __name__.split(".")[0] or not (isinstance(value, ModuleType) or callable(value)):
            raise TypeError(
                f"kernel {self.name} uses {name}, a {type(value).__name__} of {home}; expected a number, tuple, array, "
                "other kernel, or something of another package: decorate it with @kernel or import the number itself"
            )
        return f"{home}.{getattr(value, '__qualname__', '')}".encode()


def _names(code: CodeType) -> set[str]:
    inner = (_names(const) for const in code.co_consts if isinstance(const, CodeType))
    return set(code.co_names).union(*inner)


@overload
def kernel(function: Callable[P, R], /) -> Kernel[P, R]: ...
@overload
def kernel(*signatures: str) -> Callable[[Callable[P, R]], Kernel[P, R]]: ...
def kernel(*given: Any) -> Any:
    """Make a kernel of a function.

    Bare, for one that only other kernels call and that makes arrays (others are a :func:`helper`); or with the argument
    types (numba's notation, one string for each combination in use, such as ``"float64[:,::1], int64"``) that set-up
    compiles. Calls with other types work too and compile at their first call; arrays that are read-only or not
    contiguous are other types.
    """
    if len(given) == 1 and callable(given[0]):
        return _register(Kernel(given[0], ()))
    return lambda function: _register(Kernel(function, given))


def helper(function: Callable[P, R]) -> Kernel[P, R]:
    """Make a kernel of a function that only other kernels call, that makes no arrays and returns none.

    It is lent its arrays: compiled, it does not count who holds them, which for a short one costs more than its work.
    numba refuses to compile one that makes an array.
    """
    return _register(Kernel(function, (), lent=True))


def _register(made: Kernel[P, R]) -> Kernel[P, R]:
    _known.append(made)
    return made


def all_kernels() -> list[Kernel[..., Any]]:
    """Return the kernels of all modules imported so far, by name."""
    return sorted(_known, key=lambda one: one.name)


def at_work(*needed: Kernel[..., Any]) -> bool:
    """Return whether calling the kernels ``needed`` waits neither for numba to be loaded nor for its compiler.

    It does not where compiled kernels have been called already and these are loaded or kept.
    """
    return "numba" in sys.modules and os.environ.get("QUINCUNX_PLAIN") != "1" and all(one.has_come() for one in needed)


def warm(kernels: Iterable[Kernel[..., Any]]) -> None:
    """Compile, or load from the cache folder, the named signatures of some kernels; safe from any thread."""
    for one in kernels:
        one.warm()


def cache_folder() -> Path:
    """Return the user's folder for what is compiled here with this quincunx, numba and Python.

    It lies in the system's place for a user's caches, or in the folder ``QUINCUNX_CACHE``. Kernels compiled with
    ``NUMBA_BOUNDSCHECK=1`` have their own.
    """
    import numba
    import platformdirs

    from quincunx import __version__

    root = os.environ.get("QUINCUNX_CACHE") or platformdirs.user_cache_dir("quincunx", appauthor=False)
    python = f"{sys.implementation.name}{sys.version_info.major}.{sys.version_info.minor}"
    checked = "-checked" if numba.config.BOUNDSCHECK else ""
    return Path(root) / "kernels" / f"{__version__}-numba{numba.__version__}-{python}{checked}"
