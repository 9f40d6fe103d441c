"""Which country the garden lies in, and its name: as written down, else by the clock kept where it lies."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

from quincunx.site.place import Place, Region, zone_of

EUROPE = frozenset((
    "AT", "BE", "BG", "CH", "CY", "CZ", "DE", "DK", "EE", "ES", "FI", "FR", "GB", "GR", "HR", "HU", "IE",
    "IS", "IT", "LT", "LU", "LV", "MK", "MT", "NL", "NO", "PL", "PT", "RO", "RS", "SE", "SI", "SK", "TR",
))  # fmt: skip
"""Members of the European Committee for Standardization, whose members adopt the Eurocodes (from memory)."""
_ALSO = {"UK": "GB", "EL": "GR"}
"""Codes people write that ISO 3166 doesn't have for them."""
_NAMES = {
    "AE": "the United Arab Emirates", "BA": "Bosnia and Herzegovina", "CD": "the Democratic Republic of the Congo",
    "CF": "the Central African Republic", "CG": "the Congo", "CZ": "Czechia", "DO": "the Dominican Republic",
    "GB": "the United Kingdom", "KP": "North Korea", "KR": "South Korea", "MM": "Myanmar", "NL": "the Netherlands",
    "PH": "the Philippines", "US": "the United States", "XK": "Kosovo", "EU": "Europe",
}  # fmt: skip
_MONEY = {
    "AUD": "AU", "CAD": "CA", "CHF": "CH", "CNY": "CN", "CZK": "CZ", "DKK": "DK", "GBP": "GB", "INR": "IN", "JPY": "JP",
    "NOK": "NO", "NZD": "NZ", "PLN": "PL", "SEK": "SE", "USD": "US", "ZAR": "ZA",
}  # fmt: skip


def country_of(place: Place | None, currency: str = "") -> str | None:
    """Return the ISO 3166 code of the country a garden lies in; None where nothing tells it.

    As the place says; else by the time zone its position lies in, for zones end at borders; without a place by money
    that is paid in one country as a rule.  A longitude of exactly 0 stands for one not given yet.
    """
    if place is None:
        return _MONEY.get(currency)
    if place.country is not None:
        return _ALSO.get(place.country, place.country)
    if place.codes == "us":
        return "US"
    if place.longitude_deg == 0.0 and place.timezone is None:
        return _MONEY.get(currency)
    return _zones().get(zone_of(place).key)


def region_of(place: Place) -> Region:
    """Return by whose formulas structures are held: as set, else by country; where none is known by the clock's continent.

    It chooses between published ways to reckon.  It says nothing of what a local authority asks for.
    """
    if place.codes is not None:
        return place.codes
    country = country_of(place)
    if country is None:
        return "europe" if zone_of(place).key.startswith("Europe/") else "other"
    return "us" if country == "US" else "europe" if country in EUROPE else "other"


def country_name(code: str) -> str:
    """Return what a country is called in the middle of a sentence: ``DE`` is Germany, ``NL`` the Netherlands."""
    return _NAMES.get(code) or _iso().get(code) or code


@cache
def _zones() -> dict[str, str]:
    """Return the country of each time zone of one country (the time zone database's own table)."""
    rows = [line.split("\t") for line in _table("zone.tab")]
    return {row[2]: row[0] for row in rows}


@cache
def _iso() -> dict[str, str]:
    return dict(line.split("\t")[:2] for line in _table("iso3166.tab"))


def _table(name: str) -> list[str]:
    text = files("tzdata").joinpath("zoneinfo", name).read_text("utf-8")
    return [line for line in text.splitlines() if line and not line.startswith("#")]
