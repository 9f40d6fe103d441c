"""The garden's file with its history."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from quincunx.store.copies import data_folder, keep_copy, list_copies
from quincunx.store.errors import Conflict, StoreError

if TYPE_CHECKING:
    from quincunx.store.store import MAIN, Saved, Step, Store, TakenIn

__all__ = [
    "MAIN",
    "Conflict",
    "Saved",
    "Step",
    "Store",
    "StoreError",
    "TakenIn",
    "data_folder",
    "keep_copy",
    "list_copies",
]


def __getattr__(name: str) -> Any:
    """Load the store itself when it is asked for: who only wants its folder needs no garden document."""
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from quincunx.store import store

    return getattr(store, name)
