"""Which country the garden lies in: as written down, else by the clock kept where it lies."""

from __future__ import annotations

from functools import cache

from quincunx.site.country_names import ALSO, tz_table
from quincunx.site.place import Place, Region, zone_of

EUROPE = frozenset((
    "AT", "BE", "BG", "CH", "CY", "CZ", "DE", "DK", "EE", "ES", "FI", "FR", "GB", "GR", "HR", "HU", "IE",
    "IS", "IT", "LT", "LU", "LV", "MK", "MT", "NL", "NO", "PL", "PT", "RO", "RS", "SE", "SI", "SK", "TR",
))  # fmt: skip
"""Members of the European Committee for Standardization, whose members adopt the Eurocodes (from memory)."""
_MONEY = {
    "AUD": "AU", "CAD": "CA", "CHF": "CH", "CNY": "CN", "CZK": "CZ", "DKK": "DK", "GBP": "GB", "INR": "IN", "JPY": "JP",
    "NOK": "NO", "NZD": "NZ", "PLN": "PL", "SEK": "SE", "USD": "US", "ZAR": "ZA",
}  # fmt: skip

_NO_COUNTRY = frozenset((
    "CET", "EET", "EST", "EST5EDT", "CST6CDT", "HST", "MET", "MST", "MST7MDT", "PST8PDT", "WET",
))  # fmt: skip
"""Names of clocks that several countries keep; the database links them to the zone of one."""
_ACROSS = {
    "Africa/Asmera": "ER", "Africa/Timbuktu": "ML", "America/Coral_Harbour": "CA", "America/Virgin": "VI",
    "Antarctica/South_Pole": "AQ", "Atlantic/Jan_Mayen": "SJ", "Iceland": "IS", "Pacific/Johnston": "UM",
    "Pacific/Ponape": "FM", "Pacific/Truk": "FM", "Pacific/Yap": "FM",
}  # fmt: skip
"""Old names that the database links to the like clock of another country (where the places lie is geography)."""


def country_of(place: Place | None, currency: str = "") -> str | None:
    """Return the ISO 3166 code of the country a garden lies in; None where nothing tells it.

    As the place says; else by the time zone its position lies in, for zones end at borders; without a place by money
    that is paid in one country as a rule.  A longitude of exactly 0 stands for one not given yet.
    """
    if place is None:
        return _MONEY.get(currency)
    if place.country is not None:
        return ALSO.get(place.country, place.country)
    if place.codes == "us":
        return "US"
    if place.longitude_deg == 0.0 and place.timezone is None:
        return _MONEY.get(currency)
    return _zones().get(zone_of(place).key)


def region_of(place: Place | None, currency: str = "") -> Region | None:
    """Return by whose formulas structures are held: as set, else by country; where none is known by the clock's continent.

    It chooses between published ways to reckon.  It says nothing of what a local authority asks for.  None where neither
    place nor money tells anything.
    """
    if place is not None and place.codes is not None:
        return place.codes
    country = country_of(place, currency)
    if country is None:
        if place is None:
            return None
        return "europe" if zone_of(place).key.startswith("Europe/") else "other"
    return "us" if country == "US" else "europe" if country in EUROPE else "other"


@cache
def _zones() -> dict[str, str]:
    """Return the country of each time zone of one country (the time zone database's own tables), by all its names."""
    rows = [line.split("\t") for line in tz_table("zone.tab")]
    found = {row[2]: row[0] for row in rows}
    links = [words for line in tz_table("tzdata.zi") if (words := line.split())[0] == "L"]
    also = {name: found[zone] for _, zone, name in links if zone in found and name not in _NO_COUNTRY}
    return also | _ACROSS | found
