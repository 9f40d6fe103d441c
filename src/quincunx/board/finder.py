"""Looking for the best order at the board: in a thread of its own, improving in view, stopped at will."""

from __future__ import annotations

import logging
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from threading import Event, RLock, Thread
from typing import TYPE_CHECKING, Any

from quincunx.board.clock import today
from quincunx.board.standing import Standing
from quincunx.units import own_shares

if TYPE_CHECKING:
    from quincunx.board.opened import Opened
    from quincunx.years.order import Order
    from quincunx.years.problem import Problem
    from quincunx.years.replan import Move
    from quincunx.years.why import Held

TAKEN = "It was found and taken. Since then dates that hang on it count from it: ask again to be sure that no better one exists."
"""Said of an order that was taken, where the garden with it is another problem than the one searched."""
GONE_S = 3.0
"""How long ending a search waits for its thread [s]."""


@dataclass
class Search:
    """One search: the state of the garden it is for, the best order so far, and whether it is over.

    ``taken`` says that its order was taken, and that the garden counts otherwise since then.
    """

    at: Standing
    seconds: float
    stop: Event = field(default_factory=Event)
    best: Order | None = None
    over: bool = False
    no_plan: str = ""
    ways: tuple[str, ...] = ()
    kept: bool = False
    taken: bool = False
    problem: Problem = field(init=False)
    """What is looked for: an order from this month on, whatever is written in months gone by."""

    def __post_init__(self) -> None:
        """Take the month it is as it begins."""
        self.problem = ahead(self.at)


def ahead(at: Standing) -> Problem:
    """Return the problem of a garden in which nothing to come begins in months gone by."""
    from quincunx.years.gone_by import only_ahead

    day = today(at.garden.site.place)
    return only_ahead(at.problem, 12 * day.year + day.month - 1)


class Finder:
    """Holds the one search of an open garden."""

    def __init__(self, opened: Opened) -> None:
        """Look for nothing yet."""
        self._opened = opened
        self._lock = RLock()
        self._search: Search | None = None
        self._thread: Thread | None = None

    def begin(self, seconds: float) -> Search:
        """Begin anew, for the garden as it is now."""
        with self._lock:
            self.stop()
            search = self._search = Search(self._opened.standing(), seconds)
            self._thread = Thread(target=self._run, args=(search,), name="finder", daemon=True)
            self._thread.start()
            return search

    def stop(self) -> None:
        """End the search under way with the best there is by then."""
        with self._lock:
            thread, search = self._thread, self._search
        if search is not None:
            search.stop.set()
        if thread is not None and thread.is_alive():
            thread.join(GONE_S)

    def search(self, at: Standing) -> Search | None:
        """Return the search for this very state of the garden: the one in memory, else what the file keeps."""
        from quincunx.years.explained import written
        from quincunx.years.kept import best_known

        with self._lock:
            search = self._search
        problem = ahead(at)
        if search is not None and search.problem == problem:
            return search
        known = best_known(self._opened.store, problem, written(at.garden, problem))
        return None if known is None else Search(at, known.seconds, best=known, over=True, kept=True)

    def taken(self, search: Search, after: Standing) -> None:
        """Remember that an order was taken where the garden with it is another problem (a hedge has to be in time)."""
        best = search.best
        if best is None or best.starts is None or self.search(after) is not None:
            return
        worth = ahead(after).worth(best.starts)
        known = replace(best, worth=worth, bound=max(worth, best.bound), proven=False)
        with self._lock:
            self._search = Search(after, search.seconds, best=known, over=True, taken=True)

    def _run(self, search: Search) -> None:
        try:
            self._look(search)
        except Exception:  # a search that fails must not end the board
            logging.getLogger("quincunx.board").exception("looking for the best order failed")
            search.no_plan = "Looking for the best order went wrong inside the program. Nothing you saved is lost."
        search.over = True
        if self._search is search:
            self._opened.hub.tell("years", **document(search))

    def _look(self, search: Search) -> None:
        from quincunx.years.explained import Writer, written
        from quincunx.years.faults import faults
        from quincunx.years.kept import keep_order
        from quincunx.years.order import order

        at = search.at
        wrong = faults(search.problem, Writer(at.garden.style))
        if wrong:
            search.no_plan = " ".join(fault.sentence for fault in wrong)
            return

        def tell(found: Order) -> bool:
            search.best = found
            self._opened.hub.tell("years", **document(search))
            return not search.stop.is_set()

        search.best = order(
            search.problem,
            seconds=search.seconds,
            start_from=written(at.garden, at.problem),
            on_progress=tell,
            stop=search.stop,
        )
        if search.best.starts is None:
            search.no_plan, search.ways = _clash(at, search.problem)
        keep_order(self._opened.store, search.problem, search.best)


WENT = "“As it went” plans the rest again from today."
"""Where a plan goes on that has cost more than there was."""


def _clash(at: Standing, problem: Problem) -> tuple[str, tuple[str, ...]]:
    from quincunx.years.conflict import conflict
    from quincunx.years.explained import Writer
    from quincunx.years.overspent import overspent
    from quincunx.years.waysout import ways_out

    money = Writer(at.garden.style)
    over, clash = overspent(problem, money), conflict(problem, money=money)
    more = (WENT,) if over else ()
    if clash is None:
        return over, more
    ways = tuple(way.sentence for way in ways_out(problem, clash, money=money))
    return f"{over} {clash.sentence}".strip(), (*ways, *more)


def document(search: Search, here: Standing | None = None) -> dict[str, Any]:
    """Return how far a search is: the best order so far beside the one written ``here``, and how sure it is."""
    from quincunx.years.checker import check
    from quincunx.years.everything import NO_JOBS
    from quincunx.years.explained import Writer, written
    from quincunx.years.gone_by import gone_by
    from quincunx.years.replan import moves
    from quincunx.years.told import SAME
    from quincunx.years.why import why

    at, best = here or search.at, search.best
    told: dict[str, Any] = {
        "revision": at.revision, "over": search.over, "kept": search.kept, "no_plan": search.no_plan, "ways": list(search.ways),
    }  # fmt: skip
    if best is None or best.starts is None:
        return {
            **told,
            "how_sure": "",
            "seconds": 0.0,
            "starts": None,
            "moves": [],
            "gain": 0.0,
            "words": search.no_plan,
        }
    now = written(at.garden, at.problem)
    sound, before = check(at.problem, now).sound, at.problem.worth(now)
    gain = (best.worth - before) / before if before and sound else 0.0
    # As good as what is written: nothing to move for.  Beside a plan of no use (no job in it) no share can be told.
    good = sound and check(search.problem, now).sound and (gain < SAME if before else best.worth <= 0)
    changes = () if good else moves(at.problem, now, best.starts)
    left_out = any(m.new is None for m in changes)
    held = why(search.problem, best.starts, money=Writer(at.garden.style)) if left_out else {}
    present = today(at.garden.site.place)
    day = (present.year, present.month)
    late = gone_by(at.problem, now, day)
    words = _words(best, gain, sound=sound, same=not changes, empty=not before)
    if late and changes and sound:
        words = "What is written begins in months gone by. This order begins nothing in the past."
    return {
        **told, "how_sure": TAKEN if search.taken else best.how_sure, "proven": best.proven, "seconds": round(best.seconds, 1), "solver": best.solver,
        "starts": best.starts, "gain": round(gain, 6), "breaks_now": not sound,
        "moves": [{"id": m.project, "was": m.old, "now": m.new, "words": _moved_words(m, held)} for m in changes],
        "words": own_shares(words, at.garden.style) if at.problem.projects else NO_JOBS,
        "gone_by": gone_by(at.problem, best.starts, day) or late,
    }  # fmt: skip


def _moved_words(move: Move, held: Mapping[str, Held]) -> str:
    """Return the sentence of a move; of a job left out also what keeps it out, so that one knows what to change."""
    reason = held[move.project].reason if move.new is None and move.project in held else ""
    return f"{move.sentence.removesuffix('.')}: {reason}." if reason else move.sentence


def _words(best: Order, gain: float, *, sound: bool, same: bool, empty: bool = False) -> str:
    if not sound:
        return "The order that is written breaks a rule. This one keeps all of them."
    known = "the best there is" if best.proven else "the best that is known"
    if same:
        return f"The order that is written is {known}."
    if empty:
        return f"Nothing of use is in the plan yet. This order is {known}."
    return f"A better order is known: it gives {100 * gain:.1f} in 100 more use of the garden."
