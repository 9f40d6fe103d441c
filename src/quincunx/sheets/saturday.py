"""The page to carry out this weekend: this month's jobs, where they go, what to buy, what to take care of."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from quincunx.garden.shared import told
from quincunx.grow.windows import window
from quincunx.plants.catalogue import Plant, find_plant
from quincunx.shapes import PlantWork
from quincunx.sheets._bring import bring, labour_of, work_lines
from quincunx.sheets._care import COVERS, first_cautions
from quincunx.sheets._first_ground import first_ground
from quincunx.sheets._lifted import lifted_shortly
from quincunx.sheets._outdoors import Planned, base_of, begun, left_of, planned, this_month
from quincunx.sheets._place import place
from quincunx.sheets._plant_rows import parted_rows
from quincunx.sheets._set import Set
from quincunx.sheets._tables import diagonals_table, first_check, stakes_words, ties_table, used_stakes
from quincunx.sheets._two import for_two
from quincunx.sheets.book import Block, Page
from quincunx.sheets.planting import each_year, stock_words
from quincunx.units import format_hours, format_length, format_money
from quincunx.units.dates import MONTHS, format_month
from quincunx.works import Job

ID = "saturday"
WORDS = "This Saturday"
NEEDS = (
    "There is no job with a month that is still to do. Give the jobs their months (or let the order of works be found),"
    " and this page says what to do first."
)
MOST_JOBS, MOST_POINTS, MOST_CHECKS = 2, 10, 3
"""No more jobs, points and checks on the page than one weekend holds; the rest is on the setting-out sheet."""
MOST_BESIDE = 5
"""A list of no more lines than this stands beside the tapes that prove what was set."""
MOST_WORK = 5
"""So many sorts of work are told one by one beside the drawing."""
DRAWING_MM = (88.0, 82.0)
"""Room for the place where two jobs share the page [mm]; one alone has more, and the way to its stakes beside."""
LARGE_MM, WAY_MM = (104.0, 104.0), (80.0, 64.0)
LESS_MM = 16.0
"""So much lower is the way to the stakes where the steps say what is dug out for an opening [mm]."""
TWO_MM = 16.0
"""And so much where it is said what needs two people [mm]."""


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:  # noqa: ARG001 - each small drawing finds its own scale
    """Yield the page of the first month with a job not done, before it what ground that was never measured needs."""
    found, first = this_month(of), first_ground(of)
    if first:
        yield Page("This Saturday", tuple(first), of.paper.size_mm, "the ground", foot="tick what is done")
    if found is None:
        return
    yield page_of(of, *found)


def page_of(of: Set, month: str, jobs: Sequence[Job], *, money: bool = True) -> Page:
    """Return the page of the jobs of a month; without ``money`` what is bought has no prices, for whoever helps."""
    base, blocks = base_of(of), list[Block]()
    for job in jobs[:MOST_JOBS]:
        blocks += _job(of, planned(of, job, base), alone=len(jobs) == 1, money=money)
    if len(jobs) > MOST_JOBS:
        rest = ", ".join(j.name for j in jobs[MOST_JOBS:])
        blocks.append({"t": "text", "s": f"Also this month: {rest}. Their points are on the setting-out sheet."})
    blocks.append({"t": "small", "s": COVERS})
    return Page(
        "This Saturday", tuple(blocks), of.paper.size_mm, format_month(month), scale="drawn", foot="tick what is done"
    )


def _job(of: Set, plan: Planned, *, alone: bool, money: bool) -> list[Block]:
    job, size = plan.job, 12.0 if alone else 9.5
    frame = LARGE_MM if alone else DRAWING_MM
    drawing, scale = place(of, plan, frame, whole=False)
    makes = ", ".join(of.words.name(o) for o in plan.owners)
    about, two = _work_words(of, job), for_two(of, plan)
    carried = [] if money else bring(labour_of(of, plan))
    steps = _steps(of, plan, helping=not money)
    beside: list[Block] = [
        {"t": "text", "s": f"Makes: {_short(makes, 170)}"},
        *([{"t": "text", "s": about}] if about else []),
        *([{"t": "text", "s": two}] if two else []),
        {"t": "list", "items": steps, "size": 11},
    ]
    if alone and plan.found.points:
        room = WAY_MM[1] - (LESS_MM if lifted_shortly(of, plan) else 0.0) - (TWO_MM if two else 0.0)
        way, small = place(of, plan, (WAY_MM[0], room), whole=True)
        beside += [{"t": "space", "mm": 2}, way, {"t": "small", "s": f"the stakes to tape from, {small.said}"}]
    below: list[Block] = [drawing, {"t": "small", "s": f"{scale.said} · dashes: what is there, and lines below ground"}]
    blocks: list[Block] = [
        {"t": "large", "s": job.name},
        {"t": "row", "widths": [frame[0], of.paper.frame_mm[0] - frame[0] - 4], "cells": [below, beside]},
        *([{"t": "text", "s": f"Bring: {', '.join(carried)}."}] if carried else []),
        *_where(of, plan, size),
        *_checks_and_lists(of, plan, size, money=money),
    ]
    return [*blocks, *first_cautions(of, plan, 4)]


def _work_words(of: Set, job: Job) -> str:
    """Return how much own work there is in a job, or still is in one that was begun; nothing if none is written down."""
    style, left = of.garden.style, left_of(of, job)[0]
    if begun(of, job):
        return f"Begun: {format_hours(left, style)} of own work left of those planned." if left else ""
    if not job.hours:
        return ""
    return f"{format_hours(job.hours, style)} of own work" + (f" over {job.months} months" if job.months > 1 else "")


def _short(text: str, most: int) -> str:
    return text if len(text) <= most else text[: text.rindex(", ", 0, most)] + " and more."


def _steps(of: Set, plan: Planned, *, helping: bool) -> list[str]:
    job = plan.job
    steps = ["Set the points below, in their order", "Tape every check before you dig"]
    return [
        *steps,
        *lifted_shortly(of, plan),
        *(job.tasks or _worked(of, plan, helping=helping)),
        "Write down what was built, and the hours",
    ]


def _worked(of: Set, plan: Planned, *, helping: bool) -> list[str]:
    """Return the sorts of work a job is made of, where nobody wrote down what is to do and somebody helps; else its name."""
    lines = [words for _, words, _ in work_lines(of, labour_of(of, plan), ())] if helping else []
    return lines if 0 < len(lines) <= MOST_WORK else [plan.job.name]


def _where(of: Set, plan: Planned, size: float) -> list[Block]:
    if not plan.found.points:
        return [
            {"t": "text", "s": "Nothing of this can be set out by tapes yet: it needs two stakes or corners in reach."}
        ]
    blocks: list[Block] = [{"t": "heading", "s": "Where it goes"}]
    first = first_check(of, plan)
    if first:
        blocks.append({"t": "text", "s": first})
    blocks.append(ties_table(of, plan, size - (1.5 if size > 10 else 0), MOST_POINTS, how_sure=False))
    more = sum(plan.counts) - MOST_POINTS
    words = stakes_words(plan.base, used_stakes(plan))
    if more > 0:
        words += f" {more} more point{'s' if more > 1 else ''} on the setting-out sheet."
    if plan.through:
        words += " A tape has to cross something that stands there: lift it level over the top, or hold it through."
    return [*blocks, {"t": "small", "s": words}]


def _checks_and_lists(of: Set, plan: Planned, size: float, *, money: bool) -> list[Block]:
    """Return the tapes that prove it, and what to buy and to plant: a short first list stands beside the tapes."""
    lists = _lists(of, plan, size, money=money)
    beside = bool(lists) and len(lists[0][1]["items"]) <= MOST_BESIDE
    checks = diagonals_table(of, plan, size, MOST_CHECKS, narrow=beside)
    if checks is None or not beside:
        return [*([checks] if checks is not None else []), *_row(lists)]
    first, *rest = lists
    return [
        {"t": "row", "widths": [1.48, 1], "cells": [[checks], first], "around": 0.7},
        *(b for one in rest for b in one),
    ]


def _row(cells: list[list[Block]]) -> list[Block]:
    return [{"t": "row", "widths": [1] * len(cells), "cells": cells}] if cells else []


def _lists(of: Set, plan: Planned, size: float, *, money: bool) -> list[list[Block]]:
    """Return what to buy and what to plant, each under its heading."""
    buy, plants = shopping(of, plan.job, money=money), planting(of, plan)
    cells: list[list[Block]] = []
    if buy:
        paid = sum(e.sum or 0 for e in of.garden.journal if e.about == plan.job.id) if money else 0
        said = f"Of that {format_money(paid, of.garden.style, whole=True)} is paid, as the journal says."
        theirs = told(of.garden, [plan.job]) if money else ""
        known: list[Block] = [{"t": "text", "s": words} for words in (said if paid else "", theirs) if words]
        cells.append([{"t": "heading", "s": "To buy or arrange"}, {"t": "list", "items": buy, "size": size}, *known])
    if plants:
        rows: list[Block] = [{"t": "text", "s": words} for words in parted_rows(of, plan)]
        cells.append([{"t": "heading", "s": "To plant"}, {"t": "list", "items": plants, "size": size}, *rows])
    return cells


def shopping(of: Set, job: Job, *, money: bool = True) -> list[str]:
    """Return the job's cost lines as a list to carry to the shop, what is hired said so; without ``money`` no prices."""
    return [words for _, words in bought(of, job, money=money)]


def bought(of: Set, job: Job, *, money: bool = True) -> list[tuple[str, str]]:
    """Return each cost line as what it is and how much, whatever it costs, and as it is written on the list."""
    style, out = of.garden.style, list[tuple[str, str]]()
    for line in job.costs:
        much = line.how_much(style)
        hired = " (hired or done for you)" if line.hired else ""
        price = f", {format_money(line.sum, style, whole=line.sum % 100 == 0)}" if money else ""
        out.append((much, f"{much}{hired}{price}"))
    return out


def planting(of: Set, plan: Planned) -> list[str]:
    """Return what is planted: how many, what, as what stock, how far apart, where."""
    return [words for _, words in planted(of, plan)]


def planted(of: Set, plan: Planned) -> list[tuple[str, str]]:
    """Return each line of what is planted as how many of what, and as it is written on the list."""
    own = {p.id: p for p in of.garden.plants}
    groups: dict[tuple[str, str, float], tuple[int, list[str]]] = {}
    for owner, stood in plan.stood.items():
        for work in stood.work:
            if isinstance(work, PlantWork):
                key = (work.plant, work.stock, work.spacing_m)
                count, where = groups.get(key, (0, []))
                groups[key] = (count + work.count, [*where, of.words.name(owner)])
    out = []
    for (plant_id, stock, spacing), (count, where) in groups.items():
        plant = find_plant(plant_id, own)
        called = plant_id if plant is None else plant.name + (f" ({plant.botanical})" if plant.botanical else "")
        apart = f", {format_length(spacing, of.garden.style)} apart" if spacing else ""
        as_, when = (stock, "") if plant is None or not plant.annual else _each_year(of, plan, plant, stock)
        what = f"{count} × {called}, {as_}{apart}{when}"
        out.append((what, f"{what}: {_short(', '.join(where), 80)}"))
    return out


def _each_year(of: Set, plan: Planned, plant: Plant, stock: str) -> tuple[str, str]:
    """Return as what a plant that lives for a year is bought, and from when it is set each year, as the schedule says it."""
    months = [MONTHS[m - 1] for m in window(plant, stock, of.timeline.frame).months]
    last = of.timeline.last_month(plan.job)
    ready = 12 * of.timeline.years[0] + plan.job.months - 1 if last is None else last
    return stock_words(plant, stock), f", {each_year(of, plant, stock, ready)} in {' or '.join(months)}"
