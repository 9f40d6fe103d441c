"""The same sum of the same day for the same job, written down twice: one receipt entered from two phones counts twice."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date

from quincunx.garden import Edit, Garden, Op, plain
from quincunx.review._view import View
from quincunx.shapes import Finding, Severity
from quincunx.units import capital, format_money, listed
from quincunx.units.dates import format_day
from quincunx.works import Entry

SOURCE = "Quincunx: the journal, as it is written down"


@dataclass(frozen=True)
class Twice:
    """The same sum of the same day for the same thing: ``words`` say so, and ``spare`` are all but the line that tells most."""

    id: str
    about: str
    words: str
    spare: tuple[Entry, ...]

    @property
    def once(self) -> Edit:
        """Return the edit that counts it once: the other lines go out of the journal, or their sum does if they say more."""
        return Edit(label="Count one receipt once", ops=tuple(map(_without_sum, self.spare)))


def twice_paid(garden: Garden, called: Callable[[str], str]) -> Iterator[Twice]:
    """Yield each sum that stands more than once for one job and day; ``called`` names a thing that is no job."""
    same: dict[tuple[str, str, int], list[Entry]] = defaultdict(list)
    for entry in garden.journal:
        if entry.about and entry.sum:
            same[entry.about, entry.day, entry.sum].append(entry)
    names = {j.id: f"“{j.name}”" for j in garden.jobs}
    for (about, day, sum_), entries in sorted(same.items()):
        if len(entries) < 2:
            continue
        who = list(dict.fromkeys(e.by for e in entries if e.by))
        by = f", entered by {listed(who)}" if who else ""
        what = names.get(about) or called(about)
        money = format_money(sum_, garden.style)
        often = "twice" if len(entries) == 2 else f"{len(entries)} times"
        words = f"{money} of {format_day(date.fromisoformat(day))} stands {often} for {what}{by}; all of it counts."
        kept = max(entries, key=_tells)
        yield Twice(f"twice-{about}-{day}-{sum_}", about, capital(words), tuple(e for e in entries if e is not kept))


def _without_sum(entry: Entry) -> Op:
    """Return the change by which a line's sum no longer counts; that a job was done, its hours and a picture stay."""
    if entry.what == "spent" and not (entry.hours or entry.amount or entry.picture):
        return Op(do="remove", part="journal", id=entry.id)
    what = entry.what if entry.what != "spent" else "hours" if entry.hours else "note"
    return Op(do="put", part="journal", id=entry.id, value=plain(entry.changed(sum=None, what=what)))


def _tells(entry: Entry) -> tuple[bool, int]:
    """Return how much a line tells: one with a picture more than any without, then the one with more words."""
    return entry.picture is not None, len(entry.text)


def check(view: View) -> Iterator[Finding]:
    """Yield a finding for each sum that stands more than once for one job and day; nothing is left out of what is counted."""
    for twice in twice_paid(view.garden, view.called):
        yield Finding(
            twice.id, Severity.CARE, twice.words,
            "If it is one receipt, count it once (Outdoors), or take the sum out of the other lines (Years, As it went);"
            " if they are several, leave them.",
            SOURCE, (twice.about,),
        )  # fmt: skip
