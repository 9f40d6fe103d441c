"""Verdicts kept by what they read, so that only what an edit touches is judged anew.

Each verdict is kept with the dates it looked at and the content of the scenes on them, and with what the things it
names were called.  It stands for every garden in which the must, those names and those scenes are the same; a judgement
has nothing else to go by, so a kept verdict equals the one that judging again would give.
"""

from __future__ import annotations

import time
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import cache

from quincunx.intents import Intent
from quincunx.review.answers import Answers
from quincunx.review.latest import Latest
from quincunx.review.read import Read
from quincunx.scene import Scene, Timeline
from quincunx.scene._kept import Kept
from quincunx.shapes import Verdict

SCENES = frozenset({"walk", "sight", "rain", "light"})
"""What reads nothing but scenes and the site."""
PLANTS = frozenset({"plants"}) | SCENES
"""What reads plantings, at dates of their own, and perhaps scenes."""
WORKS = frozenset({"works"}) | SCENES
"""What reads the jobs, what they make and when, and perhaps scenes."""
LEDGER = frozenset({"money", "hours"})
"""What reads nothing but money and hours."""
MOST = 30_000
MOST_WAYS = 8
"""Verdicts of one must in one year kept for different scenes."""
LASTING_WAYS = 3
"""As many of them are kept for the next run."""


class Watched(Timeline):
    """A timeline that remembers which scenes were looked at."""

    def __init__(self, of: Timeline) -> None:
        """Share everything with ``of``."""
        self.__dict__.update(of.__dict__)
        self.seen: dict[date, str] = {}

    def at(self, on: date) -> Scene:
        """Return the garden on ``on`` and remember its content."""
        scene = super().at(on)
        self.seen[on] = scene.key
        return scene


class WatchedNames(Mapping[str, str]):
    """What things are called, and which of them were asked for: an empty text where nothing is called so."""

    def __init__(self, names: Mapping[str, str]) -> None:
        """Watch ``names``."""
        self._names = names
        self.seen: dict[str, str] = {}

    def __getitem__(self, ref: str) -> str:
        """Return what is called ``ref`` and remember it."""
        self.seen[ref] = self._names.get(ref, "")
        return self._names[ref]

    def __iter__(self) -> Iterator[str]:
        """Go through all, which counts as asking for each."""
        self.seen.update(self._names)
        return iter(self._names)

    def __len__(self) -> int:
        """Return how many there are."""
        return len(self._names)


@dataclass(frozen=True, slots=True)
class Known:
    """A verdict, the scenes it goes by, (date, key) each, and the names it was put in, (id, name) each."""

    verdict: Verdict
    scenes: tuple[tuple[date, str], ...]
    names: tuple[tuple[str, str], ...] = ()

    def fits(self, through: Timeline, names: Mapping[str, str]) -> bool:
        """Return whether ``through`` shows the same on each of those dates, and things are called the same."""
        if any(names.get(ref, "") != name for ref, name in self.names):
            return False
        return all(through.at(on).key == key for on, key in self.scenes)

    def goes_by(self) -> tuple[object, object]:
        """Return what it goes by: two verdicts that go by the same are one."""
        return self.scenes, self.names


class Verdicts:
    """All the verdicts known of one garden, whatever state of it they were judged in."""

    def __init__(self, answers: Answers | None = None, most: int = MOST) -> None:
        """Begin with those that were found in earlier runs and are kept in ``answers``, if any; keep ``most`` in memory."""
        self._answers = answers
        self._kept: Latest[list[Known]] = Latest(most)
        self._last: Latest[Known] = Latest(MOST)
        self._found: tuple[Read | None, dict[tuple[int, int], tuple[Intent, Known]]] = (None, {})
        self.cost_s: dict[str, float] = {}
        """What judging each must took the last time, by id [s]."""

    @classmethod
    def of_user(cls) -> Verdicts:
        """Return those found in this user's earlier runs."""
        return cls(Answers.of_user())

    def find(self, must: Intent, year: int, at: Read) -> Known | None:
        """Return the verdict on ``must`` in ``year`` if it is known for the garden as it is ``at``."""
        for known in self._all(_key(must, year, at)):
            if known.fits(at.timeline, at.words.names):
                return self._last.put((must.id, year), known) if at.head else known
        return None

    def _all(self, key: tuple[str, ...]) -> list[Known]:
        """Return all that is known by ``key``: of this run, else of earlier ones."""
        found = self._kept.get(key)
        if found is None and self._answers is not None:
            found = self._kept.put(key, self._answers.get(key) or [])
        return found or []

    @property
    def answers(self) -> Answers | None:
        """Return where they are kept from one run to the next, if anywhere."""
        return self._answers

    def write(self) -> None:
        """Keep what has become known for the next run."""
        if self._answers is not None:
            self._answers.write()

    def close(self) -> None:
        """Keep what has become known, and let go of the file it is kept in."""
        if self._answers is not None:
            self._answers.close()

    def judge(self, must: Intent, year: int, at: Read) -> Known:
        """Return the verdict on ``must`` in ``year``, judging if it isn't known."""
        found = self.find(must, year, at)
        if found is not None:
            return found
        watched, began = Watched(at.timeline), time.perf_counter()
        names = WatchedNames(at.words.names)
        verdict = must.judge(watched, year, replace(at.words, names=names))
        self.cost_s[must.id] = time.perf_counter() - began
        known = Known(verdict, tuple(sorted(watched.seen.items())), tuple(sorted(names.seen.items())))
        return self.keep(must, year, at, known)

    def keep(self, must: Intent, year: int, at: Read, known: Known) -> Known:
        """Keep what was judged of the garden as it is ``at``, here or in another process; return it."""
        key = _key(must, year, at)
        others = [k for k in self._all(key) if k.goes_by() != known.goes_by()]
        # What is only tried out comes after the garden as it is, so that a long drag never pushes that out.
        first = [known, *others] if at.head or not others else [others[0], known, *others[1:]]
        self._kept.put(key, first[:MOST_WAYS])
        if self._answers is not None and at.lasting:
            self._answers.put(key, [known, *others][:LASTING_WAYS])
        if at.head:
            self._last.put((must.id, year), known)
        return known

    def untouched(self, must: Intent, year: int, at: Read, then: Read) -> Known | None:
        """Return the verdict on ``must`` in ``year`` if it is known ``at`` and surely the same ``then``; else None.

        ``then`` is the garden ``at`` with some features in place of others.
        """
        known = self.found(must, year, at)
        if known is None or _goes_on(known, must, at, then):
            return known
        if not then.timeline.is_changed_from(at.timeline) or at.due(must) != then.due(must):
            return None
        if any(then.words.names.get(ref, "") != name for ref, name in known.names):
            return None
        return known if must.stands(known.verdict, at.timeline, then.timeline, then.words) else None

    def unchanged(self, must: Intent, year: int, at: Read, then: Read) -> Known | None:
        """Return a verdict that is known ``at`` if all that it goes by is the same ``then``; else None."""
        known = self.found(must, year, at)
        return known if known is not None and _goes_on(known, must, at, then) else None

    def found(self, must: Intent, year: int, at: Read) -> Known | None:
        """Return :meth:`find` for a garden that is asked about again and again: what is known of it is looked up once."""
        old = self._found
        if old[0] is not at:
            old = self._found = (at, {})
        cell = (id(must), year)
        if cell not in old[1] and (known := self.find(must, year, at)) is not None:
            old[1][cell] = (must, known)  # the must is held, so that its identity stays its own
        return old[1][cell][1] if cell in old[1] else None

    def last(self, must: str, year: int) -> Known | None:
        """Return the newest verdict there was on a must in a year, though it may no longer hold."""
        return self._last.get((must, year))

    def waiting(self, at: Read) -> list[tuple[Intent, int]]:
        """Return which musts are to be judged in which years."""
        return [(m, y) for m in at.garden.intents for y in at.timeline.years if self.find(m, y, at) is None]


def _goes_on(known: Known, must: Intent, at: Read, then: Read) -> bool:
    """Return whether all that a verdict known ``at`` goes by is the same ``then``: not the scenes alone."""
    same = at.due(must) == then.due(must) and all(getattr(at, p) == getattr(then, p) for p in _parts(must.reads))
    return same and known.fits(then.timeline, then.words.names)


def _key(must: Intent, year: int, at: Read) -> tuple[str, ...]:
    written = _WRITTEN.get((must,), None, must.model_dump_json)
    return (written, str(year), str(at.due(must)), *(getattr(at, part) for part in _parts(must.reads)))


@cache
def _parts(reads: frozenset[str]) -> tuple[str, ...]:
    """Return what of a garden that is read is part of the key of a must that goes by ``reads``."""
    if reads <= SCENES:
        return ("common",)
    if reads <= LEDGER:
        return ("common", "ledger")
    if reads <= PLANTS:
        return ("common", "planted")
    return ("common", "works" if reads <= WORKS else "whole")


_WRITTEN: Kept[str] = Kept(1024)
