"""When what a job plants is of use: how long a hedge grows until it is a wall, and from when if it was lost."""

from __future__ import annotations

from dataclasses import dataclass

from quincunx.grow.aftercare import AGAIN, aftercare, missing
from quincunx.scene import Moment, Stands, Timeline
from quincunx.scene.fate import month_of
from quincunx.shapes import Prism, Solid
from quincunx.units.dates import format_month, month_from_index
from quincunx.works import Job

CLOSED_GAP_M = 0.12
"""A hedge counts as closed when its largest hole is no larger than this [m] (common practice, no source)."""
SCREEN_M = 1.0
"""A hedge is of use as a wall from this height [m], or from nearly its full height if that is less."""
NEARLY_FULL = 0.95
"""What never gets so high is of use from this share of its full height: growth only ever comes nearer to that."""
MOST_AGE_YEARS = 15
"""A hedge that takes longer than this to close counts as closed then [years]."""
GROWN_YEARS = 60
"""What still has larger holes at this age is a planting, not a wall: it is of use once planted [years]."""


def grown_after_months(through: Timeline, job: Job, now: int | None = None) -> int:
    """Return how long after the job its hedges need to close and be high enough to be walls [months]; 0 if it plants none.

    What was lost grows from when it was planted again, or is to be by the care calendar, but not before month ``now`` (from
    January of year 0) if that is given.
    """
    return max((_grown_since(through, job, thing, now) for thing in things_of(job)), default=0)


def things_of(job: Job) -> tuple[str, ...]:
    """Return the ids of what a job makes, each once."""
    return tuple(dict.fromkeys(target.partition("/")[0] for target in job.does))


@dataclass(frozen=True, slots=True)
class Anew:
    """When what was lost of a planting is planted again: the month from January of year 0, and whether it was already.

    ``part`` is how many of its plants were lost; 0: all of it.
    """

    month: int
    was: bool
    part: float = 0.0


def set_anew(through: Timeline, thing: str, now: int | None = None) -> Anew | None:
    """Return when a planting that was lost, or the last of its plants that were, is planted again; None if nothing is or was.

    What the journal doesn't know of yet is planted as the care calendar says.
    """
    fate, short = through.fates.get(thing), missing(through, thing)
    if fate is None:
        return None
    if short is not None:
        month = next((a.month for a in aftercare(through, now) if a.owner == thing and a.id == AGAIN), None)
        return None if month is None else Anew(month, was=False, part=short[1])
    whole = month_of(max(fate.anew)) if fate.anew else None
    parts = [(day, many) for day, what, many in fate.happened if what == "replanted" and many]
    if parts and (whole is None or month_of(parts[-1][0]) > whole):
        return Anew(month_of(parts[-1][0]), was=True, part=sum(many for _, many in parts))
    return None if whole is None else Anew(whole, was=True)


def use_words(through: Timeline, job: Job) -> str:
    """Return one sentence on when what a job plants is of use as a wall; "" if it plants no hedge."""
    lag = grown_after_months(through, job)
    if not lag:
        return ""
    last = max(things_of(job), key=lambda t: _grown_since(through, job, t))
    anew, begins = set_anew(through, last), through.span(last).begins
    if anew is None or begins is None:
        long = f"{lag} months" if lag % 12 else f"{lag // 12} year{'s' * (lag != 12)}"
        return f"Of use {long} after it is planted: it has to grow first."
    month, use = (format_month(month_from_index(m)) for m in (anew.month, begins + lag))
    if anew.part:
        said = f"lost {anew.part:g} of its plants, planted again in {month}"
        said = said if anew.was else f"lost {anew.part:g} of its plants, to be planted again in {month}"
        return f"It {said}: closed, and of use, from {use}."
    said = (
        f"was lost and planted again in {month}"
        if anew.was
        else f"is lost, and grows anew once planted again in {month}"
    )
    return f"It {said}: of use from {use}."


def _grown_since(through: Timeline, job: Job, thing: str, now: int | None = None) -> int:
    """Return the months from the end of a job to when a hedge it plants is of use, counted from its last planting."""
    grown = _grown(through, thing)
    anew = set_anew(through, thing, now) if grown else None
    done = through.last_month(job)
    return grown if anew is None or done is None else grown + max(anew.month - done - 1, 0)


def _grown(through: Timeline, thing: str) -> int:
    feature = through.feature(thing)
    if feature is None:
        return 0
    full = {p: h.top.value_m for p, h in _hedges(through, feature, GROWN_YEARS).items() if h.gap_m <= CLOSED_GAP_M}
    for years in range(MOST_AGE_YEARS):
        now = {p: h for p, h in _hedges(through, feature, years).items() if p in full}
        if all(
            h.gap_m <= CLOSED_GAP_M and h.top.value_m >= min(SCREEN_M, NEARLY_FULL * full[p]) for p, h in now.items()
        ):
            return 12 * years
    return 12 * MOST_AGE_YEARS


def _hedges(through: Timeline, feature: Stands, age_years: int) -> dict[str, Solid]:
    """Return what a feature's plants wall off at an age: solids grown in a row, without those of single trees."""
    day = through.leaf_date(through.years[0])
    stood = feature.stand(Moment(day, float(age_years), through.frame.ground, through.find, 0, through.southern))
    return {s.part: s for s in stood.solids if s.grown and s.reluctant and isinstance(s.form, Prism)}
