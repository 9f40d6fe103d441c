"""The bill of quantities, job by job: what each is made of, what to buy, hours, weight; typed and worked out side by side."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from quincunx.garden.costing import Costed
from quincunx.garden.shared import in_plan, told
from quincunx.garden.uncosted import uncosted_words
from quincunx.sheets._building import CARE, bill_table, care, ended
from quincunx.sheets._set import Set
from quincunx.sheets.book import Block, Page
from quincunx.units import Style, counted, format_hours, format_mass, format_money, own_marks, own_units, write_plain

ID = "bill"
WORDS = "Bill of quantities, job by job"
IN_PLAN = "In the plan"
NEEDS = "No job makes anything that is drawn yet. Say what the jobs make, and this page counts what each of them takes."


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:  # noqa: ARG001 - a bill has no scale
    """Yield the summary of jobs and then each job's bill; nothing where no job makes anything."""
    found = [c for c in of.costed if c.reckoned.bill]
    if not found:
        return
    demo = any(c.reckoned.demo for c in found)
    yield Page(
        "Bill of quantities",
        ended([_summary(of, found), *_unsaid(of), *_others(of, found), *_prices(of)], care(demo=demo)),
        of.paper.size_mm,
        "all jobs",
        foot=CARE,
    )
    blocks: list[Block] = []
    for c in found:
        blocks += _job(of, c)
    yield Page("Bill of quantities", ended(blocks, care(demo=demo)), of.paper.size_mm, "job by job", foot=CARE)


def _others(of: Set, found: list[Costed]) -> list[Block]:
    """Return whose the sums are, where others pay a part of a job."""
    said = told(of.garden, (c.job for c in found))
    if not said:
        return []
    words = (
        f"{IN_PLAN} is your part where others pay another; what is worked out is all there is to pay, whoever pays it."
    )
    return [{"t": "text", "s": f"{words} {said}"}]


def _unsaid(of: Set) -> list[Block]:
    """Return of which jobs nobody wrote what they cost."""
    words = uncosted_words(of.garden)
    return [{"t": "text", "s": words}] if words else []


def _prices(of: Set) -> list[Block]:
    """Return at which prices the sums are, where the plan counts with rising ones."""
    means = of.garden.means
    if not means.price_growth:
        return []
    words = (
        f"All sums are at the prices of {means.first_year}. The years table, the list of what to do and the money in hand"
        f" count {write_plain(100 * means.price_growth, of.garden.style)} in 100 more for each year after."
    )
    return [{"t": "text", "s": own_marks(words, of.garden.style)}]


def _summary(of: Set, found: list[Costed]) -> Block:
    style = of.garden.style
    rows: list[list[Any]] = []
    for c in found:
        r = c.reckoned
        low = (
            f"{format_money(r.low, style, whole=True)} to {format_money(r.high, style, whole=True)}"
            if r.low != r.high
            else ""
        )
        missing = f"{counted(len(r.unpriced), 'thing has', 'things have')} no price" if r.unpriced else low
        stands = "worked out" if c.taken_sum is not None else "typed" if c.job.costs else ""
        rows.append([
            c.job.name, in_plan(c.job, style), stands, format_money(r.sum, style, whole=True) if r.sum else "",
            missing, format_hours(c.job.hours, style), _hours_span(r.hours_range, style),
            format_mass(r.kg, style) if r.kg >= 1 else "",
            str(r.loads) if r.loads else "",
        ])  # fmt: skip
    return {
        "t": "table",
        "head": ["job", IN_PLAN.lower(), "", "worked out", "", "hours in the plan", "worked out", "weight", "barrow loads"],
        "rows": rows, "widths": [2.6, 0.95, 0.8, 0.95, 1.4, 0.8, 1.1, 0.95, 0.7],
        "align": ["left", "right", "left", "right", "left", "right", "left", "right", "right"], "size": 8.5, "inset": 1.2,
    }  # fmt: skip


def _hours_span(span: tuple[float, float], style: Style) -> str:
    """Return from how many hours to how many: whole ones, of less than two to the minute."""
    low, high = span
    return f"{format_hours(low, style)} to {format_hours(high, style)}" if high < 2 else f"{low:.0f} to {high:.0f} h"


def _job(of: Set, c: Costed) -> Iterator[Block]:
    style, r = of.garden.style, c.reckoned
    yield {"t": "heading", "s": c.job.name}
    yield bill_table(of, r.bill)
    total = f"{format_money(r.sum, style)} for what has a price" + (
        f"; {counted(len(r.unpriced), 'has', 'have')} none" if r.unpriced else ""
    )
    carry = f", {format_mass(r.kg, style)} to carry" if r.kg >= 1 else ""
    carry += f", {counted(r.loads, 'barrow load')}" if r.loads else ""
    takes = f"About {format_hours(r.hours, style)} ({_hours_span(r.hours_range, style)})"
    yield {"t": "text", "s": f"{total}. {takes}{carry}."}
    for option in c.options:
        o = option.reckoned
        sum_ = format_money(o.sum, style, whole=True) + (" and what has no price" if o.unpriced else "")
        yield {
            "t": "text",
            "s": f"If it becomes {option.words}: {sum_}, {format_hours(o.hours, style)}, {format_mass(o.kg, style)}.",
        }
    if r.notes:
        yield {"t": "small", "s": own_units(f"Taken for granted: {'; '.join(r.notes)}.", style)}
