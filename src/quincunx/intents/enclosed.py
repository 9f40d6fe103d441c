"""A place is enclosed: something stands above the eye round most of it."""

from __future__ import annotations

from typing import ClassVar, Literal

import numpy as np

from quincunx.intents._base import Intent, Words
from quincunx.intents._raining import side_words
from quincunx.intents._seeing import percent
from quincunx.scene import Scene, Timeline
from quincunx.scene.difference import difference
from quincunx.shapes import PathFigure, State, Verdict
from quincunx.sight.axis import middle_of
from quincunx.sight.enclosure import BARELY, ENCLOSED, FULL, Enclosure, enclosed_alike, enclosure
from quincunx.sight.eyes import EYE_M
from quincunx.units import capital, own_marks
from quincunx.units.fields import Length, Slug, field, length

SHOWN_M = 15.0
"""Open sides are drawn this far [m]."""


class Enclosed(Intent):
    """Round a place something stands above the eye, along most of its edge."""

    words: ClassVar[str] = "is enclosed"
    about: ClassVar[str] = (
        "Along at least a share of all bearings from a place a wall, fence, hedge or building that hides half of a view or "
        "more stands above the eye, gates shut; trees and shrubs are no edge. How far off it is for its height is told too: "
        "at once its height a place is fully enclosed, at twice at the threshold, at four times no longer (Robinette 1972, "
        "weakly tested)."
    )
    reads: ClassVar[frozenset[str]] = frozenset({"sight"})
    example: ClassVar = {"id": "nuttery-enclosed", "place": "nuttery", "share": 0.75}

    kind: Literal["enclosed"] = "enclosed"
    place: Slug = field("Which place")
    share: float = field("Along at least this share of its edge", 0.75, ge=0.1, le=1.0)
    eye: Length = length("Above an eye at", EYE_M["standing"], ge=0.3, le=20.0, help="seated 1.2 m, standing 1.6 m")

    def things(self) -> tuple[str, ...]:
        """Return the place."""
        return (self.place,)

    def sentence(self, words: Words) -> str:
        """Say what is enclosed and how high."""
        much = (
            "" if self.share == Enclosed.model_fields["share"].default else f" along {percent(self.share)} of its edge"
        )
        return capital(f"{words.the(self.place)} is enclosed{much}, above {words.length(float(self.eye))}.")

    def stands(self, verdict: Verdict, was: Timeline, now: Timeline, words: Words) -> bool:
        """Return whether the same place surely has the same round it."""
        del words
        on = was.leaf_date(verdict.year)
        found = difference(was.at(on), now.at(on))
        at = middle_of(found.was, self.place)
        return at is not None and at == middle_of(found.now, self.place) and enclosed_alike(found, at, float(self.eye))

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Look all round at the end of the summer."""
        scene = timeline.at(timeline.leaf_date(year))
        at = middle_of(scene, self.place)
        if at is None:
            return Verdict(year, State.UNKNOWN, capital(f"{words.the(self.place)} does not stand then."))
        found = enclosure(scene, at, float(self.eye))
        state = State.HOLDS if found.share >= self.share - 1e-9 else State.FAILS
        text = f"Something stands above the eye along {percent(found.share)} of its edge{_ratio(found, words)}{_open(found)}."
        return Verdict(
            year, state, text, found.share, self.share, "share", found.share - self.share, evidence=_drawn(scene, found)
        )


def _ratio(found: Enclosure, words: Words) -> str:
    if found.ratio is None:
        return ""
    word = "fully enclosed" if found.ratio <= FULL else "enclosed" if found.ratio <= ENCLOSED else (
        "barely enclosed" if found.ratio <= BARELY else "too wide to feel enclosed"
    )  # fmt: skip
    return f", {own_marks(f'{found.ratio:.1f}', words.style)} times its height away: {word}"


def _open(found: Enclosure) -> str:
    widest = found.widest_open_deg
    return "" if widest is None or found.share > 1 - 1e-9 else f"; it is open most widely to{side_words(widest[0])[4:]}"


def _drawn(scene: Scene, found: Enclosure) -> tuple[PathFigure, ...]:
    del scene
    x, y = found.at
    out = []
    for bearing, far in zip(np.radians(found.bearings[::2]), found.distance_m[::2], strict=True):
        reach = min(float(far), SHOWN_M)
        end = (x + reach * float(np.sin(bearing)), y + reach * float(np.cos(bearing)))
        out.append(PathFigure(((x, y), end), "evidence", weight="fine", dash=not np.isfinite(far)))
    return tuple(out)
