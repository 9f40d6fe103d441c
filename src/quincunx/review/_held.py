"""Held places: decided too late, crowded, or too small for what is on the shortlist."""

from __future__ import annotations

from collections.abc import Iterator

from quincunx.features import Feature, HeldPlace
from quincunx.review._view import View, middle
from quincunx.scene.moment import Moment
from quincunx.shapes import Finding, Severity
from quincunx.units import format_length, format_month, month_index

SOURCE = "Quincunx: a place is held for the largest of its shortlist"


def check(view: View) -> Iterator[Finding]:
    """Yield what stands in the way of each held place."""
    for feature in view.garden.features:
        place = feature.held_place()
        if place is not None:
            yield from _late(view, feature, place)
            yield from _too_big(view, feature, place)


def _late(view: View, held: Feature, place: HeldPlace) -> Iterator[Finding]:
    job = view.timeline.job_of(held.id)
    if place.chosen is not None or job is None or job.start is None:
        return
    if place.decide_by is None or month_index(place.decide_by) > month_index(job.start):
        month = format_month(job.start)
        yield Finding(
            f"undecided-{held.id}", Severity.CARE, f"{held.called} is to be built in {month}, and nothing is chosen for it yet.",
            f"Choose from its shortlist by {month}.", SOURCE, (held.id, job.id), middle(place.outline), month_index(job.start) // 12,
        )  # fmt: skip


def _too_big(view: View, held: Feature, place: HeldPlace) -> Iterator[Finding]:
    room, style = place.outline.buffer(0.01), view.garden.style
    when = Moment(view.timeline.leaf_date(view.timeline.years[-1]), 0.0, view.timeline.frame.ground, lambda _: None)
    for choice, words, feature in place.shortlist:
        stood = feature.stand(when)
        if any(not room.covers(s.footprint) for s in stood.solids):
            yield Finding(
                f"held-too-small-{held.id}-{choice}", Severity.FAULT, f"{words} doesn't fit inside {held.called}.",
                "Make the place larger or the structure smaller.", SOURCE, (held.id,), middle(room),
            )  # fmt: skip
        highest = max((s.top.value_m for s in stood.solids if s.top.datum == "ground"), default=0.0)
        if highest > place.greatest_height_m + 1e-6:
            high, clear = format_length(highest, style), format_length(place.greatest_height_m, style)
            yield Finding(
                f"held-too-low-{held.id}-{choice}", Severity.FAULT, f"{words} is {high} high; {held.called} is kept clear to {clear}.",
                "Raise the height kept clear, or choose something lower.", SOURCE, (held.id,), middle(room),
            )  # fmt: skip
