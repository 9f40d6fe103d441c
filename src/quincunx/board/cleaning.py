"""Photos that an older program kept with what the camera wrote into them: cleaned once the garden is next saved."""

from __future__ import annotations

import sqlite3
from threading import Lock, Thread
from typing import TYPE_CHECKING

from quincunx.review.photo import bare_or_none, cleaned_words
from quincunx.store import StoreError

if TYPE_CHECKING:
    from quincunx.board.session import Session

_ONE = Lock()


def clean_beside(session: Session) -> Thread | None:
    """Clean the photos of a session's file beside all else, if there are any, and say so in every window."""
    if not session.store.unclean() or not _ONE.acquire(blocking=False):
        return None
    thread = Thread(target=_clean, args=(session,), name="cleaning", daemon=True)
    thread.start()
    return thread


def _clean(session: Session) -> None:
    """Clean them one by one; a file that is closed or written meanwhile is gone on with when it is next saved."""
    try:
        count = session.store.clean(bare_or_none)
    except (StoreError, sqlite3.Error):
        return
    finally:
        _ONE.release()
    if count:
        session.hub.tell("notice", words=cleaned_words(count))
