"""What was done on one day and by whom, for the people who did it: words, and one picture to keep or to send."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from quincunx.board.ask import Ask
from quincunx.board.outdoors import noticed_set
from quincunx.board.outdoors_lists import lists_json
from quincunx.board.replies import Refused, encoded
from quincunx.review.outdoor_notes import MEASURED, TICKED
from quincunx.review.together import proof_key, same
from quincunx.sheets import Set
from quincunx.sheets._both_card import CARD_MM
from quincunx.sheets._day_card import DoneJob, day_card, title
from quincunx.sheets._outdoors import Planned, base_of, planned_whole
from quincunx.units import listed
from quincunx.works import Entry, Job

STEPS = (TICKED, MEASURED)
NOTHING = "Nothing of a job was ticked, taped or called done on that day."


def day(ask: Ask) -> bytes:
    """Answer ``GET /api/outdoors/day/2027-11-06``: what was done that day, in words and as one picture; no sum, no place."""
    session, text = ask.session, str(ask.path.get("day", ""))
    try:
        asked = date.fromisoformat(text)
    except ValueError:
        raise Refused(422, f"Which day is {text[:20]!r}? Write it as 2027-11-06.") from None
    at = session.standing()
    key = ("day", at.whole, *at.stamp, text)
    known = session.drawn.get(key)
    return known if known is not None else session.drawn.put(key, encoded(day_json(noticed_set(session), asked)))


def day_json(of: Set, asked: date) -> dict[str, Any]:
    """Return what was done on a day as JSON values; where nothing was, ``none`` says so and there is no picture."""
    entries = [e for e in of.garden.journal if e.day == asked.isoformat()]
    jobs = [j for j in of.garden.jobs if any(e.about == j.id and e.what in (*STEPS, "done") for e in entries)]
    told = {
        "day": asked.isoformat(),
        "title": title(asked),
        "people": "",
        "jobs": list[Any](),
        "none": NOTHING,
        "card": "",
    }
    if not jobs:
        return told
    base = base_of(of)
    plans = [planned_whole(of, j, base) for j in jobs]
    done = [_done(of, plan, [e for e in entries if e.about == plan.job.id]) for plan in plans]
    people = _people(entries, jobs)
    card, high = day_card(of, asked, people, done, plans)
    return {
        **told, "people": people, "none": "", "card": card, "wide_mm": CARD_MM, "high_mm": high,
        "jobs": [{"name": one.head, "lines": one.lines} for one in done],
    }  # fmt: skip


def _people(entries: Sequence[Entry], jobs: Sequence[Job]) -> str:
    """Return who did something of the jobs, as a sentence has them, each once."""
    about = {j.id for j in jobs}
    names = {
        same(e.by): e.by for e in entries if e.by and e.about in about and e.what in (*STEPS, "done", "begun", "hours")
    }
    return listed(sorted(names.values(), key=str.casefold))


def _done(of: Set, plan: Planned, entries: Sequence[Entry]) -> DoneJob:
    """Return the steps of one job that were done, in its own order, each once; a line without what it costs."""
    by: dict[str, dict[str, str]] = {}
    for e in entries:
        if e.what in STEPS and e.points:
            key = proof_key(e.points) if e.what == MEASURED else e.points[0]
            by.setdefault(key, {}).update({same(e.by): e.by} if e.by else {})
    steps = [
        (words, listed(sorted(by[key].values(), key=str.casefold))) for key, words in _words(of, plan) if key in by
    ]
    return DoneJob(plan.job.name, tuple(steps), any(e.what == "done" for e in entries))


def _words(of: Set, plan: Planned) -> list[tuple[str, str]]:
    """Return every step of a job with its key: points, what proves them, the lines of its lists."""
    points = [(p.id, f"point {plan.numbers[p.id]} set: {plan.marks[p.id].words}") for p in plan.found.points]
    proofs = [
        (proof_key((d.start, d.end)), f"{min(a, b)} to {max(a, b)} taped")
        for d in plan.found.diagonals
        for a, b in [(plan.numbers[d.start], plan.numbers[d.end])]
    ]
    lines = [(i["id"], i["words"]) for one in lists_json(of, plan, money=False) for i in one["items"]]
    return [*points, *proofs, *lines]
