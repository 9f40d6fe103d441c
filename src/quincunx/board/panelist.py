"""A process beside the board that judges what is tried, in some of the years: ``python -m quincunx.board.panelist``.

It is told the garden and what is known of it, keeps both from try to try, and answers on its standard output.  What it
finds are verdicts like any others.  Between two tries it looks ahead.  It ends when its input ends.
"""

from __future__ import annotations

import gc
import os
import signal
import sys
import time
from collections import deque
from collections.abc import Iterator
from contextlib import AbstractContextManager, nullcontext
from threading import Condition, Thread
from typing import IO, Any

from quincunx.board.kept import StoodCache
from quincunx.board.pipes import receive, send
from quincunx.board.standing import Standing
from quincunx.board.tries import Try, stood_up
from quincunx.board.trying import Cell, Doubts, judge_try
from quincunx.features import Feature
from quincunx.garden import Garden
from quincunx.intents import Intent
from quincunx.review.verdicts import Known, Verdicts
from quincunx.scene._kept import age_all, let_go, trying

Message = tuple[Any, ...]
AFTER = 5
"""So much these processes stand back for the page that is drawn and the board that answers it (POSIX's niceness)."""


PAUSE_S = 0.3
"""After a try nothing is looked ahead for as long as this: what is dragged is mostly dragged on [s]."""
GATHER_S = 0.01
"""What becomes known of a try is told so often, together: each message has somebody read it meanwhile [s]."""
MOST_VERDICTS = 8_000
"""So many verdicts are kept: those of the garden as it is, which every try asks for, and of the newest tries."""
FEW, MOST_PLACES = 4, 12
"""Of so few things in hand so many of the last places are kept as they stood there: what snaps comes to a place again."""
AGED = 100
"""After so many tries what none of them asked for is let go."""
SELDOM = (100_000, 20, 100)
"""What is no longer used is looked for so seldom while anybody waits (:func:`gc.set_threshold`)."""


class Inbox(Thread):
    """What the board said and has not been taken yet."""

    def __init__(self, pipe: IO[bytes]) -> None:
        """Listen to ``pipe``."""
        super().__init__(name="inbox", daemon=True)
        self._pipe = pipe
        self._waiting: deque[Message] = deque()
        self._news = Condition()
        self._over = False

    def run(self) -> None:
        """Take messages as they come."""
        while (message := receive(self._pipe)) is not None:
            with self._news:
                self._waiting.append(message)
                self._news.notify_all()
        with self._news:
            self._over = True
            self._news.notify_all()

    def next(self) -> Message | None:
        """Return the oldest message, waiting for one; None when there will be none any more."""
        with self._news:
            self._news.wait_for(lambda: self._waiting or self._over)
            return self._waiting.popleft() if self._waiting else None

    def holds_other_than(self, begun: Message) -> bool:
        """Return whether anything waits that doesn't begin so, or the end."""
        if not self._waiting:
            return self._over
        with self._news:
            return self._over or any(message[: len(begun)] != begun for message in self._waiting)

    def wait(self, up_to_s: float) -> None:
        """Wait until something is said, for a while at most."""
        with self._news:
            self._news.wait_for(lambda: self._waiting or self._over, up_to_s)

    def is_empty(self) -> bool:
        """Return whether nothing waits, not even the end."""
        return not self._waiting and not self._over


class Hearing:
    """Passes on what becomes known of one try; it is left as soon as anything else is said."""

    def __init__(self, token: int, inbox: Inbox, out: IO[bytes]) -> None:
        """Answer to the try called ``token``."""
        self._token, self._inbox, self._out = token, inbox, out
        self._touched: list[str] = []
        self._touches = set[str]()
        self._same: list[Cell] = []
        self._judged: list[tuple[Cell, Known]] = []
        self._told = 0.0

    def left(self) -> bool:
        """Return whether the board said something else meanwhile than what more to judge."""
        return self._inbox.holds_other_than(("more", self._token))

    def turn(self) -> AbstractContextManager[None]:
        """Return a turn: here nobody else is at work."""
        return nullcontext()

    def touch(self, must: Intent) -> None:
        """Note that a must is touched."""
        if must.id not in self._touches:
            self._touches.add(must.id)
            self._touched.append(must.id)

    def stays(self, must: Intent, year: int, known: Known) -> None:
        """Note that a verdict stays."""
        del known
        self._same.append((must.id, year))

    def judged(self, must: Intent, year: int, known: Known) -> None:
        """Say a fresh verdict: the first one at once, others together."""
        self._judged.append(((must.id, year), known))
        if time.monotonic() - self._told > GATHER_S:
            self._tell()

    def done(self) -> None:
        """Say what has not been said yet, and that this was all."""
        self._tell()
        send(self._out, ("done", self._token))

    def _tell(self) -> None:
        """Say what is touched, what stays and what has been judged, since this was said last."""
        if self._touched or self._same or self._judged:
            send(self._out, ("found", self._token, tuple(self._touched), tuple(self._same), tuple(self._judged)))
        for said in (self._touched, self._same, self._judged):
            said.clear()
        self._told = time.monotonic()


class Panelist:
    """The garden as it is, what is known of it, and what to look ahead for."""

    def __init__(self, inbox: Inbox, out: IO[bytes]) -> None:
        """Begin without a garden."""
        self._inbox, self._out = inbox, out
        self._stood, self._verdicts = StoodCache(), Verdicts(most=MOST_VERDICTS)
        self._at: Standing | None = None
        self._then: Standing | None = None
        self._stood_up: dict[str, Standing] = {}
        self._musts: dict[str, Intent] = {}
        self._ahead: Iterator[None] = iter(())
        self._strange: list[tuple[Intent, int]] = []
        self._doubts = Doubts()
        self._is_new, self._is_untidy = True, True
        self._tries = 0

    def run(self) -> None:
        """Do what is said, and look ahead while nothing is."""
        send(self._out, ("hello", 0))
        gc.set_threshold(*SELDOM)
        while True:
            while self._inbox.is_empty() and self._look_ahead():
                pass
            if self._inbox.is_empty() and self._is_untidy:
                self._tidy()
            message = self._inbox.next()
            if message is None:
                return
            what, *more = message
            getattr(self, f"on_{what}")(*more)

    def on_state(self, garden: Garden, revision: int, head: str) -> None:
        """Take the garden as it is now."""
        self._at = Standing.of(garden, self._stood, revision, head)
        self._musts = {m.id: m for m in garden.intents}
        self._stood_up.clear()
        self._ahead, self._strange = iter(()), []
        self._doubts = Doubts()
        self._is_new, self._is_untidy = True, True

    def on_known(self, rows: tuple[tuple[str, int, Known], ...]) -> None:
        """Take verdicts found elsewhere; what they went by is looked at here too when there is time."""
        assert self._at is not None  # noqa: S101 - the state is said first
        for name, year, known in rows:
            self._verdicts.keep(self._musts[name], year, self._at, known)
            self._strange.append((self._musts[name], year))

    def on_expect(self, places: tuple[tuple[Feature, ...], ...], cells: tuple[Cell, ...]) -> None:
        """Look ahead for what stays when some things are moved, as they are for a moment in each of ``places``."""
        assert self._at is not None  # noqa: S101 - the state is said first
        self._doubts = Doubts()  # another thing is in hand
        self._ahead = self._expected(self._at, places, cells)

    def _expected(
        self, at: Standing, places: tuple[tuple[Feature, ...], ...], cells: tuple[Cell, ...]
    ) -> Iterator[None]:
        for k, features in enumerate(places):
            then, touched = self._with(features), []
            for name, year in cells:
                if self._verdicts.untouched(self._musts[name], year, at, then) is None:
                    touched.append((self._musts[name], year))
                yield
            # What a pull touches is judged once where the thing is: what that works out of all else serves each place.
            for must, year in touched if k == 0 else ():
                self._verdicts.judge(must, year, then)
                yield

    def _look_ahead(self) -> bool:
        """Look ahead for a moment; return whether there was anything to look for."""
        for _ in self._ahead:
            return True
        if self._at is None or not self._strange:
            return False
        must, year = self._strange.pop(0)
        must.judge(self._at.timeline, year, self._at.words)
        return True

    def on_try(
        self, token: int, features: tuple[Feature, ...], cells: tuple[Cell, ...], differed: frozenset[Cell]
    ) -> None:
        """Judge what is tried in some cells."""
        self._tries += 1
        if self._tries % AGED == 0:
            age_all()
        self._is_untidy = True
        with trying(anew=True):
            self._then = self._with(features)
        self.on_more(token, cells, differed)

    def on_more(self, token: int, cells: tuple[Cell, ...], differed: frozenset[Cell]) -> None:
        """Judge the try at hand in more cells."""
        assert self._at is not None and self._then is not None  # noqa: S101, PT018 - said first
        hearing = Hearing(token, self._inbox, self._out)
        todo = [(self._musts[name], year) for name, year in cells]
        with trying(anew=False):
            judge_try(self._verdicts, self._at, self._then, todo, differed, hearing, self._doubts)
        hearing.done()
        let_go()
        self._inbox.wait(PAUSE_S)

    def _tidy(self) -> None:
        """Let go what is no longer used, while nobody waits; what is known of the garden is not looked through again."""
        if self._is_new:
            gc.unfreeze()
        gc.collect()
        if self._is_new:
            gc.freeze()
        self._is_new = self._is_untidy = False

    def on_leave(self) -> None:
        """Leave the try at hand: that something was said has done it."""

    def _with(self, features: tuple[Feature, ...]) -> Standing:
        """Return the garden with some features as they are tried: the same object if they were so a moment ago."""
        assert self._at is not None  # noqa: S101 - the state is said first
        written = "\n".join(f.model_dump_json() for f in features) if len(features) <= FEW else ""
        then = self._stood_up.pop(written, None)
        if then is None:
            first = self._at.timeline.leaf_date(self._at.timeline.years[0])
            then = stood_up(self._at, Try(features, first, ""))
        if written:
            self._stood_up[written] = then  # the newest come last
            for old in list(self._stood_up)[:-MOST_PLACES]:
                del self._stood_up[old]
        return then


def main() -> None:
    """Judge for the board that started this process."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is the board's; it closes the pipe
    if hasattr(os, "nice"):
        os.nice(AFTER)
    out = os.fdopen(os.dup(sys.stdout.fileno()), "wb")
    os.dup2(sys.stderr.fileno(), sys.stdout.fileno())  # what anybody prints must not come between the messages
    inbox = Inbox(sys.stdin.buffer)
    inbox.start()
    try:
        Panelist(inbox, out).run()
    except BrokenPipeError:
        os._exit(0)


if __name__ == "__main__":
    main()
