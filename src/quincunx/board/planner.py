"""The years month by month at the board: every job in its month, money and hours, and what moving a job would do."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from quincunx.board.ask import Ask
from quincunx.board.clock import this_month
from quincunx.board.replies import Refused, text, whole
from quincunx.board.standing import Standing
from quincunx.garden import Garden
from quincunx.units import own_shares
from quincunx.units.dates import month_from_index
from quincunx.works import Job

WAIT_S = 0.12
"""A try is answered within about this time, with the verdicts there are by then [s]."""
FIXED = frozenset({"done", "begun"})
"""States in which a job can't be moved: the journal says when it was."""


def years(ask: Ask) -> dict[str, Any]:
    """Answer ``GET /api/years``: every month of the plan, and when each job runs; months count from the first."""
    from quincunx.garden.too_late import stands_at, too_late
    from quincunx.years.explained import Writer, written
    from quincunx.years.faults import faults
    from quincunx.years.gone_by import only_ahead
    from quincunx.years.neighbour import neighbour
    from quincunx.years.overspent import owed
    from quincunx.years.told import broken
    from quincunx.years.underway import still_ahead

    at = ask.session.standing()
    late = [
        one.sentence
        for one in too_late(at.garden, at.timeline, at.words, stands_at(at.garden, this_month(at.garden.site.place)))
    ]
    wrong = [fault.sentence for fault in faults(at.problem, Writer(at.garden.style))]
    starts = written(at.garden, at.problem)
    bills = owed(only_ahead(at.problem, this_month(at.garden.site.place)), Writer(at.garden.style))
    breaks = wrong or list(broken(at.problem, starts, money=Writer(at.garden.style)))
    return {
        "revision": at.revision, "head": at.head, "first_year": at.garden.means.first_year, "years": list(at.timeline.years),
        **sums(at.garden), "reserve": at.garden.means.reserve, "large_a_year": at.garden.means.large_a_year,
        "jobs": jobs(at), "breaks": breaks, "nonsense": bool(wrong), "too_late": late,
        "owed": [bills[year] for year in sorted(bills)],
        "neighbour": list(neighbour(at.garden, at.problem, this_month(at.garden.site.place))), "happened_until": still_ahead(at.garden),
    }  # fmt: skip


def sums(garden: Garden) -> dict[str, Any]:
    """Return money [minor units] and hours [h] by month."""
    from quincunx.years.months import months_of

    rows = months_of(garden)
    return {
        "money": {"in": [m.income for m in rows], "spent": [m.spent for m in rows], "left": [m.balance for m in rows]},
        "hours": {
            "given": [round(m.given_h, 2) for m in rows], "upkeep": [round(m.upkeep_h, 2) for m in rows],
            "worked": [round(m.worked_h, 2) for m in rows],
        },
    }  # fmt: skip


def jobs(at: Standing) -> list[dict[str, Any]]:
    """Return each job: when it runs, when it could, how it stands."""
    from quincunx.years.grown import use_words
    from quincunx.years.months import runs_of
    from quincunx.years.seasons import season
    from quincunx.years.weighed import pairs_of

    first, compared = at.garden.means.first_year * 12, {name for pair in pairs_of(at.garden) for name in pair[:2]}
    found = []
    for run in runs_of(at.garden):
        job, p = run.job, at.problem[run.job.id]
        free = at.problem.allowed_starts(replace(p, fixed_start=None), by_deadline=False)
        found.append({
            "id": job.id, "name": job.name, "state": run.state, "large": job.large, "months": p.duration_months,
            "start": None if run.start is None else run.start - first,
            "end": None if run.start is None or run.end is None else run.end - first,
            "fits": [] if run.state in FIXED else free, "cost": job.cost, "hours": job.hours, "worth": job.worth,
            "points": p.worth, "compared": job.id in compared, "of_use_after": p.lag_months,
            "of_use_words": use_words(at.timeline, job),
            "season": season(at.timeline, job).document,
            "after": [a.job for a in job.after], "does": sorted({t.partition("/")[0] for t in job.does}),
        })  # fmt: skip
    return found


def tried(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/years/try``: what beginning ``job`` in month ``start`` (none: leaving it out) would do.

    Verdicts that are not known within :data:`WAIT_S` follow as an event ``tried``.
    """
    from quincunx.years.explained import Writer, written
    from quincunx.years.months import runs_of
    from quincunx.years.told import moved

    body, session = ask.body, ask.session
    at = session.standing()
    job = job_of(at, text(body, "job", 60))
    start = month_asked(body.get("start"), at)
    state = next(r.state for r in runs_of(at.garden) if r.job.id == job.id)
    if state in FIXED:
        raise Refused(422, f"{job.name} is {state}: the journal says when, so it can't be moved.")
    then = moved_garden(at.garden, job, start)
    stood = Standing.of(then, session.shared, at.revision, "")
    judging = session.trier.begin(at, stood, _year(at, start), str(body.get("window", ""))[:40])
    found = moved(at.problem, written(at.garden, at.problem), job.id, start, money=Writer(at.garden.style))
    judging.over.wait(WAIT_S)
    return {
        "job": job.id, "start": start, "words": own_shares(found.words, at.garden.style),
        "share": round(found.share, 6), "breaks": list(found.breaks),
        "mends": list(found.mends), **sums(then), **judging.answer(session.verdicts.last), "revision": at.revision,
    }  # fmt: skip


def job_of(at: Standing, name: str) -> Job:
    """Return a job by id; :class:`Refused` if it is not there."""
    found = next((j for j in at.garden.jobs if j.id == name), None)
    if found is None:
        raise Refused(404, "There is no such job any more. Another window took it out.")
    return found


def month_asked(value: Any, at: Standing) -> int | None:
    """Return a month counted from the plan's first, or None; :class:`Refused` outside the plan."""
    if value is None:
        return None
    month = whole(value, "start")
    if not 0 <= month < at.problem.months:
        raise Refused(
            422, f"That month is outside the plan, which runs from {at.timeline.years[0]} to {at.timeline.years[-1]}."
        )
    return month


def moved_garden(garden: Garden, job: Job, start: int | None) -> Garden:
    """Return the garden with one job begun in another month."""
    month = None if start is None else month_from_index(garden.means.first_year * 12 + start)
    other = job.model_copy(update={"start": month})
    return garden.model_copy(update={"jobs": tuple(other if j.id == job.id else j for j in garden.jobs)})


def _year(at: Standing, start: int | None) -> int:
    return at.timeline.years[0] if start is None else at.timeline.years[0] + start // 12
