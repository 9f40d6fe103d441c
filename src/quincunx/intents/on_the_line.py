"""A thing stands on the line between two places: the sundial on the long walk's axis."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.intents._base import Intent, Words
from quincunx.scene import Timeline
from quincunx.scene.difference import difference
from quincunx.shapes import DimensionFigure, PathFigure, State, Verdict
from quincunx.sight.axis import OffLine, middle_of, off_line
from quincunx.units import capital, compass_words, format_length
from quincunx.units.fields import Length, Slug, field, length

HAIR_M = 0.0005
FINE_M = 0.1
"""What is nearer than this is told by the marks of a tape [m]."""


class OnTheLine(Intent):
    """A thing stands on the line between two others."""

    words: ClassVar[str] = "stands on the line"
    about: ClassVar[str] = (
        "The middle of a thing (of an opening: of its clear width) lies on the straight line between the middles of two "
        "others, within a tolerance; if not, it says how far it is off and which way to move it."
    )
    reads: ClassVar[frozenset[str]] = frozenset({"sight"})
    example: ClassVar = {"id": "sundial-on-axis", "target": "sundial", "start": "door", "end": "seat", "within": 0.03}

    kind: Literal["on-the-line"] = "on-the-line"
    target: Slug = field("Stands on the line")
    start: Slug = field("From")
    end: Slug = field("To")
    within: Length = length("Within", 0.05, ge=0.001, le=20.0)

    def things(self) -> tuple[str, ...]:
        """Return the three."""
        return (self.target, self.start, self.end)

    def sentence(self, words: Words) -> str:
        """Say what stands in line with what."""
        between = f"{words.the(self.start)} to {words.the(self.end)}"
        return capital(
            f"{words.the(self.target)} stands on the line from {between}, to within {_near(float(self.within), words)}."
        )

    def stands(self, verdict: Verdict, was: Timeline, now: Timeline, words: Words) -> bool:
        """Return whether none of the three is among what differs."""
        del words
        on = was.leaf_date(verdict.year)
        return not difference(was.at(on), now.at(on)).owners & set(self.things())

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Measure at the end of the summer."""
        scene = timeline.at(timeline.leaf_date(year))
        found = [middle_of(scene, ref) for ref in self.things()]
        gone = next((ref for ref, at in zip(self.things(), found, strict=True) if at is None), None)
        if gone is not None:
            return Verdict(year, State.UNKNOWN, capital(f"{words.the(gone)} does not stand then."))
        at, start, end = (p for p in found if p is not None)
        if max(abs(start[0] - end[0]), abs(start[1] - end[1])) < HAIR_M:
            text = capital(
                f"{words.the(self.start)} and {words.the(self.end)} are one place: there is no line between them."
            )
            return Verdict(year, State.UNKNOWN, text)
        off = off_line(start, end, at)
        target, measured = float(self.within), abs(off.right_m)
        state = State.HOLDS if measured <= target + HAIR_M else State.FAILS
        drawn = (
            PathFigure((start, end), "evidence", weight="thin", dash=True),
            *((DimensionFigure(at, off.foot, measured, "evidence"),) if measured > HAIR_M else ()),
        )
        text = self._because(off, at, words)
        return Verdict(year, state, text, measured, target, "m", target - measured, evidence=drawn)

    def _because(self, off: OffLine, at: tuple[float, float], words: Words) -> str:
        if abs(off.right_m) <= HAIR_M:
            near = "a sixteenth of an inch" if words.style.system == "feet" else "the millimetre"
            return f"{capital(words.the(self.target))} stands on the line to {near}."
        import math

        to = math.degrees(math.atan2(off.foot[0] - at[0], off.foot[1] - at[1])) % 360.0
        side = compass_words(to)
        return (
            f"{capital(words.the(self.target))} stands {_near(abs(off.right_m), words)} off the line: move it {side}."
        )


def _near(metres: float, words: Words) -> str:
    """Write how near or how far off [m], as finely as a tape is read where it is little."""
    whole = words.style.system == "metric" and abs(metres - round(metres, 2)) < HAIR_M
    return format_length(metres, words.style, kind="tape") if metres < FINE_M and not whole else words.length(metres)
