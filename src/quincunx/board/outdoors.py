"""Outdoors: what is carried out, and what comes back; each hand-over may be cut off and made again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field as part
from datetime import UTC, timedelta
from typing import Any

from quincunx.board.ask import Ask
from quincunx.board.clock import moment as present, today
from quincunx.board.judging import found
from quincunx.board.outdoors_pack import FORMAT, choosable, pack_json
from quincunx.board.replies import Refused, encoded
from quincunx.board.session import Session
from quincunx.garden import Garden, GardenError
from quincunx.review import Review
from quincunx.review._twice_paid import twice_paid
from quincunx.review.met_changed import met_changed
from quincunx.review.outdoor_notes import HAS, HERE, MOST_NOTES, Note, read_notes, turned
from quincunx.review.phone_clock import ahead_by, clock_words, moment, set_right
from quincunx.review.together import read_together, taken_on, together_json, written
from quincunx.sheets import Set, prepare
from quincunx.store import Store, TakenIn

TOGETHER = "together"
"""What every open window is told when somebody took a step on, and under which it lies beside the garden."""


def pack(ask: Ask) -> bytes:
    """Answer ``GET /api/outdoors/pack``: all that a phone needs to work without a signal."""
    return packed(ask.session)


def pack_to_help(ask: Ask) -> bytes:
    """Answer ``GET /api/outdoors/pack-to-help``, and a phone of whoever helps: all it needs, and no price in it."""
    return packed(ask.session, money=False)


def packed(session: Session, jobs: Sequence[str] | None = None, *, money: bool = True) -> bytes:
    """Return the pack of the jobs named (else this month's and year's) as JSON bytes; without ``money`` no price in it."""
    at = session.standing()
    day = today(at.garden.site.place)
    key = ("outdoors", at.whole, *at.stamp, day, tuple(jobs) if jobs is not None else None, money)
    known = session.drawn.get(key)
    if known is not None:
        return known
    told = pack_json(noticed_set(session), at, session.store.mark(), jobs, money=money)
    return session.drawn.put(key, encoded(told))


def noticed_set(session: Session) -> Set:
    """Return what the sheets draw from with what was noticed, but no must judged: outdoors needs only the cautions."""
    at = session.standing()
    noticed = session.findings(at)
    if noticed is None:
        with session.turns.urgent():
            noticed = found(at)
        session.keep_findings(at, noticed)
    return prepare(at.garden, through=at.timeline, judged=Review((), noticed))


def jobs(ask: Ask) -> list[dict[str, str]]:
    """Answer ``GET /api/outdoors/jobs``: the jobs of which a page can be carried out."""
    at = ask.session.standing()
    return choosable(prepare(at.garden, through=at.timeline, judged=Review((), ())))


def twice(ask: Ask) -> list[dict[str, Any]]:
    """Answer ``GET /api/outdoors/twice``: sums written down more than once, each with the edit that counts it once."""
    at = ask.session.standing()
    return [
        {"id": t.id, "words": t.words, "edit": t.once.model_dump(mode="json", exclude_none=True)}
        for t in twice_paid(at.garden, at.words.name)
    ]


def notes(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/outdoors/notes``: take in ``notes`` that carry this garden's ``mark``, each only once."""
    session = ask.session
    with session.lock:
        told = took(session.store, ask.body)
    session.changed()
    session.hub.tell(TOGETHER)
    return told


def together(ask: Ask) -> dict[str, Any]:
    """Answer ``GET /api/outdoors/together``: who is there, who has which step, what is ticked; asked every few seconds."""
    return _together(ask.session, money=True)


def together_to_help(ask: Ask) -> dict[str, Any]:
    """Answer the same for a phone that shows no prices: the words of a line hold what it costs, so none are sent."""
    return _together(ask.session, money=False)


def _together(session: Session, *, money: bool) -> dict[str, Any]:
    store = session.store
    with session.lock:
        revision, garden, text = store.revision, store.garden(), store.beside(TOGETHER)
    day = today(garden.site.place).isoformat()
    return {
        "revision": revision,
        "today": day,
        "money": money,
        **together_json(read_together(text), garden, money=money),
    }


def took(store: Store, body: dict[str, Any]) -> dict[str, Any]:
    """Take in what came back; say which ids are taken (now or before), and what is wrong with the others."""
    values = body.get("notes")
    if body.get("format") != FORMAT or not isinstance(values, list):
        raise Refused(422, "That is not what comes back from outdoors. It is a file whose name begins with “back”.")
    if body.get("mark") != store.mark():
        raise Refused(
            409, f"These notes belong to another garden: {str(body.get('garden', 'unknown'))[:80]}. Open that one."
        )
    if len(values) > MOST_NOTES:
        raise Refused(422, f"These are {len(values)} notes; at most {MOST_NOTES} can be taken at once.")
    read, wrong = read_notes(values)
    place, sent = store.garden().site.place, moment(body.get("sent"))
    now = present(place)
    good = set_right(read, sent, now, now.tzinfo or UTC)
    came = _Came(store, wrong)
    came.keep(good)
    problems = [{"id": i, "because": because} for i, because in came.wrong.items()]
    told = [{"id": i, "words": words} for i, words in came.told.items()]
    return {
        "revision": store.revision,
        "taken": sorted(came.ids),
        "problems": problems,
        "told": told,
        **_clock(ahead_by(sent, now)),
    }


def _clock(ahead: timedelta) -> dict[str, str]:
    return {"clock": clock_words(ahead)} if ahead else {}


@dataclass
class _Came:
    """What came back, as it is stored: the ids taken, what is wrong with others, what some met that had changed."""

    store: Store
    wrong: dict[str, str]
    ids: set[str] = part(default_factory=set)
    told: dict[str, str] = part(default_factory=dict)

    def keep(self, good: list[Note]) -> None:
        """Store the notes together; if one of them makes no garden, one by one, so that it alone stays behind."""
        try:
            self._at_once(good)
        except GardenError as error:
            if len(good) < 2:
                self.wrong |= {n.id: str(error) for n in good}
                return
            for note in good:
                self.keep([note])

    def _at_once(self, good: list[Note]) -> None:
        wrong, told = dict[str, str](), dict[str, str]()

        def make(garden: Garden, known: frozenset[str]) -> TakenIn:
            new = turned(garden, good, known)
            wrong.update(new.wrong)
            came = [n for n in good if n.id in new.ids]
            told.update(met_changed(garden, came))
            return TakenIn(new.edit, new.ids, new.pictures, self._together(garden, came, told))

        _, ids = self.store.take_once([n.id for n in good], make)
        self.ids |= ids
        self.wrong |= wrong
        self.told |= told

    def _together(self, garden: Garden, came: list[Note], told: dict[str, str]) -> tuple[tuple[str, str], ...]:
        """Return who has what from now on, to lie beside the garden; put to ``told`` what whoever took a step must know."""
        if not any(n.what in (HAS, HERE) for n in came):
            return ()
        after, met = taken_on(read_together(self.store.beside(TOGETHER)), came, garden, present(garden.site.place))
        told.update({i: f"{told[i]} {words}" if i in told else words for i, words in met.items()})
        return ((TOGETHER, written(after)),)
