"""When what a job plants is of use: how long a hedge grows until it is a wall, and from when if it was lost."""

from __future__ import annotations

from quincunx.grow.aftercare import aftercare
from quincunx.scene import Moment, Stands, Timeline
from quincunx.scene.fate import month_of
from quincunx.shapes import Prism, Solid
from quincunx.units.dates import format_month, month_from_index
from quincunx.works import Job, done_month

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
AGAIN = "plant-again"
"""The chore of the care calendar that plants again what was lost."""


def grown_after_months(through: Timeline, job: Job) -> int:
    """Return how long after the job its hedges need to close and be high enough to be walls [months]; 0 if it plants none.

    What was lost grows from when it was planted again, or is to be by the care calendar.
    """
    return max((_grown_since(through, job, thing) for thing in things_of(job)), default=0)


def things_of(job: Job) -> tuple[str, ...]:
    """Return the ids of what a job makes, each once."""
    return tuple(dict.fromkeys(target.partition("/")[0] for target in job.does))


def set_anew(through: Timeline, thing: str) -> tuple[int, bool] | None:
    """Return the month in which a planting that was lost is planted again, and whether it was; None if none is or was.

    The month counts from January of year 0; what the journal doesn't know of yet is planted as the care calendar says.
    """
    fate = through.fates.get(thing)
    if fate is None or not (fate.gone or fate.anew):
        return None
    if not fate.gone or fate.gone[-1][1] is not None:
        return (month_of(max(fate.anew)), True) if fate.anew else None
    return next(((a.month, False) for a in aftercare(through) if a.owner == thing and a.id == AGAIN), None)


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
    month = format_month(month_from_index(anew[0]))
    said = (
        f"was lost and planted again in {month}"
        if anew[1]
        else f"is lost, and grows anew once planted again in {month}"
    )
    return f"It {said}: of use from {format_month(month_from_index(begins + lag))}."


def _grown_since(through: Timeline, job: Job, thing: str) -> int:
    """Return the months from the end of a job to when a hedge it plants is of use, counted from its last planting."""
    grown = _grown(through, thing)
    anew = set_anew(through, thing) if grown else None
    done = done_month(job, through.journal)
    return grown if anew is None or done is None else grown + max(anew[0] - done - 1, 0)


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
