"""The thread that judges what a drag would mean; of several tries of one window only the newest counts."""

from __future__ import annotations

import logging
from collections import OrderedDict
from threading import Condition, Event, Thread
from typing import TYPE_CHECKING, Any

from quincunx.board.standing import Standing
from quincunx.board.telling import verdict_json
from quincunx.intents import Intent

if TYPE_CHECKING:
    from quincunx.board.session import Session


class Job:
    """One try: the garden as it is and as it would be, and the verdicts found so far."""

    def __init__(self, at: Standing, then: Standing, window: str) -> None:
        """Begin with nothing judged."""
        self.at, self.then, self.window = at, then, window
        self.over = Event()
        self.superseded = False
        self.late = False
        self._done: list[dict[str, Any]] = []
        self._left = len(then.garden.intents)

    def add(self, row: dict[str, Any] | None) -> None:
        """Keep the verdicts of one must; None if the try doesn't touch it."""
        if row is not None:
            self._done.append(row)
        self._left -= 1

    def answer(self) -> dict[str, Any]:
        """Return what is judged so far, how many musts are left, and whether a newer try put this one aside."""
        left = self._left
        self.late = left > 0
        return {"verdicts": list(self._done), "left": left, "superseded": self.superseded}


class Trier(Thread):
    """Judges one try after the other, a window's newest only."""

    def __init__(self, session: Session) -> None:
        """Work for ``session`` until :meth:`stop`."""
        super().__init__(name="trier", daemon=True)
        self._session = session
        self._todo: OrderedDict[str, Job] = OrderedDict()
        self._news = Condition()
        self._over = False

    def begin(self, at: Standing, then: Standing, window: str) -> Job:
        """Put a window's newest try in place of its last one and return it."""
        job = Job(at, then, window)
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
        for must in job.then.garden.intents:
            if self._over or job.superseded:
                return
            job.add(self._touched(job, must))
        if job.late:
            self._session.hub.tell("tried", window=job.window, revision=job.at.revision, **job.answer())

    def _touched(self, job: Job, must: Intent) -> dict[str, Any] | None:
        """Return a must's verdicts if in some year they go by something that would change; None if it isn't touched."""
        verdicts, cells, touched = self._session.verdicts, [], False
        for year in job.then.timeline.years:
            if self._over or job.superseded:
                return None
            known = verdicts.find(must, year, job.at)
            if known is None or not known.fits(job.then.timeline):
                touched = True
                with self._session.turns.urgent():
                    known = verdicts.judge(must, year, job.then)
            cells.append(verdict_json(known, year, must, job.then))
        return {"id": must.id, "verdicts": cells} if touched else None
