"""A garden in feet says no metric figure on any sheet, and one in metres none in feet; its decimal mark is its own."""

from __future__ import annotations

import io
import json
import re
import zipfile
from collections.abc import Iterator
from functools import cache
from html import unescape
from typing import Any

import pytest

from quincunx.demos import demo_text
from quincunx.garden import garden_from
from quincunx.shapes import TextFigure
from quincunx.sheets import Page, pages_of
from quincunx.sheets.asked_book import asked_book
from quincunx.sheets.bill_book import bill_book
from quincunx.sheets.svg import Look, draw
from quincunx.units import Style, own_marks, own_units, section_words
from tests.sheets.outdoors import job, plot, set_for, texts

FEET = {"units": "feet", "decimal_mark": ".", "currency": "USD", "paper": "Letter"}
METRIC = {"units": "metric", "decimal_mark": ",", "currency": "EUR", "paper": "A4"}
METRIC_FIGURE = re.compile(
    r"(?<![\w.,×])\d[\d.,]*\s?(?:mm|cm|m|km|kg|l|litres?|met(?:re|er)s?|m²|m2|m³|m3|l/m²|l/h|°C|ha|kN|kN/m²|m/s)(?![\w'²³/])"
)
FOOT_FIGURE = re.compile(
    r"(?<![\w.,×])\d[\d.,]*\s?(?:ft|feet|foot|lb|lbs|oz|gal|yd|yd³|ft²|ft2|yd3|°F|psf|mph|pounds|acres?|gallons?|inch(?:es)?)(?![\w])"
    r"|\d in (?:deep|high|wide|square|thick|at least)|\d['\"](?!\w)"
)
POINT = re.compile(r"(?<![\w.,])\d+\.\d{1,2}(?![\w.])")


def names_in(garden: dict) -> set[str]:
    """Return what the person and the shops call things: nobody translates a trade name or a note of the person's own."""
    said = {p["words"] for p in garden["prices"]} | {p["unit"] for p in garden["prices"]}
    said |= {c["words"] for j in garden["jobs"] for c in j.get("costs", ())}
    return {n for n in said | {e.get("text", "") for e in garden.get("journal", ())} if re.search(r"\d", n)}


def drawn(value: Any) -> Iterator[str]:
    """Yield the words in the drawings of pages or blocks."""
    if isinstance(value, Page):
        yield from drawn(value.blocks)
    elif isinstance(value, dict):
        yield from (unescape(t) for t in re.findall(r">([^<>]+)</text>", value.get("svg", "")))
        yield from (t for k, v in value.items() if k != "svg" for t in drawn(v))
    elif isinstance(value, (list, tuple)):
        yield from (t for v in value for t in drawn(v))


@cache
def sweep(name: str, system: str) -> tuple[list[tuple[str, str]], frozenset[str], Style]:
    garden = json.loads(demo_text(name))
    garden["writing"] = FEET if system == "feet" else METRIC
    of = set_for(garden_from(garden), noticed=True)
    said = [(page.title, text) for page in pages_of(of) for text in (*texts(page), *drawn(page))]
    return said, frozenset(names_in(garden)), of.garden.style


def without(text: str, names: frozenset[str]) -> str:
    for name in sorted((n for n in names if len(n) > 3), key=len, reverse=True):
        text = text.replace(name, "…")
    return text


FOUND_SO = (
    # What was read on a tape is kept as it was read.
    r"[A-Z]–[A-Z] reads .*",
    # Clauses and tables of published rules are numbered with points.
    r"\b(?:EN|ASCE|IBC|ICC|IRC|AWC|NDS)\b .*",
)
SOLD_BY = re.compile(r"^\d[\d.,]* (?:ft|ft²|yd³|bags?|t)$|\d[\d.,]* (?:ft|ft²|yd³)(?=,|\.|$)")
"""How much to buy is said as the shop sells it, whose price list says so."""


def faults(name: str, system: str, wrong: re.Pattern[str]) -> list[str]:
    said, names, _ = sweep(name, system)
    out = []
    for title, text in said:
        left = without(text, names)
        for kept in FOUND_SO:
            left = re.sub(kept, "…", left)
        left = SOLD_BY.sub("…", left)
        if wrong.search(left):
            out.append(f"{title}: {left}")
    return out


def test_the_sweep_sees_figures_where_there_are_some() -> None:
    assert len(faults("ropewalk", "feet", FOOT_FIGURE)) > 500
    assert len(faults("kettle-hill", "metric", METRIC_FIGURE)) > 500


def test_a_metric_garden_turned_to_feet_says_nothing_in_metres() -> None:
    assert faults("ropewalk", "feet", METRIC_FIGURE) == []


def test_a_garden_in_feet_turned_to_metres_says_nothing_in_feet() -> None:
    assert faults("kettle-hill", "metric", FOOT_FIGURE) == []


def test_a_garden_turned_to_a_decimal_comma_has_no_decimal_point() -> None:
    assert faults("kettle-hill", "metric", POINT) == []


@pytest.mark.parametrize(
    ("words", "feet"),
    [
        ("under 1.61 kN/m² and its own weight", "under 34 psf and its own weight"),  # 33.6
        ("carries about 6.1 kN of the 34 kN", "carries about 1,370 lb of the 7,640 lb"),
        ("20 drippers, 40 l/h in all", "20 drippers, 11 gal/h in all"),
        ("wind of 2 m/s at 2 m", "wind of 4.5 mph at 6' 7\""),
        ("more than 5 °C, for each 10 kg", "more than 41 °F, for each 22 lb"),
        ("rail 45 × 95 mm (1.77 × 3.74 in) over 2.31 m (7.6 ft)", 'rail 1 3/4" × 3 3/4" over 7\' 7"'),
        ("on soil taken as sand, 2000 psf", "on soil taken as sand, 2000 psf"),
    ],
)
def test_loads_flows_and_warmth_are_said_in_feet_gardens_own_way(words: str, feet: str) -> None:
    assert own_units(words, Style("feet")) == feet


@pytest.mark.parametrize(
    ("words", "comma"),
    [
        ("5.3 times its height", "5,3 times its height"),
        ("1.5 in 100, and 1,500 tried", "1,5 in 100, and 1.500 tried"),
        ("9.179,61 € still to be given", "9.179,61 € still to be given"),  # written by the person's marks already
        ("3,740 m from 2034", "3,740 m from 2034"),
        ("2.315 m long", "2,315 m long"),
        ("IRC R403.1.4 and 2000 psf", "IRC R403.1.4 and 96 kN/m²"),
        ("0.6 D + 0.6 W", "0,6 D + 0,6 W"),
    ],
)
def test_a_decimal_comma_is_put_into_the_engines_sentences_and_nowhere_else(words: str, comma: str) -> None:
    assert own_units(words, Style("metric", ",")) == comma


def test_sections_are_told_to_an_eighth_of_an_inch() -> None:
    assert section_words((0.045, 0.12), Style("feet")) == '1 3/4" × 4 3/4"'
    assert section_words((0.038, 0.184), Style("feet")) == '1 1/2" × 7 1/4"'
    assert section_words((0.045, 0.12), Style()) == "45 × 120 mm"
    assert own_marks("2.5", Style()) == "2.5"


def test_a_length_said_in_a_label_is_written_on_the_drawing_as_the_person_writes() -> None:
    words = TextFigure((0.0, 0.0), "Kept clear to", "held", length_m=3.2)
    assert "Kept clear to 10&#x27; 6&quot;" in draw([words], (-1, -1, 1, 1), Look(100, Style("feet")))
    assert words.words(Style("metric", ",")) == "Kept clear to 3,20 m"


def book_words(data: bytes) -> list[str]:
    with zipfile.ZipFile(io.BytesIO(data)) as book:
        whole = book.read("xl/sharedStrings.xml").decode()
    return [unescape(re.sub(r"<[^>]+>", "", item)) for item in re.findall(r"<si>(.*?)</si>", whole, re.DOTALL)]


def test_the_workbooks_of_a_garden_in_feet_reckon_in_feet_and_pounds() -> None:
    fence = {"kind": "fence", "id": "mesh", "line": [[0, 5], [12.192, 5]], "sort": "boards", "height": 1.5}
    kit = {"kind": "greenhouse", "id": "glass", "at": [6, 10], "width": 2, "depth": 3, "how": "kit"}
    of = set_for(plot(fence, kit, units="feet", jobs=[job("mesh", "glass", large=True)]))
    found = [*book_words(bill_book(of)), *book_words(asked_book(of))]
    units = {"m", "m2", "m3", "kg", "10 kg"}
    assert not units & set(found)
    assert not [w for w in found if METRIC_FIGURE.search(w) or "[m]" in w or "[kg]" in w]
    assert {"ft", "yd3", "Length [ft]", "Weight [lb]"} <= set(found)
    metric = [*book_words(bill_book(set_for(plot(fence, kit, jobs=[job("mesh", "glass")]))))]
    assert {"m", "m3", "Length [m]", "Weight [kg]"} <= set(metric)
