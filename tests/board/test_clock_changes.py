"""Days of 23 and of 25 hours, in both halves of the world: the hours shown are those the clock on the wall shows."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from quincunx.board.clock import as_shown, moment, today
from quincunx.board.desk import Desk
from quincunx.site import Place
from quincunx.site.sun import sun_day, sun_position
from quincunx.store import Store
from tests.board.garden import small
from tests.board.windows import Window, board

LONDON = Place(name="London", latitude_deg=51.5, longitude_deg=-0.1, timezone="Europe/London")
HOBART = Place(name="Hobart", latitude_deg=-42.9, longitude_deg=147.3, timezone="Australia/Hobart")
CHANGES = [
    (LONDON, date(2028, 3, 26), 23), (LONDON, date(2027, 10, 31), 25), (HOBART, date(2027, 10, 3), 23), (HOBART, date(2028, 4, 2), 25),
]  # fmt: skip
"""The last Sundays of March and October (Summer Time Act 1972 as amended 2002) and the first of October and April (Tasmania,
Daylight Saving Act 2007), and how long each is [h]."""


@pytest.fixture(params=CHANGES, ids=lambda p: f"{p[0].name} {p[1]}")
def change(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[tuple[Place, date, int, Window]]:
    place, day, long_h = request.param
    path = tmp_path / "green.quincunx"
    Store.create(path, small(site={"place": place.model_dump(mode="json", exclude_none=True)})).close()
    client, keys = board(Desk(path))
    with client:
        client.get(f"/?token={keys.token}")
        yield place, day, long_h, Window(client)


def test_the_sun_on_foot_goes_by_the_clock_on_the_wall(change: tuple[Place, date, int, Window]) -> None:
    place, day, long_h, window = change
    zone = ZoneInfo(str(place.timezone))
    start, end = (datetime(d.year, d.month, d.day, tzinfo=zone).astimezone(UTC) for d in (day, day + timedelta(days=1)))
    assert end - start == timedelta(hours=long_h)
    rows = window.get("/api/foot/ground", day=day.isoformat())["sun"]
    found = sun_day(place.latitude_deg, place.longitude_deg, day)
    assert found.sunrise is not None
    assert found.sunset is not None

    def hour(when: datetime) -> float:
        local = when.astimezone(zone)
        return local.hour + local.minute / 60

    assert max(rows, key=lambda r: r[3])[0] == pytest.approx(hour(found.noon), abs=0.25)
    assert rows[0][0] == pytest.approx(hour(found.sunrise), abs=0.35)
    assert rows[-1][0] == pytest.approx(hour(found.sunset), abs=0.35)
    hours = [r[0] for r in rows]
    assert hours == sorted(set(hours))


def test_sun_and_shadow_go_by_that_clock(change: tuple[Place, date, int, Window]) -> None:
    place, day, _, window = change
    said = window.get("/api/question", name="sun", look="shadows", hour=12, fine=1, year=day.year, month=day.month)[
        "words"
    ]
    noon = datetime(day.year, day.month, 15, 12, tzinfo=ZoneInfo(str(place.timezone)))
    up = float(sun_position(place.latitude_deg, place.longitude_deg, [noon.astimezone(UTC)]).elevation_deg[0])
    assert f"12:00 on 15 {noon:%B}" in said
    assert f"stands {up:.0f}° up" in said


@pytest.mark.parametrize("fold", [0, 1])
def test_the_hour_that_comes_twice_is_two_moments(fold: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("QUINCUNX_TODAY")
    true = datetime(2027, 10, 31, 1, 30, tzinfo=ZoneInfo("Europe/London"), fold=fold)

    class Clock(datetime):
        @classmethod
        def now(cls, tz: ZoneInfo | None = None) -> datetime:  # type: ignore[override]
            return true.astimezone(UTC).astimezone(tz)

    monkeypatch.setattr("quincunx.board.clock.datetime", Clock)
    assert moment(LONDON).astimezone(UTC) == true.astimezone(UTC)
    assert today(LONDON) == date(2027, 10, 31)


def test_a_copy_is_called_by_the_gardens_clock() -> None:
    assert as_shown("2027-10-31T00:30:00Z", LONDON) == as_shown("2027-10-31T01:30:00Z", LONDON) == "2027-10-31 01:30"
    assert as_shown("2027-10-02T15:59:00Z", HOBART) == "2027-10-03 01:59"
    assert as_shown("2027-10-02T16:00:00Z", HOBART) == "2027-10-03 03:00", "the hour from two to three is left out"
    assert as_shown("2027-10-31T00:30:00Z", None) == "2027-10-31 00:30"
