"""What the board's tests share: a folder of their own, a garden in it, a window that looks at it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from quincunx.board.desk import Desk
from quincunx.store import Store
from tests.board.garden import small
from tests.board.windows import Window, board


@pytest.fixture(autouse=True)
def _own_folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("QUINCUNX_DATA", str(tmp_path / "data"))
    monkeypatch.setenv("QUINCUNX_GARDENS", str(tmp_path / "gardens"))


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "small.quincunx"
    Store.create(path, small()).close()
    return path


@pytest.fixture
def window(file: Path) -> Iterator[Window]:
    desk = Desk(file)
    client, keys = board(desk)
    with client:
        client.get(f"/?token={keys.token}")
        yield Window(client)


@pytest.fixture
def start() -> Iterator[Window]:
    """A window on the start page: no garden is open."""
    desk = Desk()
    client, keys = board(desk)
    with client:
        client.get(f"/?token={keys.token}")
        yield Window(client)
