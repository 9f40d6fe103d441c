"""Everything planted suits its place."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field

from quincunx.grow.fit import misfits, same_neighbours
from quincunx.grow.misfit import Misfit
from quincunx.grow.plantings import plantings
from quincunx.intents._base import Intent, Words
from quincunx.scene import Timeline
from quincunx.shapes import Severity, State, Verdict
from quincunx.units import capital, own_marks
from quincunx.units.fields import Slug, field

RANK = {Severity.DANGER: 3, Severity.FAULT: 2, Severity.CARE: 1, Severity.HINT: 0}


class PlantsFit(Intent):
    """No plant is in the wrong place."""

    words: ClassVar[str] = "all plants fit"
    about: ClassVar[str] = (
        "Nothing planted stands where its winters, soil, neighbours, walls or people don't suit it, as far as the site"
        " is described; each misfit is among what was noticed, with its source and what to do."
    )
    reads: ClassVar[frozenset[str]] = frozenset({"plants", "walk"})
    example: ClassVar = {"id": "right-plants"}

    kind: Literal["plants-fit"] = "plants-fit"
    plantings: Annotated[tuple[Slug, ...], Field(max_length=60)] = field("Of (none: everything planted)", ())
    strict: bool = field("Cautions count too", False, help="else only what can kill a plant or hurt somebody")

    def things(self) -> tuple[str, ...]:
        """Return the plantings it is asked of."""
        return self.plantings

    def due_from(self, timeline: Timeline) -> int | None:
        """Return the year typed, else the first of the plan."""
        return self.from_year if self.from_year is not None else timeline.years.start

    def sentence(self, words: Words) -> str:
        """Say that all is to fit."""
        rest = ", with no caution left." if self.strict else "."
        if not self.plantings:
            return f"Everything planted suits its place{rest}"
        suit, its = ("suits", "its") if len(self.plantings) == 1 else ("suit", "their")
        return f"{capital(words.both(self.plantings))} {suit} {its} place{rest}"

    def stands(self, verdict: Verdict, was: Timeline, now: Timeline, words: Words) -> bool:
        """Return whether the same is planted, and nothing differs that is looked for beside it."""
        del words
        return same_neighbours(was, now, verdict.year)

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Look for misfits grave enough."""
        if not self.plantings and not plantings(timeline, year):
            return Verdict(year, State.NOT_DUE, "Nothing is planted then.")
        limit = 1 if self.strict else 2
        found = sorted(
            (
                m
                for m in misfits(timeline, year, words.style.currency)
                if RANK[m.severity] >= limit and self._is_about(m)
            ),
            key=lambda m: -RANK[m.severity],
        )
        if not found:
            known = timeline.frame.climate.zone is not None and timeline.frame.soil.ph is not None
            rest = "" if known else " Winter cold or acidity of the soil are not known yet."
            asked = "Nothing planted" if not self.plantings else "None of these"
            return Verdict(year, State.HOLDS, f"{asked} is in the wrong place.{rest}", 0.0, 0.0, "count", 0.0)
        more = f" And {len(found) - 1} more." if len(found) > 1 else ""
        text = own_marks(found[0].said(words.name, words.length), words.style)
        return Verdict(year, State.FAILS, text + more, float(len(found)), 0.0, "count", -float(len(found)))

    def _is_about(self, misfit: Misfit) -> bool:
        """Return whether a misfit is one of the plantings asked about, or of one of them and its neighbour."""
        return not self.plantings or not {misfit.owner, misfit.other}.isdisjoint(self.plantings)
