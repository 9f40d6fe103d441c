"""Things that are never made, and jobs without a month."""

from __future__ import annotations

from collections.abc import Iterator

from quincunx.review._view import View
from quincunx.shapes import Finding, Severity

SOURCE = "Quincunx: a thing stands from the end of the job that makes it"


def check(view: View) -> Iterator[Finding]:
    """Yield a finding for each feature nothing makes and each job that has no month yet."""
    made = {target.partition("/")[0]: job for job in view.garden.jobs for target in job.does}
    for feature in view.garden.features:
        if view.timeline.span(feature.id).known or feature.there_from is not None or feature.id in made:
            continue
        yield Finding(
            f"never-made-{feature.id}", Severity.FAULT, f"Nothing says when {feature.called} is made, so it stands in no year.",
            "Put it in a job, give it a month, or say it is there already.", SOURCE, (feature.id,),
        )  # fmt: skip
    for job in view.garden.jobs:
        if view.timeline.last_month(job) is None:
            yield Finding(
                f"no-month-{job.id}", Severity.HINT, f"“{job.name}” has no month yet, so what it makes stands in no year.",
                "Give it a month, or let the order of works be found.", SOURCE, (job.id, *(t.partition("/")[0] for t in job.does)),
            )  # fmt: skip
