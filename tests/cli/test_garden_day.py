"""The month a command goes by is the garden's, not that of the machine or of universal time."""

from __future__ import annotations

from datetime import UTC, datetime, tzinfo

import pytest

from quincunx.cli._files import now, this_month
from quincunx.garden import garden_from

LATE = datetime(2028, 5, 31, 13, 0, tzinfo=UTC)
"""One in the afternoon of 31 May in universal time."""


class Stopped(datetime):
    """A clock that shows this moment only."""

    @classmethod
    def now(cls, tz: tzinfo | None = None) -> datetime:  # type: ignore[override]
        return LATE.astimezone(tz)


@pytest.mark.parametrize(
    ("latitude", "longitude", "month"),
    # IANA time zones: Pacific/Auckland is 12 hours ahead in winter, Europe/Berlin 2 in summer.
    [(-41.29, 174.78, "2028-06"), (52.5, 13.4, "2028-05")],
)
def test_on_the_last_of_may_it_is_june_already_in_a_garden_far_east(
    latitude: float, longitude: float, month: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("QUINCUNX_TODAY")
    monkeypatch.setattr("quincunx.board.clock.datetime", Stopped)
    place = {"name": "Somewhere", "latitude_deg": latitude, "longitude_deg": longitude}
    garden = garden_from({"format": "quincunx/1", "boundary": [[0, 0], [9, 0], [9, 9]], "site": {"place": place}})
    assert this_month(garden) == month
    assert now(garden) == 12 * 2028 + int(month[-2:]) - 1
