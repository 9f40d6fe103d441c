"""What may need a permit: a published line where that model code is in use, elsewhere a question for the local office."""

from __future__ import annotations

from quincunx.build._answers import Answer, Screened

MODEL = "IRC R105.2"
"""The model code of the US: what work is exempt from permit."""
LOCAL = "your local code"
ASK_FIRST = ". This one is beyond that: ask your local office whether it needs a permit before you build"
"""What to do where a thing is larger than what commonly needs no permit."""
ASK = "what needs a permit differs from place to place, and no code of this place is held here: ask your local office before you build"


def permit(what: str, why: str, used: float | None, owner: str, *, fine: bool, us: bool) -> Screened:
    """Return whether a thing is within what needs no permit by the model code of the US; elsewhere that nobody here knows.

    ``why`` names the line, ``used`` the share of it that is used, and ``fine`` says whether the thing is within it.
    """
    if not us:
        return Screened(what, "unknown", None, ASK, LOCAL, owner)
    answer: Answer = "within" if fine else "beyond"
    return Screened(what, answer, used, why + ("" if fine else ASK_FIRST), MODEL, owner)
