"""Beside the plan at the board: what if, how safe, this month and the next."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from quincunx.board.ask import Ask
from quincunx.board.clock import this_month
from quincunx.board.replies import Refused, number, text
from quincunx.board.standing import Standing
from quincunx.garden import Garden
from quincunx.units import own_marks, own_shares
from quincunx.units.dates import month_index

if TYPE_CHECKING:
    from quincunx.board.session import Session
    from quincunx.review.changed import MustChange
    from quincunx.review.judging import Judged

SECONDS, EFFORT = 60.0, 1.0
"""Bounds of one search for a what-if: wall [s], and the solver's own count, which bites first."""


def what_if(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/years/what-if``: the plan as it is beside the best if ``ask`` (``money=+20%``) were so."""
    from quincunx.years.compared import compared, what_if as otherwise
    from quincunx.years.explained import Writer, written
    from quincunx.years.faults import require_sense
    from quincunx.years.gone_by import only_ahead
    from quincunx.years.kept import keep_order
    from quincunx.years.order import order

    session = ask.session
    at = session.standing()
    require_sense(at.problem, Writer(at.garden.style))
    now = this_month(at.garden.site.place)
    otherwise(
        at.garden, text(ask.body, "ask", 120), now
    )  # what can't be asked is said at once, before any order is looked for
    search = session.finder.search(at)
    known = search.best if search is not None and search.over else None
    if known is None or known.starts is None:
        problem = only_ahead(at.problem, now)
        known = order(
            problem, seconds=SECONDS, effort=EFFORT, smoothing=False, start_from=written(at.garden, at.problem)
        )
        keep_order(session.store, problem, known)
    found = compared(
        at.garden, at.timeline, text(ask.body, "ask", 120), seconds=SECONDS, effort=EFFORT, known=known, today=now
    )
    one, then = found.gardens(at.garden)
    return {
        "ask": text(ask.body, "ask", 120), "what_if": found.asked.words, "words": found.words, "possible": found.then is not None,
        "share": round(found.share, 6), "now": found.now.starts, "then": found.then,
        "moves": [m.sentence for m in found.moves], "curve": [[y, round(a, 2), round(b, 2)] for y, (a, b) in found.curve.items()],
        "musts": [] if then is None else musts_json(musts_otherwise(session, one, then)),
    }  # fmt: skip


def dearer(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/years/dearer``: what ``what`` (``timber, posts +30%``) touches, and the edit that writes it."""
    from quincunx.garden.dearer import dearer as touched

    at = ask.session.standing()
    found = touched(at.garden, text(ask.body, "what", 120))
    return {
        "words": found.sentence(at.garden.style), "edit": found.edit.model_dump(mode="json"), "revision": at.revision,
    }  # fmt: skip


def matters(ask: Ask) -> dict[str, Any]:
    """Answer ``GET /api/years/matters``: points of each job, what has been compared, and the two to compare next."""
    from quincunx.years.weighed import next_pair, pairs_of, points_of

    at = ask.session.standing()
    points = points_of(at.garden)
    return {
        "points": points, "pairs": [{"more": m, "less": n, "words": words} for m, n, words in pairs_of(at.garden)],
        "next": next_pair(at.garden), "revision": at.revision,
    }  # fmt: skip


def how_safe(ask: Ask) -> dict[str, Any]:
    """Answer ``GET /api/years/safe``: chances in words; with ``wanted`` (0.8) the plan that is as safe as that."""
    from quincunx.years.explained import Writer, written
    from quincunx.years.faults import require_sense
    from quincunx.years.safe import how_safe as tell, safer

    at = ask.session.standing()
    starts = written(at.garden, at.problem)
    require_sense(at.problem, Writer(at.garden.style))
    if "wanted" in ask.query:
        wanted = number(ask.query["wanted"], "wanted")
        if not 0 < wanted < 1:
            raise Refused(422, "A chance lies between 0 and 1.")
        found = safer(at.garden, at.problem, starts, wanted)
        plan = dict(found.points[-1].starts) if found.points else None
        return {
            "words": own_shares(found.words, at.garden.style),
            "reached": found.reached,
            **_offer(at, plan, "Plan with something put by"),
        }
    told = tell(at.garden, at.problem, starts)
    return {
        "words": told.words, "how": [own_marks(words, at.garden.style) for words in told.how],
        "years": [{"year": y.year, "words": y.words, "money": round(y.money.value, 4), "hours": round(y.hours.value, 4)} for y in told.years],
    }  # fmt: skip


def _offer(at: Standing, starts: dict[str, int] | None, label: str) -> dict[str, Any]:
    from quincunx.years.explained import written
    from quincunx.years.from_garden import edit_of
    from quincunx.years.replan import moves

    if starts is None:
        return {"starts": None, "moves": [], "edit": None, "revision": at.revision}
    now = written(at.garden, at.problem)
    edit = edit_of(at.garden, at.problem, starts, label)
    return {
        "starts": starts, "moves": [m.sentence for m in moves(at.problem, now, starts)],
        "edit": edit.model_dump(mode="json") if edit.ops else None, "revision": at.revision,
    }  # fmt: skip


def soon(ask: Ask) -> dict[str, Any]:
    """Answer ``GET /api/years/soon``: what to do in ``month`` (``2028-06``) and the next, and on a wet weekend."""
    from quincunx.garden.too_late import too_late
    from quincunx.units.dates import format_month, month_from_index
    from quincunx.years.soon import MONTHS_SHOWN, soon as coming, wet

    at = ask.session.standing()
    first = month_index(month_in_plan(ask.query.get("month", ""), at))
    tasks = coming(at.garden, at.timeline, first)
    late = [one.sentence for one in too_late(at.garden, at.timeline, at.words, first)]
    return {
        "months": [
            {"month": month_from_index(m), "words": format_month(month_from_index(m)),
             "tasks": [{"kind": t.kind, "job": t.job, "words": t.words, "late": t.late, "things": t.things} for t in tasks if t.month == m]}
            for m in range(first, first + MONTHS_SHOWN)
        ],
        "too_late": late,
        "wet": [{"job": w.job, "possible": w.possible, "words": w.words} for w in wet(at.garden, at.timeline, tasks)],
    }  # fmt: skip


def month_in_plan(typed: str, at: Standing) -> str:
    """Return a month as ``2028-06``; before or after the plan its first or last month; :class:`Refused` if it is none."""
    from quincunx.units import parse_month

    month = parse_month(typed)
    years = at.timeline.years
    return min(max(month, f"{years[0]:04d}-01"), f"{years[-1]:04d}-12")


def musts_otherwise(session: Session, now: Garden, then: Garden) -> tuple[MustChange, ...]:
    """Return the musts answered otherwise; what is known of the open garden is not judged again."""
    from quincunx.board.judged import all_judged
    from quincunx.review.changed import musts_changed

    def judged(garden: Garden) -> list[Judged]:
        return all_judged(session, Standing.of(garden, session.shared), session.turns.background)

    return musts_changed(judged(now), judged(then))


def musts_json(changes: tuple[MustChange, ...]) -> list[dict[str, Any]]:
    """Return the musts answered otherwise, the broken ones first."""
    rows = sorted(changes, key=lambda m: not m.breaks)
    return [{"id": m.id, "breaks": m.breaks, "words": f"{m.sentence} {m.because}"} for m in rows]
