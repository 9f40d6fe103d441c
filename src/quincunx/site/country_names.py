"""What countries are called, and which one a person means who writes its name or its two letters."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

ALSO = {"UK": "GB", "EL": "GR"}
"""Codes people write that ISO 3166 doesn't have for them."""
_NAMES = {
    "AE": "the United Arab Emirates", "BA": "Bosnia and Herzegovina", "CD": "the Democratic Republic of the Congo",
    "CF": "the Central African Republic", "CG": "the Congo", "CZ": "Czechia", "DO": "the Dominican Republic",
    "GB": "the United Kingdom", "KP": "North Korea", "KR": "South Korea", "MM": "Myanmar", "NL": "the Netherlands",
    "PH": "the Philippines", "US": "the United States", "XK": "Kosovo", "EU": "Europe",
}  # fmt: skip
_MEANT = {
    "england": "GB", "scotland": "GB", "wales": "GB", "northern ireland": "GB", "great britain": "GB", "britain": "GB", "united kingdom": "GB",
    "usa": "US", "america": "US", "united states of america": "US", "deutschland": "DE", "österreich": "AT", "schweiz": "CH",
    "suisse": "CH", "holland": "NL", "nederland": "NL", "españa": "ES", "italia": "IT", "sverige": "SE", "norge": "NO",
    "danmark": "DK", "suomi": "FI", "polska": "PL", "brasil": "BR", "éire": "IE", "aotearoa": "NZ", "ivory coast": "CI",
}  # fmt: skip
"""Names people write that the table of ISO 3166 doesn't have, folded to small letters."""


def country_name(code: str) -> str:
    """Return what a country is called in the middle of a sentence: ``DE`` is Germany, ``NL`` the Netherlands."""
    return _NAMES.get(code) or _iso().get(code) or code


def country_code(text: str) -> str | None:
    """Return the ISO 3166 code that is meant by a country's name or two letters; None if nothing is known by it."""
    wanted = " ".join(text.split())
    if len(wanted) == 2 and wanted.isascii() and wanted.isalpha():
        return ALSO.get(wanted.upper(), wanted.upper())
    plain = wanted.casefold().removeprefix("the ")
    return _MEANT.get(plain) or _by_name().get(plain)


@cache
def _by_name() -> dict[str, str]:
    own = {name.casefold().removeprefix("the "): code for code, name in _NAMES.items() if code != "EU"}
    return {name.casefold(): code for code, name in _iso().items()} | own


@cache
def _iso() -> dict[str, str]:
    return dict(line.split("\t")[:2] for line in tz_table("iso3166.tab"))


def tz_table(name: str) -> list[str]:
    """Return the lines of a table that comes with the time zone database."""
    text = files("tzdata").joinpath("zoneinfo", name).read_text("utf-8")
    return [line for line in text.splitlines() if line and not line.startswith("#")]
