"""What happens to a plant after it is set: browsed, died back, measured, lost in part; and how old it then is as it grows.

A setback takes years of growth away; what is bitten or frozen off has to grow again (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from quincunx.plants.ranges import Range

What = Literal["browsed", "died-back", "lost", "replanted", "measured"]

SAID = {"browsed": "was browsed", "died-back": "died back", "lost": "was lost", "replanted": "was planted again"}
"""What happened, as a sentence says it."""
TAKES_YEARS: dict[str, tuple[float, float, float]] = {"browsed": (0.5, 1.0, 2.0), "died-back": (1.0, 2.0, 4.0)}
"""Years of growth each takes: at least, as a rule, at most (common practice, no source)."""
NO_CROP_YEARS = 1.0
"""How long after it was browsed or died back a plant gives nothing [years] (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Setback:
    """One thing that happened ``age_years`` after planting; ``amount`` plants lost or set anew, or metres measured."""

    age_years: float
    what: What
    amount: float | None = None


def grown_years(age_years: float, setbacks: Iterable[Setback] = ()) -> Range:
    """Return how old a plant of ``age_years`` is by its growth, less what setbacks took, never below 0 [years]."""
    slow = usual = fast = last = 0.0
    for one in sorted(setbacks, key=lambda s: s.age_years):
        if one.age_years > age_years or one.what not in TAKES_YEARS:
            continue
        least, middle, most = TAKES_YEARS[one.what]
        step, last = one.age_years - last, one.age_years
        slow, usual, fast = max(slow + step - most, 0.0), max(usual + step - middle, 0.0), max(fast + step - least, 0.0)
    rest = age_years - last
    return Range(slow + rest, usual + rest, fast + rest)


def measured(age_years: float, setbacks: Iterable[Setback]) -> Setback | None:
    """Return the last time its height was measured by then, or None."""
    found = [s for s in setbacks if s.what == "measured" and s.amount and s.age_years <= age_years]
    return max(found, key=lambda s: s.age_years, default=None)


def lost(age_years: float, setbacks: Iterable[Setback]) -> float:
    """Return how many of several plants are lost and not yet set anew by then."""
    gone = 0.0
    for one in sorted(setbacks, key=lambda s: s.age_years):
        if one.age_years <= age_years and one.amount and one.what in ("lost", "replanted"):
            gone = max(gone + (one.amount if one.what == "lost" else -one.amount), 0.0)
    return gone


def crop_missed(age_years: float, setbacks: Iterable[Setback]) -> bool:
    """Return whether the crop of this season is lost to a setback less than a year before."""
    return any(s.what in TAKES_YEARS and 0.0 <= age_years - s.age_years < NO_CROP_YEARS for s in setbacks)
