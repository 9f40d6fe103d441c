"""Reading a garden for a command: a ``.quincunx`` file or its JSON."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from quincunx.cli._say import say

if TYPE_CHECKING:
    from quincunx.garden import Garden
    from quincunx.store import Store

FILE = click.Path(path_type=Path)


def this_month() -> str:
    """Return the present month, as ``2028-06``; ``QUINCUNX_TODAY`` says another day."""
    said = os.environ.get("QUINCUNX_TODAY")
    if said:
        return said[:7]
    return f"{datetime.now().astimezone():%Y-%m}"


def now() -> int:
    """Return the present month, from January of year 0."""
    year, month = map(int, this_month().split("-"))
    return 12 * year + month - 1


def load(path: Path) -> Garden:
    """Return the garden in a ``.quincunx`` file, or in a JSON file (told apart by content), as it is read this month.

    Raises StoreError or GardenError with clear sentences.
    """
    from quincunx.years.on_day import on_day

    return on_day(_load(path), now())


def _load(path: Path) -> Garden:
    if path.is_file() and looks_like_json(path):
        return load_json(path)
    from quincunx.store import Store

    with Store.open(path, keep=False) as store:
        return store.garden()


@contextmanager
def keeping(path: Path) -> Iterator[Store | None]:
    """Yield where answers about the garden in ``path`` are kept: its file; None for JSON, which keeps none."""
    if not path.is_file() or looks_like_json(path):
        yield None
        return
    from quincunx.store import Store

    with Store.open(path, keep=False) as store:
        yield store


@contextmanager
def saving(path: Path) -> Iterator[Store]:
    """Yield the garden's file to be changed; photos in it that an older program kept as they came are then cleaned."""
    from quincunx.store import Store

    with Store.open(path) as store:
        yield store
        for words in clean(store):
            say(words, err=True)


def clean(store: Store) -> list[str]:
    """Take out of the photos of a file what cameras wrote into them; return what is to be said of it.

    What can't be written just now, as another program writes, is gone on with when the file is next saved.
    """
    import sqlite3

    from quincunx.store import StoreError

    try:
        if not store.unclean():
            return []
        from quincunx.review.photo import clean as clean_photos

        return clean_photos(store)
    except (StoreError, sqlite3.Error):
        return []


def load_json(path: Path) -> Garden:
    """Return the garden in a JSON file."""
    from quincunx.garden import read_garden
    from quincunx.garden.reading import refuse_size

    refuse_size(path.stat().st_size)
    return read_garden(path.read_bytes())


def looks_like_json(path: Path) -> bool:
    """Return whether a file begins as JSON does.

    A database is told by its own program, so that no lock on it is given up by reading it.
    """
    from quincunx.store.connect import is_database

    if path.suffix.lower() != ".json" and is_database(path):
        return False
    with path.open("rb") as file:
        start = file.read(64).lstrip(b"\xef\xbb\xbf \t\r\n")
    return start[:1] in (b"{", b"[") or path.suffix.lower() == ".json"
