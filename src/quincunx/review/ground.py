"""The ground as it was measured: where the stakes are, how surely, what doesn't fit, what to measure next.

One pure function of the garden works it out for the board, the sheets and the command line.
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Mapping
from dataclasses import dataclass

from quincunx.garden import Garden
from quincunx.review import level_books
from quincunx.review.level_books import LevelBook
from quincunx.review.searching import Enough, Searches
from quincunx.shapes import XY
from quincunx.survey import (
    Distance,
    NextTape,
    Reading,
    RiseNet,
    Searched,
    Survey,
    Suspect,
    fall,
    find_misreadings,
    next_tapes,
    write_line,
)
from quincunx.survey._model import DIST
from quincunx.survey.begun import First, search_with_begun
from quincunx.survey.level_slips import LevelSuspect, find_level_slips
from quincunx.survey.twice import Twice, read_twice, twice_words
from quincunx.survey.words import level_suspect, small, sure, suspect as suspect_words, warm_tape, worth_taping
from quincunx.units import Style, counted, format_length

LONGEST_M = {"metric": 30.0, "feet": 165.0 * 0.3048}
"""The longest tape assumed [m]: 30 m, or 165 ft on an open reel (common practice, no source)."""
PACED_M = 0.25
"""A length no surer than this was paced [m]."""


@dataclass(frozen=True, slots=True)
class Fall:
    """How the ground falls from one stake to another: both ends, the drop and the level distance [m]."""

    start: str
    end: str
    drop_m: float
    distance_m: float

    @property
    def grade(self) -> float:
        """Return the fall as a share of the distance (0.02 is 1 in 50)."""
        return fall(self.drop_m, 0.0, self.distance_m)


@dataclass(frozen=True, slots=True)
class Measured:
    """A survey worked out: places without the readings that don't fit, the levels, and what to measure next.

    ``halted`` if somebody stopped the search: it is then the best that was known by then.
    """

    survey: Survey
    style: Style
    names: Mapping[str, str]
    searched: Searched
    next: tuple[NextTape, ...]
    levels: RiseNet | None
    books: tuple[LevelBook, ...]
    falls: tuple[Fall, ...]
    level_slips: tuple[LevelSuspect, ...] = ()
    halted: bool = False
    firsts: tuple[First, ...] = ()
    """What became of each length that began the garden."""
    twice: tuple[Twice, ...] = ()
    """The lines that were taped more than once."""

    @property
    def places(self) -> dict[str, XY]:
        """Return where the located stakes are, by id [m]."""
        return {i: (p.x_m, p.y_m) for i, p in sorted(self.searched.adjusted.positions.items())}

    @property
    def readings(self) -> dict[str, Reading]:
        """Return the readings by id, those too that began the garden."""
        return {r.id: r for r in (*self.survey.readings, *self.survey.begun.lengths)}

    @property
    def suspects(self) -> tuple[str, ...]:
        """Return one sentence for each reading that doesn't fit, with what to do."""
        return tuple(
            self._of_one_line(s) or suspect_words(s, self.readings, self.names, self.style)
            for s in self.searched.suspects
        )

    @property
    def one_line(self) -> tuple[str, ...]:
        """Return the sentences of the suspects against which only another taping of the same line speaks."""
        return tuple(words for s in self.searched.suspects if (words := self._of_one_line(s)))

    @property
    def lines_apart(self) -> tuple[Twice, ...]:
        """Return the lines whose tapings are too far apart, where no suspect says so already."""
        bad = {s.reading for s in self.searched.suspects}
        return tuple(t for t in self.twice if not t.agrees and not t.ids & bad)

    @property
    def apart(self) -> tuple[str, ...]:
        """Return one sentence for each of them, with what to do."""
        return tuple(twice_words(t, self.names, self.style) for t in self.lines_apart)

    def line_of(self, s: Suspect) -> Twice | None:
        """Return the line of a suspect against which only another taping of it speaks; None where others do."""
        line = next((t for t in self.twice if {s.reading, *s.together} <= t.ids), None)
        return line if s.together else None

    def _of_one_line(self, s: Suspect) -> str:
        """Return what to do where only another taping of the same line speaks against one; nothing where others do."""
        line = self.line_of(s)
        if line is None:
            return ""
        left = [o.id for o in line.takings if o.id != s.reading]
        return twice_words(line, self.names, self.style, left[0] if len(left) == 1 else "")


SEARCHES: Searches[Measured] = Searches(4)
"""The newest surveys worked out, and what runs."""


def level_words(m: Measured) -> tuple[str, ...]:
    """Return one sentence for each difference in level that doesn't fit."""
    return tuple(level_suspect(s, m.readings, m.names, m.style) for s in m.level_slips)


def read_again(m: Measured) -> tuple[str, ...]:
    """Return one sentence for each line that two tapings, and each rise that two rounds of levels, have otherwise."""
    return (*m.one_line, *m.apart, *level_words(m))


def warm_words(m: Measured) -> tuple[str, ...]:
    """Return one sentence for each steel tape whose warmth mattered."""
    out = []
    for tool in m.survey.instruments:
        lengths = [float(r.length) for r in m.survey.readings if isinstance(r, Distance) and r.instrument == tool.id]
        out.append(warm_tape(tool, max(lengths), m.style) if lengths else "")
    return tuple(words for words in out if words)


def book_words(m: Measured) -> tuple[str, ...]:
    """Return in sentences how each level book proves itself, and by how much it closes; nothing without a book."""
    headed = len(m.books) > 1
    return tuple(words for b in m.books for words in level_books.book_words(b, m.names, m.style, headed=headed))


def measure(garden: Garden) -> Measured:
    """Work out the garden's survey; what is missing is named, never an error.

    One that was worked out a moment ago is not worked out again.
    """
    return SEARCHES.result(_key(garden), lambda enough: _measured(garden.survey, garden.style, enough))


def search_on(garden: Garden) -> bool:
    """Forget a search that was stopped, so that it is made to its end; tell whether there was one."""
    return SEARCHES.forget(_key(garden))


def _key(garden: Garden) -> Hashable:
    """Return what a result hangs on; as a reading was written is part of it, because a slip shows only in that."""
    return garden.survey, garden.style, tuple(write_line(r, garden.style) for r in garden.survey.readings)


def _measured(survey: Survey, style: Style, enough: Enough) -> Measured:
    searched, firsts = search_with_begun(survey, lambda whole: find_misreadings(whole, style, enough=enough))
    levelled = any(r.type in ("rise", "staff") for r in survey.readings)
    levels, slips = find_level_slips(survey, style) if levelled else (None, ())
    return Measured(
        survey,
        style,
        {s.id: s.name for s in survey.stakes},
        searched,
        tuple(n for n in next_tapes(searched.adjusted, longest_m=_reach_m(searched, style)) if worth_taping(n, style)),
        levels,
        level_books.level_books(survey, levels),
        _falls(survey, searched, levels),
        slips,
        enough(),
        firsts,
        read_twice(survey),
    )


def _reach_m(searched: Searched, style: Style) -> float:
    """Return how far is taped here [m]: as far as was taped already, if that is further than a usual tape."""
    net = searched.adjusted.net
    taped = (row.value for row in net.rows.listed if row.kind == DIST and row.sd < PACED_M)
    return max(LONGEST_M[style.system], *taped, 0.0)


def _falls(survey: Survey, searched: Searched, levels: RiseNet | None) -> tuple[Fall, ...]:
    """Return the falls along the lines that were taped, from the higher stake to the lower."""
    if levels is None:
        return ()
    at, z = searched.adjusted.positions, levels.levels
    found: dict[tuple[str, str], Fall] = {}
    for r in survey.readings:
        if not isinstance(r, Distance) or not all(s in at and s in z for s in (r.start, r.end)):
            continue
        a, b = sorted((r.start, r.end), key=lambda s: (-z[s], s))
        far = math.dist((at[a].x_m, at[a].y_m), (at[b].x_m, at[b].y_m))
        if far > 0.05:
            found[a, b] = Fall(a, b, z[a] - z[b], far)
    return tuple(found[k] for k in sorted(found))


def summary(m: Measured) -> str:
    """Return the survey in one sentence: how many stakes, how surely, how many readings don't fit."""
    found = m.searched.adjusted.positions
    if len(found) < 2:
        begun = "They are kept, and worked out with what you tape. " if m.firsts else ""
        return (
            "Nothing is measured yet. Put in stakes, tape between them, and write down each reading. The lengths that began"
            f" the garden made its boundary. {begun}The first page for Saturday says what to tape to check it."
        )
    loose = [s.sure_m for s in found.values()]
    text = f"{len(found)} of {counted(len(m.survey.stakes), 'stake')} found from {counted(len(m.survey.readings), 'reading')}"
    used = sum(f.joined and f.said_m is None for f in m.firsts)
    text += f" and {counted(used, 'length')} that began the garden" if used else ""
    text += f", all sure to within {small(max(*loose, 0.001), m.style)}."
    bad = len(m.searched.suspects)
    text += "" if not bad else f" {bad} reading{'s don’t' if bad > 1 else ' doesn’t'} fit."
    return text + (" The search was stopped: this is the best that was known by then." if m.halted else "")


def sure_of(m: Measured, stake: str) -> str:
    """Return how surely a located stake is known, in plain words."""
    p = m.searched.adjusted.positions[stake]
    return "held: all else is measured from it" if p.sure_m < 1e-6 else sure(p, m.style)


def fall_words(m: Measured, f: Fall) -> str:
    """Return "A to B falls 0.36 m in 18.76 m: 1 in 52"."""
    a, b = m.names[f.start], m.names[f.end]
    far = format_length(f.distance_m, m.style)
    if f.drop_m < 0.002:
        return f"{a} and {b} are level, {far} apart"
    drop = format_length(f.drop_m, m.style)
    return f"{a} to {b} falls {drop} in {far}: 1 in {round(1 / f.grade)}"
