"""The thread that judges what a drag would mean; of several tries of one window only the newest counts."""

from __future__ import annotations

import logging
import time
from collections import OrderedDict
from collections.abc import Callable, Iterable, Mapping, Sequence, Set as AbstractSet
from contextlib import AbstractContextManager
from itertools import product
from threading import Condition, Event, Thread
from typing import TYPE_CHECKING, Any

from quincunx.board.standing import Standing
from quincunx.board.telling import verdict_json
from quincunx.board.trying import Cell, Doubts, judge_try
from quincunx.intents import Intent
from quincunx.review.verdicts import Known

if TYPE_CHECKING:
    from quincunx.board.opened import Opened
    from quincunx.board.panel import Panel

TELL_S = 0.25
"""What has been judged so far is told so often: whatever is told the page draws, on the same processors [s]."""

DWELL_S = 0.1
"""A try that is being judged when a newer one comes is given so long from its beginning to tell something [s]."""
MOST_WINDOWS = 32
"""Of so many tries what differed is remembered."""


class News:
    """The musts of which something has become known since it was last told."""

    def __init__(self) -> None:
        """Begin with nothing told."""
        self.of: set[str] = set()
        self._due = time.monotonic() + TELL_S

    def is_due(self) -> bool:
        """Return whether it is time to tell."""
        return time.monotonic() > self._due

    def taken(self) -> set[str]:
        """Return the musts, which count as told."""
        self._due = time.monotonic() + TELL_S
        of, self.of = self.of, set()
        return of


class Job:
    """One try: the garden as it is and as it would be, the year that is looked at, and the verdicts found so far."""

    def __init__(self, at: Standing, then: Standing, year: int, window: str) -> None:
        """Begin with nothing judged."""
        self.at, self.then, self.year, self.window = at, then, year, window
        self.over = Event()
        self.began = 0.0
        self.superseded = False
        self.late = False
        self._cells: dict[Cell, Known] = {}
        self._touched: set[str] = set()
        self._musts = then.garden.intents
        self._years = tuple(then.timeline.years)

    def order(self, cost: Mapping[str, float], first: AbstractSet[Cell] = frozenset()) -> Iterable[tuple[Intent, int]]:
        """Yield every must in every year: those of ``first``, then the year looked at, then its neighbours; quick musts first."""
        quick = sorted(self._musts, key=lambda m: (cost.get(m.id, 0.0), m.id))
        years = sorted(self._years, key=lambda y: (abs(y - self.year), y))
        cells = [(must, year) for year in years for must in quick]
        yield from sorted(cells, key=lambda c: (c[0].id, c[1]) not in first)

    def touch(self, must: Intent) -> None:
        """Say that the try may touch a must, which is still to be judged."""
        self._touched.add(must.id)

    def add(self, must: Intent, year: int, known: Known, *, touched: bool) -> None:
        """Keep the verdict on a must in a year, and whether the try touches it."""
        self._cells[must.id, year] = known
        if touched:
            self._touched.add(must.id)

    def answer(self, last: Callable[[str, int], Known | None], of: AbstractSet[str] | None = None) -> dict[str, Any]:
        """Return the musts touched as far as is known, in all years; only some of them with ``of``.

        Once all is judged, only those of which something is said otherwise than it ``last`` was.

        A cell that is not judged yet holds the ``last`` verdict there was and says ``waiting``; ``left`` counts them
        over all musts.
        """
        self.late = True  # said before looking, or what is judged meanwhile would never be told
        cells, touched = dict(self._cells), set(self._touched)
        left = len(self._musts) * len(self._years) - len(cells)
        self.late = left > 0
        rows = [
            {"id": m.id, "verdicts": [self._cell(m, y, cells, last) for y in self._years]}
            for m in self._musts
            if m.id in touched and (of is None or m.id in of) and (left or self._is_otherwise(m, cells, last))
        ]
        return {"verdicts": rows, "left": left, "superseded": self.superseded}

    def _is_otherwise(
        self, must: Intent, cells: Mapping[Cell, Known], last: Callable[[str, int], Known | None]
    ) -> bool:
        return any(_said(cells[must.id, y]) != _said(last(must.id, y)) for y in self._years)

    def _cell(
        self, must: Intent, year: int, cells: Mapping[Cell, Known], last: Callable[[str, int], Known | None]
    ) -> dict[str, Any]:
        found = cells.get((must.id, year))
        return verdict_json(found or last(must.id, year), year, must, self.then, waiting=found is None)


class Trier(Thread):
    """Judges one try after the other, a window's newest only."""

    def __init__(self, opened: Opened) -> None:
        """Work for what is open until :meth:`stop`."""
        super().__init__(name="trier", daemon=True)
        self._opened = opened
        self._todo: OrderedDict[str, Job] = OrderedDict()
        self._news = Condition()
        self._over = False
        self._differed: dict[str, set[Cell]] = {}
        self._doubts: dict[str, Doubts] = {}
        self._soon: tuple[Standing, Sequence[Standing]] | None = None
        self._at_hand: Job | None = None
        self.panel: Panel | None = None
        """The processes in which tries are judged, once they are wanted."""

    def begin(self, at: Standing, then: Standing, year: int, window: str) -> Job:
        """Put a window's newest try in place of its last one and return it."""
        job = Job(at, then, year, window)
        with self._news:
            old = self._todo.pop(window, None)
            if old is not None and old is not self._at_hand:
                old.superseded = True
                old.over.set()
            self._todo[window] = job
            self._news.notify_all()
        return job

    def expect(self, at: Standing, then: Sequence[Standing]) -> None:
        """Look, as long as nothing is tried, for what stays when a thing is moved, as it is for a moment in each ``then``."""
        with self._news:
            self._soon = (at, then)
            self._news.notify_all()

    def stop(self) -> None:
        """End after the must at hand."""
        with self._news:
            self._over = True
            for job in self._todo.values():
                job.over.set()
            self._news.notify_all()

    def run(self) -> None:
        """Judge tries as they come."""
        while True:
            with self._news:
                self._news.wait_for(lambda: self._over or self._todo or self._soon)
                if self._over:
                    return
                job = self._at_hand = next(iter(self._todo.values()), None)
                soon, self._soon = self._soon, None
            if job is None:
                if soon is not None:
                    self._look_ahead(*soon)
                continue
            job.began = time.monotonic()
            try:
                self._judge(job)
            except Exception:  # one try that can't be judged must not end all trying
                logging.getLogger("quincunx.board").exception("a try failed")
            with self._news:
                self._at_hand = None
                if self._todo.get(job.window) is job:
                    del self._todo[job.window]
            job.over.set()

    def _left(self, job: Job) -> bool:
        """Return whether a try is to be left: all is over, or a newer one of its window came and it had its time."""
        newer = self._todo.get(job.window) is not job and time.monotonic() - job.began > DWELL_S
        job.superseded |= newer
        return self._over or newer

    def _look_ahead(self, at: Standing, then: Sequence[Standing]) -> None:
        verdicts = self._opened.verdicts
        cells = list(Job(at, at, at.timeline.years[0], "").order(verdicts.cost_s))
        if self.panel is not None and self.panel.expect(at, then, cells):
            return
        for one, (must, year) in product(then, cells):
            if self._over or self._todo or self._soon:
                return
            with self._opened.turns.background():
                verdicts.untouched(must, year, at, one)

    def _judge(self, job: Job) -> None:
        """Judge what a try touches, in the processes of the panel or here; tell as it comes."""
        verdicts, turns = self._opened.verdicts, self._opened.turns
        if len(self._differed) > MOST_WINDOWS:
            self._differed.clear()
            self._doubts.clear()
        differed, doubts = self._differed.setdefault(job.window, set()), self._doubts.setdefault(job.window, Doubts())
        cells, ear = list(job.order(verdicts.cost_s, differed)), _Ear(self, job, differed)
        if self.panel is not None and self.panel.is_ready():
            with turns.ahead():
                cells = self.panel.judge(job.at, job.then, cells, differed, ear)
        if judge_try(verdicts, job.at, job.then, cells, set(differed), ear, doubts):
            if job.late:
                self._tell(job)
        else:
            ear.tell_rest()

    def _tell(self, job: Job, of: AbstractSet[str] | None = None) -> None:
        told = job.answer(self._opened.verdicts.last, of)
        self._opened.hub.tell("tried", window=job.window, revision=job.at.revision, **told)


class _Ear:
    """Keeps what becomes known of a try in its job, and tells it while it is news."""

    def __init__(self, trier: Trier, job: Job, differed: set[Cell]) -> None:
        self._trier, self._job, self._differed = trier, job, differed
        self._news = News()

    def left(self) -> bool:
        return self._trier._left(self._job)  # noqa: SLF001 - the same thread's other half

    def turn(self) -> AbstractContextManager[None]:
        return self._trier._opened.turns.urgent()  # noqa: SLF001

    def touch(self, must: Intent) -> None:
        self._job.touch(must)

    def stays(self, must: Intent, year: int, known: Known) -> None:
        self._job.add(must, year, known, touched=False)

    def judged(self, must: Intent, year: int, known: Known) -> None:
        job, verdicts = self._job, self._trier._opened.verdicts  # noqa: SLF001
        job.add(must, year, known, touched=True)
        changed = _told(verdicts.find(must, year, job.at)) != _told(known)
        (self._differed.add if changed else self._differed.discard)((must.id, year))
        self._news.of.add(must.id)
        if job.late and self._news.is_due():
            self._trier._tell(job, self._news.taken())  # noqa: SLF001

    def tell_rest(self) -> None:
        """Tell what became known of a try that no longer counts."""
        if self._news.of:
            self._trier._tell(self._job, self._news.taken())  # noqa: SLF001


def _said(known: Known | None) -> object:
    """Return what of a verdict the page holds: its mark, figure and sentence."""
    return None if known is None else (known.verdict.state, known.verdict.measured, known.verdict.because)


def _told(known: Known | None) -> object:
    """Return what of a verdict is seen in the table."""
    return None if known is None else (known.verdict.state, known.verdict.measured)
