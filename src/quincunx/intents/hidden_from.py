"""One place is not seen from another: the terrace from the neighbour's window."""

from __future__ import annotations

from datetime import date
from typing import ClassVar, Literal

from quincunx.intents._base import Intent, Words
from quincunx.intents._seeing import looked, percent, same_view, sight_figures, when
from quincunx.scene import Scene, Timeline
from quincunx.scene.difference import difference
from quincunx.shapes import State, Verdict
from quincunx.sight import Seen, least_raise, lowest, screens
from quincunx.units import capital
from quincunx.units.fields import Length, Slug, field, length

TALL_M = 6.0
"""No hedge or wall higher than this is proposed [m]."""


class HiddenFrom(Intent):
    """From a place no more than a share of another is seen, bare twigs too if wished."""

    words: ClassVar[str] = "is hidden from there"
    about: ClassVar[str] = (
        "No more than a share of a place is seen from another, with every gate standing open; on ground, people are "
        "looked for up to a height. Where it fails it says what would hide it: what stands already, raised, or the "
        "lowest screen and its place."
    )
    reads: ClassVar[frozenset[str]] = frozenset({"sight"})
    example: ClassVar = {"id": "terrace-private", "eye": "neighbour-window", "target": "terrace", "from_year": 2031}

    kind: Literal["hidden-from"] = "hidden-from"
    target: Slug = field("Is hidden")
    eye: Slug = field("From")
    share: float = field("No more than this share is seen", 0.1, ge=0.0, le=0.9)
    height: Length | None = length(
        "People up to a height of", 1.2, ge=0.0, le=20.0, help="over a floor or lawn: 1.2 m is somebody seated"
    )
    bare: bool = field("Also in mid-winter", True)

    def things(self) -> tuple[str, ...]:
        """Return the two places."""
        return (self.target, self.eye)

    def sentence(self, words: Words) -> str:
        """Say what is hidden from where."""
        also = ", in winter too" if self.bare else ""
        much = "" if self.share == HiddenFrom.model_fields["share"].default else f" but for {percent(self.share)}"
        return capital(f"{words.the(self.target)} is hidden from {words.the(self.eye)}{much}{also}.")

    def stands(self, verdict: Verdict, was: Timeline, now: Timeline, words: Words) -> bool:
        """Return whether nothing that differs stands between the two places."""
        del words
        return all(
            same_view(difference(was.at(on), now.at(on)), self.eye, self.target, verdict.evidence, height_m=high)
            for on in self._dates(was, verdict.year)
            for high in (None, None if self.height is None else float(self.height))
        )

    def _dates(self, timeline: Timeline, year: int) -> list[date]:
        return [timeline.leaf_date(year), *([timeline.bare_date(year)] if self.bare else [])]

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Look at the end of the summer and, if wished, in the winter that follows."""
        views = [(self._view(timeline.at(on), words), on) for on in self._dates(timeline, year)]
        gone = next((v for v, _ in views if isinstance(v, str)), None)
        if gone is not None:
            return Verdict(year, State.UNKNOWN, gone)
        view, on = max(((v, on) for v, on in views if isinstance(v, Seen)), key=lambda pair: pair[0].share)
        scene, also = timeline.at(on), f" {when(timeline, on)}" if self.bare else ""
        state = State.HOLDS if view.share <= self.share else State.FAILS
        text = f"{capital(percent(view.share))} of {words.the(self.target)} is seen from {words.the(self.eye)}{also}."
        if state is State.FAILS:
            text += self._remedy(scene, view, words)
        drawn = sight_figures(view, scene)
        return Verdict(year, state, text, view.share, self.share, "share", self.share - view.share, evidence=drawn)

    def _view(self, scene: Scene, words: Words) -> Seen | str:
        flat = scene.spot(self.target) is None and not any(s.owner == self.target for s in scene.solids)
        high = float(self.height) if flat and self.height is not None else None
        return looked(scene, self.eye, self.target, words, height_m=high)

    def _remedy(self, scene: Scene, view: Seen, words: Words) -> str:
        """Return what would hide it, as a sentence; empty where nothing of a likely height would."""
        up = least_raise(scene, view)
        if up is not None and up.height_m <= TALL_M:
            return f" {capital(words.the(up.owner))} would hide it all at {words.length(up.height_m)}, closed."
        low = lowest(screens(scene, view))
        if low is None or low.height_m > TALL_M:
            return " Nothing of a likely height inside the boundary would hide it."
        wide, off = words.length(low.width_m), words.length(low.from_target_m)
        return f" A screen {wide} wide and {words.length(low.height_m)} high, {off} from it, would hide it."
