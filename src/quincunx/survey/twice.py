"""Lines taped more than once: each taking is a reading of its own, and takings too far apart are told, with what to do.

Two readings of one line differ by chance within twice the root of the sum of their variances, nineteen times in twenty
(normal distribution); beyond that one of them was misread, or a stake was moved between them.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from quincunx.survey._model import true_length_m
from quincunx.survey.accuracy import SURE, tape_sd_m
from quincunx.survey.readings import Distance, Survey
from quincunx.survey.words import close
from quincunx.units.length import format_length
from quincunx.units.style import Style


@dataclass(frozen=True, slots=True)
class Taking:
    """One taping of a line: its reading's id, the length put right for its tape [m], how good it is [m], who read it."""

    id: str
    length_m: float
    sd_m: float
    text: str
    by: str = ""


@dataclass(frozen=True, slots=True)
class Twice:
    """A line taped more than once: its ends, the takings in order, how far the farthest two are apart and may be [m].

    ``odd`` is the one taking without which the others agree, where there are three or more.
    """

    start: str
    end: str
    takings: tuple[Taking, ...]
    apart_m: float
    allowed_m: float
    odd: Taking | None = None

    @property
    def agrees(self) -> bool:
        """Tell whether chance alone explains how far they are apart."""
        return self.apart_m <= self.allowed_m

    @property
    def ids(self) -> frozenset[str]:
        """Return the ids of its readings."""
        return frozenset(t.id for t in self.takings)


def held_together(start: str, end: str, takings: Sequence[Taking]) -> Twice:
    """Hold two takings or more of one line against each other."""
    worst = max(combinations(takings, 2), key=lambda two: _apart(*two) - _allowed(*two))
    odd = None
    if len(takings) > 2 and _apart(*worst) > _allowed(*worst):
        without = [t for t in takings if _all_agree([o for o in takings if o is not t])]
        odd = without[0] if len(without) == 1 else None
    return Twice(start, end, tuple(takings), _apart(*worst), _allowed(*worst), odd)


def read_twice(survey: Survey) -> tuple[Twice, ...]:
    """Return the lines of a survey that were taped more than once, in the order of their first taking."""
    tools = {t.id: t for t in survey.instruments}
    lines: dict[tuple[str, str], list[Taking]] = {}
    for r in survey.readings:
        if isinstance(r, Distance):
            tool = tools.get(r.instrument or "")
            length = true_length_m(float(r.length), tool)
            sd = float(r.accuracy) if r.accuracy is not None else tape_sd_m(length, tool)
            a, b = sorted((r.start, r.end))
            lines.setdefault((a, b), []).append(Taking(r.id, length, sd, r.length.typed or "", r.by))
    return tuple(held_together(a, b, found) for (a, b), found in lines.items() if len(found) > 1)


def twice_words(t: Twice, names: Mapping[str, str], style: Style, counts: str = "") -> str:
    """Return in sentences how far the takings of a line are apart, and what to do; ``counts`` is the id that counts meanwhile."""
    line = f"{names.get(t.start, t.start)} to {names.get(t.end, t.end)}"
    said = ", ".join(_said(o, style) for o in t.takings[:-1]) + f" and {_said(t.takings[-1], style)}"
    apart = f"{line} was read as {said}: {close(t.apart_m, style)} apart, where careful tapes leave {close(t.allowed_m, style)}."
    if t.odd is not None:
        return f"{apart} The odd one is {_said(t.odd, style)}: take it out, unless a stake was moved since."
    again = "Tape it a third time" if len(t.takings) == 2 else "Tape it once more"
    until = next((f" Until then {_said(o, style)} counts." for o in t.takings if o.id == counts), " All are kept.")
    return f"{apart} See that no stake was moved, and that both tapes began at their own zero. {again}: what agrees stands.{until}"


def _said(t: Taking, style: Style) -> str:
    text = t.text or format_length(t.length_m, style, kind="tape")
    return f"{text} ({t.by})" if t.by else text


def _apart(a: Taking, b: Taking) -> float:
    return abs(a.length_m - b.length_m)


def _allowed(a: Taking, b: Taking) -> float:
    return SURE * math.hypot(a.sd_m, b.sd_m)


def _all_agree(takings: Sequence[Taking]) -> bool:
    return all(_apart(a, b) <= _allowed(a, b) for a, b in combinations(takings, 2))
