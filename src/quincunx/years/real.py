"""Reality: the journal read on a day, the plan made again from then with the least change, and what changed and why."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from quincunx.garden import Edit, Garden, Op, timeline
from quincunx.garden.losses import befell
from quincunx.garden.too_late import too_late
from quincunx.intents import Words
from quincunx.units import format_hours, format_money, listed, own_marks
from quincunx.units.dates import format_month, month_from_index, month_index
from quincunx.units.errors import PlainError
from quincunx.works import Course, Entry, Job, is_work
from quincunx.works.course import unpaid
from quincunx.years.conflict import conflict
from quincunx.years.explained import Writer
from quincunx.years.faults import require_sense
from quincunx.years.from_garden import edit_of, problem_of, starts_of
from quincunx.years.grown import grown_after_months
from quincunx.years.on_day import courses_of, on_day
from quincunx.years.problem import Problem, Project, Starts
from quincunx.years.replan import Move, Progress, Replanned, from_today, replan
from quincunx.years.told import broken
from quincunx.years.underway import goes_on
from quincunx.years.why import Held, not_then, why

SLOWEST_FIRST = (0.5, 3.0)
"""The pace learnt from the journal is kept between these."""
WORTH_SAYING = 0.05
"""Less use given up than this is nothing [parts in 100]."""
SUMS = frozenset({"hours", "money", "cap", "large"})
"""Rules that a plan may break though every job is where it was planned: sums and counts, not an order of two."""
MUCH = 0.1
"""Hours that differ from those planned by more than this share are worth a word."""


class TodayError(PlainError, ValueError):
    """The day lies outside the plan; the message says which years it covers."""


@dataclass(frozen=True)
class Today:
    """How things stand at the beginning of a month.

    ``problem`` is what is left, its month 0 being ``month`` (from January of year 0); ``old`` the plan in its
    months; ``progress`` what the journal says of each job begun or done; ``balance`` what is in hand before this
    month's income [minor units]; ``late`` jobs that were to have begun and did not; ``notes`` sentences.
    """

    month: int
    problem: Problem
    old: dict[str, int]
    progress: dict[str, Progress]
    balance: int
    late: frozenset[str]
    notes: tuple[str, ...]


@dataclass(frozen=True)
class Row:
    """One line of what changed and why; months in words, "" for none."""

    project: str
    name: str
    was: str
    now: str
    why: str


@dataclass(frozen=True)
class Again:
    """The plan made again: how things stood, the answer, what changed and why, and the edit that writes it."""

    today: Today
    found: Replanned
    rows: tuple[Row, ...]
    edit: Edit
    no_plan: str

    @property
    def words(self) -> str:
        """Say in a sentence or two what the new plan amounts to."""
        if self.found.starts is None:
            return self.no_plan
        moved = len(self.rows)
        given = 100 * self.found.given_up
        if not moved:
            if given < WORTH_SAYING:
                return "Nothing has to change."
            return (
                "Nothing has to change. Another order would give a little more use "
                f"({given:.1f} parts in 100 of what is still to come), but not enough to be worth moving what is planned."
            )
        head = f"{moved} job{'s' * (moved != 1)} change{'s' * (moved == 1)}."
        if given < WORTH_SAYING:
            return head
        return (
            f"{head} No more than that is moved: moving others too would give a little more use "
            f"({given:.1f} parts in 100 of what is still to come)."
        )


def pace_of(garden: Garden, month: str) -> float:
    """Return how many times the hours planned were taken by what is done with hours written down; 1 if nothing was.

    Kept between half and three times: one odd job is no pace.
    """
    until = month_index(month)
    took = planned = 0.0
    for job in garden.jobs:
        own = [e for e in garden.journal if e.about == job.id and month_index(e.day[:7]) <= until]
        hours = sum(e.hours or 0.0 for e in own)
        if hours and job.hours and any(e.what == "done" for e in own):
            took, planned = took + hours, planned + job.hours
    return min(max(took / planned, SLOWEST_FIRST[0]), SLOWEST_FIRST[1]) if planned else 1.0


def today_of(garden: Garden, month: str, pace: float = 1.0) -> Today:
    """Read the journal up to ``month`` (``2028-06``) and return what is left to plan; :class:`TodayError` if outside.

    The hours of jobs not yet begun are taken ``pace`` times; of their cost what was paid ahead is taken off.

    Entries after that month are not read.  A job is begun with its first entry, done when the journal says so;
    one that was to have begun before and has no entry is not begun.  All sums written down are paid from what is
    in hand, whatever they are about; what is done and has no sum written down counts as planned.
    """
    first, today = garden.means.first_year * 12, month_index(month)
    if not first <= today < first + 12 * garden.means.years:
        years = garden.means.all_years
        what = "There is nothing to plan again before it begins: find the order of works." if today < first else ""
        told = f"{format_month(month)} is outside the plan, which runs from {years[0]} to {years[-1]}."
        raise TodayError(f"{told} {what}".rstrip())
    journal = tuple(e for e in garden.journal if month_index(e.day[:7]) <= today)
    read, plan = (garden.model_copy(update={"journal": j}) for j in (journal, ()))
    goes, jobs = courses_of(read), {j.id: j for j in garden.jobs}
    problem = problem_of(plan, timeline(plan))
    progress = {j.id: p for j in garden.jobs if (p := _progress(j, journal, first)) is not None}
    starts = starts_of(plan, problem)
    late = frozenset(name for name, start in starts.items() if start < today - first and name not in progress)
    unsaid = _as_planned(goes, today)
    paid = sum(e.sum or 0 for e in journal) + sum(unsaid.values())
    balance = _in_hand(garden, problem.budget.income[: today - first], journal, unsaid)
    # What was booked for a day gone by must still be done, but its day is free again.
    loose = {
        name: replace(problem[name], fixed_start=None, must=True)
        for name in late
        if problem[name].fixed_start is not None
    }
    this_year = sum(e.sum or 0 for e in journal if e.day[:4] == month[:4])
    this_year += sum(sum_ for day, sum_ in unsaid.items() if day[:4] == month[:4])
    ahead = {
        p.id: replace(
            loose.get(p.id, p),
            minutes=tuple(round(m * pace) for m in p.minutes) if pace != 1.0 else p.minutes,
            payments=unpaid(jobs[p.id], sum(goes[p.id].paid.values())),
        )
        for p in problem.projects
        if p.id not in progress and not p.done
    }
    left = problem.changed(loose | ahead)
    rest = from_today(left, today - first, balance, progress, spent_this_year=this_year)
    rest = _gone_on(rest, read, today)
    missed = tuple(p for p in rest.projects if p.deadline is not None and not rest.allowed_starts(p))
    rest = rest.changed({p.id: replace(p, deadline=None, must=True) for p in missed})
    rest = _set_anew(rest, read, today)
    old = {name: start - (today - first) for name, start in starts.items()}
    notes = tuple(_notes(garden, journal, problem, progress, (today, balance, paid)))
    notes = (*notes[:1], *_unsaid_words(garden, sum(unsaid.values())), *notes[1:])
    notes += _late_musts(garden, today, missed)
    return Today(today, rest, old, progress, balance, late, notes)


def _in_hand(garden: Garden, income: Sequence[int], journal: Sequence[Entry], unsaid: Mapping[str, int]) -> int:
    """Return what is in hand after so many months of ``income`` [minor units]: a year's rest goes on only if it may."""
    means = garden.means
    spent = [(e.day, e.sum or 0) for e in journal] + list(unsaid.items())
    balance, last = means.opening, means.first_year + len(income) // 12
    for year in range(means.first_year, last + 1):
        at = 12 * (year - means.first_year)
        own = (sum_ for day, sum_ in spent if min(max(int(day[:4]), means.first_year), last) == year)
        balance += sum(income[at : at + 12]) - sum(own)
        if year < last and not means.carry_over:
            balance = min(balance, 0)
    return balance


def _set_anew(rest: Problem, told: Garden, now: int) -> Problem:
    """Return the problem in which a hedge that was planted and lost is of use when it has grown anew, not as planned."""
    through = timeline(told)
    done = {p.id: p for p in rest.projects if p.done}
    lags = {j.id: grown_after_months(through, j, now) for j in told.jobs if j.id in done and through.fates}
    return rest.changed({name: replace(done[name], lag_months=lag) for name, lag in lags.items()})


def _as_planned(goes: Mapping[str, Course], today: int) -> dict[str, int]:
    """Return the planned sums of jobs that are done and of which no sum was written down, by the months they were due in.

    The table of years counts them so too: whoever wrote that a job is done did not have it for nothing.  What is agreed for
    a month after ``today`` is still to pay (:func:`_gone_on`).
    """
    out: dict[str, int] = {}
    for course in goes.values():
        for month, sum_ in course.to_pay.items() if course.state == "done" else ():
            if month <= today:
                out[month_from_index(month)] = out.get(month_from_index(month), 0) + sum_
    return out


def _unsaid_words(garden: Garden, sum_: int) -> tuple[str, ...]:
    if not sum_:
        return ()
    planned = format_money(sum_, garden.style, whole=True)
    return (f"Of that {planned} as planned, because no sum is written down for what is done: write what it was.",)


def _late_musts(garden: Garden, today: int, missed: tuple[Project, ...]) -> tuple[str, ...]:
    """Name the musts whose date can't be kept from a month on, then the jobs of such musts that none of them names."""
    through = timeline(garden)
    late = too_late(garden, through, Words.of(through, garden.style), today)
    about = {thing for one in late for thing in one.about}
    makes = {j.id: {target.partition("/")[0] for target in j.does} for j in garden.jobs}
    unnamed = (p for p in missed if not makes[p.id] & about)
    return (
        *(one.sentence for one in late),
        *(f"{p.name} can't be ready in time any more: the must that asks for it will be late." for p in unnamed),
    )


def _progress(job: Job, journal: tuple[Entry, ...], first: int) -> Progress | None:
    own = [e for e in journal if e.about == job.id]
    work = [month_index(e.day[:7]) - first for e in own if is_work(e)]
    if not work:
        return None
    done = any(e.what == "done" for e in own)
    started = min(work) if not done or min(work) < max(work) else max(work) - job.months + 1
    minutes = round(60 * sum(e.hours or 0.0 for e in own))
    return Progress(started, done, sum(e.sum or 0 for e in own), minutes)


def _gone_on(rest: Problem, told: Garden, today: int) -> Problem:
    """Return the problem in which what is begun goes on, and what is due later is paid, as the chart shows it from ``today`` on."""
    goes, changed = courses_of(on_day(told, today)), dict[str, Project]()
    for p in rest.projects:
        if goes[p.id].state == "begun":
            on = goes_on(p, goes[p.id], today)
            changed[p.id] = replace(
                p,
                fixed_start=on.fixed_start,
                duration_months=on.duration_months,
                minutes=on.to_do,
                payments=on.to_pay,
                as_paid=True,
            )
        elif p.done and p.fixed_start is not None:
            began = today + p.fixed_start
            bills = tuple((month - began, sum_) for month, sum_ in goes[p.id].to_pay.items() if month > today)
            changed[p.id] = replace(p, payments=bills, as_paid=True, happened="done") if bills else p
    return rest.changed(changed)


def _notes(
    garden: Garden,
    journal: tuple[Entry, ...],
    problem: Problem,
    progress: dict[str, Progress],
    sums: tuple[int, int, int],
) -> Iterator[str]:
    today, balance, paid = sums
    style = garden.style
    rest = "in hand" if balance >= 0 else "short"
    money = format_money(abs(balance), style, whole=True)
    yield f"{format_money(paid, style, whole=True)} spent so far; {money} {rest} at the beginning of {format_month(month_from_index(today))}."
    names = {j.id: j.name for j in garden.jobs} | {f.id: f.name for f in garden.features}
    done = [names[name] for name, p in progress.items() if p.finished]
    if done:
        yield f"Done: {'; '.join(done)}."
    ended = [name for name, p in progress.items() if p.finished and p.minutes]
    took, planned = sum(progress[n].minutes for n in ended), sum(sum(problem[n].minutes) for n in ended)
    if planned and abs(took / planned - 1) > MUCH:
        yield (
            f"What is done took {format_hours(took / 60, style)}; {format_hours(planned / 60, style)} was planned. "
            f"If the rest goes like that, its hours are {own_marks(f'{took / planned:.1f}', style)} times those planned."
        )
    told = garden.model_copy(update={"journal": journal})
    through = timeline(told)
    yield from (one.sentence for one in befell(told, through, Words.of(through, style).name, today))


def again(
    garden: Garden, month: str, *, give: float = 0.005, seconds: float = 10.0, effort: float = 2.0, pace: float = 1.0
) -> Again:
    """Plan again from the beginning of ``month`` with the least change that is worth it.

    ``give`` is the share of the use still to be had that may be given up so that less moves; ``effort`` bounds the
    search in the solver's own count; ``pace`` is as in :func:`today_of`.  Raises :class:`TodayError`, or
    :class:`~quincunx.years.faults.Nonsense` if the jobs contradict themselves.
    """
    today = today_of(garden, month, pace)
    require_sense(today.problem, Writer(garden.style))
    found = replan(today.problem, today.old, give=give, seconds=seconds, effort=effort)
    label = f"Plan again from {format_month(month)}"
    if found.starts is None:
        clash = conflict(today.problem, money=Writer(garden.style))
        said = clash.sentence if clash else "No plan that keeps every must was found in the time given."
        return Again(today, found, (), Edit(label=label, ops=()), said)
    writer = Writer(garden.style)
    held = why(today.problem, found.starts, money=writer)
    then = {m.project: _not_then(today, found.starts, m, writer) for m in found.moves}
    rows = (
        *_facts(garden, today),
        *(_row(today, m, held, then[m.project]) for m in found.moves if m.project not in today.progress),
    )
    if stuck := _if_nothing_moved(today, writer):
        today = replace(today, notes=(*today.notes, stuck))
    return Again(today, found, rows, _edit(garden, today, found.starts, label), "")


def _facts(garden: Garden, today: Today) -> Iterator[Row]:
    """Yield the jobs begun in another month than planned, or that take longer."""
    for job in garden.jobs:
        p = today.progress.get(job.id)
        if p is None or p.finished:
            continue
        project, was = today.problem[job.id], today.old.get(job.id)
        start = p.started - (today.month - garden.means.first_year * 12)
        longer = project.duration_months > job.months
        if was == start and not longer:
            continue
        now = today.problem.month_words(start)
        reason = "it was begun then, as the journal says"
        if longer:
            left = sum(project.minutes) / 60
            now += f" to {today.problem.month_words(start + project.duration_months - 1)}"
            reason += f"; it goes on, {format_hours(left, garden.style)} of work are still to do"
        yield Row(job.id, job.name, "" if was is None else today.problem.month_words(was), now, reason)


def _if_nothing_moved(today: Today, money: Writer) -> str:
    """Say what would be short if what is still to come stayed where it was planned; "" if nothing would.

    What was to have begun and did not can't stay where it was: it is left out of these sums, and that is said.
    """
    fixed = {p.id: p.fixed_start for p in today.problem.projects if p.fixed_start is not None}
    kept = {name: start for name, start in today.old.items() if name not in today.late} | fixed
    found = broken(today.problem, kept, money=money, rules=SUMS)
    out = [f"“{p.name}”" for p in today.problem.projects if p.id in today.late]
    without = f" (without {listed(out)}, which {'was' if len(out) == 1 else 'were'} not begun)" if out else ""
    return f"If nothing moved{without}: {' '.join(found)}" if found else ""


def _not_then(today: Today, starts: Starts, move: Move, money: Writer) -> str:
    """Say why a job does not stay in the month it was planned for; "" if that is past or nothing keeps it from there."""
    if move.old is None or move.old < 0 or move.project in today.progress:
        return ""
    return not_then(today.problem, starts, move.project, move.old, money=money)


def _row(today: Today, move: Move, held: dict[str, Held], then: str) -> Row:
    problem, name = today.problem, today.problem[move.project].name
    was = "" if move.old is None else problem.month_words(move.old)
    now = "left out" if move.new is None else problem.month_words(move.new)
    reason = held[move.project].reason
    if move.new is not None and move.old is not None and move.new < move.old:
        reason = f"there is room for it now; later, {then}" if then else "there is room for it now"
    elif then and held[move.project].main is None and move.new is not None:
        reason = then
    if move.project in today.late:
        reason = f"it was not begun; {reason}"
    return Row(move.project, name, was, now, reason)


def _edit(garden: Garden, today: Today, starts: dict[str, int], label: str) -> Edit:
    """Return one edit: new months for what is to come, the real ones for what is begun."""
    edit = edit_of(garden, today.problem, starts, label)
    ops = [op for op in edit.ops if op.id not in today.progress]
    for job in garden.jobs:
        p = today.progress.get(job.id)
        if p is None or p.finished:
            continue
        value: dict[str, object] = {}
        month = month_from_index(garden.means.first_year * 12 + p.started)
        if month != job.start:
            value["start"] = month
        if today.problem[job.id].duration_months != job.months:
            value["months"] = today.problem[job.id].duration_months
        if value:
            ops.append(Op(do="change", part="jobs", id=job.id, value=value))
    return Edit(label=label, ops=tuple(ops))
