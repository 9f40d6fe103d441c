"""A seat stays dry in the rains of its place."""

from __future__ import annotations

from typing import ClassVar, Literal

import shapely

from quincunx.intents._base import Intent, Words
from quincunx.intents._raining import NO_WEATHER, chances, dry_figures, months_words, side_words, weather_of
from quincunx.scene import Scene, Timeline
from quincunx.scene.difference import difference
from quincunx.shapes import State, Verdict
from quincunx.units import capital
from quincunx.units.fields import Month, Slug, field
from quincunx.water import Dry, dryness, roofs_of, sitting
from quincunx.water.shelter import Floats

OFTEN_FROM = 0.02
"""Wet hours fewer than this share are not told a side."""


class DryInRain(Intent):
    """A seat, spot or shelter stays dry in a share of all rainy hours."""

    words: ClassVar[str] = "stays dry in rain"
    about: ClassVar[str] = (
        "Somebody sitting there stays dry, seat to head, in a share of the rainy hours of the place: drizzle, ordinary "
        "rain and downpours in the winds of each month, slanting in under the roof. Only roofs, walls, boards, glass and "
        "canvas count; slats, climbers and crowns let rain through."
    )
    reads: ClassVar[frozenset[str]] = frozenset({"rain"})
    example: ClassVar = {"id": "seat-dry", "place": "seat", "months": [4, 5, 6, 7, 8, 9], "from_year": 2030}

    kind: Literal["dry-in-rain"] = "dry-in-rain"
    place: Slug = field("Where")
    share: float = field("In at least this share of the rainy hours", 0.8, ge=0.05, le=1.0)
    months: tuple[Month, ...] = field("Months (none: the whole year)", ())

    def things(self) -> tuple[str, ...]:
        """Return the place."""
        return (self.place,)

    def sentence(self, words: Words) -> str:
        """Say what stays dry."""
        when = months_words(self.months)
        much = "" if self.share == DryInRain.model_fields["share"].default else f" in {chances(self.share)}"
        return capital(f"{words.the(self.place)} is dry in ordinary rain{much}{', ' + when if when else ''}.")

    def stands(self, verdict: Verdict, was: Timeline, now: Timeline, words: Words) -> bool:
        """Return whether all that differs grows, and so lets rain through, and isn't the place."""
        del words
        on = was.leaf_date(verdict.year)
        found = difference(was.at(on), now.at(on))
        upright = [s for part in (found.gone, found.come) for s in part["solids"]]
        return all(s.grown for s in upright) and self.place not in found.owners

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Follow the rains of each month back up from the seat, as the garden stands at the end of the summer."""
        scene, weather = timeline.at(timeline.leaf_date(year)), weather_of(timeline)
        points = sitting(scene, self.place)
        if points is None:
            return Verdict(year, State.UNKNOWN, capital(f"{words.the(self.place)} does not stand then."))
        if weather is None:
            return Verdict(year, State.UNKNOWN, NO_WEATHER)
        dry = dryness(scene, points, weather, tuple(sorted(set(self.months))) or tuple(range(1, 13)))
        over = _over(scene, points)
        state = State.HOLDS if dry.whole >= self.share else State.FAILS
        drawn = dry_figures(scene, self.place, over)
        text = self._because(dry, over, words)
        return Verdict(year, state, text, dry.whole, self.share, "share", dry.whole - self.share, evidence=drawn)

    def _because(self, dry: Dry, over: tuple[str, ...], words: Words) -> str:
        if not over:
            return f"There is no roof over {words.the(self.place)}."
        wet = "" if dry.whole > 1 - OFTEN_FROM else f"; what wets it comes mostly {side_words(dry.wettest_deg)}"
        return f"Dry in {chances(dry.whole)} of the rainy hours under {words.both(over)}{wet}."


def _over(scene: Scene, points: Floats) -> tuple[str, ...]:
    """Return the roofs over a place, by id."""
    place = shapely.convex_hull(shapely.multipoints(points[:, :2]))
    return tuple(r.owner for r in roofs_of(scene) if r.shape.intersection(place).area > place.area / 2)
