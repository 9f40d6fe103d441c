"""Photos of an older program are cleaned beside all else, once the garden is saved on the board."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from quincunx.board import session as sessions
from quincunx.board.cleaning import clean_beside
from quincunx.board.events import Hub
from quincunx.board.session import Session
from quincunx.garden import put
from quincunx.store import Store
from tests.photos import OWNER, a_picture
from tests.store.test_clean import older


class Told(Hub):
    """A hub that remembers what it was told."""

    def __init__(self) -> None:
        super().__init__()
        self.told: list[tuple[str, dict[str, Any]]] = []

    def tell(self, event: str, **data: Any) -> None:
        self.told.append((event, data))


def test_a_saved_edit_cleans_them_once_and_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("QUINCUNX_DATA", str(tmp_path / "data"))
    path = older(tmp_path / "g.quincunx", june=a_picture(told=True), july=a_picture(told=True))
    threads = []
    monkeypatch.setattr(sessions, "clean_beside", lambda *one: threads.append(clean_beside(*one)))
    hub = Told()
    session = Session(Store.open(path, keep=False), hub)
    try:
        for name in ("one", "two"):
            session.commit(put("spots", {"id": name, "at": [1, 1]}), None)
            if threads[-1] is not None:
                threads[-1].join(30)
        notices = [data["words"] for event, data in hub.told if event == "notice"]
        assert [t is None for t in threads] == [False, True]
        assert len(notices) == 1
        assert "2 photos that were kept by an older program" in notices[0]
        assert session.store.revision == 2, "it is no edit"
    finally:
        session.close()
    assert OWNER.encode() not in path.read_bytes()
    left_alone(session)


def left_alone(session: Session) -> None:
    """A file that is closed meanwhile is no fault."""
    from quincunx.board.cleaning import _ONE, _clean

    _ONE.acquire()
    _clean(session.store, session.hub)
    assert _ONE.acquire(blocking=False)
    _ONE.release()
