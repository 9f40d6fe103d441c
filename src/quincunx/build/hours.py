"""Hours from norms: what comes with the package, what the person typed, and what the journal teaches."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from quincunx.build._data import table
from quincunx.build.amounts import Task
from quincunx.works import Norm

TRUST_H = 10.0
"""So many hours of the norms weigh as much as your own journal, before it says more (our own choice) [h]."""
LEAST_H = 2.0
"""A job that takes less by the norms says nothing of how far hours spread: fetching the tools takes as long (our own choice) [h]."""
SPREAD = (0.75, 1.5)
"""Hours may well come to so much of the norm, until your own journal says otherwise (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Pace:
    """How the person works against the norms: ``factor``, its range, and from how many finished jobs it is known."""

    factor: float = 1.0
    low: float = SPREAD[0]
    high: float = SPREAD[1]
    jobs: int = 0


@dataclass(frozen=True, slots=True)
class Labour:
    """Hours for one sort of task: its words, how much of it, the unit it is counted in, hours at the person's pace [h]."""

    norm: str
    words: str
    amount: float
    unit: str
    hours: float
    source: str


def norms(own: Iterable[Norm] = ()) -> Mapping[str, Norm]:
    """Return every norm by id: those of the package, and the person's own in their place."""
    source = "common practice, no source"
    out = {
        id_: Norm(id=id_, words=words, unit=unit, hours=hours, source=source)
        for id_, words, unit, hours in table("norms")["norms"]
    }
    return out | {n.id: n for n in own}


def learned(done: Sequence[tuple[float, float]]) -> Pace:
    """Return the pace that finished jobs teach: pairs of hours by the norms and hours really worked [h].

    The factor is drawn towards 1 by :data:`TRUST_H` hours of norms; with three jobs or more, of :data:`LEAST_H` or more
    each, the range is theirs.
    """
    kept = [(n, real) for n, real in done if n > 0 and real > 0]
    if not kept:
        return Pace()
    factor = (TRUST_H + sum(real for _, real in kept)) / (TRUST_H + sum(n for n, _ in kept))
    ratios = sorted(real / n for n, real in kept if n >= LEAST_H)
    if len(ratios) < 3:
        return Pace(factor, factor * SPREAD[0], factor * SPREAD[1], len(kept))
    return Pace(factor, min(ratios[0], factor), max(ratios[-1], factor), len(kept))


def labour(tasks: Iterable[Task], known: Mapping[str, Norm], pace: Pace | None = None) -> tuple[Labour, ...]:
    """Return the hours of each task at a pace; a task without a norm is left out (tests see that none is)."""
    factor = (pace or Pace()).factor
    return tuple(
        Labour(t.norm, n.words, t.amount, n.unit, t.amount * n.hours * factor, n.source)
        for t in tasks
        if (n := known.get(t.norm)) is not None
    )
