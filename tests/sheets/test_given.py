"""The page to give away: all in one file, nothing fetched, no money, the same years and musts as the garden has."""

from __future__ import annotations

import base64
import hashlib
import re
from datetime import date
from html.parser import HTMLParser
from xml.etree import ElementTree as ET

import pytest

from quincunx.demos import demo_garden
from quincunx.garden import timeline
from quincunx.review import Review
from quincunx.review.judging import Judged
from quincunx.review.read import words_for
from quincunx.shapes import State
from quincunx.shapes.verdicts import Unit, Verdict
from quincunx.sheets import Set, SheetError, prepare
from quincunx.sheets.given import Given, given_page
from tests.sheets.outdoors import SHED, job, plot

MUSTS: tuple[tuple[str, str, Unit, str], ...] = (
    ("reach", "Two people get to <b>the seat</b> & back.", "none", "fh"),
    ("hide", "The terrace is hidden.", "share", "nf"),
    ("sum", "Never more than 2,400 a year.", "money", "hh"),
)
STATES = {"h": State.HOLDS, "f": State.FAILS, "n": State.NOT_DUE}


class Seen(HTMLParser):
    """What a browser would find: tags with their attributes, and words."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.words: list[str] = []
        self._in = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        self._in = tag

    def handle_data(self, data: str) -> None:
        if self._in not in ("script", "style"):
            self.words.append(data)


@pytest.fixture(scope="module")
def of() -> Set:
    hedge = {"kind": "hedge", "id": "green", "name": "Green", "line": [[4, 12], [16, 12]]}
    works = [
        job("den", id="shed"),
        job("green", id="plant", start="2028-02", costs=[{"words": "Whips", "sum": 123456}]),
    ]
    garden = plot(SHED, hedge, means={"first_year": 2027, "years": 2}, jobs=works)
    line = timeline(garden)
    musts = tuple(
        Judged(i, "x", text, None, False, tuple(Verdict(2027 + k, STATES[c], "so", unit=unit) for k, c in enumerate(states)))
        for i, text, unit, states in MUSTS
    )  # fmt: skip
    return Set(garden, line, Review(musts, ()), words_for(garden, line), prepare(garden, judged=Review((), ())).paper)


@pytest.fixture(scope="module")
def made(of: Set) -> Given:
    return given_page(of, date(2027, 1, 2), 2)


@pytest.fixture(scope="module")
def page(made: Given) -> bytes:
    return made.html


def seen(page: bytes) -> Seen:
    found = Seen()
    found.feed(page.decode())
    return found


def test_it_asks_nobody_for_anything_and_its_policy_lets_its_own_script_run(page: bytes) -> None:
    text, found = page.decode(), seen(page)
    addresses = [v for _, attrs in found.tags for k, v in attrs.items() if k in ("src", "href") and v]
    assert addresses
    assert all(a.startswith("data:") for a in addresses)
    script = text.partition("<script>")[2].partition("</script>")[0]
    digest = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
    assert f"script-src 'sha256-{digest}'" in text
    assert "default-src 'none'" in text
    assert not re.search(
        r"url\(|@import|fetch\(|XMLHttp", script + text.partition("<style>")[2].partition("</style>")[0]
    )


def test_each_year_has_its_plan_what_is_made_and_what_it_does_from_then_on(page: bytes) -> None:
    text = page.decode()
    years = re.findall(r'<article class="year">.*?</article>', text)
    assert len(years) == 2
    assert "Shed" in years[0]
    assert "Plant" in years[1]
    assert "Two people get to &lt;b&gt;the seat&lt;/b&gt; &amp; back." in years[1]
    assert "Two people" not in years[0]
    for year in years:
        svg = base64.b64decode(re.search(r"base64,([^\"]+)", year)[1])  # type: ignore[index]
        assert ET.fromstring(svg).tag.endswith("svg")
    assert years[0] != years[1]


def test_it_says_what_is_still_open_and_keeps_money_at_home(page: bytes) -> None:
    words = " ".join(seen(page).words)
    assert "Of 2 things it must do, it does 1 in 2028" in words
    assert "Still open in 2028" in words
    assert "2,400" not in words
    assert "1,234" not in words
    assert "As it was planned on 2 January 2027" in words
    assert "That is for the local code and for licensed people." in words


def test_its_pictures_are_cards_and_say_what_they_show(of: Set, made: Given, page: bytes) -> None:
    alts = [a["alt"] or "" for tag, a in seen(page).tags if tag == "img"]
    assert sum("without it" in one for one in alts) == 2
    assert not any(
        "without it" in (a["alt"] or "") for tag, a in seen(given_page(of, None, 0).html).tags if tag == "img"
    )
    assert made.words.startswith("2 years, no photos, ")
    assert made.words.endswith(" in one file.")


def test_a_garden_without_musts_or_jobs_has_a_page_too() -> None:
    bare = plot(SHED)
    made = given_page(prepare(bare, judged=Review((), ()))).html
    assert b"Nothing new; what is there grows." in made
    assert b"What the garden must do" not in made
    ropewalk = demo_garden("ropewalk")
    assert b"52.1" not in given_page(prepare(ropewalk, judged=Review((), ())), None, 0).html, "its place stays at home"


def test_the_page_of_a_year_begins_with_what_was_done_in_it_and_opens_there() -> None:
    journal = [
        {"id": "d1", "day": "2027-05-01", "what": "done", "about": "shed", "text": "cost 900"},
        {"id": "d2", "day": "2028-05-01", "what": "done", "about": "late"},
        {"id": "d3", "day": "2027-06-01", "what": "done"},
        {"id": "d4", "day": "2027-04-01", "what": "done", "about": "again"},
    ]
    jobs = [job("den", id="shed"), job(id="late", start="2028-03"), job(id="again", name="Shed")]
    of = prepare(plot(SHED, jobs=jobs, journal=journal), judged=Review((), ()))
    of_2027 = given_page(of, None, 0, year=2027).html.decode()
    begins = of_2027.partition("What was done in 2027</h2>")[2].partition("</section>")[0]
    assert begins == "<ul><li>Shed</li><li>Shed</li></ul>"
    assert 'step="1" value="0"' in of_2027
    assert "cost 900" not in of_2027
    assert "Nothing was finished" in given_page(of, date(2030, 1, 2), 0, year=2029).html.decode()
    assert "Nothing is finished yet" in given_page(of, date(2029, 11, 2), 0, year=2029).html.decode()
    usual = given_page(of, None, 0).html.decode()
    assert "What was done in" not in usual
    assert 'step="1" value="2"' in usual
    with pytest.raises(SheetError, match="2031 is no year of the plan: it runs from 2027 to 2029"):
        given_page(of, None, 0, year=2031)
