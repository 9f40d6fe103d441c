"""The thread that judges what a drag would mean; of several tries of one window only the newest counts."""

from __future__ import annotations

import logging
from collections import OrderedDict
from collections.abc import Callable, Iterable, Mapping
from threading import Condition, Event, Thread
from typing import TYPE_CHECKING, Any

from quincunx.board.standing import Standing
from quincunx.board.telling import verdict_json
from quincunx.intents import Intent
from quincunx.review.verdicts import Known

if TYPE_CHECKING:
    from quincunx.board.session import Session


class Job:
    """One try: the garden as it is and as it would be, the year that is looked at, and the verdicts found so far."""

    def __init__(self, at: Standing, then: Standing, year: int, window: str) -> None:
        """Begin with nothing judged."""
        self.at, self.then, self.year, self.window = at, then, year, window
        self.over = Event()
        self.superseded = False
        self.late = False
        self._cells: dict[tuple[str, int], dict[str, Any]] = {}
        self._touched: set[str] = set()
        self._musts = then.garden.intents
        self._years = tuple(then.timeline.years)

    def order(self, cost: Mapping[str, float]) -> Iterable[tuple[Intent, int]]:
        """Yield every must in every year: the year looked at first, then its neighbours; quick musts first."""
        quick = sorted(self._musts, key=lambda m: (cost.get(m.id, 0.0), m.id))
        for year in sorted(self._years, key=lambda y: (abs(y - self.year), y)):
            yield from ((must, year) for must in quick)

    def add(self, must: Intent, year: int, known: Known, *, touched: bool) -> None:
        """Keep the verdict on a must in a year, and whether the try touches it."""
        self._cells[must.id, year] = verdict_json(known, year, must, self.then)
        if touched:
            self._touched.add(must.id)

    def answer(self, last: Callable[[str, int], Known | None]) -> dict[str, Any]:
        """Return the musts touched as far as is known, in all years.

        A cell that is not judged yet holds the ``last`` verdict there was and says ``waiting``; ``left`` counts them
        over all musts.
        """
        cells, touched = dict(self._cells), set(self._touched)
        left = len(self._musts) * len(self._years) - len(cells)
        self.late = left > 0
        rows = [
            {"id": m.id, "verdicts": [self._cell(m, y, cells, last) for y in self._years]}
            for m in self._musts
            if m.id in touched
        ]
        return {"verdicts": rows, "left": left, "superseded": self.superseded}

    def _cell(
        self,
        must: Intent,
        year: int,
        cells: Mapping[tuple[str, int], dict[str, Any]],
        last: Callable[[str, int], Known | None],
    ) -> dict[str, Any]:
        found = cells.get((must.id, year))
        return found or {**verdict_json(last(must.id, year), year, must, self.then), "waiting": True}


class Trier(Thread):
    """Judges one try after the other, a window's newest only."""

    def __init__(self, session: Session) -> None:
        """Work for ``session`` until :meth:`stop`."""
        super().__init__(name="trier", daemon=True)
        self._session = session
        self._todo: OrderedDict[str, Job] = OrderedDict()
        self._news = Condition()
        self._over = False

    def begin(self, at: Standing, then: Standing, year: int, window: str) -> Job:
        """Put a window's newest try in place of its last one and return it."""
        job = Job(at, then, year, window)
        with self._news:
            old = self._todo.pop(window, None)
            if old is not None:
                old.superseded = True
                old.over.set()
            self._todo[window] = job
            self._news.notify_all()
        return job

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
                self._news.wait_for(lambda: self._over or self._todo)
                if self._over:
                    return
                job = next(iter(self._todo.values()))
            try:
                self._judge(job)
            except Exception:  # one try that can't be judged must not end all trying
                logging.getLogger("quincunx.board").exception("a try failed")
            with self._news:
                if self._todo.get(job.window) is job:
                    del self._todo[job.window]
            job.over.set()

    def _judge(self, job: Job) -> None:
        verdicts = self._session.verdicts
        for must, year in job.order(verdicts.cost_s):
            if self._over or job.superseded:
                return
            known = verdicts.find(must, year, job.at)
            touched = known is None or not known.fits(job.then.timeline, job.then.words.names)
            if known is None or touched:
                with self._session.turns.urgent():
                    known = verdicts.judge(must, year, job.then)
            job.add(must, year, known, touched=touched)
        if job.late:
            told = job.answer(verdicts.last)
            self._session.hub.tell("tried", window=job.window, revision=job.at.revision, **told)
