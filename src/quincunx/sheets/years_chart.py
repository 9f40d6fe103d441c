"""The years chart: a bar for each job over the months; below it the money in hand and the hours used."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from quincunx.garden.uncosted import UNWRITTEN
from quincunx.sheets._chart import BOLD, FINE, HAIR, LINE, PALE, Chart, Fill, shortened
from quincunx.sheets._set import Set
from quincunx.sheets.book import Page
from quincunx.sheets.ink import INK, INKS
from quincunx.sheets.years_table import at_most, to_pay
from quincunx.units import Style, format_hours, format_money
from quincunx.years.grown import grown_after_months
from quincunx.years.months import Month, Run, State, months_of, runs_of

ID = "years-chart"
WORDS = "The years chart: jobs, money and hours by month"
NEEDS = "There are no jobs yet. Write down what is to be done, and this page shows when, and what it leaves of money and hours."

MOST_YEARS, MOST_JOBS = 8, 22
"""More years or jobs than this go on a further page."""
LABEL_MM, RIGHT_MM, HEAD_MM = 66.0, 23.0, 8.0
MONEY_MM, HOURS_MM, BETWEEN_MM, UNDER_MM = 33.0, 21.0, 5.0, 4.2
LEGEND_MM = 7.0
USUAL_MM = 277.0
"""On paper wider than this inside its margins all is drawn larger [mm]."""
ROW_MM = (3.4, 5.6)
"""A job's row is no lower and no higher than this [mm]."""
INITIALS_MM = 2.3
"""Months at least this wide carry their initial."""
STRIPE, SHORT = "#f4f4f1", INKS["evidence"].line

FILLS: dict[State, Fill] = {
    "done": "done",
    "begun": "stripes",
    "booked": "stripes",
    "planned": "stripes",
    "unplanned": "light",
}


@dataclass(frozen=True)
class _Frame:
    """Where months lie on the paper: ``first`` is a month counted from January of year 0."""

    chart: Chart
    of: Set
    first: int
    count: int

    @property
    def each(self) -> float:
        """Return the width of a month [mm]."""
        return (self.chart.width - LABEL_MM - RIGHT_MM) / self.count

    def x(self, month: float) -> float:
        """Return where a month begins, kept inside the years of the page [mm]."""
        return LABEL_MM + self.each * min(max(month - self.first, 0), self.count)

    @property
    def years(self) -> range:
        return range(self.first // 12, (self.first + self.count) // 12)

    def shows(self, run: Run) -> bool:
        return (
            run.start is not None
            and run.end is not None
            and run.end > self.first
            and run.start < self.first + self.count
        )


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:  # noqa: ARG001 - a chart has no scale
    """Yield the chart lying flat, eight years and 22 jobs a page; nothing if there are no jobs."""
    if not of.garden.jobs:
        return
    paper, years = of.paper.lying(flat=True), list(of.timeline.years)
    runs, months = runs_of(of.garden), months_of(of.garden)
    for start in range(0, len(years), MOST_YEARS):
        part = years[start : start + MOST_YEARS]
        shown = [r for r in runs if _in(r, part)]
        rest = [r for r in runs if r.start is None] if start == 0 else []
        for at in range(0, max(len(shown) + len(rest), 1), MOST_JOBS):
            width, height = paper.frame_mm
            larger = max(1.0, width / USUAL_MM)
            chart = Chart(width / larger, height / larger)
            frame = _Frame(chart, of, 12 * part[0], 12 * len(part))
            _draw(frame, [*shown, *rest][at : at + MOST_JOBS], [m for m in months if m.year in part])
            note = f"{part[0]} to {part[-1]}" if len(part) > 1 else f"{part[0]}"
            drawing = {"t": "drawing", "svg": chart.svg(), "w": width, "h": height}
            yield Page("The years, month by month", (drawing,), paper.size_mm, note)


def _in(run: Run, years: Sequence[int]) -> bool:
    return (
        run.start is not None and run.end is not None and run.start < 12 * (years[-1] + 1) and run.end > 12 * years[0]
    )


def _draw(frame: _Frame, runs: Sequence[Run], months: Sequence[Month]) -> None:
    room = frame.chart.height - HEAD_MM - LEGEND_MM - MONEY_MM - HOURS_MM - 2 * (BETWEEN_MM + UNDER_MM)
    row = min(max(room / max(len(runs), 1), ROW_MM[0]), ROW_MM[1])
    end = HEAD_MM + row * len(runs)
    money, hours = end + BETWEEN_MM, end + BETWEEN_MM + MONEY_MM + UNDER_MM + BETWEEN_MM
    _ground(frame, end, (money, money + MONEY_MM), (hours, hours + HOURS_MM))
    for n, run in enumerate(runs):
        _job(frame, run, HEAD_MM + n * row, row)
    _money(frame, months, money)
    _hours(frame, months, hours)
    _legend(frame, hours + HOURS_MM + UNDER_MM + 3.2)


def _ground(frame: _Frame, end: float, *panels: tuple[float, float]) -> None:
    """Draw the years, the months and the lines between them."""
    chart = frame.chart
    for year in frame.years:
        left, right = frame.x(12 * year), frame.x(12 * year + 12)
        for top, bottom in ((HEAD_MM - 3.0, end), *panels):
            if (year - frame.years[0]) % 2 == 0:
                chart.wash(left, top, right - left, bottom - top, STRIPE)
        chart.words((left + right) / 2, 3.6, str(year), 3.2, "middle", bold=True)
        for month in range(12):
            at = frame.x(12 * year + month)
            if frame.each >= INITIALS_MM:
                chart.words(at + frame.each / 2, HEAD_MM - 0.9, "JFMAMJJASOND"[month], 1.7, "middle", ink=PALE)
            for top, bottom in ((HEAD_MM, end), *panels):
                wide, ink = (LINE, INK) if month == 0 else (HAIR, "#b9bdbf")
                if month == 0 or month % 3 == 0:
                    chart.line(at, top, at, bottom, wide if month else FINE, ink)
    for top, bottom in ((HEAD_MM, end), *panels):
        chart.line(frame.x(10**6), top, frame.x(10**6), bottom, FINE)
    chart.line(0, HEAD_MM, chart.width, HEAD_MM, LINE)
    chart.line(0, end, chart.width, end, FINE)
    chart.words(chart.width, HEAD_MM - 0.9, "cost · own hours", 1.9, "end", ink=PALE)


def _job(frame: _Frame, run: Run, top: float, row: float) -> None:
    chart, job, style = frame.chart, run.job, frame.of.garden.style
    size, base = min(2.7, row * 0.56), top + row * 0.68
    indent = 3.0
    if run.state == "done":
        chart.tick(0.2, base - size * 0.3, 2.0)
    elif job.large:
        chart.shape([(0.3, base), (2.1, base), (1.2, base - 1.7)], INK)
    name = shortened(job.name + (" (begun)" if run.state == "begun" else ""), LABEL_MM - indent - 1.0, size)
    chart.words(indent, base, name, size, bold=job.large)
    chart.words(chart.width, base, _takes(frame.of, run, style), min(2.3, size), "end")
    chart.line(0, top + row, chart.width, top + row, HAIR, "#b9bdbf")
    if run.start is None or run.end is None:
        chart.words(frame.x(0) + 1.5, base, "not in the plan", min(2.3, size), ink=PALE)
        return
    if not frame.shows(run):
        return
    _season(frame, run, top + row * 0.5)
    _grown(frame, run, top + row * 0.5)
    high = row * 0.56
    fill: Fill = "dark" if job.large and run.state != "done" else FILLS[run.state]
    left, right = frame.x(run.start), frame.x(run.end)
    chart.bar(left, top + (row - high) / 2, right - left, high, fill, LINE if job.large else FINE)
    if run.state == "booked":
        y = top + (row - high) / 2
        chart.shape([(left - 0.9, y - 0.5), (left + 0.9, y - 0.5), (left, y + 1.1)], "#ffffff")


def _takes(of: Set, run: Run, style: Style) -> str:
    hours = sum(of.courses[run.job.id].hours.values()) if run.start is not None else run.job.hours
    parts = [format_money(of.to_pay(run.job), style, whole=True)] if run.job.cost else []
    return " · ".join([*parts, *([format_hours(hours, style)] if hours else [])])


def _season(frame: _Frame, run: Run, y: float) -> None:
    """Draw hairlines in the months the job's season allows."""
    from quincunx.years.seasons import season

    window = season(frame.of.timeline, run.job).months
    if len(window) == 12 or run.state == "done":
        return
    begins = None
    for month in range(frame.first, frame.first + frame.count + 1):
        inside = month % 12 + 1 in window and month < frame.first + frame.count
        if inside and begins is None:
            begins = month
        elif not inside and begins is not None:
            frame.chart.line(frame.x(begins) + 0.3, y, frame.x(month) - 0.3, y, 0.16, "#a9aeb1")
            begins = None


def _grown(frame: _Frame, run: Run, y: float) -> None:
    """Draw how long what is planted grows until it is of use."""
    lag = grown_after_months(frame.of.timeline, run.job)
    if not lag or run.end is None:
        return
    ready = run.end + lag
    left, right = frame.x(run.end), frame.x(ready)
    frame.chart.line(left, y, right, y, 0.45, INKS["grown"].line, "0.9 0.7")
    if ready <= frame.first + frame.count:
        frame.chart.ring(right, y, 0.85)


def _money(frame: _Frame, months: Sequence[Month], top: float) -> None:
    chart, garden = frame.chart, frame.of.garden
    low = min(0, *(m.balance for m in months))
    high = max(1, *(m.balance for m in months), *(m.spent for m in months), garden.means.reserve)
    bottom = top + MONEY_MM

    def y(sum_: float) -> float:
        return bottom - 0.8 - (MONEY_MM - 2.6) * (sum_ - low) / (high - low)

    def say(sum_: int) -> str:
        return format_money(sum_, garden.style, whole=True)

    whose = ", your part" if any(job.others_pay for job in garden.jobs) else ""
    _panel_words(
        chart, top, "Money", ("line: in hand at the end of each month", "bars: what is paid in the month" + whose)
    )
    step = _nice(high - low, 5)
    for n in range(int(low // step), int(high // step) + 1):
        chart.line(frame.x(0), y(n * step), frame.x(10**6), y(n * step), HAIR, "#b9bdbf")
        chart.words(LABEL_MM - 1.0, y(n * step) + 0.7, say(n * step), 1.9, "end", ink=PALE)
    chart.line(frame.x(0), y(0), frame.x(10**6), y(0), FINE)
    if garden.means.reserve:
        chart.line(frame.x(0), y(garden.means.reserve), frame.x(10**6), y(garden.means.reserve), FINE, INK, "1.2 0.8")
        chart.words(frame.x(10**6) + 1, y(garden.means.reserve) + 0.7, f"kept back {say(garden.means.reserve)}", 1.9)
    points: list[tuple[float, float]] = []
    for m in months:
        left, right = frame.x(m.month), frame.x(m.month + 1)
        chart.bar(left + 0.3, y(m.spent), right - left - 0.6, y(0) - y(m.spent), "stripes", 0.12)
        if m.balance < 0:
            chart.bar(left, y(0), right - left, y(m.balance) - y(0), "over", 0.1)
        points += [(left, y(m.balance)), (right, y(m.balance))]
    chart.path(points, BOLD)
    _under_money(frame, bottom + 3.0)


def _under_money(frame: _Frame, y: float) -> None:
    style = frame.of.garden.style
    for year in frame.years:
        paid, left = frame.of.money[year].spent, frame.of.money[year].left
        mid = (frame.x(12 * year) + frame.x(12 * year + 12)) / 2
        rest = (
            f"left {at_most(left, style, less=frame.of.is_less(year))}"
            if left >= 0
            else f"short {format_money(-left, style, whole=True)}"
        )
        due = to_pay(paid, style, more=year in frame.of.unsaid_years)
        words = f"{'cost ' if due == UNWRITTEN else 'paid '}{due}, {rest}"
        frame.chart.words(
            mid, y, words, _fitting(words, 12 * frame.each), "middle", ink=SHORT if left < 0 else INK, bold=left < 0
        )


def _hours(frame: _Frame, months: Sequence[Month], top: float) -> None:
    chart = frame.chart
    high = max(1.0, *(m.free_h for m in months), *(m.worked_h for m in months))
    bottom = top + HOURS_MM

    def y(hours: float) -> float:
        return bottom - (HOURS_MM - 1.5) * hours / high

    _panel_words(chart, top, "Hours", ("line: what upkeep leaves in each month", "bars: what the works take of it"))
    step = _nice(high, 3)
    for n in range(int(high // step) + 1):
        chart.line(frame.x(0), y(n * step), frame.x(10**6), y(n * step), HAIR, "#b9bdbf")
        chart.words(LABEL_MM - 1.0, y(n * step) + 0.7, f"{n * step} h", 1.9, "end", ink=PALE)
    for m in months:
        left, right = frame.x(m.month), frame.x(m.month + 1)
        within = min(m.worked_h, m.free_h)
        chart.bar(left + 0.3, y(within), right - left - 0.6, y(0) - y(within), "stripes", 0.12)
        chart.bar(left + 0.3, y(m.worked_h), right - left - 0.6, y(within) - y(m.worked_h), "over", 0.12)
    chart.path(
        [p for m in months for p in ((frame.x(m.month), y(m.free_h)), (frame.x(m.month + 1), y(m.free_h)))], LINE
    )
    chart.line(frame.x(0), bottom, frame.x(10**6), bottom, FINE)
    for year in frame.years:
        part = [m for m in months if m.year == year]
        used, free = sum(m.worked_h for m in part), sum(m.free_h for m in part)
        words = f"{format_hours(used, frame.of.garden.style)} of {format_hours(free, frame.of.garden.style)} used"
        chart.words(
            (frame.x(12 * year) + frame.x(12 * year + 12)) / 2,
            bottom + 3.0,
            words,
            _fitting(words, 12 * frame.each),
            "middle",
        )


def _fitting(text: str, room_mm: float) -> float:
    """Return the height of letters at which ``text`` fits [mm]."""
    return round(min(2.3, room_mm / (0.48 * max(len(text), 1))), 2)


def _panel_words(chart: Chart, top: float, name: str, lines: Sequence[str]) -> None:
    chart.words(0, top + 3.2, name, 3.2, bold=True)
    for n, line in enumerate(lines):
        chart.words(0, top + 6.8 + 3.0 * n, line, 2.1, ink=PALE)


def _nice(span: float, parts: int) -> int:
    """Return a round step (1, 2 or 5 times a power of ten) that cuts ``span`` into about ``parts``."""
    rough = max(span / parts, 1)
    power = 10 ** (len(str(int(rough))) - 1)
    return int(next(n * power for n in (1, 2, 5, 10) if n * power >= rough))


def _legend(frame: _Frame, y: float) -> None:
    chart, x = frame.chart, 0.0
    high = 2.6

    def after(words: str, drawn_mm: float) -> None:
        nonlocal x
        chart.words(x + drawn_mm + 1.2, y, words, 2.2)
        x += drawn_mm + 1.2 + 0.5 * 2.2 * len(words) + 4.0

    chart.shape([(x, y), (x + 1.8, y), (x + 0.9, y - 1.7)], INK)
    chart.bar(x + 2.6, y - 2.2, 6, high, "dark", LINE)
    after("large work", 8.6)
    chart.bar(x, y - 2.2, 6, high, "stripes")
    after("other work", 6)
    chart.bar(x, y - 2.2, 6, high, "done")
    after("done", 6)
    chart.shape([(x, y - 1.7), (x + 1.8, y - 1.7), (x + 0.9, y - 0.1)], "#ffffff")
    after("booked", 2)
    chart.line(x, y - 0.8, x + 6, y - 0.8, 0.16, "#a9aeb1")
    after("its season", 6)
    chart.line(x, y - 0.8, x + 5.2, y - 0.8, 0.45, INKS["grown"].line, "0.9 0.7")
    chart.ring(x + 6, y - 0.8, 0.85)
    after("grows until it is of use", 7)
    chart.bar(x, y - 2.2, 6, high, "over", 0.12)
    after("more than there is", 6)
