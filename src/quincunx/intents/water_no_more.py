"""The garden asks for no more water than so much."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.intents._base import Intent, Words
from quincunx.intents._raining import months_words
from quincunx.intents._watering import NO_CLIMATE, rings_of, thirstiest, water_of
from quincunx.scene import Timeline
from quincunx.scene.difference import difference
from quincunx.shapes import PathFigure, State, Verdict
from quincunx.units import capital
from quincunx.units.fields import Month, field
from quincunx.water.thirst import same_watered


class WaterNoMore(Intent):
    """What is watered in a year, or in some months of it, takes no more than so many litres."""

    words: ClassVar[str] = "water no more"
    about: ClassVar[str] = (
        "All that is watered takes no more than so many litres, in the months given: reference evapotranspiration by "
        "FAO-56, what each bed and young planting uses of it, and the daily balance of its soil through twenty made-up "
        "years of the place's own rain. Beds, rows and soft fruit are watered every year, other plants until they have "
        "rooted; lawns are left to the rain."
    )
    reads: ClassVar[frozenset[str]] = frozenset({"rain", "plants"})
    example: ClassVar = {"id": "little-water", "litres": 6000, "months": [6, 7, 8], "dry_year": True}

    kind: Literal["water-no-more"] = "water-no-more"
    litres: float = field("No more than", 10000.0, unit="litre", ge=1.0, le=10_000_000.0)
    months: tuple[Month, ...] = field("Months (none: the whole year)", ())
    dry_year: bool = field("In a dry year", False, help="one than which eight in ten need less; else in a usual one")

    def sentence(self, words: Words) -> str:
        """Say how much water is enough."""
        when = months_words(self.months)
        kind = "a dry" if self.dry_year else "a usual"
        of = f", {when}" if when else ""
        return capital(f"watering takes no more than {words.water(self.litres)} in {kind} year{of}.")

    def stands(self, verdict: Verdict, was: Timeline, now: Timeline, words: Words) -> bool:
        """Return whether in the year surely the same is watered, and what asks for most lies where it lay."""
        del words
        on = was.leaf_date(verdict.year)
        found = difference(was.at(on), now.at(on))
        shown = {f.owner for f in verdict.evidence if isinstance(f, PathFigure)}
        return not found.owners & shown and same_watered(found, was.find)

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Add up the water of all that is watered."""
        found = water_of(timeline, year)
        if found is None:
            return Verdict(year, State.UNKNOWN, NO_CLIMATE)
        months = sorted(set(self.months)) or range(1, 13)
        usual, dry = (sum(row[m - 1] for m in months) for row in (found.by_month_l, found.dry_by_month_l))
        taken = dry if self.dry_year else usual
        told = f"{words.water(usual)} in a usual year, {words.water(dry)} in a dry one."
        state = State.HOLDS if taken <= self.litres else State.FAILS
        drawn = rings_of(found.needs, timeline, year)
        because = told + thirstiest(found.needs, words)
        return Verdict(
            year, state, because, taken, self.litres, "litre", self.litres - taken, (min(usual, dry), max(usual, dry)),
            evidence=drawn,
        )  # fmt: skip
