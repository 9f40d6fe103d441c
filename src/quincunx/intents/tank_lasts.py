"""A tank lasts through the summer for what is watered from it."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.intents._base import Intent, Words
from quincunx.intents._raining import chances
from quincunx.intents._watering import NO_CLIMATE, rings_of, water_of
from quincunx.scene import Timeline
from quincunx.scene.difference import difference
from quincunx.shapes import Slab, State, Verdict
from quincunx.units import capital
from quincunx.units.dates import MONTHS
from quincunx.units.fields import Slug, field
from quincunx.water.thirst import same_in_beds
from quincunx.water.watering import TankYear, size_for


class TankLasts(Intent):
    """A tank has water on every day on which what it serves is watered, in so many years of ten."""

    words: ClassVar[str] = "the tank lasts"
    about: ClassVar[str] = (
        "A tank or butt, filled by the roofs that drain to it, has enough on every day on which one waters from it, in at "
        "least so many years of ten: its daily balance through twenty made-up years of the place's own rain, with what "
        "runs over when it is full taken off. What is watered from it is written at the tank."
    )
    reads: ClassVar[frozenset[str]] = frozenset({"rain", "plants"})
    example: ClassVar = {"id": "butt-lasts", "tank": "shed-butt", "share": 0.8}

    kind: Literal["tank-lasts"] = "tank-lasts"
    tank: Slug = field("Tank or butt")
    share: float = field("In this share of years", 0.8, unit="share", gt=0.0, le=1.0)

    def things(self) -> tuple[str, ...]:
        """Return the tank."""
        return (self.tank,)

    def sentence(self, words: Words) -> str:
        """Say how long it is to last."""
        return capital(f"{words.the(self.tank)} lasts all summer for what it waters, {chances(self.share)}.")

    def stands(self, verdict: Verdict, was: Timeline, now: Timeline, words: Words) -> bool:
        """Return whether no roof differs, nor the tank or anything that it waters, nor what grows in the beds of that."""
        del words
        on = was.leaf_date(verdict.year)
        found = difference(was.at(on), now.at(on))
        waters = {w for s in found.was.supplies if s.owner == self.tank for w in s.waters}
        roofs = any(isinstance(s.form, Slab) for part in (found.gone, found.come) for s in part["solids"])
        return not roofs and not found.owners & {self.tank, *waters} and same_in_beds(found, waters)

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Go through the days of many years."""
        found = water_of(timeline, year)
        if found is None:
            return Verdict(year, State.UNKNOWN, NO_CLIMATE)
        tank = next((t for t in found.tanks if t.supply.owner == self.tank), None)
        if tank is None:
            text = f"{capital(words.the(self.tank))} is no tank or butt that stands then."
            return Verdict(year, State.UNKNOWN, text)
        if not tank.supply.waters:
            text = f"Nobody has said what is watered from {words.the(self.tank)}. Write it at the tank."
            return Verdict(year, State.UNKNOWN, text)
        drawn = rings_of(tuple(n for n in found.needs if n.of.owner in tank.supply.waters), timeline, year)
        if tank.roof_m2 <= 0:
            text = f"No roof drains to {words.the(self.tank)}. Say so at the roof: where its rain goes."
            return Verdict(year, State.FAILS, text, 0.0, self.share, "ratio", -self.share, evidence=drawn)
        state = State.HOLDS if tank.lasts >= self.share - 1e-9 else State.FAILS
        text = self._because(tank, words, fails=state is State.FAILS)
        return Verdict(year, state, text, tank.lasts, self.share, "ratio", tank.lasts - self.share, evidence=drawn)

    def _because(self, tank: TankYear, words: Words, *, fails: bool) -> str:
        if tank.wanted_l <= 0:
            return "Nothing of what it waters needs any then."
        text = (
            f"Lasts {chances(tank.lasts)}: of {words.water(tank.wanted_l)} wanted in a usual year it gives "
            f"{words.water(tank.given_l)}, on {tank.met_days:.0f} of {tank.wanted_days:.0f} days of watering."
        )
        if not fails:
            return text
        first = max(range(12), key=lambda m: tank.short_from[m])
        text += f" Mostly it runs dry in {MONTHS[first]}."
        size = size_for(tank.flow, self.share)
        if size is None:
            return f"{text} No larger tank would do: more roof has to drain to it, or it has to water less."
        return f"{text} One of {words.water(size)} would last."
