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
from quincunx.scene._kept import age_all
from quincunx.shapes import Finding, Verdict

Progress = Callable[[str, float], None]
LARGE = 500
"""A garden of more things than this is large: it isn't kept in memory for all years at once."""


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
    found: list[list[Verdict]] = [[] for _ in garden.intents]
    for n, year in enumerate(chosen):
        for i, intent in enumerate(garden.intents):
            if progress:
                progress("Judging", (n + i / len(found)) / len(chosen))
            found[i].append(verdicts.judge(intent, year, at).verdict)
        age_if_large(garden)
    verdicts.write()
    return tuple(
        Judged(i.id, i.kind, i.sentence(words), i.due_from(through), i.muted, tuple(own))
        for i, own in zip(garden.intents, found, strict=True)
    )


def age_if_large(garden: Garden) -> None:
    """Let go what was worked out about a large garden and not asked for since this was said last.

    A year of 2,000 things holds some hundred megabytes of ground; of a small garden, all that is kept is of use.
    """
    if len(garden.features) > LARGE:
        age_all()


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
