"""Several people on one Saturday: who has which step of a job, and who is there.

It is talk among people, no part of the garden: no edit, no revision, nothing to take back. It lies beside the garden in its
file, so that it is there again after a restart. The last word of each person about a step counts: each says how many words came
before it as far as its phone knew (Lamport, Time, clocks, and the ordering of events, 1978), and of two that knew as much the
later by their phones' clocks. So what is handed in late, twice or in another order comes to the same, and a phone whose clock is
wrong is heard all the same.
"""

from __future__ import annotations

import hashlib
import json
import unicodedata
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, field as part, replace
from datetime import datetime, timedelta
from typing import Any

from pydantic import TypeAdapter

from quincunx.garden import Garden
from quincunx.review.outdoor_notes import HAS, HERE, MEASURED, TICKED, Note
from quincunx.survey.entry import reader_of
from quincunx.units.words import listed
from quincunx.works import Entry

MOST_HELD = 3000
"""So many last words about steps are remembered; beyond, the oldest of those that were let go are forgotten first."""
MOST_PEOPLE = 20
"""Phones remembered by name, the newest."""


STAYS = timedelta(days=2)
"""So long before the last word of anybody somebody still counts as there (our own choice): a weekend, whatever their clocks say."""


@dataclass(frozen=True, slots=True)
class Held:
    """The last word of one person about one step: they have it, or let it go. ``people`` is how many the step needs."""

    job: str
    key: str
    by: str
    phone: str
    made: str
    on: bool = True
    people: int = 1
    text: str = ""
    nth: int = 0


@dataclass(frozen=True, slots=True)
class Here:
    """Whose name a phone carries, and since when."""

    by: str
    phone: str
    made: str
    nth: int = 0


@dataclass(frozen=True)
class Together:
    """Who has which step, and who is there."""

    held: tuple[Held, ...] = ()
    here: tuple[Here, ...] = ()

    @property
    def having(self) -> tuple[Held, ...]:
        """Return what people have, without what they let go."""
        return tuple(h for h in self.held if h.on)

    @property
    def present(self) -> tuple[Here, ...]:
        """Return the phones of these days: one that said nothing for :data:`STAYS` before the last word of any is of another Saturday."""
        said: dict[str, datetime] = {}
        words = [*((h.phone, h.made) for h in self.here), *((h.phone, h.made) for h in self.held)]
        for phone, made in words:
            at = datetime.fromisoformat(made)
            said[phone] = max(at, said.get(phone, at))
        last = max(said.values(), default=None)
        return tuple(h for h in self.here if last is not None and last - said[h.phone] <= STAYS)

    @property
    def people(self) -> tuple[str, ...]:
        """Return the names of who is there or has anything, each once, in the order of the alphabet."""
        named = [*(h.by for h in self.present), *(h.by for h in self.having)]
        return tuple(sorted({same(n): n for n in named if n}.values(), key=str.casefold))


@dataclass
class _Taking:
    held: dict[tuple[str, str, str], Held]
    here: dict[str, Here]
    met: dict[str, list[str]] = part(default_factory=dict)


def same(name: str) -> str:
    """Return a name as it is compared: who has one name is one person, on whichever phone."""
    return unicodedata.normalize("NFKC", name).casefold()


def proof_key(ends: Sequence[str]) -> str:
    """Return the key under which the length between two points is a step that somebody can take, whichever end comes first."""
    both = "\n".join(sorted(e.casefold() for e in ends))
    return f"prove/{hashlib.blake2b(both.encode(), digest_size=5).hexdigest()}"


def counting(entries: Iterable[Entry]) -> list[Entry]:
    """Return the lengths read between two points that count still, in their order: not those that somebody set right since."""
    out: dict[str, Entry] = {}
    for e in entries:
        if e.what == MEASURED and len(e.points) > 1 and e.length is not None:
            if e.instead:
                at = (e.about, proof_key(e.points))
                out = {i: o for i, o in out.items() if (o.about, proof_key(o.points)) != at}
            out[e.id] = e
    return list(out.values())


_HELD, _HERE = TypeAdapter(tuple[Held, ...]), TypeAdapter(tuple[Here, ...])


def read_together(text: str | None) -> Together:
    """Return what lay beside the garden; nothing where nothing did, or nothing readable."""
    try:
        told = json.loads(text or "{}")
        held = _HELD.validate_python(told.get("having", ()))
        here = _HERE.validate_python(told.get("here", ()))
        moments = [datetime.fromisoformat(m) for m in (*(h.made for h in held), *(h.made for h in here))]
    except (ValueError, AttributeError):
        return Together()
    return Together(held, here) if all(m.tzinfo for m in moments) else Together()


def written(at: Together) -> str:
    """Return it as it lies beside the garden."""
    return json.dumps(
        {"having": [asdict(h) for h in at.held], "here": [asdict(h) for h in at.here]}, ensure_ascii=False
    )


def taken_on(
    at: Together, notes: Iterable[Note], garden: Garden, moment: datetime | None = None
) -> tuple[Together, dict[str, str]]:
    """Return ``at`` with what ``notes`` say, and by note what whoever wrote it must be told: others have it too, or did it.

    What a phone said before with a clock that was ahead was said no later than this ``moment``: or nobody else would count as there.
    """
    at = at if moment is None else _said_by(at, moment)
    now = _Taking({(h.job, h.key, same(h.by)): h for h in at.held}, {h.phone: h for h in at.here})
    said = [n for n in notes if n.what in (HAS, HERE)]
    for note in said:
        if note.what == HERE:
            _came(now, note)
        else:
            _has(now, note)
    for note in said:
        if words := _namesake(now, note) if note.what == HERE else _met(now, note, garden):
            now.met.setdefault(note.id, []).append(words)
    return _kept(now), {i: " ".join(words) for i, words in now.met.items()}


def _said_by(at: Together, moment: datetime) -> Together:
    def by(made: str) -> str:
        return min(made, moment.isoformat(), key=datetime.fromisoformat)

    return Together(
        tuple(replace(h, made=by(h.made)) for h in at.held), tuple(replace(h, made=by(h.made)) for h in at.here)
    )


def _came(now: _Taking, note: Note) -> None:
    before = now.here.get(note.phone)
    if before is None or note.nth > before.nth or (note.nth == before.nth and _later(note.made, before.made)):
        now.here[note.phone] = Here(reader_of(note.by), note.phone, note.made, note.nth)


def _has(now: _Taking, note: Note) -> None:
    who = reader_of(note.by)
    key = (str(note.about), note.points[0], same(who))
    before = now.held.get(key)
    if before is None or note.nth > before.nth or (note.nth == before.nth and _later(note.made, before.made)):
        now.held[key] = Held(
            key[0], key[1], who, note.phone, note.made, note.on, note.people, note.text[:200], note.nth
        )


def _later(one: str, other: str) -> bool:
    return datetime.fromisoformat(one) >= datetime.fromisoformat(other)


def _met(now: _Taking, note: Note, garden: Garden) -> str:
    """Return what whoever took a step must be told: it is ticked already, or more have it than it needs; else nothing."""
    who, at = same(reader_of(note.by)), (note.about, note.points[0])
    having = {same(h.by): h.by for h in now.held.values() if h.on and (h.job, h.key) == at}
    if not note.on or who not in having:
        return ""  # let go, now or since
    ticked = [e for e in garden.journal if e.what == TICKED and e.points and (e.about, e.points[0]) == at]
    if done := [e.by or "somebody" for e in ticked if same(e.by) != who]:
        return f"{listed(done)} ticked this already."
    others = [by for name, by in having.items() if name != who]
    if len(others) < note.people:
        return ""
    has = "has" if len(others) == 1 else "have"
    return f"{listed(others)} {has} this too: agree who does it, and let it go on the other phone."


def _namesake(now: _Taking, note: Note) -> str:
    """Return what to say where another phone carries the same name."""
    who = reader_of(note.by)
    other = any(h.phone != note.phone and h.by and same(h.by) == same(who) for h in now.here.values())
    return (
        f"Another phone is called {who} too: both count as one person. If you are two, call one of you otherwise."
        if other
        else ""
    )


def _kept(now: _Taking) -> Together:
    held = sorted(now.held.values(), key=lambda h: (h.on, datetime.fromisoformat(h.made)))[-MOST_HELD:]
    here = sorted(now.here.values(), key=lambda h: datetime.fromisoformat(h.made))[-MOST_PEOPLE:]
    return Together(tuple(sorted(held, key=lambda h: (h.job, h.key, h.made))), tuple(here))


def together_json(at: Together, garden: Garden, *, money: bool = True) -> dict[str, Any]:
    """Return it as every page shows it: who is there, who has what, what is ticked or measured and by whom.

    Words of a line hold what it costs: without ``money`` they are left out, and its key alone says which it is.
    ``m`` is the length that was read [m].  ``alike`` are the names that more than one phone carries.
    """
    ticks: list[dict[str, Any]] = [
        {"job": e.about, "key": e.points[0], "text": e.text if money else "", "by": e.by, "phone": e.phone}
        for e in garden.journal
        if e.what == TICKED and e.points and e.about is not None
    ]
    ticks += [
        {"job": e.about, "key": proof_key(e.points), "text": "", "by": e.by, "phone": e.phone, "m": float(e.length)}
        for e in counting(garden.journal)
        if e.about is not None and e.length is not None
    ]
    held = [
        {"job": h.job, "key": h.key, "by": h.by, "phone": h.phone, "made": h.made, "people": h.people}
        for h in at.having
    ]
    return {
        "people": list(at.people), "alike": _alike(at), "having": held, "ticks": ticks,
        "nth": max((*(h.nth for h in at.held), *(h.nth for h in at.here)), default=0),
    }  # fmt: skip


def _alike(at: Together) -> list[str]:
    """Return the names that more than one phone carries, as the newest of them writes it."""
    by: dict[str, list[str]] = {}
    for h in at.present:
        by.setdefault(same(h.by), []).append(h.by)
    return [names[-1] for names in by.values() if len(names) > 1 and names[-1]]


def told(at: Together, garden: Garden) -> Iterator[str]:
    """Yield line by line who has which step of which job, what is ticked left out; for the command line."""
    jobs: Mapping[str, str] = {j.id: j.name for j in garden.jobs}
    done = {(e.about, e.points[0]) for e in garden.journal if e.what == TICKED and e.points}
    done |= {(e.about, proof_key(e.points)) for e in garden.journal if e.what == MEASURED and len(e.points) > 1}
    steps: dict[tuple[str, str], list[Held]] = {}
    for h in at.having:
        if h.job in jobs and (h.job, h.key) not in done:
            steps.setdefault((h.job, h.key), []).append(h)
    for (job, key), having in sorted(steps.items()):
        names = [h.by or "somebody" for h in having]
        need = max(h.people for h in having)
        more = ", too many: agree who does it" if len(names) > need else ""
        lacks = f", needs {need}" if len(names) < need else ""
        yield f"{jobs[job]}: {having[-1].text or key}: {listed(names)}{lacks}{more}"
