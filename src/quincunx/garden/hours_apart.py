"""Hours the plan has for a job beside those its work is counted to take: a word where they are far too few, and the way out."""

from __future__ import annotations

from quincunx.garden.costing import Costed, take_edit
from quincunx.garden.document import Garden
from quincunx.garden.edits import Edit
from quincunx.units import Style, format_hours

WIDE = 0.5
"""Counted hours that are more than the plan's by more than this share of the plan's are worth a word (common practice, no source)."""
LEAST_H = 1.0
"""By less than this nobody plans otherwise [h]."""
BOTH_STAND = (
    "Counted hours stand beside a job whose work is counted to take more than a half longer than is planned. What is not"
    " drawn is not counted, and nobody works as the norms do: a note, not a fault."
)


def far_apart(garden: Garden, found: Costed) -> bool:
    """Return whether the work of a job still to be done is counted to take more than a half longer than the plan has.

    Fewer hours counted say nothing: much of the work may be of a kind that isn't drawn.
    """
    plan, counted = found.job.hours, found.reckoned.hours
    if any(e.what == "done" and e.about == found.job.id for e in garden.journal):
        return False
    return counted - plan > WIDE * plan and counted - plan >= LEAST_H


def counted_words(found: Costed, style: Style) -> str:
    """Return what the work of a job is counted to take, to whole hours: ``counted from its work: about 53 h``."""
    whole = round(found.reckoned.hours)
    return f"counted from its work: {f'about {format_hours(whole, style)}' if whole else 'less than 1 h'}"


def apart_words(garden: Garden, found: Costed) -> str:
    """Return in a sentence how much longer the work is counted to take; empty where it is not far longer."""
    if not far_apart(garden, found):
        return ""
    plan = format_hours(found.job.hours, garden.style) if found.job.hours else "no hours"
    return f"The plan has {plan} for it; {counted_words(found, garden.style)}."


def take_hours(found: Costed) -> Edit:
    """Return the edit that puts the counted hours of a job into the plan, and leaves its sums as they are."""
    edit = take_edit(found, money=False)
    return edit.model_copy(update={"label": f"Take the counted hours of “{found.job.name}”"})
