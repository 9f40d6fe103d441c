"""Whose codes are named: those of the country the garden lies in; without a place told by what is paid with."""

from __future__ import annotations

from typing import Any

import pytest

from quincunx.garden import Garden, garden_from, timeline
from quincunx.garden.costing import rules_of
from quincunx.garden.safety import LOCATE, by_whom, country, ground_of, in_place, loads_of, looked_up, whose_codes
from quincunx.garden.starting import Answers, begin
from quincunx.sheets._care import locates

SYDNEY = {"latitude_deg": -33.87, "longitude_deg": 151.21}


@pytest.mark.parametrize(
    ("currency", "place", "region"),
    [("USD", None, "us"), ("AUD", None, "other"), ("EUR", None, "other"), ("USD", SYDNEY, "other")],
)
def test_the_place_tells_and_without_one_the_currency(currency, place, region):
    one = garden_from(
        {
            "format": "quincunx/1", "boundary": [[0, 0], [20, 0], [20, 20], [0, 20]], "writing": {"currency": currency},
            "site": {} if place is None else {"place": place},
        }
    )  # fmt: skip
    assert loads_of(one).region == region


def plot(place: dict[str, Any] | None, currency: str = "EUR", **more: Any) -> Garden:
    return garden_from(
        {
            "format": "quincunx/1", "boundary": [[0, 0], [20, 0], [20, 20], [0, 20]], "writing": {"currency": currency},
            "site": {} if place is None else {"place": place}, **more,
        }
    )  # fmt: skip


BERLIN = {"latitude_deg": 52.5, "longitude_deg": 13.4}


def test_the_country_is_where_the_garden_lies_and_may_be_written_otherwise():
    assert country(plot(BERLIN)) == "DE"
    assert country(plot(BERLIN | {"country": "AT"})) == "AT"
    assert country(plot(BERLIN | {"codes": "us"})) == "US", "an older garden opens and keeps whose rules it named"
    assert country(plot(None)) is None
    assert country(plot(None, "GBP")) == "GB"


def test_whose_codes_are_named_is_said():
    assert "those of Germany, as far as our table has them" in whose_codes(plot(BERLIN))
    assert whose_codes(plot({"latitude_deg": -23.5, "longitude_deg": -46.6})).startswith(
        "No code of Brazil is in our table, so"
    )
    assert "Which country the garden lies in isn't known" in whose_codes(plot(None))
    assert "those of the United States" in whose_codes(plot(None, "USD"))


@pytest.mark.parametrize(
    ("currency", "place", "least"), [("EUR", BERLIN, 0.8), ("GBP", None, 0.45), ("USD", None, 0.3048)]
)
def test_footings_go_as_deep_as_the_countrys_code_asks_at_least(currency, place, least):
    """DIN 1054: frost-free, 80 cm and more; NHBC Standards 4.3: 450 mm; IRC R403.1.4: 12 in."""
    shallow = plot(place, currency).changed(
        site={**({"place": place} if place else {}), "climate": {"frost_depth_m": 0.1}}
    )
    assert ground_of(shallow).footing_depth_m == pytest.approx(least)
    assert rules_of(shallow).ground == ground_of(shallow), "what is counted is what is looked up"


@pytest.mark.parametrize(
    ("place", "words"),
    [
        ({"latitude_deg": 42.4, "longitude_deg": -72.6}, "call 811, free"),
        (SYDNEY, "call 1100"),
        ({"latitude_deg": 52.4, "longitude_deg": 4.9}, "KLIC"),
        ({"latitude_deg": -23.5, "longitude_deg": -46.6}, "in many countries a free call"),
    ],
)
def test_lines_are_located_as_it_is_done_in_the_country(place, words):
    one = plot(place)
    assert words in in_place(LOCATE, one)
    assert locates(in_place(LOCATE, one))
    assert "of the United States, from memory" in by_whom(one) or place["longitude_deg"] == -72.6


@pytest.mark.parametrize(
    ("place", "words", "source"),
    [
        ({"latitude_deg": -36.85, "longitude_deg": 174.76}, "new too, still holds arsenic", "Altaner"),
        ({"latitude_deg": 42.4, "longitude_deg": -72.6}, "before 2004", "US EPA"),
        (BERLIN, "before mid-2004", "Directive 2003/2/EC"),
        ({"latitude_deg": -23.5, "longitude_deg": -46.6}, "ask what yours holds", "common practice, no source"),
        (None, "ask what yours holds", "common practice, no source"),
    ],
)
def test_treated_timber_is_told_as_it_is_sold_in_the_country(place, words, source):
    """US EPA: no homes' timber treated with CCA from 2004; Altaner 2022: in New Zealand it still is the common one."""
    bed = {
        "kind": "raised-bed",
        "id": "bed",
        "outline": [[2, 2], [4, 2], [4, 3], [2, 3]],
        "made": "timber",
        "treated": True,
        "height": 0.4,
    }
    one = plot(place, features=[bed | {"there_from": "2028-03"}])
    through = timeline(one)
    works = through.as_made(one.features[0]).work
    (found,) = (s for s in looked_up(one, works, through) if s.what.startswith("treated"))
    assert words in found.because
    assert source in found.source


def test_a_garden_begun_by_a_town_keeps_its_country():
    begun = begin(
        Answers.model_validate(
            {
                "town": "Hanoi",
                "country": "VN",
                "latitude_deg": 21.0,
                "longitude_deg": 105.8,
                "outline": [[0, 0], [9, 0], [9, 9]],
            }
        )
    )
    assert begun.site.place is not None
    assert begun.site.place.country == "VN"
    assert country(begun) == "VN"
