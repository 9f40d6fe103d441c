"""Where numba keeps what it compiled: by content, in one folder; imported only once numba is.

numba's own cache goes by the path and date of the source file, so that each clone and each install compiles anew, and
it does not see that a called kernel in another file has changed. This one goes by :meth:`Kernel.key`.
"""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from typing import Any

from numba.core.caching import CompileResultCacheImpl, FunctionCache, _CacheLocator
from numba.core.runtime import rtsys


def keep(dispatcher: Any, folder: Path, key: str) -> None:
    """Let ``dispatcher`` load from, and save to, ``folder`` under ``key``."""
    locator = type("Locator", (_Locator,), {"folder": folder, "key": key})
    impl = type("Impl", (CompileResultCacheImpl,), {"_locator_classes": [locator]})
    cache = type("Cache", (_Cache,), {"_impl_class": impl})
    dispatcher._cache = cache(dispatcher.py_func)  # noqa: SLF001 (numba offers no other way in)


class _Locator(_CacheLocator):  # type: ignore[misc]
    folder: Path
    key: str
    _py_file: str

    @classmethod
    def from_function(cls, py_func: Any, py_file: str) -> _Locator:  # noqa: ARG003 (numba's signature)
        made = cls()
        made._py_file = py_file  # numba's warnings name it
        return made

    def get_cache_path(self) -> str:
        return str(self.folder)

    def get_source_stamp(self) -> str:
        return self.key

    def get_disambiguator(self) -> str:
        return self.key[:20]


class _Cache(FunctionCache):  # type: ignore[misc]
    """A cache that may fail: a folder that can't be written or a damaged file only costs compiling again.

    numba first brings in all that a compiler may need, SciPy's linear algebra with it, which takes longer than most
    kernels run.  What was compiled before needs only the memory system to be linked; the compiler brings in the rest
    itself where nothing is found.
    """

    def load_overload(self, sig: Any, target_context: Any) -> Any:
        try:
            rtsys.initialize(target_context)
            return self._load_overload(sig, target_context)
        except Exception:  # noqa: BLE001 (unpickling a damaged file raises anything)
            return None

    def save_overload(self, sig: Any, data: Any) -> None:
        try:
            super().save_overload(sig, data)
        except OSError:
            return
        except Exception:  # noqa: BLE001 (a damaged index, which is read before it is written)
            with suppress(OSError):
                self.flush()
                super().save_overload(sig, data)
