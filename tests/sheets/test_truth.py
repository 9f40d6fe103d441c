"""Photos on the page to give away: the year they stand with, what the plan shows beside them, nothing in them but the picture."""

from __future__ import annotations

import base64
import io
import re
from datetime import date
from typing import Any

import pytest
from PIL import Image

from quincunx.garden import Garden, timeline
from quincunx.review import Review
from quincunx.review.latest import Latest
from quincunx.sheets import Set, SheetError, _photos, _truth, prepare
from quincunx.sheets._truth import album, counts, pairs
from quincunx.sheets.given import given_page
from tests.photos import OWNER, a_picture
from tests.sheets.outdoors import SHED, job, plot

SCREEN = {"kind": "fence", "id": "screen", "name": "Screen", "line": [[6, 10], [14, 10]], "height": 1.8}
PEG = {"id": "walk", "name": "By the walk", "at": [10, 3], "look_at": [10, 9]}
PHOTOS = {
    "before": "2026-06-20", "first": "2027-03-15", "second": "2027-06-20", "later": "2028-06-18", "after": "2031-06-01",
}  # fmt: skip
KEPT = {
    **{name: a_picture((1500, 1000), told=True) for name in PHOTOS},
    "note": a_picture(kind="PNG"),
    "bad": b"no picture",
}


PLACE = {"place": {"name": "Somewhere", "latitude_deg": 52.0, "longitude_deg": 0.0}}


def garden(*photos: str, **more: Any) -> Garden:
    peg = {**PEG, "photos": [{"picture": p, "day": PHOTOS.get(p, "2028-07-01")} for p in photos]}
    return plot(SCREEN, SHED, pegs=[peg], jobs=[job("screen"), job("den", id="shed", start="2028-02")], **more)


def set_of(one: Garden) -> Set:
    kinds = {"note": "image/png"}
    pictures = {name: (kinds.get(name, "image/jpeg"), data) for name, data in KEPT.items()}
    return prepare(one, through=timeline(one), judged=Review((), ()), pictures=pictures.get)


@pytest.fixture(scope="module")
def of() -> Set:
    noted = {"id": "n1", "day": "2028-06-30", "what": "note", "about": "shed", "text": "paid 900", "picture": "note"}
    return set_of(garden(*PHOTOS, journal=[noted, {**noted, "id": "n2", "about": None}]))


def test_each_peg_has_its_last_photo_of_a_year_and_those_outside_the_plan_stand_at_its_ends(of: Set) -> None:
    found = album(of, "pegs")
    assert [(year, photo.picture) for year, photo, _ in found.photos] == [
        (2027, "before"), (2027, "second"), (2028, "later"), (2029, "after"),
    ]  # fmt: skip
    assert (found.left, found.lost) == (0, 0)


def test_photos_hold_the_picture_alone_and_are_made_smaller(of: Set) -> None:
    for _, photo, address in album(of, "all").photos:
        data = base64.b64decode(address.removeprefix("data:image/jpeg;base64,"))
        image = Image.open(io.BytesIO(data))
        assert max(image.size) <= 1000
        assert not image.getexif(), photo.picture
        assert OWNER.encode() not in data


def test_beside_a_photo_stands_what_is_new_since_a_year_without_it_and_with_it(of: Set) -> None:
    found = {year: list(pairs(of, album(of, "pegs").of_year(year))) for year in (2027, 2028)}
    before, second = found[2027]
    assert [c.words for c in before.cells] == ["The plan, 20 June 2026", "As it was, 20 June 2026"]
    assert [c.words for c in second.cells] == [
        "The plan without “Work”", "The plan with it, 20 June 2027", "As it was, 20 June 2027",
    ]  # fmt: skip
    assert second.heading == "From the peg “By the walk”, looking north"
    assert second.cells[0].address != second.cells[1].address
    assert second.cells[2].alt == "Photo from the peg “By the walk”, taken on 20 June 2027."
    words = [c.words for c in found[2028][0].cells]
    assert words == ["The plan, 18 June 2028", "As it was, 18 June 2028"], "the shed is new, but not seen from there"


def test_a_photo_of_a_job_stands_beside_the_view_with_it_and_what_was_written_stays_at_home(of: Set) -> None:
    (_, noted) = pairs(of, album(of, "all").of_year(2028))
    assert noted.heading == "Shed"
    plan, taken = noted.cells
    assert re.fullmatch(r"The plan, 30 June 2028, from .*, looking [a-z-]+", plan.words)
    assert taken.alt == "Photo of Shed, taken on 30 June 2028."
    page = given_page(of, None, 0, "all").html.decode()
    assert "900" not in re.sub(r'base64,[^"]*', "", page)


def test_they_stand_on_the_page_in_their_year_or_are_left_out(of: Set) -> None:
    made = given_page(of, date(2028, 1, 2), 0)
    years = re.findall(r'<article class="year">.*?</article>', made.html.decode())
    assert [year.count("data:image/jpeg") for year in years] == [2, 1, 1]
    assert all("As planned and as it was" in year for year in years)
    assert made.words.startswith("3 years, 4 photos (")
    assert re.findall(r'(?:src|href)="(?!data:)', made.html.decode()) == []
    none = given_page(of, None, 0, "none")
    assert b"data:image/jpeg" not in none.html
    assert b"As planned and as it was" not in none.html
    assert len(made.html) - len(none.html) > made.album.size
    assert [(c["id"], c["photos"]) for c in counts(of)] == [("pegs", 4), ("all", 5), ("none", 0)]
    assert counts(of)[2]["takes"] == "1 kB"
    with pytest.raises(SheetError, match="There are: pegs, all, none"):
        given_page(of, None, 0, "some")


def test_what_can_not_be_read_or_finds_no_room_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    bad = given_page(set_of(garden("bad")), None, 0)
    assert "no photos" in bad.words
    assert "1 photo could not be read from the garden’s own file." in bad.words
    lost = given_page(prepare(garden("first"), judged=Review((), ())), None, 0)
    assert "1 photo could not be read" in lost.words, "a garden's JSON has no photos with it"
    monkeypatch.setattr(_truth, "MOST", 1)
    few = given_page(set_of(garden("second", "later")), None, 0)
    assert few.words.endswith("The oldest photo is left out.")
    assert [photo.picture for _, photo, _ in few.album.photos] == ["later"]


def test_each_photo_is_made_small_once_for_all_choices(of: Set, monkeypatch: pytest.MonkeyPatch) -> None:
    made: list[int] = []

    def counted(data: bytes, longest_px: int) -> tuple[str, bytes]:
        made.append(len(data))
        return "image/jpeg", data[:longest_px]

    monkeypatch.setattr(_photos, "smaller", counted)
    monkeypatch.setattr(_photos, "_MADE", Latest(9))
    told = counts(of)
    counts(of)
    assert [c["photos"] for c in told] == [4, 5, 0]
    assert len(made) == 2, "two of the five differ"


def test_the_sun_stands_as_at_the_photos_hour() -> None:
    def plan(hour: float | None) -> tuple[str, str]:
        told = {"picture": "second", "day": PHOTOS["second"], **({} if hour is None else {"hour": hour})}
        pegs = [{**PEG, "photos": [told]}]
        of = set_of(plot(SCREEN, SHED, pegs=pegs, jobs=[job("screen")], site=PLACE))
        (pair,) = pairs(of, album(of, "pegs").of_year(2027))
        return pair.cells[1].address, pair.cells[2].words

    early, late = plan(9.0), plan(18.5)
    assert (early[1], late[1]) == ("As it was, 20 June 2027, 09:00", "As it was, 20 June 2027, 18:30")
    assert len({early[0], late[0], plan(None)[0]}) == 3
    assert plan(None)[1] == "As it was, 20 June 2027"


def test_photos_of_places_stand_with_their_day_or_on_a_page_of_their_own() -> None:
    pins = [
        {"id": "spring", "name": "Wet place", "at": [3, 3], "text": "owed 900", "pictures": ["first", "second"]},
        {"id": "other", "at": [5, 5], "pictures": ["note", "first"]},
    ]
    journal = [
        {"id": "n1", "day": "2028-03-02", "what": "note", "text": "owed 900", "picture": "second"},
        {"id": "n2", "day": "2028-03-02", "what": "note", "about": "den", "picture": "note"},
    ]
    of = set_of(garden(pins=pins, journal=journal))
    assert album(of, "pegs").photos == ()
    found = album(of, "all")
    assert [(year, photo.picture) for year, photo, _ in found.photos] == [
        (2028, "note"),
        (2028, "second"),
        (0, "first"),
    ]
    page = given_page(of, None, 0, "all").html.decode()
    assert page.count("data:image/jpeg") == 3
    own = page.partition('<h2 id="places">Photos of places</h2>')[2].partition("</section></section>")[0]
    assert "The place “Wet place” and a place on the plan" in own
    assert own.count("data:image/jpeg") == 1
    assert "Photo of the place “Wet place”, taken on 2 March 2028." in page
    assert "900" not in re.sub(r'base64,[^"]*', "", page)


def test_in_the_south_a_photo_stands_with_the_year_whose_season_it_shows() -> None:
    """A season ends with April there: a peg's last photo of each is taken, and stands with that year."""
    south = {"place": {**PLACE["place"], "latitude_deg": -43.5}}
    found = album(set_of(garden(*PHOTOS, site=south)), "pegs")
    assert [(year, photo.picture) for year, photo, _ in found.photos] == [
        (2027, "first"), (2028, "second"), (2029, "later"), (2029, "after"),
    ]  # fmt: skip
