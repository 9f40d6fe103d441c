"""What others pay of the jobs: the neighbours of a hedge that both want, whoever else has a share in a work."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from quincunx.garden.document import Garden
from quincunx.garden.uncosted import UNWRITTEN
from quincunx.units import format_money
from quincunx.units.style import Style
from quincunx.works import Job, courses, others_due

OTHERS = "others"
"""Who pays a part where nobody is named."""


@dataclass(frozen=True, slots=True)
class Shared:
    """A job of which others pay a part: who, their part and the whole as planned, priced up to when it is due [minor units]."""

    job: Job
    who: str
    theirs: int
    whole: int

    @property
    def ours(self) -> int:
        """Return what is left to pay [minor units]."""
        return self.whole - self.theirs

    def words(self, style: Style) -> str:
        """Return it as a sentence that fits whatever name they have: Bea Holt, the neighbours, others."""
        theirs, whole, ours = (format_money(s, style, whole=True) for s in (self.theirs, self.whole, self.ours))
        if not self.ours:
            return f"All of “{self.job.name}”, {whole}, is paid by {self.who}: the plan counts nothing for it."
        return f"For “{self.job.name}” {theirs} of {whole} is paid by {self.who}; {ours} is counted in the plan."


def shared(garden: Garden) -> tuple[Shared, ...]:
    """Return the jobs of which others pay a part, by month, those without one last."""
    found, due = [], _due(garden)
    for job in sorted(garden.jobs, key=lambda j: (str(j.start or "9"), j.id)):
        if job.others_pay and job.whole_cost:
            sums = due[job.id].values() or [(job.whole_cost - job.cost, job.whole_cost)]
            theirs, whole = (sum(part) for part in zip(*sums, strict=True))
            found.append(Shared(job, job.others or OTHERS, theirs, whole))
    return tuple(found)


def told(garden: Garden, jobs: Iterable[Job]) -> str:
    """Return who else pays what of some jobs, a sentence for each of which anybody does; nothing where nobody does."""
    asked = {job.id for job in jobs}
    return " ".join(one.words(garden.style) for one in shared(garden) if one.job.id in asked)


def in_plan(job: Job, style: Style) -> str:
    """Return what the plan counts for a job at the prices of its first year, and of how much where others pay a part.

    Of a job that makes something and has no line of cost, not even one of 0, it says so.
    """
    if job.does and not job.costs:
        return UNWRITTEN
    ours = format_money(job.cost, style, whole=True)
    return f"{ours} of {format_money(job.whole_cost, style, whole=True)}" if job.cost != job.whole_cost else ours


def besides(theirs: int, style: Style) -> str:
    """Return that others pay a sum [minor units] besides what is counted, with a space before; nothing where it is nothing."""
    return f" Others pay {format_money(theirs, style, whole=True)} besides." if theirs else ""


def by_year(garden: Garden) -> Mapping[int, int]:
    """Return what others are to pay in each year in which anything is [minor units]."""
    out: dict[int, int] = {}
    for due in _due(garden).values():
        for month, (theirs, _) in due.items():
            if theirs:
                out[month // 12] = out.get(month // 12, 0) + theirs
    return out


def _due(garden: Garden) -> dict[str, dict[int, tuple[int, int]]]:
    """Return for each job {month: (what others pay, all that is due) [minor units]}."""
    if not any(job.others_pay for job in garden.jobs):
        return {}
    goes = courses(garden.means, garden.jobs, garden.journal)
    return {job.id: others_due(garden.means, job, goes[job.id]) for job in garden.jobs}
