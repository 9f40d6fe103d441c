"""Jobs planned before what must come first, out of their months, or too many large ones in a year."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from quincunx.review._view import View
from quincunx.shapes import Finding, Severity
from quincunx.units import counted, format_month, month_index
from quincunx.works import Job

SOURCE = "Quincunx: the order and the months written on the jobs"


def check(view: View) -> Iterator[Finding]:
    """Yield a finding for each planned job that can't be done when it is planned."""
    jobs = {j.id: j for j in view.garden.jobs}
    large: dict[int, list[Job]] = defaultdict(list)
    for job in view.garden.jobs:
        goes = view.timeline.course(job)
        if goes.first is None:
            continue
        if job.large:
            large[goes.first // 12].append(job)
        if goes.state == "planned":  # what has begun is past advice
            yield from _window(job)
            yield from _before(view, job, jobs)
        yield from _taken(view, job)
    for year, many in sorted(large.items()):
        if len(many) > view.garden.means.large_a_year:
            names = ", ".join(j.name for j in many)
            yield Finding(
                f"too-many-large-{year}", Severity.CARE,
                f"{len(many)} large works are planned in {year} ({names}); you chose {view.garden.means.large_a_year} a year.",
                "Move one to another year.", SOURCE, tuple(j.id for j in many), None, year,
            )  # fmt: skip


def _window(job: Job) -> Iterator[Finding]:
    first = month_index(job.start or "")
    outside = [m for m in range(first, first + job.months) if job.window and m % 12 + 1 not in job.window]
    if outside:
        yield Finding(
            f"out-of-window-{job.id}", Severity.FAULT, f"“{job.name}” is planned for {format_month(job.start or '')}, outside the months it fits in.",
            "Move it into its months.", SOURCE, (job.id,), None, first // 12,
        )  # fmt: skip


def _before(view: View, job: Job, jobs: dict[str, Job]) -> Iterator[Finding]:
    start = month_index(job.start or "")
    for after in job.after:
        first = jobs[after.job]
        done = view.timeline.last_month(first)
        if done is not None and done + 1 + after.wait_months <= start:
            continue
        late = "is not planned yet" if done is None else "is not finished in time"
        wait = f" and {counted(after.wait_months, 'month')} to wait" if after.wait_months else ""
        yield Finding(
            f"too-early-{job.id}-{first.id}", Severity.FAULT,
            f"“{job.name}” is planned for {format_month(job.start or '')}, but “{first.name}” {late}{wait}.",
            f"Do “{first.name}” first, or move “{job.name}” later.", SOURCE, (job.id, first.id), None, start // 12,
        )  # fmt: skip


def _taken(view: View, job: Job) -> Iterator[Finding]:
    for name in job.takes_away:
        span = view.timeline.span(name)
        if span.begins is not None and span.ends is not None and span.ends <= span.begins:
            yield Finding(
                f"gone-before-made-{name}", Severity.FAULT, f"“{job.name}” takes away {view.called(name)} before it is made.",
                "Change the order of the two jobs.", SOURCE, (job.id, name),
            )  # fmt: skip
