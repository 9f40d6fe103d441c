"""The page of a year that has ended, over the wire: made once beside the file, shown apart from the board, put off for good."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from quincunx.board import year_page
from quincunx.board.desk import Desk
from quincunx.sheets.year_page import put_new
from quincunx.store import Store
from tests.board.garden import small
from tests.board.windows import Window, board

DONE = [{"id": "d1", "day": "2027-11-12", "what": "done", "about": "plant-hedge"}]


@pytest.fixture
def november(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Window]:
    monkeypatch.setenv("QUINCUNX_TODAY", "2027-11-20")
    path = tmp_path / "green.quincunx"
    Store.create(path, small(journal=DONE)).close()
    client, keys = board(Desk(path))
    with client:
        client.get(f"/?token={keys.token}")
        yield Window(client)


def test_it_is_made_once_and_shown_apart(november: Window, tmp_path: Path) -> None:
    assert november.get("/api/year-page") == {"year": 2027, "made": "", "due": True, "unwanted": False}
    made = november.post("/api/year-page", {})
    assert made == {"year": 2027, "made": "green-2027.html", "due": False, "unwanted": False}
    written = (tmp_path / "green-2027.html").read_bytes()
    assert november.post("/api/year-page", {}) == made
    assert [p.name for p in tmp_path.glob("*.html")] == ["green-2027.html"]
    reply = november.client.get("/api/year-page/page")
    assert reply.content == written
    assert reply.headers["content-security-policy"].startswith("sandbox ")
    assert "allow-same-origin" not in reply.headers["content-security-policy"]
    (tmp_path / "green-2027.html").unlink()
    assert november.client.get("/api/year-page/page").status_code == 404
    assert november.get("/api/year-page")["due"] is False


def test_nobody_who_put_it_off_is_given_one(november: Window, tmp_path: Path) -> None:
    assert november.post("/api/year-page/wanted", {"wanted": False})["unwanted"]
    assert november.post("/api/year-page", {})["made"] == ""
    assert list(tmp_path.glob("*.html")) == []
    assert november.post("/api/year-page/wanted", {"wanted": True})["due"]
    november.post("/api/year-page/wanted", {"wanted": "yes"}, 422)


def test_one_put_off_while_it_was_being_made_is_not_forgotten(
    november: Window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:

    def meanwhile(*given: Any) -> Path:
        november.post("/api/year-page/wanted", {"wanted": False})
        return put_new(*given)

    monkeypatch.setattr(year_page, "put_new", meanwhile)
    assert november.post("/api/year-page", {})["made"] == "green-2027.html"
    assert november.get("/api/year-page")["unwanted"]
