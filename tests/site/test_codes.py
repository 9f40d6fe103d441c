"""Whose published figures hold in which country: against figures as printed, and how each row says it is known."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from pydantic import ValidationError

from quincunx.site.codes import LENT, NEEDS, SAID, WORDS, codes, groups, held
from quincunx.site.country import EUROPE, country_of, region_of
from quincunx.site.country_names import country_code, country_name
from quincunx.site.place import Place
from quincunx.site.towns import towns

PUBLISHED = Path(__file__).parents[1] / "published/codes/figures.csv"
UNITS = {
    "mm": 0.001, "cm": 0.01, "m": 1.0, "in": 0.0254, "ft": 0.3048, "m2": 1.0, "ft2": 0.3048**2, "kPa": 1.0,
    "psf": 0.3048**-2 * 4.4482216152605e-3, "%": 0.01, "risers": 1.0,
}  # fmt: skip
"""The inch, the foot and the pound-force are exact (NIST SP 811, tables B.8 and 8)."""


def printed() -> list[dict[str, str]]:
    return _rows(PUBLISHED)


def _rows(path: Path) -> list[dict[str, str]]:
    lines = path.read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def si(value: str, unit: str) -> float:
    if unit == "slope":
        rise, run = value.split(":")
        return float(rise) / float(run)
    return float(value) * UNITS[unit]


@pytest.mark.parametrize("row", printed(), ids=lambda r: f"{r['country']}-{r['kind']}-{r['figure']}")
def test_figures_are_as_printed(row: dict[str, str]) -> None:
    """Each figure somebody read is that of the page named beside it in tests/published/codes/figures.csv."""
    found = codes()[row["country"], row["kind"]]  # type: ignore[index]
    assert found.figures[row["figure"]] == pytest.approx(si(row["value"], row["unit"]), rel=1e-4)


def test_a_row_that_says_it_was_read_has_its_page_written_down() -> None:
    seen = {(row["country"], row["kind"]): row["how"] for row in printed()}
    for key, row in codes().items():
        if row.known in ("read", "told") and row.figures:
            assert key in seen, key
            assert row.known != "read" or "read" in {r["how"] for r in printed() if (r["country"], r["kind"]) == key}, (
                key
            )


NOT_READ = ("from memory", "common practice")
"""How a source says that a figure of its row stands on no page."""


def test_every_figure_that_was_read_of_has_its_page_or_says_that_it_has_none() -> None:
    seen = {(row["country"], row["kind"], row["figure"]) for row in printed()}
    for (country, kind), row in codes().items():
        bare = [name for name in row.figures if (country, kind, name) not in seen]
        if row.known in ("read", "told") and bare:
            assert any(words in row.source for words in NOT_READ), (country, kind, bare)


def test_a_row_that_was_read_says_which_of_its_figures_were_not() -> None:
    for row in printed():
        found = codes()[row["country"], row["kind"]]  # type: ignore[index]
        assert row["how"] == "read" or found.known != "read" or "second-hand" in found.source, row


def test_words_without_figures_are_those_of_their_page() -> None:
    """What is told where nothing is measured; the pages are those of tests/published/codes/words.csv."""
    for row in _rows(PUBLISHED.with_name("words.csv")):
        found = codes()[row["country"], row["kind"]]  # type: ignore[index]
        assert row["says"] in found.words, row
        assert found.known == row["how"], row
        assert row["where"], row


def test_every_row_gives_what_its_kind_needs_and_names_its_source() -> None:
    for (country, kind), row in codes().items():
        assert row.kind in WORDS, row
        assert row.known in SAID, row
        assert row.source, row
        assert NEEDS.get(kind, frozenset()) <= row.figures.keys(), (country, kind)
        assert country == "EU" or country_name(country) != country, country
    for kind, country in LENT.items():
        assert (country, kind) in codes(), "what is lent must be there"


def test_steps_can_be_held_against_every_row_of_them() -> None:
    for (country, kind), row in codes().items():
        if kind == "steps":
            assert {"riser_m", "going_m"} & row.figures.keys(), country
            assert ("rule_least_m" in row.figures) == ("rule_most_m" in row.figures), country
            assert 0.12 < row.figures.get("riser_m", 0.2) < 0.24, country


def test_handrails_say_from_when_they_are_asked_for() -> None:
    for (country, kind), row in codes().items():
        if kind == "handrail":
            assert ("risers" in row.figures) != ("rise_m" in row.figures), country
            assert row.figures.get("low_m", 0.85) < row.figures.get("high_m", 1.2), country


def test_what_nobody_has_read_is_said_where_the_source_is() -> None:
    assert held("DE", "steps").cited() == "DIN 18065 (second-hand)"
    assert held("CA", "steps").cited().endswith("(from memory)")
    assert held("CH", "footing").cited().endswith("(common practice, no source)")
    assert held("US", "steps").cited() == "IRC R311.7"


def test_what_a_country_has_no_row_for_is_lent_and_says_so() -> None:
    lent = held("BR", "guard")
    assert not lent.own
    assert lent.figures == held("GB", "guard").figures
    assert (
        "figures of the United Kingdom; no code of Brazil for guards at a drop is in our table: ask your building office"
        in lent.cited()
    )
    assert "which country the garden lies in isn't known: ask" in held(None, "guard").cited()
    assert held("BR", "permit-hut").row is None
    assert held("BR", "glass").cited() == "no code of Brazil for glass is in our table: ask your building office"


def test_members_of_the_european_committee_have_what_it_publishes() -> None:
    assert held("FI", "timber").own
    assert held("GB", "timber").own
    assert not held("AU", "timber").own
    assert groups("SE") == ("SE", "EU")
    assert held("TR", "timber").own
    assert "EU" not in groups("US")


def test_a_directive_is_not_told_where_it_does_not_bind() -> None:
    """Directive 2003/2/EC binds the European Union and the European Economic Area, not all who adopt the Eurocodes."""
    assert held("DE", "treated").own
    assert held("NO", "treated").own
    for country in ("CH", "MK", "RS", "TR"):
        assert held(country, "treated").row is None, country


def test_every_country_of_the_towns_list_has_an_answer_of_every_kind() -> None:
    for country in {t.country for t in towns()}:
        assert country_name(country) != country
        for kind in WORDS:
            found = held(country, kind)
            assert found.cited(), (country, kind)
            assert found.own or "our table: ask your building office" in found.cited(), (country, kind)


def test_the_country_is_found_from_where_the_garden_lies() -> None:
    """By time zones of one country (IANA time zone database, zone.tab), against the country GeoNames gives each town.

    Hanoi and the north of Vietnam keep Bangkok's clock there and Kosovo Belgrade's: the town's own country is kept.
    """
    wrong = [
        t.label
        for t in towns()
        if country_of(Place(latitude_deg=t.latitude_deg, longitude_deg=t.longitude_deg)) != t.country
    ]
    assert wrong == ["Haiphong, VN", "Hanoi, VN", "Thanh Hóa, VN", "Vinh, VN", "Pristina, XK"]


def test_the_country_written_down_goes_first_and_money_tells_it_last() -> None:
    berlin = Place(latitude_deg=52.5, longitude_deg=13.4)
    assert country_of(berlin) == "DE"
    assert country_of(berlin.changed(country="AT")) == "AT"
    assert country_of(berlin.changed(country="UK")) == "GB"
    assert country_of(None, "USD") == "US"
    assert country_of(None, "EUR") is None
    assert country_of(Place(latitude_deg=48.0, longitude_deg=0.0), "EUR") is None, "no longitude was given"
    assert country_of(Place(latitude_deg=48.0, longitude_deg=0.0), "GBP") == "GB"
    assert country_of(Place(latitude_deg=0.0, longitude_deg=-30.0)) is None
    assert country_of(berlin.changed(codes="us")) == "US", "an older garden that only said whose rules"


def test_a_zone_tells_its_country_by_all_its_names() -> None:
    def told(zone: str) -> str | None:
        return country_of(Place(latitude_deg=50.0, longitude_deg=0.0, timezone=zone))

    meant = {
        "US/Eastern": "US", "Canada/Pacific": "CA", "Asia/Calcutta": "IN", "Europe/Kiev": "UA", "NZ": "NZ", "Eire": "IE",
        "Australia/ACT": "AU", "Iceland": "IS", "Africa/Timbuktu": "ML", "America/Coral_Harbour": "CA", "Europe/Berlin": "DE",
    }  # fmt: skip
    assert {zone: told(zone) for zone in meant} == meant
    shared = ("CET", "EET", "WET", "MET", "EST", "MST", "HST", "EST5EDT", "PST8PDT", "UTC", "Etc/GMT-3")
    assert [zone for zone in shared if told(zone) is not None] == [], "clocks of several countries"


def test_the_formulas_follow_the_country() -> None:
    assert region_of(None) is None
    assert region_of(None, "EUR") is None
    assert (region_of(None, "USD"), region_of(None, "GBP"), region_of(None, "AUD")) == ("us", "europe", "other")
    assert region_of(Place(latitude_deg=48.0, longitude_deg=0.0)) == "europe", "the clock's continent is known"
    assert region_of(Place(latitude_deg=35.7, longitude_deg=139.7)) == "other"
    assert "US" not in EUROPE


def test_a_country_may_be_written_by_its_name() -> None:
    meant = {
        "Germany": "DE",
        "the Netherlands": "NL",
        "United Kingdom": "GB",
        "England": "GB",
        "Northern Ireland": "GB",
        "uk": "GB",
        "new  zealand": "NZ",
        "Brasil": "BR",
    }
    assert {text: country_code(text) for text in meant} == meant
    assert Place(latitude_deg=0, longitude_deg=0, country="Germany").country == "DE"
    assert Place(latitude_deg=0, longitude_deg=0, country="QQ").country == "QQ", (
        "an older garden opens whatever two letters it has"
    )
    with pytest.raises(
        ValidationError, match="expected its name in English, such as Germany, or two letters such as DE"
    ):
        Place(latitude_deg=0, longitude_deg=0, country="Atlantis")


def test_every_country_of_the_towns_list_is_known_by_its_name() -> None:
    for country in {t.country for t in towns()}:
        assert country_code(country_name(country)) == country
