"""Going on at the board: the rest planned again from a month in two ways, and what the musts then say."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any
from weakref import WeakKeyDictionary

from pydantic import ValidationError

from quincunx.board.asides import SECONDS, month_in_plan, musts_json, musts_otherwise
from quincunx.board.ask import Ask
from quincunx.board.replies import Refused, text
from quincunx.board.standing import Standing
from quincunx.board.typed import read_edit
from quincunx.garden import Edit, apply
from quincunx.units import own_shares

if TYPE_CHECKING:
    from quincunx.board.session import Session
    from quincunx.years.real import Again

EFFORT = 1.5
"""Solver's own count for one way, which bites before :data:`SECONDS`: some two seconds."""


def plan_again(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/years/again``: the rest planned anew from ``month`` by the journal, moving as little as is worth it.

    With ``wider`` both ways to go on are told too: that one, and moving all that pays.  What the musts then say is
    another question (:func:`otherwise`), because judging them takes longer than planning.
    """
    from quincunx.years.real import pace_of
    from quincunx.years.unsaid import unsaid

    at = ask.session.standing()
    month = month_in_plan(text(ask.body, "month", 10), at)
    pace = pace_of(at.garden, month)
    asked = _asked(ask.session, at, month, pace if ask.body.get("pace") is True else 1.0)
    with ask.session.turns.urgent():
        if ask.body.get("wider") is True:
            return asked.ways()
        silent = unsaid(at.garden, month)
        said = None if silent is None else {"words": silent.sentence, "edit": silent.edit.model_dump(mode="json")}
        return asked.document(asked.little) | {"pace": round(pace, 2), "unsaid": said}


def _asked(session: Session, at: Standing, month: str, pace: float) -> _Asked:
    """Return what was asked last if it is asked again, so that the wider way needn't find the other one anew."""
    last = _last.get(session)
    if last is None or last.at is not at or (last.month, last.pace) != (month, pace):
        last = _last[session] = _Asked(at, month, pace)
    return last


@dataclass(frozen=True, eq=False)
class _Asked:
    """The rest planned again from a month, in two ways."""

    at: Standing
    month: str
    pace: float

    def _of(self, give: float) -> Again:
        from quincunx.years.real import again

        return again(self.at.garden, self.month, give=give, seconds=SECONDS, effort=EFFORT, pace=self.pace)

    @cached_property
    def little(self) -> Again:
        """Return the way that moves as little as is worth it."""
        from quincunx.years.two_ways import GIVE_LITTLE

        return self._of(GIVE_LITTLE)

    def ways(self) -> dict[str, Any]:
        """Return both ways in words, and the wider one whole; only words where there is no second way."""
        from quincunx.years.two_ways import GIVE_PAYS, nothing_to_gain, two_ways

        wide = self._of(GIVE_PAYS)
        both = two_ways(self.little, wide)
        if both is None:
            return {"words": nothing_to_gain(self.little), "both": [], "wide": None}
        told = [{"name": way.name, "words": own_shares(way.words, self.at.garden.style)} for way in both]
        return {"words": "", "both": told, "wide": self.document(wide)}

    def document(self, found: Again) -> dict[str, Any]:
        """Return one way as JSON values."""
        return {
            "words": own_shares(found.words, self.at.garden.style), "possible": found.found.starts is not None, "notes": list(found.today.notes),
            "rows": [{"id": r.project, "name": r.name, "was": r.was, "now": r.now, "why": r.why} for r in found.rows],
            "edit": found.edit.model_dump(mode="json") if found.edit.ops else None, "revision": self.at.revision,
        }  # fmt: skip


_last: WeakKeyDictionary[Session, _Asked] = WeakKeyDictionary()


def otherwise(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/years/otherwise``: the musts that an ``edit`` would answer otherwise in some year."""
    at = ask.session.standing()
    try:
        edit = Edit.model_validate(ask.body.get("edit"))
    except ValidationError:
        raise Refused(422, "The edit can't be read.") from None
    then = apply(at.garden, read_edit(edit, at.garden))[0]
    return {"musts": musts_json(musts_otherwise(ask.session, at.garden, then)), "revision": at.revision}
