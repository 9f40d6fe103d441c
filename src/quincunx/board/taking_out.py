"""Taking things out at the board: the edit, and what would go with it, said before it is made."""

from __future__ import annotations

from typing import Any

from quincunx.board.ask import Ask
from quincunx.board.replies import Refused
from quincunx.garden.taking_out import TakenOut, take_out
from quincunx.intents import Words

MOST_NAMED = 3


def taking_out(ask: Ask) -> dict[str, Any]:
    """Answer ``GET /api/take-out?ids=A,B``: the edit that takes features out, and in words what goes besides."""
    at = ask.session.standing()
    found = take_out(at.garden, ask.query.get("ids", "").split(","))
    if found is None:
        raise Refused(404, "It is no longer there. Another window took it out.")
    musts = {m.id: m.sentence(at.words) for m in at.garden.intents if m.id in set(found.musts)}
    return {"edit": found.edit.model_dump(mode="json", exclude_none=True), "also": _also(found, at.words, musts, at)}


def _also(found: TakenOut, words: Words, musts: dict[str, str], at: Any) -> str:
    jobs = {j.id: j.name for j in at.garden.jobs}
    parts = [
        _listed([words.name(i) for i in found.features]),
        _counted("job", [f"“{jobs[i]}”" for i in found.jobs]),
        _counted("must", [f"“{musts[i].rstrip('.')}”" for i in found.musts]),
    ]
    said = [p for p in parts if p]
    return f"With it goes: {'; '.join(said)}. It can be taken back." if said else ""


def _listed(names: list[str]) -> str:
    more = len(names) - MOST_NAMED
    return ", ".join(names[:MOST_NAMED]) + (f" and {more} more" if more > 0 else "")


def _counted(what: str, names: list[str]) -> str:
    if not names:
        return ""
    return f"the {what} {names[0]}" if len(names) == 1 else f"the {what}s {_listed(names)}"
