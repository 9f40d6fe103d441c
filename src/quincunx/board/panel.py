"""Judging what is tried in several processes at once, each for some of the years; who is done takes on what is loose.

One interpreter computes one thing at a time, so judging in the board's own process both takes as long as all years
together and holds up the pages it serves.  The processes of the panel (:mod:`quincunx.board.panelist`) keep the garden
and what is known of it; they are told only what differs.  They begin while the garden is judged here;
until they have, on a machine with one processor, or when one of them ends unasked, what they would have judged is judged
here: no verdict hangs on them.
"""

from __future__ import annotations

import contextlib
import math
import os
import subprocess
import sys
import time
from collections import deque
from collections.abc import Iterable, Sequence
from queue import Empty, SimpleQueue
from threading import Lock, Thread
from typing import Any

from quincunx.board.pipes import receive, send
from quincunx.board.standing import Standing
from quincunx.board.trying import Cell, Ear
from quincunx.features import Feature
from quincunx.intents import Intent
from quincunx.review.verdicts import Known, Verdicts

MOST = 4
"""More processes than this are not begun: each takes the room of a whole program [150 MB, up to 500 MB after much dragging]."""
LOOK_S = 0.02
"""How often is looked whether a try still counts [s]."""
END_S = 1.0
"""How long a process may take to end by itself [s]."""
MOST_KNOWN = 20_000
"""Of so many verdicts is remembered that a process knows them."""
MOST_BEGUN = 12
"""When so many have been begun, none is begun any more: something ends them again and again."""


def count_for(years: int) -> int:
    """Return how many processes to judge so many years in: ``QUINCUNX_JUDGES`` if it says, else by the processors.

    No more than give each about as many years; 0 where one would be alone.
    """
    said = os.environ.get("QUINCUNX_JUDGES", "")
    most = min(int(said) if said.isdecimal() else min(os.cpu_count() or 1, MOST), years)
    if most < 2:
        return 0
    return math.ceil(years / math.ceil(years / most))


def is_loose(must: Intent) -> bool:
    """Return whether a must looks at other days than others in a year do, so that any process may as well judge it."""
    return "works" in must.reads


class Panelist:
    """One process: what is said to it is written by a thread, for it may listen late; another reads its answers."""

    def __init__(self, heard: SimpleQueue[tuple[Panelist, tuple[Any, ...]]]) -> None:
        """Begin a process; what it says goes to ``heard``."""
        words = [sys.executable, "-m", "quincunx.board.panelist"]
        quiet = getattr(subprocess, "CREATE_NO_WINDOW", 0)
        self._process = subprocess.Popen(  # noqa: S603 - this program itself
            words, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, creationflags=quiet
        )
        self._to_say: SimpleQueue[tuple[Any, ...] | None] = SimpleQueue()
        self._heard = heard
        self.is_ready, self.is_gone = False, False
        self.state: Standing | None = None
        self.told: Standing | None = None
        """The garden of which it knows all there is to know."""
        self._knows: dict[int, Known] = {}
        for work in (self._speak, self._listen):
            Thread(target=work, name="panel", daemon=True).start()

    @property
    def pid(self) -> int:
        """Return the number of the process."""
        return self._process.pid

    def learns(self, known: Known) -> bool:
        """Note that it knows a verdict; return whether that is new."""
        if len(self._knows) > MOST_KNOWN:
            self._knows.clear()
        if id(known) in self._knows:
            return False
        self._knows[id(known)] = known  # held, so that its identity stays its own
        return True

    def say(self, *message: Any) -> None:
        """Say something when it listens."""
        self._to_say.put(message)

    def _speak(self) -> None:
        pipe = self._process.stdin
        assert pipe is not None  # noqa: S101 - asked for
        with contextlib.suppress(OSError, ValueError):
            while (message := self._to_say.get()) is not None:
                send(pipe, message)
        with contextlib.suppress(OSError):
            pipe.close()

    def _listen(self) -> None:
        pipe = self._process.stdout
        assert pipe is not None  # noqa: S101 - asked for
        with contextlib.suppress(Exception):  # whatever it can't say rightly ends it
            while (message := receive(pipe)) is not None:
                self.is_ready = True
                self._heard.put((self, message))
        self.is_gone = True
        self._process.kill()
        self._process.wait()
        pipe.close()
        self._heard.put((self, ("gone", 0)))

    def end(self) -> None:
        """Let it end, by force if it doesn't."""
        self._to_say.put(None)

    def wait(self) -> None:
        """Wait until it has ended."""
        try:
            self._process.wait(END_S)
        except subprocess.TimeoutExpired:
            self._process.kill()


class Panel:
    """The processes, each with its years, and what each has been told."""

    def __init__(self, verdicts: Verdicts) -> None:
        """Begin nothing before :meth:`begin`."""
        self._verdicts = verdicts
        self._lock = Lock()
        self._all: list[Panelist] = []
        self._heard: SimpleQueue[tuple[Panelist, tuple[Any, ...]]] = SimpleQueue()
        self._took_s: dict[Cell, float] = {}
        self._token = 0
        self._begun = 0
        self._over = False

    def pids(self) -> list[int]:
        """Return the numbers of the processes at work."""
        return [p.pid for p in self._all if not p.is_gone]

    def is_wanted(self, at: Standing) -> bool:
        """Return whether there would be processes for a garden, or are some to be ended."""
        return bool(self._all) or count_for(len(at.timeline.years)) > 0

    def is_ready(self) -> bool:
        """Return whether all are at work and listen."""
        return bool(self._all) and all(p.is_ready and not p.is_gone for p in self._all)

    def begin(self, at: Standing) -> None:
        """Begin what is not there: it gets ready while the garden is judged here."""
        with self._lock:
            self._begin(count_for(len(at.timeline.years)))

    def prepare(self, at: Standing) -> None:
        """Begin what is not there, and say how the garden is and what is known of it."""
        with self._lock:
            self._begin(count_for(len(at.timeline.years)))
            for one, years in self._dealt(at):
                self._update(one, at, years)

    def _begin(self, count: int) -> None:
        """Have ``count`` processes, none in place of others that still work."""
        if self._over:
            return
        self._all = [p for p in self._all if not p.is_gone]
        for one in self._all[count:]:
            one.end()
        del self._all[count:]
        while len(self._all) < count and self._begun < MOST_BEGUN:
            self._begun += 1
            try:
                self._all.append(Panelist(self._heard))
            except OSError:  # no room, or not allowed: judged here then
                self._begun = MOST_BEGUN

    def _dealt(self, at: Standing) -> list[tuple[Panelist, frozenset[int]]]:
        """Return each with the years it judges: always the same ones, which it knows."""
        years, count = list(at.timeline.years), len(self._all)
        return [(one, frozenset(years[k::count])) for k, one in enumerate(self._all)]

    def _update(self, one: Panelist, at: Standing, years: frozenset[int]) -> None:
        """Say what one doesn't know yet of the garden and its years."""
        if one.told is at:
            return
        if one.state is not at:
            one.state = at
            one.say("state", at.garden, at.revision, at.head)
        rows, whole = [], True
        for must in at.garden.intents:
            for year in at.timeline.years if is_loose(must) else sorted(years):
                known = self._verdicts.found(must, year, at)
                whole &= known is not None
                if known is not None and one.learns(known):
                    rows.append((must.id, year, known))
        if rows:
            one.say("known", tuple(rows))
        if whole:
            one.told = at

    def expect(self, at: Standing, then: Sequence[Standing], cells: Sequence[tuple[Intent, int]]) -> bool:
        """Let them look for what stays when a thing is moved, as in each ``then``; return whether they do."""
        features = [found for one in then if (found := _tried(at, one)) is not None]
        with self._lock:
            if len(features) < len(then) or not self.is_ready():
                return False
            for one, years in self._dealt(at):
                self._update(one, at, years)
                one.say("expect", tuple(features), tuple((m.id, y) for m, y in cells if y in years))
        return True

    def judge(
        self, at: Standing, then: Standing, cells: Sequence[tuple[Intent, int]], differed: Iterable[Cell], ear: Ear
    ) -> list[tuple[Intent, int]]:
        """Let them judge ``cells`` of the garden as it would be ``then``; return those they did not judge."""
        features = _tried(at, then)
        with self._lock:
            if features is None or not self.is_ready():
                return list(cells)
            self._token += 1
            token, first = self._token, frozenset(differed)
            loose = [(m.id, y) for m, y in cells if is_loose(m) and (m.id, y) not in first]
            deal = _Deal(token, first, sorted(loose, key=lambda c: self._took_s.get(c, 0.0)))
            bound = set(loose)
            for one, years in self._dealt(at):
                own = tuple((m.id, y) for m, y in cells if y in years and (m.id, y) not in bound)
                self._update(one, at, years)
                one.say("try", token, features, own, first)
                deal.doing[one] = _Given(own)
        musts = {m.id: m for m in then.garden.intents}
        missed, doing = set[Cell](), deal.doing
        deal.ahead()
        while doing and not ear.left():
            try:
                one, (what, of, *more) = self._heard.get(timeout=LOOK_S)
            except Empty:
                continue
            if one not in doing:
                continue
            if of == token and what == "done":
                self._note(doing[one])
                missed |= deal.done(one)
            elif what == "gone":
                missed |= doing.pop(one).all()
            elif of == token:
                touched, same, judged = more
                self._hear(one, (touched, same, judged), at, then, musts, doing[one].left, ear)
        for one, mine in doing.items():  # the try no longer counts
            one.say("leave")
            missed |= mine.all()
        missed |= set(deal.loose)
        return [(m, y) for m, y in cells if (m.id, y) in missed]

    def _note(self, given: _Given) -> None:
        """Note how long a process took for what it was given beside its own."""
        if given.loose is not None:
            self._took_s[given.loose] = time.monotonic() - given.since

    def _hear(
        self,
        one: Panelist,
        found: tuple[Sequence[str], Sequence[Cell], Sequence[tuple[Cell, Known]]],
        at: Standing,
        then: Standing,
        musts: dict[str, Intent],
        todo: set[Cell],
        ear: Ear,
    ) -> None:
        """Pass on what one found: the musts touched, what stays, and fresh verdicts."""
        touched, same, judged = found
        for name in touched:
            ear.touch(musts[name])
        for name, year in same:
            known = self._verdicts.found(musts[name], year, at)
            if known is not None:
                todo.discard((name, year))
                ear.stays(musts[name], year, known)
        for cell, told in judged:
            must, year = musts[cell[0]], cell[1]
            known = self._verdicts.keep(must, year, then, told)
            one.learns(known)
            todo.discard(cell)
            ear.judged(must, year, known)

    def close(self) -> None:
        """End all."""
        with self._lock:
            self._over = True
            ending, self._all = self._all, []
        for one in ending:
            one.end()
        for one in ending:
            one.wait()


class _Given:
    """What one process is to judge of a try: what is ``left`` of what it does now, and what is ``waiting`` after that."""

    def __init__(self, own: Iterable[Cell]) -> None:
        """Begin with its own cells."""
        self.left = set(own)
        self.waiting: deque[Cell] = deque()
        self.loose: Cell | None = None
        self.since = time.monotonic()

    def next(self) -> bool:
        """Go on with what waits; return whether there is anything."""
        if not self.waiting:
            return False
        self.loose, self.since = self.waiting.popleft(), time.monotonic()
        self.left = {self.loose}
        return True

    def all(self) -> set[Cell]:
        """Return all that is not done."""
        return self.left.union(self.waiting)


class _Deal:
    """What is dealt out of one try: what each process is ``doing``, and what is ``loose``, those that take longest last.

    As long as there is enough one more waits for each, so that nobody is idle while it is handed on.
    """

    def __init__(self, token: int, first: frozenset[Cell], loose: list[Cell]) -> None:
        """Begin with nobody doing anything."""
        self._said = (token, first)
        self.loose = loose
        self.doing: dict[Panelist, _Given] = {}

    def ahead(self) -> None:
        """Let one more wait for each, as long as there is enough."""
        for one in self.doing:
            if self._is_enough():
                self._give(one)

    def done(self, one: Panelist) -> set[Cell]:
        """Let one that has done what it was doing go on; return what of that it did not judge."""
        mine = self.doing[one]
        missed = mine.left
        if self.loose and (not mine.waiting or self._is_enough()):
            self._give(one)
        if not mine.next():
            del self.doing[one]
        return missed

    def _is_enough(self) -> bool:
        return len(self.loose) > len(self.doing)

    def _give(self, one: Panelist) -> None:
        cell, (token, first) = self.loose.pop(), self._said
        one.say("more", token, (cell,), first)
        self.doing[one].waiting.append(cell)


def _tried(at: Standing, then: Standing) -> tuple[Feature, ...] | None:
    """Return the features that ``then`` has in place of others ``at``, if that is all that differs; else None."""
    for name in type(at.garden).model_fields:
        if name != "features" and getattr(at.garden, name) is not getattr(then.garden, name):
            return None
    old = {f.id: f for f in at.garden.features}
    if old.keys() - {f.id for f in then.garden.features}:
        return None
    return tuple(f for f in then.garden.features if old.get(f.id) is not f)
