"""A printed table of sunrises that no other test uses: New Year's morning from the far south to the north."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from quincunx.site.sun import sun_day

# L. Strous, Astronomy Answers, "The Position of the Sun: Tables", table 1 (for 2002), row 01-01: sunrise by mean solar time,
# hours and minutes (aa.quae.nl, read in a stored copy).
NEW_YEAR = {
    -64: "1:43", -62: "2:18", -60: "2:43", -50: "3:55", -44: "4:21", -30: "5:02", -10: "5:43", 0: "6:00", 10: "6:17",
    30: "6:56", 42: "7:28", 46: "7:42", 50: "7:59",
}  # fmt: skip


def hours(text: str) -> float:
    h, m = text.split(":")
    return int(h) + int(m) / 60


@pytest.mark.parametrize("latitude", NEW_YEAR)
def test_new_years_sunrise_from_the_far_south_to_the_north(latitude: int) -> None:
    rise = sun_day(float(latitude), 0.0, date(2002, 1, 1)).sunrise
    assert rise is not None
    since = (rise - datetime(2002, 1, 1, tzinfo=UTC)).total_seconds() / 3600
    # Printed in whole minutes; toward the polar circle a tenth of a degree of refraction is minutes.
    assert since == pytest.approx(hours(NEW_YEAR[latitude]), abs=(4 if latitude < -55 else 1.6) / 60)
