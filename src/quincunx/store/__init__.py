"""The garden's file with its history."""

from quincunx.store.copies import data_folder, keep_copy, list_copies
from quincunx.store.errors import Conflict, StoreError
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
