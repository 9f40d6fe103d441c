"""By when what grows must be planted for what the garden must do by a year: the latest year, what is to spare, what helps."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from quincunx.garden import Garden
from quincunx.garden.sources import sources
from quincunx.intents import Words
from quincunx.scene import Timeline
from quincunx.units import capital
from quincunx.units.dates import format_month, month_from_index

MOST_WAYS = 2


@dataclass(frozen=True, slots=True)
class Deadline:
    """One planting of a must with a year: the month in which it begins to stand as planned, its years to spare.

    ``latest`` is the latest year in which it may be planted; ``sentence`` the must's own.
    """

    must: str
    sentence: str
    thing: str
    planned: int
    spare: int

    @property
    def latest(self) -> int:
        """Return the latest year in which it may be planted for the must to hold as a rule."""
        return self.planned // 12 + self.spare


def deadlines(garden: Garden, through: Timeline, things: Sequence[str], words: Words) -> tuple[Deadline, ...]:
    """Return the deadlines of plantings to come, in the order of the musts; those there already have none."""
    found = []
    for must in garden.intents:
        spare = must.spare_years(through) if set(must.things()) & set(things) else {}
        for thing in things:
            begins = through.span(thing).begins
            if thing in spare and begins is not None and begins < 10**6:
                found.append(Deadline(must.id, must.sentence(words).rstrip("."), thing, begins, spare[thing]))
    return tuple(found)


def told(garden: Garden, through: Timeline, things: Sequence[str], words: Words) -> tuple[str, ...]:
    """Return them as sentences: a must each, then what has to be planted in the first year of the plan."""
    found = deadlines(garden, through, things, words)
    out = []
    for must in dict.fromkeys(d.must for d in found):
        mine = [d for d in found if d.must == must]
        years = sorted({d.latest for d in mine})
        out += [_one(garden, through, [d for d in mine if d.latest == year], words) for year in years]
    first = through.years[0]
    now = tuple(dict.fromkeys(d.thing for d in found if d.latest == first))
    if now:
        out.append(f"So {words.both(now)} must be planted in {first}, the first year.")
    elif found and min(d.latest for d in found) > first:
        soonest = min(found, key=lambda d: d.latest)
        out.append(f"So nothing of it must be planted in {first}; the first that can't wait is for {soonest.latest}.")
    return tuple(out)


def _one(garden: Garden, through: Timeline, those: list[Deadline], words: Words) -> str:
    one, who = those[0], words.both(tuple(d.thing for d in those))
    when = format_month(month_from_index(min(d.planned for d in those) - 1))
    if one.spare >= 0:
        spare = "no year" if one.spare == 0 else f"{one.spare} year{'s' * (one.spare > 1)}"
        return f"{one.sentence}: for that plant {who} in {one.latest} at the latest; as planned ({when}) there is {spare} to spare."
    late = f"{-one.spare} year{'s' * (one.spare < -1)}"
    text = f"{one.sentence}: as planned ({when}) {who} {'comes' if len(those) == 1 else 'come'} {late} too late."
    ways = _in_time(garden, through, one)
    if ways:
        return f"{text} In time even so: {'; '.join(ways)}."
    before = (
        ", before the plan begins: set the must to a later year, or take it out"
        if one.latest < through.years[0]
        else ""
    )
    return f"{text} It would have to be planted in {one.latest}{before}."


def _in_time(garden: Garden, through: Timeline, one: Deadline) -> list[str]:
    """Return the cheaper or larger stock with which it would be in time, planted when it is planned."""
    found = sources(garden, through, one.thing)
    by = None if not found or found[0].reached.usually is None else found[0].reached.usually + one.spare
    good = [s for s in found[1:] if by is not None and s.reached.usually is not None and s.reached.usually <= by]
    return [capital(s.words).rstrip(".") for s in good[:MOST_WAYS]]
