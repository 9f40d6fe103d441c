"""What keeps the built things of the plan: staining, topping up, re-laying, renewing, as jobs of later years.

Proposed only, for the person takes them over; then they are jobs like all others, in the order of works and in money.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from quincunx.build import Reckoned, Rules, reckon
from quincunx.build.amounts import TakeOff
from quincunx.build.lasting import Chore, Lasting, lasting
from quincunx.build.reckon import reckon_taken
from quincunx.features import Feature
from quincunx.garden.costing import pace_of, rules_of, works_of
from quincunx.garden.document import Garden
from quincunx.garden.edits import Edit, Op
from quincunx.scene import Timeline
from quincunx.shapes import Work
from quincunx.works import Job

AHEAD_YEARS = 25
"""So many years after the plan's first are looked ahead; only those of the plan can be taken over as jobs."""
USUAL_MONTHS = (4, 5, 6, 7, 8, 9)


@dataclass(frozen=True, slots=True)
class Kept:
    """A built thing: the year it is built, by which job, how long it lasts."""

    feature: Feature
    target: str
    works: tuple[Work, ...]
    built: int
    job: str | None
    lasting: Lasting


Row = tuple[Kept, str, tuple[int, ...], TakeOff | None, int]
"""A thing, what is done to it in which months, what that takes (None: it is built again), years after it was built."""


@dataclass(frozen=True, slots=True)
class Due:
    """Something due in a year: its words, the things it is for, what it comes to, the jobs it follows and how long after.

    ``taken`` says that it stands in the plan as a job already; ``job`` is that job, or the one it would be.
    """

    id: str
    year: int
    words: str
    names: tuple[str, ...]
    reckoned: Reckoned
    months: tuple[int, ...]
    after: tuple[tuple[str, int], ...]
    in_plan: bool
    taken: bool

    def job(self) -> dict[str, Any]:
        """Return it as a job of the garden."""
        r = self.reckoned
        lines = [
            {"words": b.words, "sum": b.sum, "quantity": round(b.count, 2), "unit": b.sold_by} for b in r.bill if b.sum
        ]
        missing = f" No price yet for: {', '.join(r.unpriced)}." if r.unpriced else ""
        return {
            "id": self.id, "name": self.title()[:80], "costs": lines, "hours": round(r.hours, 1), "window": list(self.months),
            "start": f"{self.year}-{self.months[0]:02d}", "worth": "some",
            "after": [{"job": j, "wait_months": wait} for j, wait in self.after],
            "note": f"For: {', '.join(self.names)}.{missing}",
        }  # fmt: skip

    def title(self) -> str:
        """Return its words with what it is for, shortened where that is much."""
        names = ", ".join(self.names[:2]) + (f" and {len(self.names) - 2} more" if len(self.names) > 2 else "")
        return f"{self.words}: {names}"

    def edit(self) -> Edit:
        """Return the edit that takes it over."""
        return take([self], f"Plan “{self.words}” in {self.year}")


def kept(garden: Garden, through: Timeline) -> tuple[tuple[Kept, ...], tuple[Feature, ...]]:
    """Return the built things whose year is known, with what keeps them; and those there already, of no known age.

    What stands for a time only (a guard, a cage) is taken away and not kept.
    """
    makes = {t: j for j in garden.jobs for t in j.does}
    out, old = list[Kept](), list[Feature]()
    for feature in garden.features:
        if feature.group == "temporary":
            continue
        stages = feature.finish_ids() or ("",)
        for n, finish in enumerate(stages):
            target = feature.id if n == 0 else f"{feature.id}/{finish}"
            works = works_of(through, feature, finish)
            found = lasting(works)
            if found.life is None and not found.chores:
                continue
            built = _built(
                through, feature, makes.get(target) or (makes.get(f"{feature.id}/{finish}") if n == 0 else None)
            )
            if built is None:
                if feature.there_from == "start" and n == 0:
                    old.append(feature)
                continue
            out.append(Kept(feature, target, works, built[0], built[1], found))
    return tuple(out), tuple(old)


def _built(through: Timeline, feature: Feature, job: Job | None) -> tuple[int, str | None] | None:
    """Return the year in which something is built and the job that builds it; None where nobody says."""
    done = None if job is None else through.last_month(job)
    if job is not None and done is not None:
        return done // 12, job.id
    month = feature.there_from
    return (int(month[:4]), None) if month not in (None, "start") else None


def due(garden: Garden, through: Timeline) -> tuple[Due, ...]:
    """Return what falls due year by year, alike chores of one year together."""
    rules = rules_of(garden, pace_of(garden, through))
    groups: dict[tuple[str, int], list[Row]] = {}
    things, _ = kept(garden, through)
    last = through.years[0] + AHEAD_YEARS
    for one in things:
        for chore in one.lasting.chores:
            if chore.every > 1:
                for year in _years(one, chore, min(last, _laid_over(one, things) - 1)):
                    row: Row = (one, chore.words, chore.months, chore.taken, year - one.built)
                    groups.setdefault((chore.id, year), []).append(row)
        middle = one.lasting.middle
        if middle is not None and one.built + middle <= min(last, _laid_over(one, things) - 1):
            row = (one, "Build again", USUAL_MONTHS, None, middle)
            groups.setdefault((f"again-{one.job or one.feature.id}", one.built + middle), []).append(row)
    taken = {j.id for j in garden.jobs}
    found = [_due(key, rows, rules, through, taken) for key, rows in groups.items()]
    return tuple(sorted(found, key=lambda d: (d.year, d.months[0], d.id)))


def _years(one: Kept, chore: Chore, last: int) -> Iterator[int]:
    """Yield the years a chore falls in: not in the years about its end, when it is built again."""
    end = one.built + (one.lasting.middle or AHEAD_YEARS)
    yield from range(one.built + chore.every, min(last, end - 2) + 1, chore.every)


def _laid_over(one: Kept, things: tuple[Kept, ...]) -> int:
    """Return the year in which its next finish is laid over it; a far one where none is."""
    later = [k.built for k in things if k.feature.id == one.feature.id and k.built > one.built]
    return min(later, default=9999)


def _due(
    key: tuple[str, int],
    rows: list[Row],
    rules: Rules,
    through: Timeline,
    taken: set[str],
) -> Due:
    id_ = f"upkeep-{key[0]}-{key[1]}"
    works = [w for k, _, _, t, _ in rows if t is None for w in k.works]
    chores = [t for _, _, _, t, _ in rows if t is not None]
    total = TakeOff()
    for t in chores:
        total += t
    found = reckon(works, rules) if works else reckon_taken(total, rules)
    waits: dict[str, int] = {}
    for k, _, _, _, years in rows:
        if k.job is not None:
            waits[k.job] = max(waits.get(k.job, 0), 12 * years - 6)
    return Due(
        id_, key[1], rows[0][1], tuple(dict.fromkeys(k.feature.called for k, *_ in rows)), found, rows[0][2],
        tuple(sorted(waits.items())), key[1] <= through.years[-1], id_ in taken,
    )  # fmt: skip


def yearly(garden: Garden, through: Timeline) -> tuple[tuple[str, float], ...]:
    """Return what is done every year to what is built, by its words, with the hours it takes once all stands [h]."""
    rules = rules_of(garden, pace_of(garden, through))
    out: dict[str, float] = {}
    for one in kept(garden, through)[0]:
        for chore in one.lasting.chores:
            if chore.every == 1:
                out[chore.words] = out.get(chore.words, 0.0) + reckon_taken(chore.taken, rules).hours
    return tuple(out.items())


def take(found: list[Due], label: str = "Plan the upkeep") -> Edit:
    """Return the edit that puts what is due into the plan as jobs: what stands there already, and what is later, is left."""
    ops = tuple(Op(do="put", part="jobs", id=d.id, value=d.job()) for d in found if d.in_plan and not d.taken)
    return Edit(label=label, ops=ops)
