"""Enough rain runs off roofs into a tank."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.intents._base import Intent, Words
from quincunx.intents._raining import months_words
from quincunx.scene import Timeline
from quincunx.scene.difference import difference
from quincunx.shapes import AreaFigure, Figure, Slab, State, Verdict
from quincunx.units import capital
from quincunx.units.fields import Month, Slug, field
from quincunx.water import CAUGHT, into_tank

NO_RAIN = "The monthly rain of the place is not written down. Write it down (on the board: Given, The place, Climate)."


class RoofFills(Intent):
    """At least so many litres run off roofs into a tank over some months."""

    words: ClassVar[str] = "roofs fill it"
    about: ClassVar[str] = (
        "At least so many litres run into a tank or butt, in the months given and in an average year, from the roofs that "
        "say they drain to it: their area in plan, the month's rain, and 0.85 of it caught. What the tank spills when "
        "it is full is not taken off."
    )
    reads: ClassVar[frozenset[str]] = frozenset({"rain"})
    example: ClassVar = {"id": "butt-filled", "tank": "shed-butt", "litres": 600, "months": [5, 6, 7, 8]}

    kind: Literal["roof-fills"] = "roof-fills"
    tank: Slug = field("Tank or butt")
    litres: float = field("At least", 1000.0, unit="litre", ge=1.0, le=1000000.0)
    months: tuple[Month, ...] = field("Months (none: the whole year)", ())

    def things(self) -> tuple[str, ...]:
        """Return the tank."""
        return (self.tank,)

    def sentence(self, words: Words) -> str:
        """Say how much runs into what."""
        when = months_words(self.months) or "a year"
        return capital(f"{words.the(self.tank)} gets {words.water(self.litres)} from the roofs, {when}.")

    def stands(self, verdict: Verdict, was: Timeline, now: Timeline, words: Words) -> bool:
        """Return whether no roof differs."""
        del words
        on = was.leaf_date(verdict.year)
        found = difference(was.at(on), now.at(on))
        return not any(isinstance(s.form, Slab) for part in (found.gone, found.come) for s in part["solids"])

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Add up the roofs that drain to it at the end of the summer."""
        rain = timeline.frame.climate.rain_mm
        if rain is None:
            return Verdict(year, State.UNKNOWN, NO_RAIN)
        scene = timeline.at(timeline.leaf_date(year))
        roofs = into_tank(scene, self.tank)
        if not roofs:
            text = f"No roof drains to {words.the(self.tank)}. Say so at the roof: where its rain goes."
            return Verdict(year, State.FAILS, text, 0.0, self.litres, "litre", -self.litres)
        fallen = sum(rain[m - 1] for m in (sorted(set(self.months)) or range(1, 13)))
        got = sum(r.litres(fallen) for r in roofs)
        area = sum(r.area_m2 for r in roofs)
        text = (
            f"{words.water(got)} run off {words.both(tuple(r.owner for r in roofs))}: {words.area(area)} in plan, "
            f"{words.rain(fallen)} of rain, {CAUGHT:.2f} of it caught."
        )
        drawn: tuple[Figure, ...] = tuple(
            AreaFigure(
                (tuple((float(x), float(y)) for x, y in part.exterior.coords[:-1]),), "evidence", r.owner, "hatch"
            )
            for r in roofs
            for part in getattr(r.shape, "geoms", [r.shape])
        )
        state = State.HOLDS if got >= self.litres else State.FAILS
        return Verdict(year, state, text, got, self.litres, "litre", got - self.litres, evidence=drawn)
