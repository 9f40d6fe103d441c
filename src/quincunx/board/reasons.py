"""Why a job stands where it does, at the board: what holds it, what a year earlier would cost, what would let it in."""

from __future__ import annotations

from typing import Any

from quincunx.board.ask import Ask
from quincunx.board.clock import this_month
from quincunx.board.planner import job_of
from quincunx.board.standing import Standing
from quincunx.units import own_shares

EFFORT = 0.06
"""Solver's own count spent on one question: well under a second."""
LONG_S = 20.0


def why_there(ask: Ask) -> dict[str, Any]:
    """Answer ``GET /api/years/why``: one sentence for each job, all others staying where they are."""
    from quincunx.years.explained import Writer, written
    from quincunx.years.faults import faults
    from quincunx.years.why import why

    at = ask.session.standing()
    if faults(at.problem):
        return {"revision": at.revision, "why": {}}
    held = why(at.problem, written(at.garden, at.problem), money=Writer(at.garden.style))
    return {"revision": at.revision, "why": {name: h.sentence for name, h in held.items()}}


def year_earlier(ask: Ask) -> dict[str, Any]:
    """Answer ``GET /api/years/earlier``: what beginning ``job`` a year earlier would cost, all others free to move."""
    from quincunx.years.explained import earlier_words, written
    from quincunx.years.faults import faults
    from quincunx.years.gone_by import from_now, months_gone
    from quincunx.years.why import earlier

    at = ask.session.standing()
    job, starts = job_of(at, ask.query.get("job", "")), written(at.garden, at.problem)
    p = at.problem[job.id]
    if p.fixed_start is not None or starts.get(job.id, 0) < 12 or faults(at.problem):
        return {"job": job.id, "words": "", "impossible": False, "moves": []}
    now = this_month(at.garden.site.place)
    if starts[job.id] - 12 < months_gone(at.problem, now):
        return {"job": job.id, "words": "", "impossible": False, "moves": [], "gone_by": True}
    problem = from_now(at.problem, starts, now)
    found = earlier(problem, starts, job.id, effort=EFFORT, seconds=LONG_S)
    words = own_shares(earlier_words(at.problem, starts, found), at.garden.style)
    return {"job": job.id, "words": words, "impossible": found.impossible, "moves": _moves(at, starts, found.starts)}


def way_in(ask: Ask) -> dict[str, Any]:
    """Answer ``GET /api/years/way-in``: what would let a ``job`` in that has no month."""
    from quincunx.years.explained import Writer, way_for, written
    from quincunx.years.faults import faults
    from quincunx.years.gone_by import from_now

    at = ask.session.standing()
    job, starts = job_of(at, ask.query.get("job", "")), written(at.garden, at.problem)
    if job.id in starts or faults(at.problem):
        return {"job": job.id, "sentences": []}
    problem = from_now(at.problem, starts, this_month(at.garden.site.place))
    way = way_for(problem, starts, problem[job.id], Writer(at.garden.style))
    return {"job": job.id, "sentences": [own_shares(words, at.garden.style) for words in way.sentences]}


def all_wishes(ask: Ask) -> dict[str, Any]:
    """Answer ``GET /api/years/all-wishes``: can every job be had within the years? If not, what clashes, and ways out."""
    from quincunx.years.everything import everything
    from quincunx.years.explained import Writer
    from quincunx.years.gone_by import only_ahead

    at = ask.session.standing()
    with ask.session.turns.urgent():
        found = everything(only_ahead(at.problem, this_month(at.garden.site.place)), money=Writer(at.garden.style))
    return {"possible": found.possible, "sentence": found.sentence, "ways": list(found.ways), "note": found.note}


def _moves(at: Standing, now: dict[str, int], then: dict[str, int] | None) -> list[str]:
    from quincunx.years.replan import moves

    return [] if then is None else [m.sentence for m in moves(at.problem, now, then)]
