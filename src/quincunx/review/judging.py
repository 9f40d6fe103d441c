"""Every must in every year, with what was noticed."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from quincunx.garden import Garden, timeline
from quincunx.intents import Intent, Words
from quincunx.review._view import View
from quincunx.review.read import JustRead, words_for
from quincunx.review.verdicts import Verdicts
from quincunx.scene import Timeline
from quincunx.shapes import Finding, Verdict

Progress = Callable[[str, float], None]


@dataclass(frozen=True, slots=True)
class Judged:
    """One must: its sentence, the first year it is due and a verdict for each year."""

    id: str
    kind: str
    text: str
    from_year: int | None
    muted: bool
    verdicts: tuple[Verdict, ...]


@dataclass(frozen=True, slots=True)
class Review:
    """All the musts and all that was noticed."""

    musts: tuple[Judged, ...]
    findings: tuple[Finding, ...]

    @property
    def fails(self) -> bool:
        """Return whether any must that is not muted fails in any year."""
        return any(v.state.value == "fails" for m in self.musts if not m.muted for v in m.verdicts)


def judge_one(intent: Intent, through: Timeline, words: Words, years: Iterable[int] | None = None) -> Judged:
    """Return one must judged in the given years (default: all of the plan)."""
    verdicts = tuple(intent.judge(through, year, words) for year in (years or through.years))
    return Judged(intent.id, intent.kind, intent.sentence(words), intent.due_from(through), intent.muted, verdicts)


def judge(
    garden: Garden,
    through: Timeline | None = None,
    years: Iterable[int] | None = None,
    progress: Progress | None = None,
    known: Verdicts | None = None,
) -> tuple[Judged, ...]:
    """Return every must of the garden judged in the given years, in the garden's order.

    What is ``known`` is not judged again, and what is judged becomes known.
    """
    at, verdicts = JustRead(garden, through or timeline(garden)), known or Verdicts()
    words, through = at.words, at.timeline
    chosen = tuple(through.years if years is None else years)
    out = []
    for i, intent in enumerate(garden.intents):
        if progress:
            progress("Judging", i / max(len(garden.intents), 1))
        found = tuple(verdicts.judge(intent, year, at).verdict for year in chosen)
        out.append(
            Judged(intent.id, intent.kind, intent.sentence(words), intent.due_from(through), intent.muted, found)
        )
    verdicts.write()
    return tuple(out)


def review(
    garden: Garden,
    through: Timeline | None = None,
    years: Iterable[int] | None = None,
    progress: Progress | None = None,
    known: Verdicts | None = None,
    today: int | None = None,
) -> Review:
    """Return the musts judged, but for those whose answer is ``known``, and the findings.

    ``today`` is the present month from January of year 0: what is noticed advises nothing before it.
    """
    from quincunx.review.noticing import notice

    through = through or timeline(garden)
    musts = judge(garden, through, years, progress, known)
    return Review(
        musts,
        notice(View(garden, through, words_for(garden, through), None if known is None else known.answers, today)),
    )
