"""The thread that judges after an edit and tells the windows; it also notices edits made by other programs."""

from __future__ import annotations

import logging
import sqlite3
from threading import Event, Thread
from typing import TYPE_CHECKING

from quincunx.board.compiling import kernels_have_come
from quincunx.board.standing import Standing
from quincunx.review import notice
from quincunx.review._view import View
from quincunx.review.answers import Answers
from quincunx.review.noticing import CHECKS, sorted_findings
from quincunx.shapes import Finding
from quincunx.store import StoreError

if TYPE_CHECKING:
    from quincunx.board.opened import Opened

LOOK_S = 2.0
"""How often the file is looked at for edits made elsewhere [s]."""


class Judge(Thread):
    """Judges what is not known yet, newest state first."""

    def __init__(self, opened: Opened) -> None:
        """Work for what is open until :meth:`stop`."""
        super().__init__(name="judge", daemon=True)
        self._opened = opened
        self._wake = Event()
        self._over = Event()
        self._told: tuple[str, int, int] | None = None
        self._prepared: Standing | None = None

    def wake(self) -> None:
        """Say that something changed."""
        self._wake.set()

    def stop(self) -> None:
        """End after the must at hand."""
        self._over.set()
        self._wake.set()

    def run(self) -> None:
        """Judge whenever there is something to judge."""
        while not self._over.is_set():
            try:
                self.round()
            except StoreError as error:
                self._opened.hub.tell("notice", words=str(error))
            except sqlite3.ProgrammingError:
                return  # the file was closed
            except Exception:  # one must that can't be judged must not end all judging
                logging.getLogger("quincunx.board").exception("judging failed")
            self._wake.wait(LOOK_S)
            self._wake.clear()

    def round(self) -> None:
        """Judge the garden as it is now; begin anew if it changes meanwhile."""
        here = self._opened
        at = here.standing()
        here.tell_revision(at)
        if here.panel.is_wanted(at) and kernels_have_come():
            here.panel.begin(at)
        todo = here.verdicts.waiting(at)
        for i, (must, year) in enumerate(todo):
            if self._stale(at):
                return
            with here.turns.background():
                here.verdicts.judge(must, year, at)
            here.hub.tell("progress", what="Judging", share=(i + 1) / len(todo))
        here.verdicts.write()
        if todo or at.stamp != self._told:
            here.hub.tell("table", revision=at.revision)
            self._told = at.stamp
        if here.findings(at) is None and not self._stale(at):
            self._notice(at)
        if self._prepared is not at and not self._stale(at) and here.panel.is_wanted(at) and kernels_have_come():
            here.panel.prepare(at)
            self._prepared = at

    def _notice(self, at: Standing) -> None:
        """Look for what is to be noticed, each check in a turn of its own, so that a hand never waits for them all."""
        here, found = self._opened, list[Finding]()
        view = View(at.garden, at.timeline, at.words, here.verdicts.answers, at.month)
        for check in CHECKS:
            if self._stale(at):
                return
            with here.turns.background():
                found += check(view)
        here.keep_findings(at, sorted_findings(found))
        here.hub.tell("table", revision=at.revision)

    def _stale(self, at: Standing) -> bool:
        return self._over.is_set() or self._wake.is_set() or self._opened.store.revision != at.revision


def found(at: Standing, answers: Answers | None = None) -> tuple[Finding, ...]:
    """Return what is noticed in a state of the garden."""
    return notice(View(at.garden, at.timeline, at.words, answers, at.month))
