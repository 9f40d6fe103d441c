"""A bed keeps the class of sun it was planned for."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.intents._base import Intent, Words
from quincunx.intents._lighting import asked_at, blamed, gone_words, marks, same_sun, shades
from quincunx.light import sun_classes
from quincunx.scene import Timeline
from quincunx.shapes import State, Verdict
from quincunx.units import capital
from quincunx.units.fields import Slug, field

NORTHERN, SOUTHERN = (4, 5, 6, 7, 8, 9), (10, 11, 12, 1, 2, 3)
"""The growing months over which hours are meant (common practice, no source)."""
HAIR_H = 0.02
WIDE_STEP_MIN = 30.0
"""Over six months and several points a half hour between suns is near enough [min]."""


class KeepsItsSun(Intent):
    """A bed stays in its class of sun, or a sunnier one, as all around it grows."""

    words: ClassVar[str] = "keeps its sun"
    about: ClassVar[str] = (
        "Over the growing months (April to September in the north) a bed has, on clear days, at least the mean hours of sun "
        "of its class: full sun from 6 hours, part sun from 4 hours. Definitions differ from source to source."
    )
    reads: ClassVar[frozenset[str]] = frozenset({"light"})
    example: ClassVar = {"id": "peonies-in-sun", "place": "peonies", "sun": "full sun"}

    kind: Literal["keeps-its-sun"] = "keeps-its-sun"
    place: Slug = field("Which bed")
    sun: Literal["full sun", "part sun"] = field("Class of sun", "full sun")

    def things(self) -> tuple[str, ...]:
        """Return the bed."""
        return (self.place,)

    def sentence(self, words: Words) -> str:
        """Say which sun the bed keeps."""
        return f"{capital(self.sun)} stays on {words.the(self.place)}."

    def stands(self, verdict: Verdict, was: Timeline, now: Timeline, words: Words) -> bool:
        """Return whether nothing that differs may shade the bed."""
        del words
        return same_sun(was, now, verdict.year, self.place, _months(was), WIDE_STEP_MIN)

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Cast the suns of the growing months and take their mean over the bed."""
        scene = timeline.at(timeline.leaf_date(year))
        asked = asked_at(scene, self.place)
        if asked is None:
            return Verdict(year, State.UNKNOWN, gone_words(self.place, words))
        months = _months(timeline)
        found = shades(scene, timeline, asked, months, WIDE_STEP_MIN)
        each = [sum(s.sun_h(m) for m in months) / len(months) for s in found]
        measured, classes = sum(each) / len(each), sun_classes()["usual"]
        limit = classes.limits_h[classes.words.index(self.sun)]
        state = State.HOLDS if measured >= limit - HAIR_H else State.FAILS
        why = blamed(found, months, words) if state == State.FAILS else ""
        text = f"{words.hours(measured)} a day on clear days of the growing months: {classes.word(measured + HAIR_H)}"
        text = f"{text}{f'; shaded{why}' if why else ''}."
        drawn = marks(asked, words.hours(measured))
        return Verdict(
            year, state, text, measured, limit, "h", measured - limit, (min(each), max(each)), evidence=drawn
        )


def _months(timeline: Timeline) -> tuple[int, ...]:
    """Return the growing months."""
    return SOUTHERN if timeline.southern else NORTHERN
