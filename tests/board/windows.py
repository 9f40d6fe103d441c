"""A browser window as the tests play it: the same requests with the same headers, no page."""

from __future__ import annotations

import json
import time
from collections.abc import Callable
from typing import Any

from starlette.testclient import TestClient

from quincunx.board.app import make_app
from quincunx.board.desk import Desk
from quincunx.board.guard import Keys

PORT = 8737
ORIGIN = f"http://127.0.0.1:{PORT}"
HEADERS = {"origin": ORIGIN, "x-quincunx": "1", "content-type": "application/json", "sec-fetch-site": "same-origin"}


class Answer(dict[str, Any]):
    """An answer's JSON with its status."""

    status: int = 0


class Window:
    """One window with its cookie."""

    def __init__(self, client: TestClient) -> None:
        """Speak through ``client``."""
        self.client = client

    def get(self, path: str, status: int = 200, **query: Any) -> Any:
        """Ask for something; the answer's JSON."""
        reply = self.client.get(path, params=query)
        assert reply.status_code == status, reply.text
        return reply.json() if "json" in reply.headers["content-type"] else reply

    def post(self, path: str, body: Any = None, status: int = 200, **headers: str) -> Any:
        """Send something; the answer's JSON."""
        content = body if isinstance(body, (str, bytes)) else json.dumps({} if body is None else body)
        reply = self.client.post(path, content=content, headers=HEADERS | headers)
        assert reply.status_code == status, reply.text
        return reply.json()

    def edit(self, *ops: dict[str, Any], base: int | None = None, label: str = "Change", status: int = 200) -> Any:
        """Make an edit on a revision (the one there is now if none is given)."""
        at = self.get("/api/garden")["revision"] if base is None else base
        return self.post("/api/edit", {"base": at, "edit": {"label": label, "ops": list(ops)}}, status)

    def settled(self) -> dict[str, Any]:
        """Wait until everything is judged; the table."""
        table: dict[str, Any] = {}

        def done() -> bool:
            nonlocal table
            table = self.get("/api/table")
            return not table["stale"]

        until(done)
        return table


def until(done: Callable[[], bool], patience_s: float = 60.0) -> None:
    """Wait until ``done``; fail after a long time, so that a fault doesn't hang the tests."""
    end = time.monotonic() + patience_s
    while not done():
        assert time.monotonic() < end, "it never came"
        time.sleep(0.02)


def change(part: str, thing: str | None, **fields: Any) -> dict[str, Any]:
    """One change of some fields."""
    return {"do": "change", "part": part, "id": thing, "value": fields}


def put(part: str, value: dict[str, Any], index: int | None = None) -> dict[str, Any]:
    """Put a thing in."""
    return {"do": "put", "part": part, "id": value["id"], "value": value, "index": index}


def board(desk: Desk) -> tuple[TestClient, Keys]:
    """A server for a desk, behind its guard, and its keys."""
    keys = Keys(PORT)
    return TestClient(make_app(desk, keys), base_url=ORIGIN), keys
