"""Whose published figures hold where the garden is: one table of codes by country, each row with how it is known.

The table is ``data/codes.csv``; a figure that changes is changed there alone.  What a country has no row for is told by
the figures of another, named as such.  None of it is the law of a place: local codes and licensed people decide.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Literal

from quincunx.site.country import EUROPE
from quincunx.site.country_names import country_name

Known = Literal["read", "told", "memory", "practice"]
"""How a row is known: the text or a public copy of it read, somebody's account of it read, from memory, or common practice."""
Kind = Literal[
    "steps", "handrail", "guard", "pool", "bearing", "footing", "glass", "ramp", "lines", "treated", "damp", "fall", "trees",
    "timber", "wind", "permit-hut", "permit-deck", "permit-fence", "permit-wall",
]  # fmt: skip
WORDS: Mapping[Kind, str] = MappingProxyType({
    "steps": "steps", "handrail": "handrails", "guard": "guards at a drop", "pool": "barriers round water",
    "bearing": "what soil bears", "footing": "the depth of footings", "glass": "glass", "ramp": "ways for wheels",
    "lines": "digging near lines", "treated": "treated timber", "damp": "damp courses", "fall": "ground beside a house",
    "trees": "trees near walls and drains", "timber": "timber and snow", "wind": "wind on roofs", "permit-hut": "permits",
    "permit-deck": "permits", "permit-fence": "permits", "permit-wall": "permits",
})  # fmt: skip
NEEDS: Mapping[Kind, frozenset[str]] = MappingProxyType({
    "guard": frozenset({"drop_m", "height_m", "gap_m"}), "pool": frozenset({"depth_m", "height_m"}),
    "bearing": frozenset({"clay_kpa", "sand_kpa", "gravel_kpa"}), "footing": frozenset({"least_m"}),
    "permit-hut": frozenset({"area_m2"}), "permit-deck": frozenset({"up_m"}), "permit-fence": frozenset({"high_m"}),
    "permit-wall": frozenset({"high_m"}), "ramp": frozenset({"width_m", "cross", "g1"}), "damp": frozenset({"low_m"}),
    "fall": frozenset({"near_m", "grade"}),
})  # fmt: skip
"""Figures each row of a kind gives.

Ramps give ``g1``, ``g2`` ... (rise over run, the last never exceeded), and ``l1``, ``l2`` ... for how long [m] a way may
be steeper than each; steps give ``riser_m``, ``going_m``, ``rule_least_m`` and ``rule_most_m`` as far as
their code has them, and handrails ``risers`` or ``rise_m`` from which one is asked for, ``low_m`` and ``high_m``;
fences ``from_m``, the lowest line their code draws (beside a road)."""
LENT: Mapping[Kind, str] = MappingProxyType({
    "steps": "GB", "handrail": "US", "guard": "GB", "pool": "US", "bearing": "US", "footing": "US",
    "damp": "GB", "fall": "US", "trees": "GB", "timber": "EU", "wind": "EU", "lines": "US",
})  # fmt: skip
"""Whose figures are shown where the garden's country has none in the table; of the other kinds nothing is shown then."""
SAID: Mapping[Known, str] = MappingProxyType({
    "read": "", "told": " (second-hand)", "memory": " (from memory)", "practice": " (common practice, no source)",
})  # fmt: skip
ASK = "ask your building office"
_UNBOUND: Mapping[Kind, frozenset[str]] = MappingProxyType({"treated": frozenset({"CH", "MK", "RS", "TR"})})
"""Members of the standards body that directives of the European Union, the source of a kind's row, don't bind (from memory)."""


@dataclass(frozen=True, slots=True)
class Row:
    """What one country's code says of one kind of thing: ``figures`` in SI, ``source`` and how it is ``known``."""

    country: str
    kind: Kind
    figures: Mapping[str, float]
    source: str
    known: Known
    words: str = ""

    @property
    def cited(self) -> str:
        """The source with how it is known, where nobody has read the text itself."""
        return self.source + SAID[self.known]


@dataclass(frozen=True, slots=True)
class Held:
    """What holds of one kind in one country: its own ``row``, one of another country, or none; ``country`` None is unknown."""

    kind: Kind
    country: str | None
    row: Row | None

    @property
    def own(self) -> bool:
        """Whether the row is of the garden's own country."""
        return self.row is not None and self.country is not None and self.row.country in groups(self.country, self.kind)

    @property
    def figures(self) -> Mapping[str, float]:
        """The figures in SI; none where there is no row."""
        return MappingProxyType({}) if self.row is None else self.row.figures

    def cited(self, source: str = "") -> str:
        """Return the source as a person reads it; ``source`` in place of the row's own names another part of the code.

        A row of another country says so, and who is to be asked.
        """
        text = source or ("" if self.row is None else self.row.cited)
        if self.own:
            return text
        if self.row is None:
            return f"{self.none}: {ASK}"
        lent = country_name(self.row.country)
        if self.country is not None and any((c, self.kind) in codes() for c in groups(self.country, self.kind)):
            return f"{text}: figures of {lent}, chosen in place of those of {country_name(self.country)}"
        return f"{text}: figures of {lent}; {self.none}: {ASK}"

    @property
    def none(self) -> str:
        """Say that the table has no code of the garden's country for this."""
        if self.country is None:
            return "which country the garden lies in isn't known"
        return f"no code of {country_name(self.country)} for {WORDS[self.kind]} is in our table"


def groups(country: str, kind: Kind | None = None) -> tuple[str, ...]:
    """Return whose rows of a kind are a country's own: its own first, then those of the bodies it belongs to."""
    bound = country in EUROPE and (kind is None or country not in _UNBOUND.get(kind, ()))
    return (country, "EU") if bound else (country,)


def held(country: str | None, kind: Kind) -> Held:
    """Return what holds of a kind in a country: its own row, else the one lent by another, else none."""
    table = codes()
    own = next((row for c in groups(country or "", kind) if (row := table.get((c, kind)))), None)
    return Held(kind, country, own or table.get((LENT.get(kind, ""), kind)))


@cache
def codes() -> Mapping[tuple[str, Kind], Row]:
    """Return the whole table by country and kind."""
    text = files("quincunx.site").joinpath("data/codes.csv").read_text("utf-8")
    rows = csv.DictReader(line for line in text.splitlines() if not line.startswith("#"))
    return MappingProxyType({(row["country"], row["kind"]): _row(row) for row in rows})  # type: ignore[misc]


def _row(row: Mapping[str, str]) -> Row:
    pairs = (part.split("=") for part in row["figures"].split())
    figures = MappingProxyType({name: float(value) for name, value in pairs})
    return Row(row["country"], row["kind"], figures, row["source"], row["known"], row["words"])  # type: ignore[arg-type]
