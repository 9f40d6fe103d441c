"""Reading a garden for a command: a ``.quincunx`` file or its JSON."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click

from quincunx.cli._say import say

if TYPE_CHECKING:
    from quincunx.garden import Garden
    from quincunx.store import Store

FILE = click.Path(path_type=Path)
ASKED, SAID = "quincunx.alternative", "quincunx.alternative.said"
"""Where a command keeps which alternative was asked for, and that it was said."""


def this_month(garden: Garden) -> str:
    """Return the present month where the garden is, as ``2028-06``; ``QUINCUNX_TODAY`` says another day."""
    from quincunx.board.clock import today

    return f"{today(garden.site.place):%Y-%m}"


def now(garden: Garden) -> int:
    """Return the present month where the garden is, from January of year 0."""
    year, month = map(int, this_month(garden).split("-"))
    return 12 * year + month - 1


def load(path: Path) -> Garden:
    """Return the garden in a ``.quincunx`` file, or in a JSON file (told apart by content), as it is read this month.

    Raises StoreError or GardenError with clear sentences.
    """
    from quincunx.years.on_day import on_day

    garden = _load(path)
    return on_day(garden, now(garden))


def _load(path: Path) -> Garden:
    if path.is_file() and looks_like_json(path):
        if (asked := _asked()) is not None:
            raise click.UsageError(f"{path.name} holds one plan alone: there is no alternative {asked!r} in it.")
        return load_json(path)
    with opened(path, keep=False) as store:
        return store.garden()


def opened(path: Path, *, keep: bool = True) -> Store:
    """Return a garden's file at the alternative asked for, else at the one the drawing board last showed.

    Board and command line so speak of the same plan.  Where there are several, which one it is goes to stderr, once.
    """
    from quincunx.store import Store

    store = Store.open(path, keep=keep)
    try:
        _choose(store)
    except BaseException:
        store.close()
        raise
    return store


def alternative_option() -> click.Option:
    """Return the option that chooses the alternative a command works on, for every command that reads a plan."""
    return click.Option(
        ["--alternative"], metavar="NAME", expose_value=False, callback=_keep_asked,
        help="Work on this alternative; else on the one the board last showed.",
    )  # fmt: skip


def _keep_asked(ctx: click.Context, _: click.Parameter, value: str | None) -> None:
    ctx.meta[ASKED] = value


def _asked() -> str | None:
    ctx = click.get_current_context(silent=True)
    return None if ctx is None else ctx.meta.get(ASKED)


def _choose(store: Store) -> None:
    asked, ctx = _asked(), click.get_current_context(silent=True)
    if asked is None:
        store.show_last()
    else:
        store.switch(asked)
    if ctx is not None and not ctx.meta.get(SAID) and len(heads := store.heads()) > 1:
        ctx.meta[SAID] = True
        others = ", ".join(name for name in heads if name != store.head)
        how = "asked for" if asked is not None else "as the board opens it"
        say(f"Alternative: {store.head} ({how}). Others (--alternative NAME): {others}.", err=True)


@contextmanager
def keeping(path: Path) -> Iterator[Store | None]:
    """Yield where answers about the garden in ``path`` are kept: its file; None for JSON, which keeps none."""
    if not path.is_file() or looks_like_json(path):
        yield None
        return
    with opened(path, keep=False) as store:
        yield store


@contextmanager
def saving(path: Path) -> Iterator[Store]:
    """Yield the garden's file to be changed; photos in it that an older program kept as they came are then cleaned."""
    with opened(path) as store:
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
