"""Which town? An offline list of some 3,300 towns, so that a place is found without asking anybody.

The list is drawn from GeoNames (CC BY 4.0); its source and what was changed stand at the head of the file.
"""

from __future__ import annotations

import csv
import unicodedata
from dataclasses import dataclass
from difflib import SequenceMatcher
from functools import cache
from importlib.resources import files

_COUNTRIES = {
    "uk": "GB", "england": "GB", "scotland": "GB", "wales": "GB", "britain": "GB", "usa": "US", "america": "US",
    "canada": "CA", "ireland": "IE", "france": "FR", "germany": "DE", "deutschland": "DE", "austria": "AT",
    "switzerland": "CH", "italy": "IT", "italia": "IT", "spain": "ES", "espana": "ES", "portugal": "PT",
    "netherlands": "NL", "nederland": "NL", "belgium": "BE", "denmark": "DK", "sweden": "SE", "norway": "NO",
    "finland": "FI", "poland": "PL", "australia": "AU", "new zealand": "NZ",
}  # fmt: skip
_FUZZY = 0.75
"""Names less alike than this are not offered (share of letters in common, in order)."""


@dataclass(frozen=True, slots=True)
class Town:
    """A town: ISO 3166 ``country``, ``region`` (state or province, where names repeat), altitude if known."""

    name: str
    also: str
    region: str
    country: str
    latitude_deg: float
    longitude_deg: float
    altitude_m: float | None
    people: int

    @property
    def label(self) -> str:
        """The name with what tells it from others, such as ``Springfield, IL, US``."""
        return ", ".join(part for part in (self.name, self.region, self.country) if part)


@cache
def towns() -> tuple[Town, ...]:
    """Return all towns, by country, region and name."""
    text = files("quincunx.site").joinpath("data/towns.csv").read_text("utf-8")
    rows = csv.DictReader(line for line in text.splitlines() if not line.startswith("#"))
    return tuple(
        Town(
            name=row["name"],
            also=row["also"],
            region=row["region"],
            country=row["country"],
            latitude_deg=float(row["latitude"]),
            longitude_deg=float(row["longitude"]),
            altitude_m=float(row["altitude_m"]) if row["altitude_m"] else None,
            people=int(row["thousands"]) * 1000,
        )
        for row in rows
    )


def fold(text: str) -> str:
    """Return ``text`` in small letters without accents or marks: ``Saint-Étienne`` -> ``saint etienne``."""
    letters = unicodedata.normalize("NFKD", text).casefold().translate({ord("ø"): "o", ord("ł"): "l", ord("æ"): "ae"})
    plain = unicodedata.normalize("NFKD", letters)
    kept = (c if c.isalnum() else " " for c in plain if not unicodedata.combining(c) and c not in "'’")
    return " ".join("".join(kept).split())


@cache
def _folded() -> tuple[tuple[Town, tuple[str, ...]], ...]:
    return tuple((town, tuple(fold(name) for name in (town.name, town.also) if name)) for town in towns())


def find_town(text: str, limit: int = 8) -> list[Town]:
    """Return at most ``limit`` towns that ``text`` may mean, the likeliest first.

    A name, or its beginning, in any spelling of accents; a state, province or country may follow a comma
    (``Springfield, IL``; ``Worcester, UK``).  Whole names come first, then beginnings, then words within,
    then names spelt much alike; among equals the larger town.  Empty if nothing is near.
    """
    name, *where = (fold(part) for part in text.split(","))
    wanted = {_COUNTRIES.get(part, part.upper()) for part in where if part}
    known = [(town, names) for town, names in _folded() if wanted <= {town.country, town.region}]
    if not name:
        return []
    ranked = ((min(_rank(name, own) for own in names), town) for town, names in known)
    found = [(rank, town) for rank, town in ranked if rank <= 2]
    if len(found) < limit:
        had = {town for _, town in found}
        alike = ((_alike(name, names), town) for town, names in known if town not in had)
        found += [(4 - share, town) for share, town in alike if share >= _FUZZY]
    found.sort(key=lambda pair: (pair[0], -pair[1].people, pair[1].label, pair[1].latitude_deg))
    return [town for _, town in found[:limit]]


def _rank(wanted: str, name: str) -> float:
    if name == wanted:
        return 0.0
    if name.startswith(wanted):
        return 1.0
    return 2.0 if f" {wanted}" in f" {name}" else 9.0


def _alike(wanted: str, names: tuple[str, ...]) -> float:
    if len(wanted) < 4:
        return 0.0
    best = 0.0
    for name in names:
        match = SequenceMatcher(None, name, wanted, autojunk=False)
        if match.real_quick_ratio() >= _FUZZY and match.quick_ratio() >= _FUZZY:
            best = max(best, match.ratio())
    return best
