"""A board left open goes on with the real day: no edit is needed, nothing said of the old month comes back."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest

from quincunx.board.desk import Desk
from quincunx.board.outdoors_pack import FORMAT
from quincunx.board.session import Session
from quincunx.store import Store
from tests.board.garden import small
from tests.board.windows import Window, board, change, put, until

BEGUN = [{"id": "e1", "day": "2028-03-20", "what": "begun", "about": "lay-path"}]
"""Laying the path was to take March and April; what is left goes on from the month it is."""


class Told(list[tuple[str, dict[str, Any]]]):
    """What the windows were told."""

    def of(self, event: str) -> list[dict[str, Any]]:
        return [data for name, data in self if name == event]


@pytest.fixture
def opened(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[tuple[Window, Session, Told]]:
    monkeypatch.setenv("QUINCUNX_TODAY", "2028-06-30")
    path, told = tmp_path / "green.quincunx", Told()
    Store.create(path, small(journal=BEGUN)).close()
    desk = Desk(path)
    monkeypatch.setattr(desk.hub, "tell", lambda event, **data: told.append((event, data)))
    client, keys = board(desk)
    with client:
        client.get(f"/?token={keys.token}")
        yield Window(client), desk.session, told


def of_job(window: Window) -> list[int]:
    """In which months of 2028 the board shows what is left of the path."""
    months = window.get("/api/months", year=2028)["months"]
    return [m["month"] for m in months if m["month"] > 3 and any(j["id"] == "lay-path" for j in m["jobs"])]


def test_what_goes_by_todays_month_follows_at_the_next_request(opened, monkeypatch):
    window, session, _ = opened
    window.settled()
    before = session.standing()
    assert window.get("/api/garden")["today"] == "2028-06-30"
    assert of_job(window)[0] == 6
    june = window.get("/api/years")
    monkeypatch.setenv("QUINCUNX_TODAY", "2028-07-01")
    assert window.get("/api/garden")["today"] == "2028-07-01"
    assert of_job(window)[0] == 7
    july = window.get("/api/years")
    assert july["revision"] == june["revision"]
    assert july["hours"] != june["hours"]
    after = session.standing()
    assert (after.revision, after.month) == (before.revision, before.month + 1)
    assert window.settled()["revision"] == before.revision


def test_every_window_is_told_of_a_new_day_without_an_edit(opened, monkeypatch):
    window, session, told = opened
    window.settled()
    revision = session.store.revision
    monkeypatch.setenv("QUINCUNX_TODAY", "2028-07-01")
    until(lambda: told.of("revision")[-1:] == [{"revision": revision, "head": "main", "day": "2028-07-01"}])
    until(lambda: session.findings(session.standing()) is not None)
    monkeypatch.setenv("QUINCUNX_TODAY", "2028-07-02")
    until(lambda: told.of("revision")[-1]["day"] == "2028-07-02")
    assert [d.get("day") for d in told.of("revision")].count("2028-07-02") == 1


def test_the_table_and_what_is_carried_out_are_made_anew(opened, monkeypatch):
    window, session, _ = opened
    window.settled()
    before = session.standing()
    june = window.get("/api/outdoors/pack")
    assert june["today"] == "2028-06-30"
    assert window.get("/api/outdoors/together")["today"] == "2028-06-30"
    monkeypatch.setenv("QUINCUNX_TODAY", "2029-02-01")
    assert window.get("/api/outdoors/together")["today"] == "2029-02-01"
    february = window.get("/api/outdoors/pack")
    assert february["today"] == "2029-02-01"
    assert february["revision"] == june["revision"]
    after = session.standing()
    until(lambda: session.findings(after) is not None)
    assert session.findings(before) is not session.findings(after)


def stands_from(window: Window) -> tuple[str, list[str]]:
    """The first month of 2028 or 2029 in whose last days the sheet shows the path built, and the month the table names."""
    for year in (2028, 2029):
        for month in range(1, 13):
            shown = {f["id"]: f for f in window.get("/api/scene", year=year, month=month)["features"]}
            if shown["path"]["stands"]:
                named = [
                    m["month"] for y in window.get("/api/table")["years"] for m in y["built"] if m["job"] == "lay-path"
                ]
                return f"{year}-{month:02d}", named
    return "", []


def test_what_a_begun_job_makes_moves_on_with_the_months_and_done_settles_it(opened, monkeypatch):
    """Sixteen hours at four a month, none worked: in June they take until September, in July until October."""
    window, _, _ = opened
    assert stands_from(window) == ("2028-10", ["2028-09"])
    monkeypatch.setenv("QUINCUNX_TODAY", "2028-07-01")
    assert stands_from(window) == ("2028-11", ["2028-10"])
    done = {"id": "e2", "day": "2028-07-01", "what": "done", "about": "lay-path"}
    window.edit(put("journal", done))
    assert stands_from(window) == ("2028-08", ["2028-07"])
    window.post("/api/undo")
    assert stands_from(window) == ("2028-11", ["2028-10"])


def test_a_drag_and_an_edit_made_over_the_turn_of_a_month_are_kept(opened, monkeypatch):
    window, session, _ = opened
    window.settled()
    base = window.get("/api/garden")["revision"]
    seat = {"kind": "seat", "id": "seat-2", "at": [4, 4], "facing_deg": 90, "there_from": "start"}
    window.edit(put("features", seat), base=base)
    monkeypatch.setenv("QUINCUNX_TODAY", "2028-07-01")
    session.standing()
    # Another window drew a seat meanwhile on the older state: both stay, the second under the next free name.
    saved = window.edit(put("features", {**seat, "at": [3, 5]}), base=base)
    assert saved["ids"] == ["seat-3"]
    assert window.edit(change("features", "seat", at=[2, 3]), base=base)["merged"]


def test_another_alternative_is_read_in_the_month_it_is(opened, monkeypatch):
    window, session, _ = opened
    window.post("/api/heads", {"name": "other"})
    garden, revision = session.store.garden_of("main")
    june = session.state_of("main", revision, garden)
    monkeypatch.setenv("QUINCUNX_TODAY", "2028-07-01")
    assert session.state_of("main", revision, garden).month == june.month + 1


def test_a_phone_with_a_wrong_clock_is_told_and_dated_by_the_board(opened):
    window, session, _ = opened
    note = {
        "id": "n" + "1" * 23, "made": "2001-01-01T00:10:00Z", "day": "2001-01-01", "what": "ticked", "about": "lay-path",
        "points": ["path-1"], "by": "Ana", "phone": "ana",
    }  # fmt: skip
    mark = window.get("/api/outdoors/pack")["mark"]
    body = {"format": FORMAT, "mark": mark, "garden": "x", "notes": [note]}
    sent = (datetime.combine(date(2001, 1, 1), datetime.now(UTC).time(), UTC)).isoformat()
    told = window.post("/api/outdoors/notes", {**body, "sent": sent})
    assert told["taken"] == [note["id"]]
    assert "27 years behind" in told["clock"]
    (entry,) = [e for e in session.store.garden().journal if e.what == "ticked"]
    assert entry.day in ("2028-06-29", "2028-06-30")
    assert (entry.phone_day, entry.by) == ("2001-01-01", "Ana")
    assert "clock" not in window.post("/api/outdoors/notes", {**body, "sent": "yesterday"})
