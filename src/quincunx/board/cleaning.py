"""Photos that an older program kept with what the camera wrote into them: cleaned once the garden is next saved."""

from __future__ import annotations

import sqlite3
from threading import Lock, Thread

from quincunx.board.events import Hub
from quincunx.review.photo import clean
from quincunx.store import Store, StoreError

_ONE = Lock()


def clean_beside(store: Store, hub: Hub) -> Thread | None:
    """Clean the photos of a file beside all else, if there are any, and say so in every window."""
    if not store.unclean() or not _ONE.acquire(blocking=False):
        return None
    thread = Thread(target=_clean, args=(store, hub), name="cleaning", daemon=True)
    thread.start()
    return thread


def _clean(store: Store, hub: Hub) -> None:
    """Clean them one by one; a file that is closed or written meanwhile is gone on with when it is next saved."""
    try:
        said = clean(store)
    except (StoreError, sqlite3.Error):
        return
    finally:
        _ONE.release()
    if said:
        hub.tell("notice", words=" ".join(said))
