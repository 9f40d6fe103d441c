"""What each job comes to, from the features it makes: beside what the person typed, and taken into the plan if wanted."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from quincunx.build import Pace, Reckoned, Rules, learned, norms, reckon
from quincunx.build.carried import AtHand, after
from quincunx.build.parted import Way, parted
from quincunx.features import Feature
from quincunx.garden.document import Garden
from quincunx.garden.edits import Edit, Op
from quincunx.garden.lifting import lifted
from quincunx.garden.safety import ground_of
from quincunx.plants.catalogue import find_plant
from quincunx.scene import Timeline
from quincunx.shapes import FrameWork, KitWork, LineWork, PlantWork, Work
from quincunx.works import Job

BIG = 0.1
"""Worked-out sums that differ from the typed by more than this share are worth a look."""


@dataclass(frozen=True, slots=True)
class Option:
    """One thing of a held place's shortlist and what it comes to."""

    id: str
    words: str
    works: tuple[Work, ...]
    reckoned: Reckoned


@dataclass(frozen=True, slots=True)
class Costed:
    """A job, what it comes to, and by target what its works are.

    ``options`` are the shortlist of a place still held open among what it makes; the dearest of them is reckoned in.
    ``typed`` are the sums the person wrote that no working out replaces [minor units].
    """

    job: Job
    works: Mapping[str, tuple[Work, ...]]
    reckoned: Reckoned
    options: tuple[Option, ...] = ()
    before: AtHand = field(default_factory=AtHand)
    """What found things and off-cuts of earlier jobs are at hand when it begins."""

    @property
    def typed_sum(self) -> int:
        """Return the typed sums that don't come from working out [minor units]."""
        return sum(c.sum for c in self.job.costs if not c.worked_out)

    @property
    def taken_sum(self) -> int | None:
        """Return the worked-out sums that stand in the plan [minor units]; None if none were taken."""
        taken = [c.sum for c in self.job.costs if c.worked_out]
        return sum(taken) if taken else None


def rules_of(garden: Garden, pace: Pace | None = None) -> Rules:
    """Return what the garden says for all its jobs."""
    own = {p.id: p for p in garden.plants}
    ids = {w for f in garden.features for w in f.plants_named()}
    names = {i: p.name for i in sorted(ids) if (p := find_plant(i, own)) is not None}
    ground = ground_of(garden)
    hired = frozenset(f.id for f in garden.features if _hired(f))
    return Rules(garden.prices, norms(garden.norms), pace or Pace(), garden.style.system, ground, names, hired)


def _hired(feature: Feature) -> bool:
    """Return whether somebody is paid to build a feature, or what is chosen for a place that was held open."""
    place = feature.held_place()
    if place is None:
        return feature.hired()
    return any(other.hired() for id_, _, other in place.shortlist if id_ == place.chosen)


def works_of(through: Timeline, feature: Feature, finish: str = "") -> tuple[Work, ...]:
    """Return the work of building a feature, or one of its later finishes; what makes none is bought whole.

    A run stops at the openings that are there by the time it is built; an opening that comes later than what is planted
    has the work of digging out what stands in its way.
    """
    ids = feature.finish_ids()
    stage = ids.index(finish) if finish in ids else 0
    stood = through.as_made(feature, stage)
    made = stood.work
    if stood.solids and any(isinstance(w, LineWork) for w in made):
        made = parted(made, _ways(through, feature))
    bought = not made and feature.bought_whole() and feature.held_place() is None
    made = (KitWork(feature.id, what=feature.words),) if bought else made
    return (*made, *(x.work for x in lifted(through, feature)))


def _ways(through: Timeline, feature: Feature) -> list[Way]:
    """Return the openings that are made with a feature, or before it and are still there."""
    begins, out = through.span(feature.id).begins or 0, list[Way]()
    for other in through.features:
        span = through.span(other.id)
        there = (span.begins or 0) <= begins and (span.ends is None or span.ends > begins)
        if not isinstance(other, Feature) or other.group != "openings" or not there:
            continue
        stood = through.as_made(other)
        posts = any(m.support == "post" for w in stood.work if isinstance(w, FrameWork) for m in w.members)
        out += [Way(o.owner, o.clear, posts) for o in stood.openings]
    return out


def costed(garden: Garden, through: Timeline, jobs: Iterable[Job] | None = None) -> tuple[Costed, ...]:
    """Return what each of the garden's jobs comes to, at the pace its journal teaches."""
    wanted = tuple(garden.jobs if jobs is None else jobs)
    features = {f.id: f for f in garden.features}
    rules = rules_of(garden, pace_of(garden, through))
    named = {j.id for j in wanted}
    every = (*wanted, *(j for j in garden.jobs if j.id not in named))
    at, out = AtHand(rules.prices), dict[str, Costed]()
    # One job after the other, as they come: what is found is used once, and what one leaves the next saws first.
    for job in sorted(every, key=lambda j: (j.start is None, j.start or "", j.id)):
        if len(named & out.keys()) == len(named):
            break
        here = at if job.start else AtHand(at.prices)
        one = _costed(through, features, job, replace(rules, prices=here.prices, left=here.left))
        out[job.id] = replace(one, before=here)
        if job.start:
            at = after(here, one.reckoned, job.name, keeps=not one.options, hired=rules.hired)
    return tuple(out[j.id] for j in wanted)


def pace_of(garden: Garden, through: Timeline) -> Pace:
    """Return the person's pace: hours in the journal against the norms, over the jobs that are done."""
    done = {e.about for e in garden.journal if e.what == "done"}
    worked: dict[str, float] = {}
    for e in garden.journal:
        if e.about in done and e.hours is not None and e.about is not None:
            worked[e.about] = worked.get(e.about, 0.0) + e.hours
    if not worked:
        return Pace()
    features, rules = {f.id: f for f in garden.features}, rules_of(garden)
    pairs = [
        (_costed(through, features, job, rules).reckoned.hours, worked[job.id])
        for job in garden.jobs
        if job.id in worked
    ]
    return learned(pairs)


def _costed(through: Timeline, features: Mapping[str, Feature], job: Job, rules: Rules) -> Costed:
    works: dict[str, tuple[Work, ...]] = {}
    options: tuple[Option, ...] = ()
    for target in job.does:
        name, _, finish = target.partition("/")
        feature = features.get(name)
        if feature is None:
            continue
        works[target] = works_of(through, feature, finish)
        place = feature.held_place()
        if place is not None and place.chosen is None:
            found = tuple(_option(through, o, rules) for o in place.shortlist)
            options += found
            if found:
                works[target] = max(found, key=lambda o: (o.reckoned.sum, o.reckoned.hours)).works
    every = [w for group in works.values() for w in group]
    return Costed(job, works, reckon(every, rules), options)


def _option(through: Timeline, option: tuple[str, str, Feature], rules: Rules) -> Option:
    id_, words, feature = option
    works = works_of(through, feature)
    return Option(id_, words, works, reckon(works, rules))


def choice_of(garden: Garden, through: Timeline, held: str) -> Option | None:
    """Return what is chosen for the place ``held`` open, worked out; None while nothing is."""
    feature = next((f for f in garden.features if f.id == held), None)
    place = None if feature is None else feature.held_place()
    if place is None or place.chosen is None:
        return None
    rules = rules_of(garden, pace_of(garden, through))
    return next((_option(through, o, rules) for o in place.shortlist if o[0] == place.chosen), None)


def plants_in(works: Iterable[Work]) -> bool:
    """Return whether anything is planted among ``works``."""
    return any(isinstance(w, PlantWork) for w in works)


def _not_priced(found: Costed) -> list[dict[str, Any]]:
    """Return what stays of the typed sums for things without a price: as much as the worked-out sum doesn't reach."""
    missing = found.reckoned.unpriced
    typed = sum(c.sum for c in found.job.costs if not c.hired and not c.worked_out)
    if not missing or typed <= found.reckoned.sum:
        return []
    names = ", ".join(missing[:4]) + (" and more" if len(missing) > 4 else "")
    return [{"words": f"Typed, for what has no price yet: {names}", "sum": typed - found.reckoned.sum}]


def take_edit(found: Costed, *, money: bool = True, hours: bool = True) -> Edit:
    """Return the edit that puts a job's worked-out sums and hours into the plan; hired lines stay as typed.

    For things without a price as much of the typed sum stays as the worked-out one doesn't reach.
    """
    job, value = found.job, dict[str, Any]()
    if money:
        kept = [c.model_dump() for c in job.costs if c.hired and not c.worked_out]
        lines = [
            {"words": b.words, "sum": b.sum, "quantity": round(b.count, 2), "unit": b.sold_by, "low": b.low, "high": b.high,
             "worked_out": True}
            for b in found.reckoned.bill
            if b.sum is not None
        ]  # fmt: skip
        value["costs"] = [*kept, *_not_priced(found), *lines]
    if hours:
        value |= {"hours": round(found.reckoned.hours, 1), "hours_worked_out": True}
    return Edit(label=f"Take what “{job.name}” comes to", ops=(Op(do="change", part="jobs", id=job.id, value=value),))
