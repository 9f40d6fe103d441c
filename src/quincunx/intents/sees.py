"""From one place another is seen: from the bench the water."""

from __future__ import annotations

from datetime import date
from typing import ClassVar, Literal

from quincunx.intents._base import Intent, Words
from quincunx.intents._seeing import ALL, NONE, hiders, looked, percent, same_view, sight_figures, when
from quincunx.scene import Timeline
from quincunx.scene.difference import difference
from quincunx.shapes import State, Verdict
from quincunx.sight import Seen
from quincunx.units import capital
from quincunx.units.fields import Slug, field

How = Literal["as marked", "standing", "seated", "child"]


class Sees(Intent):
    """From a place at least a share of another is seen."""

    words: ClassVar[str] = "is seen from there"
    about: ClassVar[str] = (
        "At least a share of a thing, a floor, water or a spot is seen from a place, over the ground as it lies and "
        "through whatever is porous; gates are taken as shut."
    )
    reads: ClassVar[frozenset[str]] = frozenset({"sight"})
    example: ClassVar = {"id": "water-from-bench", "eye": "bench", "target": "pond"}

    kind: Literal["sees"] = "sees"
    eye: Slug = field("From")
    posture: How = field("Eye", "as marked", help="as marked: at the height written at the spot, else standing")
    target: Slug = field("Is seen")
    share: float = field("At least this share of it", 0.5, ge=0.05, le=1.0)
    bare: bool = field("Also in mid-winter", False)

    def things(self) -> tuple[str, ...]:
        """Return the two places."""
        return (self.eye, self.target)

    def sentence(self, words: Words) -> str:
        """Say what is seen from where."""
        part = "" if self.share == Sees.model_fields["share"].default else f" ({percent(self.share)} of it at least)"
        return capital(f"{words.the(self.target)} is seen from {words.the(self.eye)}{part}.")

    def stands(self, verdict: Verdict, was: Timeline, now: Timeline, words: Words) -> bool:
        """Return whether nothing that differs stands between the two places."""
        del words
        chosen = "" if self.posture == "as marked" else self.posture
        return all(
            same_view(difference(was.at(on), now.at(on)), self.eye, self.target, verdict.evidence, chosen=chosen)
            for on in self._dates(was, verdict.year)
        )

    def _dates(self, timeline: Timeline, year: int) -> list[date]:
        return [timeline.leaf_date(year), *([timeline.bare_date(year)] if self.bare else [])]

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Look at the end of the summer and, if wished, in the winter that follows."""
        dates = self._dates(timeline, year)
        chosen = "" if self.posture == "as marked" else self.posture
        views = [(looked(timeline.at(on), self.eye, self.target, words, chosen=chosen, shut=True), on) for on in dates]
        gone = next((v for v, _ in views if isinstance(v, str)), None)
        if gone is not None:
            return Verdict(year, State.UNKNOWN, gone)
        view, on = min(((v, on) for v, on in views if isinstance(v, Seen)), key=lambda pair: pair[0].share)
        also = f" {when(timeline, on)}" if self.bare else ""
        told = percent(view.share)
        if view.share < self.share and told == percent(self.share):
            told = f"less than {told}"
        text = f"{capital(told)} of {words.the(self.target)} is seen{also}"
        behind = hiders(view, words)
        rest = "the rest" if view.share >= NONE else "it"
        text += f"; {rest} is behind {behind}." if behind and view.share < ALL else "."
        state = State.HOLDS if view.share >= self.share else State.FAILS
        drawn = sight_figures(view, timeline.at(on))
        return Verdict(year, state, text, view.share, self.share, "share", view.share - self.share, evidence=drawn)
