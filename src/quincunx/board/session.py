"""The open garden: its file, its states stood up, its verdicts, and the windows that look at it."""

from __future__ import annotations

from pathlib import Path
from threading import RLock, current_thread
from typing import Any

from quincunx.board.cleaning import clean_beside
from quincunx.board.clock import today
from quincunx.board.events import Hub
from quincunx.board.fault_words import in_words
from quincunx.board.finder import Finder
from quincunx.board.judging import Judge
from quincunx.board.kept import StoodCache
from quincunx.board.panel import Panel
from quincunx.board.standing import Standing
from quincunx.board.trier import Trier
from quincunx.board.turns import Turns
from quincunx.board.typed import read_edit
from quincunx.garden import Edit, Garden, Op
from quincunx.review.latest import Latest
from quincunx.review.verdicts import Verdicts
from quincunx.shapes import Finding
from quincunx.store import Saved, Store

LAST_WORK_S = 5.0
"""How long closing waits for the must at hand [s]."""
MOST_STATES = 12
"""States of the garden kept stood up, so that taking back is quick and a merge knows what it was made on."""


class Session:
    """One open garden.  Safe from several threads; every change goes through the file first."""

    def __init__(self, store: Store, hub: Hub, *, demo: bool = False) -> None:
        """Keep ``store`` open until :meth:`close`."""
        self.store, self.hub, self.demo = store, hub, demo
        self.turns = Turns()
        self.verdicts = Verdicts.of_user()
        self.shared = StoodCache()
        self.drawn: Latest[bytes] = Latest(60)
        self.lock = RLock()
        self._states: Latest[Standing] = Latest(MOST_STATES)
        self._findings: Latest[tuple[Finding, ...]] = Latest(MOST_STATES)
        self.last_findings: tuple[Finding, ...] = ()
        self._told: tuple[str, int, str] | None = None
        self.judge = Judge(self)
        self.trier = Trier(self)
        self.panel = self.trier.panel = Panel(self.verdicts)
        self.finder = Finder(self)

    @property
    def path(self) -> Path:
        """Return the file."""
        return self.store.path

    def start(self) -> None:
        """Begin to judge."""
        self.judge.start()
        self.trier.start()

    def close(self) -> None:
        """Stop judging, wait for the must at hand, and close the file."""
        self.judge.stop()
        self.trier.stop()
        self.finder.stop()
        self.turns.end()
        for thread in (self.judge, self.trier):
            if thread.is_alive() and thread is not current_thread():
                thread.join(LAST_WORK_S)
        self.panel.close()
        self.verdicts.close()
        with self.lock:
            self.store.close()

    def standing(self) -> Standing:
        """Return the garden as it is now, stood up: in a new month anew, though nobody changed anything."""
        with self.lock:
            revision, head = self.store.revision, self.store.head
            known = self._states.get((head, revision))
            if known is None or not known.is_of_now:
                known = Standing.of(self.store.garden(), self.shared, revision, head)
                self._states.put((head, revision), known)
            return known

    def state_at(self, revision: int) -> Standing | None:
        """Return an earlier state of the head if it is still kept."""
        return self._states.get((self.store.head, revision))

    def state_of(self, head: str, revision: int, garden: Garden) -> Standing:
        """Return another alternative's garden, stood up among the same things kept."""
        known = self._states.get((head, revision))
        if known is not None and known.is_of_now:
            return known
        return self._states.put((head, revision), Standing.of(garden, self.shared, revision, head))

    def alternative(self, name: str, garden: Garden, label: str) -> None:
        """Make an alternative that holds ``garden``, one edit on from the present one, and stay where we are."""
        with self.lock:
            here = self.store.head
            self.store.new_head(name)
            self.store.switch(name)
            try:
                self.store.replace(garden, label)
            finally:
                self.store.switch(here)

    def commit(self, edit: Edit, base: int | None) -> tuple[Saved, list[str]]:
        """Make an edit on the revision it was made on; return what was saved and the ids of what was put.

        Typed sums, angles and hours are read in the garden's writing.  A new thing whose id another window took
        meanwhile gets the next free one.
        """
        with self.lock:
            at = self.standing()
            with in_words(at.garden, at.called):
                edit = read_edit(edit, at.garden)
                edit = self._own_ids(edit, base, at)
                saved = self.store.commit(edit, base)
        self.changed()
        clean_beside(self.store, self.hub)
        return saved, [op.id for op in edit.ops if op.do == "put" and op.id]

    def _own_ids(self, edit: Edit, base: int | None, at: Standing) -> Edit:
        before = None if base is None or base == at.revision else self.state_at(base)
        if before is None:
            return edit
        was, now = _ids(before.garden), _ids(at.garden)
        clashing = {op.id for op in edit.ops if op.do == "put" and op.id and op.id in now and op.id not in was}
        taken, names = set(now), {}
        for old in sorted(clashing):
            names[old] = _free(old, taken)
            taken.add(names[old])
        return _renamed(edit, names) if names else edit

    def undo(self) -> tuple[int, str | None]:
        """Take back the head's last edit; return the revision and the edit's label (None: there was none)."""
        with self.lock:
            label = self.store.undo()
            revision = self.store.revision
        self.changed()
        return revision, label

    def redo(self) -> tuple[int, str | None]:
        """Make the edit last taken back again; return the revision and its label (None: there was none)."""
        with self.lock:
            label = self.store.redo()
            revision = self.store.revision
        self.changed()
        return revision, label

    def replace(self, garden: Garden, label: str) -> int:
        """Make the head hold another garden, as one edit; return the revision."""
        with self.lock:
            saved = self.store.replace(garden, label)
        self.changed()
        return saved.revision

    def switch(self, head: str) -> None:
        """Show another alternative in every window, and when the file is next opened."""
        with self.lock:
            self.store.show(head)
        self.changed()

    def changed(self) -> None:
        """Tell every window, and have what is touched judged anew."""
        self.tell_revision(self.standing())
        self.judge.wake()

    def tell_revision(self, at: Standing) -> None:
        """Tell every window the revision and the day, each once."""
        now = (at.head, at.revision, today(at.garden.site.place).isoformat())
        if self._told != now:
            self._told = now
            self.hub.tell("revision", revision=at.revision, head=at.head, day=now[2])

    def findings(self, at: Standing) -> tuple[Finding, ...] | None:
        """Return what was noticed in a state; None if nobody looked yet."""
        return self._findings.get(at.stamp)

    def keep_findings(self, at: Standing, found: tuple[Finding, ...]) -> None:
        """Keep what was noticed in a state."""
        self.last_findings = self._findings.put(at.stamp, found)


def _ids(garden: Garden) -> set[str]:
    from quincunx.garden.document import LISTS

    return {item.id for part in LISTS for item in getattr(garden, part)}


def _free(wanted: str, taken: set[str]) -> str:
    stem = wanted.rstrip("0123456789").rstrip("-") or wanted
    n = 2
    while f"{stem}-{n}" in taken:
        n += 1
    return f"{stem}-{n}"


def _renamed(edit: Edit, names: dict[str, str]) -> Edit:
    """Return ``edit`` with things of its own called by new ids, wherever it names them."""

    def within(value: Any) -> Any:
        if isinstance(value, str):
            return names.get(value, value)
        if isinstance(value, (list, tuple)):
            return [within(v) for v in value]
        return {k: within(v) for k, v in value.items()} if isinstance(value, dict) else value

    ops = tuple(
        Op(do=o.do, part=o.part, id=names.get(o.id or "", o.id), value=within(o.value), index=o.index) for o in edit.ops
    )
    return Edit(label=edit.label, ops=ops)
