"""The sheets of sun: four maps with a key, the seats' pictures, the shadows of a day."""

from __future__ import annotations

import re
from datetime import date
from zoneinfo import ZoneInfo

import pytest

from quincunx.garden import timeline
from quincunx.light import Sky
from quincunx.review import Review
from quincunx.review.read import words_for
from quincunx.sheets import pages_of, pdf
from quincunx.sheets._set import Set
from quincunx.sheets.book import Paper
from quincunx.sheets.shade_at_seats import HOURS
from quincunx.sheets.sunlight import HOURS as BANDS, beds_by_year, sun_up_words
from tests.board.garden import small

SEAT = {"id": "chair", "name": "Chair", "at": [8, 4], "height": 1.2}


def set_of(**changes) -> Set:
    garden = small(**changes)
    through = timeline(garden)
    return Set(garden, through, Review((), ()), words_for(garden, through), Paper("A4", style=garden.style))


@pytest.fixture(scope="module")
def of() -> Set:
    spots = [{"id": "door", "name": "Back door", "at": [10.5, 5]}, {"id": "bench", "name": "Bench", "at": [2, 2]}, SEAT]
    return set_of(spots=spots)


def blocks(page, kind: str) -> list[dict]:
    """All blocks of a kind on a page, those in rows too."""
    flat = list(page.blocks)
    for row in [b for b in page.blocks if b["t"] == "row"]:
        flat += [x for cell in row["cells"] for x in cell]
    return [b for b in flat if b["t"] == kind]


def test_four_months_lie_on_one_page_with_their_key(of):
    (page,) = pages_of(of, ("sun",))
    said = [b["s"] for b in blocks(page, "text")]
    assert {"March, the 15th", "June, the 15th", "September, the 15th", "December, the 15th"} <= set(said)
    assert {b.words for b in BANDS} <= {b["s"] for b in blocks(page, "small")}
    maps = [b for b in blocks(page, "drawing") if b["w"] > 20]
    assert len(maps) == 4
    assert all(re.search(r'fill="#[0-9a-f]{6}"', m["svg"]) for m in maps)
    assert page.foot == "" or "scale" not in page.foot
    assert any("a far skyline hide the sun too" in b["s"] for b in blocks(page, "small"))


def test_shades_carry_a_pattern_too(of):
    """A print without colour reads the same: all bands but the sunniest have a pattern."""
    (page,) = pages_of(of, ("sun",))
    key = [b for b in blocks(page, "drawing") if b["w"] <= 20]
    assert len(key) == len(BANDS)
    assert sum("<pattern" in b["svg"] for b in key) == len(BANDS) - 1


def test_the_seats_have_their_pictures_and_the_day_its_shadows(of):
    (page,) = pages_of(of, ("shade",))
    heads = [b["s"] for b in blocks(page, "heading")]
    assert heads[0] == "Chair"
    assert "Bench" not in heads, "a spot on the ground is no seat"
    assert heads[-1].startswith("Shadows on 15 ")
    strip = [b["s"] for b in blocks(page, "small")]
    assert [s for s in strip if s.endswith(":00")] == [f"{h}:00" for h in HOURS]
    assert any("kept off between 12:00 and 16:00" in b["s"] for b in blocks(page, "text"))


def test_seats_that_find_no_room_are_named(monkeypatch):
    monkeypatch.setattr("quincunx.sheets.shade_at_seats.MOST_SEATS", 1)
    stool = {"id": "stool", "name": "Stool", "at": [3, 3], "height": 1.2}
    (page,) = pages_of(set_of(spots=[SEAT, stool], intents=[]), ("shade",))
    assert "Stool" not in [b["s"] for b in blocks(page, "heading")]
    assert any(b["s"].startswith("Not drawn here for want of room: Stool.") for b in blocks(page, "small"))


def test_without_a_seat_it_says_what_it_needs():
    (page,) = pages_of(set_of(), ("shade",))
    assert "No seat is marked yet" in page.blocks[0]["s"]


def test_the_pages_are_bound(of):
    assert pdf(of, ("sun", "shade")).startswith(b"%PDF")


def test_beds_are_told_year_by_year_with_their_class():
    bed = {
        "kind": "bed",
        "id": "herbs",
        "name": "Herbs",
        "outline": [[7.5, 1], [11, 1], [11, 4], [7.5, 4]],
        "there_from": "2028-03",
    }
    of = set_of(features=[bed], jobs=[], intents=[])
    (row,) = beds_by_year(of.timeline)
    assert row.owner == "herbs"
    assert [y for y, h in row.hours if h is None] == [2027]
    assert all(8 < h < 16 for _, h in row.hours if h is not None)
    (page,) = pages_of(of, ("sun",))
    (table,) = blocks(page, "table")
    assert table["head"][0] == "bed"
    assert table["rows"][0][1] == "–"


@pytest.mark.parametrize(
    ("latitude", "longitude", "day", "zone", "said"),
    [
        # Tromsoe's midnight sun and polar night (69.65 N): civil almanacs give no sunrise from late November to mid January.
        (69.65, 18.96, date(2027, 6, 15), "Europe/Oslo", "up all day and night: it does not set"),
        (69.65, 18.96, date(2027, 12, 15), "Europe/Oslo", "never up: it does not rise"),
        (-77.85, 166.67, date(2027, 6, 15), "Antarctica/McMurdo", "never up: it does not rise"),
    ],
)
def test_polar_day_and_night_are_said(latitude, longitude, day, zone, said):
    assert sun_up_words(Sky(latitude, longitude, zone=ZoneInfo(zone)), day) == said


def test_sunrise_is_told_by_the_clock_of_the_place():
    """Greenwich, 21 June: 3:43 and 20:21 GMT in almanacs (from memory; published tables are held to in ``tests/site``), so
    4:43 and 21:21 by summer time; a minute of rounding allowed."""
    said = sun_up_words(Sky(51.477, 0.0, zone=ZoneInfo("Europe/London")), date(2027, 6, 21))
    found = re.fullmatch(r"up from (\d+:\d\d) to (\d+:\d\d), (\d+) h (\d\d)", said)
    assert found
    rise, fall, hours, minutes = found.groups()
    assert _minutes(rise) == pytest.approx(4 * 60 + 43, abs=1)
    assert _minutes(fall) == pytest.approx(21 * 60 + 21, abs=1)
    assert 60 * int(hours) + int(minutes) == pytest.approx(_minutes(fall) - _minutes(rise), abs=1)


def _minutes(clock: str) -> int:
    hour, minute = clock.split(":")
    return 60 * int(hour) + int(minute)


def test_each_map_says_when_the_sun_is_up(of):
    (page,) = pages_of(of, ("sun",))
    assert sum(b["s"].startswith("The sun is up from") for b in blocks(page, "small")) == 4
