"""A bed can be worked sitting or standing: its rim is of a good height and all of it lies within reach."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import ClassVar, Literal

import shapely
from shapely import Polygon

from quincunx.intents._base import Intent, Words
from quincunx.intents._walking import missing
from quincunx.scene import Timeline
from quincunx.shapes import AreaFigure, Figure, PathFigure, State, Verdict
from quincunx.units import capital
from quincunx.units.fields import Length, Slug, field, length
from quincunx.walk.at_hand import AtHand, at_hand
from quincunx.walk.reach import walk_of

Posture = Literal["sitting", "standing"]

INCH_M = 0.0254
HAIR_M = 0.006
"""Rims so much lower or higher are let pass: guides round inches to centimetres [m]."""
RIM_M: Mapping[Posture, tuple[float, float]] = MappingProxyType({
    "sitting": (24 * INCH_M, 30 * INCH_M), "standing": (30 * INCH_M, 36 * INCH_M),
})  # fmt: skip
"""How high a rim is good to work at [m]: sitting 24 to 30 in, standing up to 36 in (two gardening guides on raised
beds, read, no standard: they are named in ``tests/published/walking/easy.csv``); that standing begins at 30 in is common
practice, no source."""
REACH_M = 0.6096
"""How far one reaches over a rim from one side: 24 in (same guide, read) [m]."""
ALL = 0.99
"""From this share on all of a bed is reached: its corners are cut by the arc of an arm."""


class BedAtHand(Intent):
    """Somebody can work a bed sitting in a chair or standing, without kneeling, from firm and level ground."""

    words: ClassVar[str] = "a bed worked sitting or standing"
    about: ClassVar[str] = (
        "The rim is of a good height, sitting 24 to 30 in (61 to 76 cm), standing 30 to 36 in (76 to 91 cm); other guides say"
        " 18 to 24 in for chairs, so try a box of that height first. All of the bed lies within reach of ground beside it"
        " that is firm all the year, level (1 in 48: 2010 ADA Standards 305.2, from memory) and wide enough, to which there"
        " is a way. Reach 24 in (61 cm) from one side, so a bed reached from both is up to 4 ft (1.2 m) wide (gardening"
        " guides, no standard; common practice). A chair stands beside the bed or head-on; whether knees go under the rim"
        " the plan doesn't know."
    )
    eases: ClassVar[bool] = True
    reads: ClassVar[frozenset[str]] = frozenset({"walk"})
    example: ClassVar = {"id": "salad-at-hand", "bed": "salad-bed", "start": "kitchen-door"}

    kind: Literal["bed-at-hand"] = "bed-at-hand"
    walker: Slug = field("Who comes", "wheelchair")
    start: Slug = field("From")
    bed: Slug = field("Bed")
    posture: Posture = field("Worked", "sitting")
    reach: Length = length("Reaching no farther than", REACH_M, ge=0.2, le=1.5)
    run: float = field("Beside it no steeper than 1 in", 48.0, ge=8, le=200)

    def things(self) -> tuple[str, ...]:
        """Return the bed and from where one comes."""
        return (self.bed, self.start)

    def walkers(self) -> tuple[str, ...]:
        """Return who comes."""
        return (self.walker,)

    def sentence(self, words: Words) -> str:
        """Say who works which bed."""
        who = words.walker(self.walker)
        reach = words.length(float(self.reach))
        room = f"There is room for {who.name if who else self.walker} coming from {words.the(self.start)}"
        return (
            f"{room} beside {words.the(self.bed)}, and all of it is worked {self.posture}, within a reach of {reach}."
        )

    def asks(self, words: Words) -> tuple[str, ...]:
        """Return what has to be tried at the bed."""
        return (
            f"Before {words.the(self.bed)} is built, try a box of its height: does the chair come close enough, with knees"
            " beside it or under it, and do both hands reach the middle without leaning out of the chair?"
            if self.posture == "sitting"
            else f"Before {words.the(self.bed)} is built, try a box of its height: do both hands reach the middle with a straight back?",
        )

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Look at the rim and at the ground beside it."""
        who = words.walker(self.walker)
        assert who is not None  # noqa: S101 - judge() asked
        walk = walk_of(timeline.at(timeline.leaf_date(year)), who, polite=True)
        gone = missing(walk, self.things(), words)
        found = None if gone else at_hand(walk, self.start, self.bed, float(self.reach), 1 / self.run)
        if found is None:
            return Verdict(year, State.UNKNOWN, gone or capital(f"{words.the(self.bed)} has no ground of its own."))
        low, high = RIM_M[self.posture]
        told = [t for t in (self._rim(found, low, high, words), self._reached(found, words)) if t]
        drawn = _figures(found, self.bed)
        if told:
            text = "; ".join(told) + "."
            return Verdict(
                year, State.FAILS, capital(text), found.share, 1.0, "share", found.share - 1.0, evidence=drawn
            )
        text = (
            f"the rim is {words.length(found.rim_m)} high, and all of {words.the(self.bed)} is reached from its side."
        )
        return Verdict(year, State.HOLDS, capital(text), found.share, 1.0, "share", 0.0, evidence=drawn)

    def _rim(self, found: AtHand, low: float, high: float, words: Words) -> str:
        """Return what is wrong with the height of the rim, and what would be right."""
        if low - HAIR_M <= found.rim_m <= high + HAIR_M:
            return ""
        what = f"the rim is {words.length(found.rim_m)} high" if found.rim_m else "it has no rim"
        return f"{what}, and {words.length(low)} to {words.length(high)} is right for work {self.posture}"

    def _reached(self, found: AtHand, words: Words) -> str:
        """Return how much is out of reach, why, and what would help."""
        if found.share >= ALL:
            return ""
        wide = words.length(float(self.reach) * 2)
        lacks = {
            "room": f"beside the rest there is no room to stand, or no way there: {wide} is the widest reached from both sides",
            "soft": "the ground beside it is not firm all the year: lay a floor there",
            "slope": f"the ground beside it is steeper than 1 in {self.run:g}: level it",
            None: f"it is too wide: {wide} is the most reached from both sides",
        }  # fmt: skip
        share = "none" if found.share < 0.005 else f"only {found.share:.0%}"
        return f"{share} of it is reached, and {lacks[found.lack]}"


def _figures(found: AtHand, bed: str) -> tuple[Figure, ...]:
    """Draw the sides one stands beside as thick lines, and what is out of reach hatched."""
    sides = tuple(PathFigure(tuple((x, y) for x, y in s.coords), "evidence", bed, weight="thick") for s in found.sides)
    rest = tuple(
        AreaFigure((tuple((x, y) for x, y in p.exterior.coords[:-1]),), "evidence", bed, "hatch")
        for p in shapely.get_parts(found.rest)
        if isinstance(p, Polygon) and p.area > 1e-3
    )
    return (*sides, *rest)
