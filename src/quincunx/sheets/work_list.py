"""The work list: year by year what to order, what to do, in how many hours and for how much."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from quincunx.garden.hours_apart import BOTH_STAND, counted_words, far_apart
from quincunx.garden.shared import shared
from quincunx.garden.uncosted import UNWRITTEN
from quincunx.sheets._lifted import lift_before
from quincunx.sheets._set import Set
from quincunx.sheets._tables import BOX
from quincunx.sheets.book import Block, Page
from quincunx.sheets.years_table import at_most, rounded, to_pay
from quincunx.units import capital, format_hours, format_money, own_marks, write_plain
from quincunx.units.dates import MONTHS, format_month, month_from_index
from quincunx.works import Job
from quincunx.years.months import Month, Run, months_of, runs_of
from quincunx.years.ordering import ahead
from quincunx.years.underway import still_ahead

ID = "work-list"
WORDS = "The work list: what to order and do, year by year"
NEEDS = (
    "There are no jobs yet. Write down what is to be done, and this page lists it by month with what to order before."
)

GOES_ON, ORDERED, LIFTED, DONE_THEN = range(4)
"""The order of lines within a month: what goes on, what is ordered, what is lifted before a job, the job."""
TICKED = {
    "svg": '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 10 10" width="4mm" height="4mm">'
    '<rect x="0.6" y="0.6" width="8.8" height="8.8" fill="none" stroke="#23282b" stroke-width="0.9"/>'
    '<path d="M2 5.2L4.2 7.6L8 2.4" fill="none" stroke="#23282b" stroke-width="1.2"/></svg>',
    "w": 3.6,
}
"""A ticked box: it is done."""

SHARED = (
    "All sums on these pages are ours alone. Agree theirs in writing before anything is ordered: who pays whom, when, and whose"
    " the thing is and who keeps it afterwards. Quincunx knows no law of boundaries or of shared hedges and fences."
)
"""What is said beside what others pay (common practice, no source)."""


@dataclass(frozen=True)
class Line:
    """One line of the list: in which month (from January of year 0), in what order within it, and its cells."""

    month: int
    rank: int
    id: str
    when: str
    what: str
    bold: bool = False
    hours: float = 0.0
    money: int = 0
    done: bool = False
    ends: int | None = None


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:  # noqa: ARG001 - a list has no scale
    """Yield the list, one table a year; nothing if there are no jobs."""
    if not of.garden.jobs:
        return
    runs, months = runs_of(of.garden), months_of(of.garden)
    lines = sorted((line for run in runs for line in lines_of(of, run)), key=lambda x: (x.month, x.rank, x.id))
    years = of.timeline.years
    blocks = list(_before(of, [line for line in lines if line.month < 12 * years[0]]))
    for year in years:
        part = [line for line in lines if line.month // 12 == year]
        blocks += _year(of, year, part, [m for m in months if m.year == year])
    later = [line for line in lines if line.month >= 12 * (years[-1] + 1)]
    if later:
        blocks += [{"t": "heading", "s": f"After {years[-1]}"}, _table(of, later)]
    blocks += [*_left_out(runs), *_said_of_hours(of, lines), *_others(of), *_prices(of)]
    note = f"{years[0]} to {years[-1]}" if len(years) > 1 else f"{years[0]}"
    yield Page("What to do, year by year", tuple(blocks), of.paper.size_mm, note, foot="bold: a large work")


def lines_of(of: Set, run: Run) -> Iterator[Line]:
    """Yield a job's lines: what to order or book by when, then the job itself."""
    job = run.job
    if run.start is None or run.end is None:
        return
    done = run.state == "done"
    for each in ahead(of.timeline, job, of.garden.style) if run.state in ("planned", "booked") else ():
        by = run.start - each.months
        verb = "Book" if each.booked else "Order"
        words = f"{verb} for “{job.name}” ({_month(run.start)}): {'; '.join(each.what)}"
        yield Line(by, ORDERED, job.id, f"by the end of {MONTHS[by % 12]}", words)
    if run.state in ("planned", "booked"):
        yield from _lifts(of, job, run.start)
    hours: dict[int, float] = {}
    for month, h in of.courses[job.id].hours.items():
        hours[month // 12] = hours.get(month // 12, 0.0) + h
    money, begins = of.to_pay_by_year(job), run.start // 12
    others = sorted((hours.keys() | money.keys()) - {begins})
    kind = {"booked": " (booked)", "begun": " (begun)"}.get(run.state, "")
    words = f"{job.name}{', large work' if job.large else ''}{kind}"
    if others and (whole := sum(hours.values())) > hours.get(begins, 0.0):
        words += f"; {format_hours(whole, of.garden.style)} in all"
    if found := _apart(of).get(job.id):
        words += f" ({found})"
    when, first = _span(run.start, run.end - 1), hours.get(begins, 0.0)
    yield Line(run.start, DONE_THEN, job.id, when, words, job.large, first, money.get(begins, 0), done)
    for year in others:
        yield _other_year(run, year, begins, hours.get(year, 0.0), money.get(year, 0))


def _apart(of: Set) -> dict[str, str]:
    """Return by job what its work is counted to take, where the plan has far fewer hours."""
    return {c.job.id: counted_words(c, of.garden.style) for c in of.costed if far_apart(of.garden, c)}


def _said_of_hours(of: Set, lines: Sequence[Line]) -> Iterator[Block]:
    """Yield once how counted hours are taken, where any line tells of them."""
    if _apart(of).keys() & {line.id for line in lines}:
        yield {
            "t": "small",
            "s": f"{BOTH_STAND} To plan with them: on the board, under Jobs, “Take the counted hours”.",
        }


def _other_year(run: Run, year: int, begins: int, hours: float, money: int) -> Line:
    """Return the line of a job in a year in which it goes on, or in which only money is paid for it."""
    job, done = run.job, run.state == "done"
    if hours:
        words = f"Go on with “{job.name}”" if year > begins else f"Begin “{job.name}”"
    else:
        words = f"Pay the rest of “{job.name}”" if year > begins else f"Pay ahead for “{job.name}”"
    ends = (run.end or 0) - 1
    when = _span(12 * year, ends) if hours and ends // 12 == year else ""
    return Line(12 * year, GOES_ON, job.id, when, words, job.large, hours, money, done)


def _lifts(of: Set, job: Job, start: int) -> Iterator[Line]:
    """Yield in which months the plants are lifted that stand in the way of a job which comes when they don't sleep."""
    for first, last, what in lift_before(of, job, start):
        words = f"Lift for “{job.name}” ({_month(start)}) what is to grow on: {what}"
        yield Line(first, LIFTED, job.id, _span(first, last), words, ends=last)


def lift_by(of: Set, run: Run) -> list[tuple[str, str, str]]:
    """Return (first month, last month, words) of what is lifted before a job, for the calendar."""
    return [
        (month_from_index(line.month), month_from_index(line.ends or line.month), line.what)
        for line in lines_of(of, run)
        if line.rank == LIFTED
    ]


def _month(month: int) -> str:
    return f"{MONTHS[month % 12]} {month // 12}"


def _span(first: int, last: int) -> str:
    if first == last:
        return MONTHS[first % 12]
    return f"{MONTHS[first % 12]} to {MONTHS[last % 12]}" + (f" {last // 12}" if last // 12 != first // 12 else "")


def _before(of: Set, lines: Sequence[Line]) -> Iterator[Block]:
    if lines:
        yield {"t": "heading", "s": "Before the first year"}
        yield _table(of, lines, years=True)


def _year(of: Set, year: int, lines: Sequence[Line], months: Sequence[Month]) -> Iterator[Block]:
    style = of.garden.style
    money, less = of.money[year], of.is_less(year)
    left = money.left
    short = f"{'at least ' if less else ''}{format_money(-left, style, whole=True)} short"
    rest = f"{at_most(left, style, less=less)} left" if left >= 0 else short
    due = to_pay(money.spent, style, more=year in of.unsaid_years)
    pay = "what is to pay is not written" if due == UNWRITTEN else f"{due} to pay"
    start = left - money.income + money.spent
    had = at_most(start, style, less=of.is_less(year - 1)) if start > 0 else format_money(-start, style, whole=True)
    in_hand = f"{had} {'in hand' if start > 0 else 'lacking from before'}, " if start else ""
    used, free = sum(m.worked_h for m in months), sum(m.free_h for m in months)
    yield {"t": "heading", "s": str(year)}
    yield {
        "t": "text",
        "s": capital(f"{in_hand}{format_money(money.income, style, whole=True)} comes in, {pay}, {rest} at the end. ")
        + f"{format_hours(used, style)} of the {format_hours(free, style)} that upkeep leaves.",
    }
    now = 12 * of.garden.means.first_year + still_ahead(of.garden)
    over = [m for m in months if m.month >= now and m.worked_h > m.free_h + 0.05]
    if over:
        much = ", ".join(f"{MONTHS[m.month % 12]} ({format_hours(m.worked_h - m.free_h, style)})" for m in over)
        yield {"t": "text", "s": f"More hours than there are in {much}."}
    yield _table(of, lines) if lines else {"t": "text", "s": "Nothing new this year."}


def _table(of: Set, lines: Sequence[Line], *, years: bool = False) -> Block:
    style, rows = of.garden.style, list[list[Any]]()
    for line in lines:
        when = line.when + (f" {line.month // 12}" if years else "")
        what: Any = {"s": line.what, "bold": True} if line.bold else line.what
        rows.append([
            TICKED if line.done else BOX,
            when,
            what,
            format_hours(line.hours, style) if line.hours else "",
            format_money(line.money, style, whole=True) if line.money else "",
        ])  # fmt: skip
    return {
        "t": "table",
        "head": ["", "when", "what", "own hours", "money"],
        "rows": rows,
        "widths": [0, 1.65, 5.2, 0.75, 0.75],
        "align": ["left", "left", "left", "right", "right"],
        "size": 9,
        "inset": 1.3,
    }


def _others(of: Set) -> Iterator[Block]:
    """Yield what others pay of the jobs, where anybody does, to be agreed and handed over."""
    style, found = of.garden.style, shared(of.garden)
    if not found:
        return
    rows: list[list[Any]] = [
        [format_month(one.job.start) if one.job.start else "not set", one.job.name, capital(one.who),
         *(format_money(s, style, whole=True) for s in (one.theirs, one.ours, one.whole))]
        for one in found
    ]  # fmt: skip
    yield {"t": "heading", "s": "What others pay"}
    yield {
        "t": "table", "head": ["month", "job", "who pays a part", "theirs", "ours", "in all"], "rows": rows,
        "widths": [1.3, 3.2, 1.8, 0.9, 0.9, 0.9], "align": ["left", "left", "left", "right", "right", "right"], "size": 9,
    }  # fmt: skip
    yield {"t": "small", "s": SHARED}


def _prices(of: Set) -> Iterator[Block]:
    """Yield what the sums are in: whole units, and prices that rise."""
    means, words = of.garden.means, ""
    if means.price_growth:
        words = (
            f"Prices are taken to rise by {write_plain(100 * means.price_growth, of.garden.style)} in 100 a year after {means.first_year}: what is"
            " paid later is so much more than was written down for it."
        )
    yield from rounded(of, own_marks(words, of.garden.style))


def _left_out(runs: Sequence[Run]) -> Iterator[Block]:
    names = [r.job.name for r in runs if r.start is None]
    if names:
        yield {"t": "heading", "s": "Not in the plan"}
        yield {"t": "text", "s": f"{'; '.join(names)}. The page of reasons says what would let them in."}


def order_by(of: Set, run: Run) -> list[tuple[str, str]]:
    """Return (month, words) of what a job wants ordered, for the calendar: ``("2027-11", "Order for ...")``."""
    return [(month_from_index(line.month), line.what) for line in lines_of(of, run) if line.rank == ORDERED]
