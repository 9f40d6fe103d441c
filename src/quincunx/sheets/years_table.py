"""The years table: a small drawn plan at each year's head; below it the musts, the money, the hours, the works."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from quincunx.garden.shared import by_year
from quincunx.garden.uncosted import UNWRITTEN, uncosted_words
from quincunx.shapes import State, TextFigure, Verdict
from quincunx.sheets._set import Set
from quincunx.sheets.book import Block, Page
from quincunx.sheets.ink import INKS
from quincunx.sheets.svg import Look, draw
from quincunx.units import Style, format_hours, format_mass, format_money, minor_digits

ID = "years-table"
WORDS = "The years table"

MARKS = {State.HOLDS: "✓", State.FAILS: "✗", State.UNKNOWN: "?", State.NOT_DUE: "·"}
FILLS = {State.HOLDS: "#e3edd9", State.FAILS: INKS["evidence"].wash, State.UNKNOWN: "#f2edd0", State.NOT_DUE: "#ffffff"}
ROUNDED = "Sums are rounded to whole units of money so that they add up: one may be 1 off what was written down for it."
MOST_YEARS = 8
"""More years than this go on a further page."""
EACH_MM, LABEL_MM = 36.0, (52.0, 88.0)
"""How wide a year is where there are few, and how narrow and wide the column of sentences may be beside them [mm]."""


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:  # noqa: ARG001 - a table has no scale
    """Yield the years table, eight years a page, lying flat; it has no scale to choose."""
    years = list(of.timeline.years)
    paper = of.paper.lying(flat=True)
    for start in range(0, len(years), MOST_YEARS):
        part = years[start : start + MOST_YEARS]
        note = f"{part[0]} to {part[-1]}" if len(part) > 1 else f"{part[0]}"
        width = paper.frame_mm[0]
        yield Page(
            "The years",
            (*_blocks(of, part, width),),
            paper.size_mm,
            note,
            foot="✓ holds   ✗ fails   ? can't tell   · not due yet",
        )


def rounded(of: Set, more: str = "") -> list[Block]:
    """Return what is said of sums in whole units, and ``more``; nothing of rounding where money has no smaller ones."""
    words = ROUNDED if minor_digits(of.garden.style.currency) else ""
    return [{"t": "small", "s": f"{words} {more}".strip()}] if words or more else []


def to_pay(spent: int, style: Style, *, more: bool) -> str:
    """Return what is paid in a year [minor units]; with ``more`` it has jobs of which nobody wrote what they cost."""
    sum_ = format_money(spent, style, whole=True)
    return sum_ if not more else f"at least {sum_}" if spent else UNWRITTEN


def at_most(sum_: int, style: Style, *, less: bool) -> str:
    """Return what is in hand [minor units]; with ``less`` jobs of which nobody wrote what they cost take some of it."""
    return f"{'at most ' if less else ''}{format_money(sum_, style, whole=True)}"


def made_in(of: Set, year: int) -> list[str]:
    """Return the names of the jobs finished in ``year``, in order."""
    rows = []
    for job in of.garden.jobs:
        month = of.timeline.last_month(job)
        if month is not None and month // 12 == year:
            rows.append((month, job.name))
    return [name for _, name in sorted(rows)]


def _blocks(of: Set, years: list[int], width_mm: float) -> Iterator[Block]:
    label = min(max(width_mm - EACH_MM * len(years), LABEL_MM[0]), LABEL_MM[1])
    each = (width_mm - label) / len(years)
    head: list[object] = [{"s": ""}, *({"s": str(y), "bold": True} for y in years)]
    rows: list[list[object]] = [
        [{"s": "as drawn in late summer"}, *({"svg": _small(of, y, each - 3), "w": each - 3} for y in years)]
    ]
    rows += [_must_row(m.text, m.verdicts, years) for m in of.review.musts if not m.muted]
    widths = [label / each, *(1 for _ in years)]
    align = ["left", *("center" for _ in years)]
    yield {"t": "table", "head": head, "rows": rows, "widths": widths, "align": align, "size": 7.6}
    # Money, hours and works stay on one page, with their years over them.
    means = {"t": "table", "head": head, "rows": _means_rows(of, years), "widths": widths, "align": align, "size": 7.6}
    yield {"t": "keep", "blocks": [means, *rounded(of, uncosted_words(of.garden))]}
    failing = [
        m
        for m in of.review.musts
        if not m.muted and any(v.state is State.FAILS and v.year in years for v in m.verdicts)
    ]
    if failing:
        yield {"t": "heading", "s": "What fails, and why"}
    for must in failing:
        last = [v for v in must.verdicts if v.state is State.FAILS and v.year in years][-1]
        yield {"t": "small", "s": f"{last.year}: {must.text} {last.because}"}


def _must_row(text: str, verdicts: Sequence[Verdict], years: list[int]) -> list[object]:
    by_year = {v.year: v for v in verdicts}
    cells: list[object] = [text]
    for year in years:
        verdict = by_year.get(year)
        state = verdict.state if verdict else State.UNKNOWN
        cells.append({"s": MARKS[state], "fill": FILLS[state], "bold": True})
    return cells


def _means_rows(of: Set, years: list[int]) -> list[list[object]]:
    style = of.garden.style
    money = of.money

    def sums(name: str, pick: str) -> list[object]:
        return [{"s": name}, *(format_money(getattr(money[y], pick), style, whole=True) for y in years)]

    def hours(name: str, pick: str) -> list[object]:
        return [{"s": name}, *(format_hours(getattr(money[y], pick), style) for y in years)]

    picked = [_picked(of, y) for y in years]
    made = [made_in(of, y) for y in years]
    spent: list[object] = [{"s": "Spent"}, *(to_pay(money[y].spent, style, more=y in of.unsaid_years) for y in years)]
    left: list[object] = [{"s": "Left at the end"}, *(at_most(money[y].left, style, less=of.is_less(y)) for y in years)]
    start = {y: money[y].left - money[y].income + money[y].spent for y in years}
    in_hand: list[object] = [
        {"s": "In hand at the start"}, *(at_most(start[y], style, less=of.is_less(y - 1)) for y in years),
    ]  # fmt: skip
    theirs = by_year(of.garden)
    others: list[object] = [
        {"s": "Others pay besides"},
        *(format_money(theirs.get(y, 0), style, whole=True) for y in years),
    ]
    rows = [
        in_hand, sums("Comes in", "income"), spent, left, *([others] if theirs else []),
        hours("Hours there are", "given_h"), *_upkeep_rows(of, years), hours("Works take", "worked_h"),
    ]  # fmt: skip
    done: list[object] = [{"s": "Finished"}, *("\n".join(names) or "–" for names in made)]
    harvest: list[list[object]] = [[{"s": "Harvest, about"}, *picked]] if any(picked) else []
    return [*rows, *harvest, done]


def _upkeep_rows(of: Set, years: list[int]) -> list[list[object]]:
    """Return the hours the plan sets aside for upkeep, and those reckoned on the pages of care where there are any."""
    style, reckoned = of.garden.style, of.upkeep
    aside: list[object] = [{"s": "Set aside for upkeep"}]
    aside += [format_hours(of.money[y].upkeep_h, style) if of.money[y].upkeep_h else "none" for y in years]
    if not any(one.hours for one in reckoned.values()):
        return [aside]
    takes: list[object] = [{"s": "Upkeep as reckoned, about"}]
    takes += [format_hours(reckoned[y].hours, style, kind="decimal") for y in years]  # as on those pages
    return [aside, takes]


def _picked(of: Set, year: int) -> str:
    """Return what is picked in a year: the middle figure, then its range; nothing while nothing bears."""
    from quincunx.grow.harvest import harvest

    found, style = harvest(of.timeline, year), of.garden.style
    if not found.begun:
        return ""
    if found.kg.mid <= 0:
        return "first picking"
    low, high = (format_mass(v, style) for v in (found.kg.low, found.kg.high))
    return f"{format_mass(found.kg.mid, style)}\n({low.split(' ')[0]} to {high})"


def _small(of: Set, year: int, width_mm: float) -> str:
    """Return the small plan at a year's head: no words, no patterns, true proportions."""
    west, south, east, north = of.timeline.frame.boundary.bounds
    scale = 1000 * (east - west) / width_mm
    high = 1000 * (north - south) / scale
    if high > MOST_HIGH_MM:
        scale *= high / MOST_HIGH_MM
    pad = (scale * width_mm / 1000 - (east - west)) / 2
    figures = [f for f in (*of.summer(year).figures, *of.frame()) if not isinstance(f, TextFigure)]
    return draw(
        figures,
        (west - pad - 0.1, south - 0.1, east + pad + 0.1, north + 0.1),
        Look(scale, of.garden.style, words=False, patterns=False, thin=0.4),
    )


MOST_HIGH_MM = 54.0
"""A small plan is no higher than this on paper [mm]."""

__all__ = ["ID", "WORDS", "made_in", "pages"]
