"""Of which year a page is due, by hemisphere; what lies there is never written over; what a stranger's file says is not trusted."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from quincunx.garden import Garden
from quincunx.sheets.year_page import YearPages, done_in, due_year, put_new, read_pages, written, year_ended
from tests.board.garden import small

YEARS = range(2027, 2030)


def garden(day: str = "2027-11-12", *, south: bool = False) -> Garden:
    done = [{"id": "d1", "day": day, "what": "done", "about": "plant-hedge"}]
    place = {"name": "Somewhere", "latitude_deg": -43.5 if south else 52.0, "longitude_deg": 172.0 if south else 0.0}
    return small(journal=done, site={"place": place})


@pytest.mark.parametrize(
    ("on", "north", "south"),
    [
        ("2027-10-31", None, None),
        ("2027-11-01", 2027, None),
        ("2028-01-31", 2027, None),
        ("2028-02-01", None, None),
        ("2028-04-30", None, None),
        ("2028-05-01", None, 2028),
        ("2028-07-31", None, 2028),
        ("2028-08-01", None, None),
    ],
)
def test_a_year_is_over_when_its_season_is(on: str, north: int | None, south: int | None) -> None:
    assert year_ended(garden().site.place, date.fromisoformat(on)) == north
    assert year_ended(garden(south=True).site.place, date.fromisoformat(on)) == south
    assert year_ended(None, date.fromisoformat(on)) == north


def test_a_page_is_due_of_a_year_of_the_plan_in_which_something_was_done() -> None:
    on = date(2027, 11, 20)
    assert due_year(garden(), YEARS, on) == 2027
    assert due_year(garden("2026-11-12"), YEARS, on) is None
    assert due_year(garden("2026-11-12"), YEARS, date(2026, 11, 20)) is None, "no year of the plan"
    assert due_year(garden(south=True), YEARS, date(2028, 5, 2)) == 2028, (
        "November 2027 is of the season that ended in 2028"
    )
    assert [e.day for e in done_in(garden("2027-04-30", south=True), 2027)] == ["2027-04-30"]
    assert list(done_in(garden("2027-05-01", south=True), 2027)) == []
    photo = {"id": "p", "at": [1, 1], "look_at": [5, 5], "photos": [{"picture": "x", "day": "2027-06-20"}]}
    assert due_year(small(pegs=[photo]), YEARS, on) == 2027
    place = {"name": "Somewhere", "latitude_deg": -43.5, "longitude_deg": 172.0}
    assert due_year(small(pegs=[photo], site={"place": place}), YEARS, date(2028, 5, 2)) == 2028
    assert due_year(small(pegs=[photo], site={"place": place}), YEARS, date(2027, 6, 25)) is None, (
        "of the season to come"
    )


def test_what_lies_there_is_never_written_over(tmp_path: Path) -> None:
    file = tmp_path / "green.quincunx"
    by_hand = tmp_path / "green-2027.html"
    by_hand.write_text("mine")
    assert put_new(file, 2027, b"one").name == "green-2027-2.html"
    assert put_new(file, 2027, b"two").name == "green-2027-3.html"
    assert by_hand.read_text() == "mine"
    assert (tmp_path / "green-2027-2.html").read_bytes() == b"one"


def test_what_lies_beside_is_read_again_and_no_other_file_is_named() -> None:
    pages = YearPages(unwanted=True).with_made(2027, "green-2027.html")
    assert read_pages(written(pages)) == pages
    for name in ("../green-2027.html", "/etc/passwd", "green.html", "a\\b-2027.html"):
        assert read_pages(written(YearPages({"2027": name}))).made == {}
    assert read_pages("[1]") == read_pages("{") == read_pages(None) == YearPages()
