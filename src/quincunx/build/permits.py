"""What may need a permit: a published line where that code is in force, elsewhere a question for the local office."""

from __future__ import annotations

from quincunx.build._answers import Answer, Screened
from quincunx.site.codes import Held

LOCAL = "your local code"
ASK_FIRST = ". This one is beyond that: ask your local office whether it needs a permit before you build"
"""What to do where a thing is larger than what commonly needs no permit."""
ASK = "what needs a permit differs from place to place, and no code of this place is held here: ask your local office before you build"


def permit(what: str, used: float | None, owner: str, rule: Held, *, more: str = "", fine: bool = True) -> Screened:
    """Return whether a thing is within what needs no permit where it stands; without a ``rule`` that nobody here knows.

    ``used`` is the share of the line that is used, ``more`` is said after the rule's words, and what is not ``fine`` is
    beyond the rule whatever it uses.
    """
    if rule.row is None:
        return Screened(what, "unknown", None, ASK, LOCAL, owner)
    within = fine and (used is None or used <= 1 + 1e-9)
    answer: Answer = "within" if within else "beyond"
    why = rule.row.words + more + ("" if within else ASK_FIRST)
    return Screened(what, answer, used, why, rule.cited(), owner)
