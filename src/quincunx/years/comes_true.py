"""How what is wanted comes true: the jobs behind some things or a view, what is to be ordered, what each is worth to it.

A thing is made by a job; that job waits for others, and is of use only once some are done.  All of these together are
the way to it.  If one of them is left out, so is everything behind it: that is worked out from the same links, and
is what each step is worth to what is looked at.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from quincunx.garden import Garden
from quincunx.intents import Words
from quincunx.scene import Timeline
from quincunx.units import capital, format_length
from quincunx.units.dates import format_month, month_from_index
from quincunx.works import Job
from quincunx.years.deadlines import told
from quincunx.years.months import Run, State, runs_of
from quincunx.years.on_day import courses_of
from quincunx.years.ordering import Ahead, ahead

How = Literal["there", "comes", "later", "unplanned", "gone"]
LEAST_M = 0.05
"""A plant that would be lower by less than this for being planted a year later is not said to be."""


@dataclass(frozen=True, slots=True)
class Thing:
    """One thing that is looked at: ``how`` it stands on the day, the job that makes it, from which month it stands.

    ``month`` counts from January of year 0; ``words`` is one sentence; ``height_m`` is that of its tallest plant on the
    day, ``younger_m`` what it would be if planted a year later (0 where there is none).
    """

    id: str
    how: How
    words: str
    job: str = ""
    month: int | None = None
    height_m: float = 0.0
    younger_m: float = 0.0


@dataclass(frozen=True, slots=True)
class Early:
    """What is to be ordered or booked (``verb``) by the end of a month (from January of year 0; None: not known yet)."""

    by: int | None
    verb: str
    what: str

    @property
    def when(self) -> str:
        """Return by when, in words."""
        return "before it begins" if self.by is None else f"by the end of {_month(self.by)}"

    @property
    def words(self) -> str:
        """Return it as one line."""
        return f"{self.verb} {self.when}: {self.what}"


@dataclass(frozen=True, slots=True)
class Step:
    """One job on the way: when it runs, what it takes, what it makes of the things looked at, what goes without it.

    ``hours`` and ``money`` [minor units] are what is still to be given; ``within`` says whether it is over by the day;
    ``because`` is why it is on the way, ``orders`` what to order or book before it.
    """

    job: str
    name: str
    state: State
    start: int | None
    end: int | None
    hours: float
    money: int
    within: bool
    makes: tuple[str, ...]
    without: tuple[str, ...]
    because: str
    orders: tuple[Early, ...]

    @property
    def also(self) -> tuple[str, ...]:
        """Return the things that wait for it, besides those that it makes."""
        return tuple(t for t in self.without if t not in self.makes)

    @property
    def when(self) -> str:
        """Return its months in words."""
        if self.start is None or self.end is None:
            return "no month yet"
        first, last = (format_month(month_from_index(m)) for m in (self.start, self.end - 1))
        return first if first == last else f"{first} to {last}"


@dataclass(frozen=True, slots=True)
class ComesTrue:
    """The way to what is looked at on a day: its things, the steps not yet done and those that are, and the sum of it.

    ``words`` are sentences: what is there, what is still to be given, what comes first, by when what must have grown by
    a year has to be planted.
    """

    on: date
    things: tuple[Thing, ...]
    steps: tuple[Step, ...]
    done: tuple[Step, ...]
    words: tuple[str, ...]

    @property
    def hours(self) -> float:
        """Return the own hours still to be given [h]."""
        return sum(s.hours for s in self.steps)

    @property
    def money(self) -> int:
        """Return the money still to be paid [minor units]."""
        return sum(s.money for s in self.steps)


def comes_true(garden: Garden, through: Timeline, things: Iterable[str], on: date, words: Words) -> ComesTrue:
    """Return the way to ``things`` (ids of features) as they stand on a day; unknown ids are left out."""
    ids = [i for i in dict.fromkeys(things) if through.feature(i) is not None]
    runs = {run.job.id: run for run in runs_of(garden)}
    seen = tuple(_thing(through, i, on, runs, words) for i in ids)
    wanted = {t.id: t.job for t in seen if t.job and t.how != "gone"}
    links = _links(garden)
    behind = {job: _behind(job, links) for job in set(wanted.values())}
    way = set().union(*behind.values())
    month = on.year * 12 + on.month - 1
    steps = [
        _step(garden, through, runs[j], wanted, behind, words, month)
        for j in sorted(way, key=lambda j: _order(runs[j], behind))
    ]
    left = tuple(s for s in steps if s.state != "done")
    said = (*_told(seen, left, on, words), *told(garden, through, [t.id for t in seen if t.how != "gone"], words))
    return ComesTrue(on, seen, left, tuple(s for s in steps if s.state == "done"), said)


def things_of(garden: Garden, through: Timeline, what: str) -> tuple[str, ...]:
    """Return the ids of the features that the id of a feature or of a must means: itself, or all that the must names."""
    if through.feature(what) is not None:
        return (what,)
    named = next((m.things() for m in garden.intents if m.id == what), ())
    return tuple(t for t in named if through.feature(t) is not None)


def _order(run: Run, behind: Mapping[str, frozenset[str]]) -> tuple[bool, int, int, str]:
    """Return a key by which jobs come in time, and what others wait for before them in the same months."""
    waits = sum(run.job.id in all_of for all_of in behind.values())
    return run.start is None, run.start or 0, -waits, run.job.id


def _links(garden: Garden) -> dict[str, tuple[str, ...]]:
    """Return for each job those that it waits for or is of use only with."""
    known = {j.id for j in garden.jobs}
    return {
        j.id: tuple(i for i in (*(a.job for a in j.after), *j.enjoyed_with) if i in known and i != j.id)
        for j in garden.jobs
    }


def waiting_for(garden: Garden, job: str) -> frozenset[str]:
    """Return a job and all that wait for it or are of use only with it, by id."""
    links = _links(garden)
    return frozenset(j for j in links if job in _behind(j, links))


def _behind(job: str, links: Mapping[str, Sequence[str]]) -> frozenset[str]:
    """Return a job and all that stands behind it."""
    found, todo = {job}, [job]
    while todo:
        new = [i for i in links.get(todo.pop(), ()) if i not in found]
        found.update(new)
        todo += new
    return frozenset(found)


def _maker(through: Timeline, thing: str) -> Job | None:
    """Return the job that makes a thing, or the first of its finishes."""
    feature = through.feature(thing)
    first = feature.finish_ids()[:1] if feature else ()
    return through.job_of(thing) or (through.job_of(f"{thing}/{first[0]}") if first else None)


def _thing(through: Timeline, thing: str, on: date, runs: Mapping[str, Run], words: Words) -> Thing:
    feature, span, job = through.feature(thing), through.span(thing), _maker(through, thing)
    name = words.the(thing)
    name = capital(name)
    own = job.id if job is not None and (feature is None or feature.there_from is None) else ""
    by = f", by “{job.name}”" if own and job else ""
    if through.stands_on(thing, on):
        tall = _tall(through, thing, on)
        if span.begins is None:
            return Thing(thing, "there", f"{name}: there from the start.", height_m=tall)
        if own and runs[own].state == "done":
            return Thing(thing, "there", f"{name}: there since {_month(span.begins)}.", own, span.begins, tall)
        younger = _tall(through, thing, _year_before(on))
        grown = _grown(tall, younger, words)
        return Thing(thing, "comes", f"{name}: from {_month(span.begins)}{by}{grown}.", own, span.begins, tall, younger)
    if span.ends is not None and on.year * 12 + on.month - 1 >= span.ends:
        return Thing(thing, "gone", f"{name}: gone by then, it stands until {_month(span.ends - 1)}.", own)
    if span.known and span.begins is not None:
        words_ = f"{name}: not there by then, it comes in {_month(span.begins)}{by}."
        return Thing(thing, "later", words_, own, span.begins)
    why = f"“{job.name}” has no month yet" if job is not None else "no job makes it yet"
    return Thing(thing, "unplanned", f"{name}: not there by then, {why}.", own)


def _grown(tall: float, younger: float, words: Words) -> str:
    """Return what a plant is by the day and what a year later would cost it, as the end of a sentence."""
    if not tall:
        return ""
    said = f"; about {_about(tall, words)} tall by then"
    if not younger:
        return f"{said}, and not there at all if planted a year later"
    return f"{said}, {_about(younger, words)} if planted a year later" if tall - younger >= LEAST_M else said


def _about(height_m: float, words: Words) -> str:
    return format_length(height_m, words.style, precision=1)


def _month(month: int) -> str:
    return format_month(month_from_index(month))


def _year_before(on: date) -> date:
    return on.replace(year=on.year - 1, day=min(on.day, 28))


def _tall(through: Timeline, thing: str, on: date) -> float:
    """Return the likely height of the tallest plant of a thing on a day [m]; 0 if it has none or isn't there."""
    feature = through.feature(thing)
    if feature is None or not feature.plants_named():
        return 0.0
    return max((p.height_m[1] for p in through.plants_on(feature, on)), default=0.0)


def _still(garden: Garden, run: Run) -> tuple[float, int]:
    """Return the hours [h] and the money [minor units] that a job not done still takes, less what the journal has.

    A job without a month takes its money at the prices of the plan's first year.
    """
    goes = courses_of(garden)[run.job.id]
    if goes.first is None:
        return run.job.hours, max(run.job.cost - sum(goes.paid.values()), 0)
    return sum(goes.to_do.values()), sum(goes.to_pay.values())


def _step(
    garden: Garden,
    through: Timeline,
    run: Run,
    wanted: Mapping[str, str],
    behind: Mapping[str, frozenset[str]],
    words: Words,
    month: int,
) -> Step:
    job = run.job
    makes = tuple(t for t, maker in wanted.items() if maker == job.id)
    without = tuple(t for t, maker in wanted.items() if job.id in behind[maker])
    done = run.state == "done"
    hours, money = (0.0, 0) if done else _still(garden, run)
    orders = () if done or run.state == "begun" else tuple(_early(run, a) for a in ahead(through, job, garden.style))
    return Step(
        job.id,
        job.name,
        run.state,
        run.start,
        run.end,
        hours,
        money,
        run.end is not None and run.end <= month,
        makes,
        without,
        _because(job, makes, garden.jobs, behind, words),
        orders,
    )


def _early(run: Run, each: Ahead) -> Early:
    by = None if run.start is None else run.start - each.months
    return Early(by, "Book" if each.booked else "Order", "; ".join(each.what))


def _because(
    job: Job, makes: Sequence[str], jobs: Iterable[Job], behind: Mapping[str, frozenset[str]], words: Words
) -> str:
    """Return why a job is on the way: what it makes, or which job waits for it or needs it to be of use."""
    if makes:
        return f"makes {words.both(tuple(makes))}"
    way = set().union(*behind.values())
    waiting = [j.name for j in jobs if j.id in way and any(a.job == job.id for a in j.after)]
    if waiting:
        return f"comes before “{waiting[0]}”"
    using = [j.name for j in jobs if j.id in way and job.id in j.enjoyed_with]
    return f"“{using[0]}” is of use only with it"


def _told(things: Sequence[Thing], left: Sequence[Step], on: date, words: Words) -> tuple[str, ...]:
    """Return the whole of it in a few sentences."""
    by = _month(on.year * 12 + on.month - 1)
    if not things:
        return ("Nothing that you have put into the garden is looked at here.",)
    there = sum(t.how == "there" for t in things)
    count = "The one thing" if len(things) == 1 else f"Of the {len(things)} things"
    if there == len(things):
        said = [
            f"{'It is' if len(things) == 1 else 'All of it is'} there already: nothing more has to be done for it but upkeep."
        ]
    elif len(things) == 1:
        said = [things[0].words]
    else:
        said = [f"{count} looked at here in {by}, {there or 'none'} {'is' if there == 1 else 'are'} there already."]
    if left:
        jobs = "One job stands" if len(left) == 1 else f"{len(left)} jobs stand"
        given = [words.hours(sum(s.hours for s in left))] + (
            [words.money(m)] if (m := sum(s.money for s in left)) else []
        )
        said += [f"{jobs} between now and then: {' and '.join(given)} still to be given."]
        said += [_first(left)]
    late = [s.name for s in left if not s.within]
    if late:
        said += [f"Not over by {by} as it is planned: {', '.join(f'“{n}”' for n in late)}."]
    return tuple(said)


def _first(left: Sequence[Step]) -> str:
    """Return what comes first of all: the earliest order or beginning."""
    dated = [(e.by, 0, s.name, e.words) for s in left for e in s.orders if e.by is not None]
    dated += [(s.start, 1, s.name, _month(s.start)) for s in left if s.start is not None]
    if not dated:
        return "None of it has a month yet: give it one in the years."
    _, kind, name, what = min(dated)
    return f"First: begin “{name}” in {what}." if kind else f"First: {what[:1].lower()}{what[1:]} (for “{name}”)."
