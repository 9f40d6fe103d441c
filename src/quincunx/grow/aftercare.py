"""What a planting wants after it was browsed, died back or was lost, and in which month."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache

from quincunx.grow.plantings import planting, southern
from quincunx.grow.windows import window
from quincunx.plants.tables import rows_of
from quincunx.scene import Stands, Timeline

LOST = "lost"
AGAIN = "plant-again"
"""The line of the list by which what was lost is planted again."""


@dataclass(frozen=True, slots=True)
class AfterChore:
    """One line of the list: after ``what``, in the first of these northern months from then on (none: at once)."""

    id: str
    what: str
    wait: tuple[int, ...]
    words: str
    minutes: float
    in_row: float


@cache
def after_chores() -> tuple[AfterChore, ...]:
    """Return the list of what is done after something happened."""
    return tuple(
        AfterChore(
            r["id"], r["what"], tuple(int(m) for m in r["wait"].split()), r["words"], float(r["minutes"]),
            float(r["in_row"]),
        )
        for r in rows_of("aftercare.csv")
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class After:
    """One thing to do for a planting: ``month`` counts from January of year 0, ``hours`` for all of its plants."""

    id: str
    owner: str
    month: int
    words: str
    hours: float


def aftercare(timeline: Timeline, now: int | None = None) -> tuple[After, ...]:
    """Return all that is to be done after what the journal says of the plantings, by month.

    What is still to be planted again is planted no earlier than in month ``now`` (from January of year 0), if that is given.
    """
    known = (f for f in timeline.features if f.id in timeline.fates and f.plants_named())
    found = [one for f in known for one in (*_hurt(timeline, f), *_again(timeline, f, now))]
    return tuple(sorted(found, key=lambda a: (a.month, a.id, a.owner)))


def _hurt(timeline: Timeline, feature: Stands) -> Iterator[After]:
    """Yield what is done after it was browsed or died back, while it stood."""
    for day, what, _ in timeline.fates[feature.id].happened:
        one = planting(timeline, feature.id, day)
        for chore in after_chores() if one is not None and what != LOST else ():
            if chore.what == what and one is not None:
                minutes = (chore.in_row if one.standing.spacing_m else chore.minutes) * one.standing.count
                month = first_in(southern(chore.wait, turned=timeline.southern), day)
                yield After(chore.id, feature.id, month, chore.words, minutes / 60)


def _again(timeline: Timeline, feature: Stands, now: int | None) -> Iterator[After]:
    """Yield the planting again of what was lost and has not been set anew since, in its season."""
    chore = next(c for c in after_chores() if c.what == LOST)
    plant, short = timeline.find(feature.plants_named()[0]), missing(timeline, feature.id)
    if plant is None or short is None:
        return
    day, lost = short
    was = planting(timeline, feature.id, day - timedelta(days=32))
    first = min((d for d, what, _ in timeline.fates[feature.id].happened if what == LOST), default=day)
    whole = planting(timeline, feature.id, first - timedelta(days=32)) or was
    there = float(whole.standing.count) if whole else 0.0
    lost = min(lost, there) if there else lost  # no more are planted again than were there
    count = lost or there or 1.0
    minutes = (chore.in_row if was and was.standing.spacing_m else chore.minutes) * count
    months = window(plant, "bare root" if plant.woody else "pot", timeline.frame).months
    many = f"the {lost:g} that {'was' if lost == 1 else 'were'} lost" if lost else "what was lost"
    since = day if now is None else max(day, date(now // 12, now % 12 + 1, 1))
    yield After(chore.id, feature.id, first_in(months, since), f"{chore.words} {many}", minutes / 60)


def missing(timeline: Timeline, feature_id: str) -> tuple[date, float] | None:
    """Return since when there is something to make good, and how many of several plants it is (0: all of it).

    That is the day of the last loss, or of the last planting again that made good but a part of what was lost.
    """
    fate = timeline.fates.get(feature_id)
    if fate is None:
        return None
    if fate.gone and fate.gone[-1][1] is None:
        month = fate.gone[-1][0]
        return date(month // 12, month % 12 + 1, 1), 0.0
    short, last = 0.0, None
    whole = max(fate.anew, default=date.min)  # from when on nothing was missing
    for day, what, amount in fate.happened:
        if day < whole:
            continue
        if what == LOST and amount:
            short, last = short + amount, day
        elif what == "replanted" and amount:
            short, last = max(short - amount, 0.0), day
    return (last, short) if short and last is not None else None


def first_in(months: tuple[int, ...], day: date) -> int:
    """Return the first month, from that of ``day`` on, that is one of these; its own where there are none."""
    now = day.year * 12 + day.month - 1
    return next(m for m in range(now, now + 13) if not months or m % 12 + 1 in months)
