"""Plants that an animal can't get its teeth into."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field

from quincunx.intents._base import Intent, Words, worst
from quincunx.intents._keeping import Keeping, Kept, kept_apart, scenes, snow
from quincunx.scene import Scene, Timeline
from quincunx.shapes import State, Verdict
from quincunx.units import capital
from quincunx.units.fields import Slug, field
from quincunx.walk.places import OUTSIDE, guarded_by
from quincunx.walk.reach import walk_of
from quincunx.walk.walkers import Walker

CLEAR_M = 0.5
"""A plant so much higher than an animal browses has its top out of reach (common practice, no source) [m]."""


class NotEaten(Intent):
    """An animal can't reach any of these plants, by fence, guard, net or height."""

    words: ClassVar[str] = "not eaten by"
    about: ClassVar[str] = (
        "Each of the plants, from when it is planted, stands behind what holds that animal, in a guard high enough above "
        "the snow, or under a net. A hedge alone only discourages. A plant that has outgrown it loses only what hangs low."
    )
    reads: ClassVar[frozenset[str]] = frozenset({"walk"})
    example: ClassVar = {"id": "roe-off-cobnuts", "walker": "roe", "plants": ["cobnut-1", "cobnut-2"]}

    kind: Literal["not-eaten"] = "not-eaten"
    walker: Slug = field("By whom", "roe")
    plants: Annotated[tuple[Slug, ...], Field(min_length=1, max_length=40)] = field("What is not eaten")
    start: Slug = field("Who comes from", OUTSIDE)
    gates: Kept = field("Gates are", "kept-shut")
    winter: bool = field("Also in mid-winter, on top of the snow", True)

    def things(self) -> tuple[str, ...]:
        """Return the plants, and where the animal comes from."""
        return (*self.plants, *(() if self.start == OUTSIDE else (self.start,)))

    def walkers(self) -> tuple[str, ...]:
        """Return who would eat them."""
        return (self.walker,)

    def sentence(self, words: Words) -> str:
        """Say what isn't eaten by whom."""
        who = words.walker(self.walker)
        also = ", whichever gate is left open" if self.gates == "one-left-open" else ""
        return f"{capital(who.name) if who else self.walker} can't eat {words.both(self.plants)}{also}."

    def due_from(self, timeline: Timeline) -> int | None:
        """Return the first year in which any of the plants stands."""
        if self.from_year is not None:
            return self.from_year
        years = [y for p in self.plants if timeline.feature(p) and (y := timeline.first_year([p])) is not None]
        return min(years, default=None if any(timeline.feature(p) for p in self.plants) else timeline.years.start)

    def stands(self, verdict: Verdict, was: Timeline, now: Timeline, words: Words) -> bool:
        """Return whether the animal surely is kept off each plant that stands as before."""
        who = words.walker(self.walker)
        if who is None or verdict.state is State.FAILS or now.feature(self.plants[0]) is None:
            return False
        dates = [scene.on for scene in scenes(was, who, verdict.year, winter=self.winter)]
        standing = [p for p in self.plants if any(was.at(on).stands(p) for on in dates)]
        each = (Keeping(who, self.start, p, "", "", self.gates) for p in standing)
        return bool(standing) and all(
            kept_apart(keeping, was, now, verdict.year, winter=self.winter) for keeping in each
        )

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Look at each plant that stands, in leaf and, if wished and snow lies, in winter."""
        who = words.walker(self.walker)
        assert who is not None  # noqa: S101 - judge() asked
        on = scenes(timeline, who, year, winter=self.winter)
        return worst([self._on(scene, who, year, words) for scene in on])

    def _on(self, scene: Scene, who: Walker, year: int, words: Words) -> Verdict:
        standing = [p for p in self.plants if scene.stands(p)]
        if not standing:
            return Verdict(year, State.UNKNOWN, f"Nothing of {words.both(self.plants)} stands then.")
        walk = walk_of(scene, who)
        reached = [p for p in standing if guarded_by(scene, who, p) is None and walk.reaches(self.start, p)]
        low = [p for p in reached if _outgrown(scene, who, p) is None]
        if reached:
            return self._eaten(scene, who, (low or reached, len(standing)), year, words)
        each = {p: self._one(scene, who, p, year, words) for p in standing}
        return worst(list(each.values())) if len(each) == 1 else self._kept(each, scene, who, year, words)

    def _eaten(self, scene: Scene, who: Walker, which: tuple[list[str], int], year: int, words: Words) -> Verdict:
        """Tell the first that is reached in full, and count the others."""
        bad, standing = which
        first = self._one(scene, who, bad[0], year, words)
        others = len(bad) - 1
        more = f" The same with {others} more of the {standing}." if others else ""
        count = float(len(bad)) if first.state is State.FAILS else 0.0
        return Verdict(year, first.state, first.because + more, count, 0.0, "count", -count, evidence=first.evidence)

    def _one(self, scene: Scene, who: Walker, plant: str, year: int, words: Words) -> Verdict:
        name = words.the(plant)
        does = f"{who.says('eats', 'eat')} at {name}"
        found = Keeping(who, self.start, plant, does, f"can't eat {name}", self.gates).on(scene, year, words)
        if found.state is not State.FAILS or _outgrown(scene, who, plant) is None:
            return found
        line = words.length(float(who.guard or 0.0))
        text = (
            f"{capital(name)} has outgrown {who.name}, who {who.says('takes', 'take')} only what hangs below {line}: "
        )
        text += f"{found.because[:1].lower()}{found.because[1:]}"
        return Verdict(year, State.UNKNOWN, text, evidence=found.evidence)

    def _kept(self, each: dict[str, Verdict], scene: Scene, who: Walker, year: int, words: Words) -> Verdict:
        """Say that all are kept, or tell the first that is not for certain."""
        found = worst(list(each.values()))
        if found.state is not State.HOLDS:
            return found
        text = f"All {len(each)} that stand are kept from {who.name}{snow(scene, who, words)}."
        drawn = tuple(dict.fromkeys(f for v in each.values() for f in v.evidence))
        return Verdict(year, State.HOLDS, text, 0.0, 0.0, "count", 0.0, evidence=drawn)


def _outgrown(scene: Scene, who: Walker, plant: str) -> float | None:
    """Return the least height of a plant whose top is out of an animal's reach above the snow [m], else None.

    What gnaws the bark at its foot is never outgrown.
    """
    if who.guard is None or who.gnaws:
        return None
    lift = scene.snow_m if who.snow_lifts else 0.0
    heights = [p.height_m[0] for p in scene.plants if p.owner == plant]
    low = min(heights, default=0.0)
    return low if low >= float(who.guard) + CLEAR_M + lift else None
