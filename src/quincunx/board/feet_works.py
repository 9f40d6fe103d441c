"""Feet at work: do barrow and machine get to each job of the year in its month, and what to do first if not."""

from __future__ import annotations

from collections.abc import Iterator

from shapely import Point

from quincunx.board.asking import Answer, Given, Input, Lead, Offer, Option, Row, Table
from quincunx.board.standing import Standing
from quincunx.garden import Edit, Op
from quincunx.intents._base import Words
from quincunx.intents._bringing import bringing_figures, bringing_words, month_words, shut_figures
from quincunx.scene import Scene, Timeline
from quincunx.shapes import Figure
from quincunx.units.dates import month_from_index
from quincunx.walk.access import Bringing, bringings, places_of
from quincunx.walk.places import OUTSIDE
from quincunx.works import Job

HOW = (
    "Each job is looked at in the month it begins, with what earlier jobs have made standing and nothing of its own. What "
    "shut the way are the earlier jobs it would have to cross. Room to turn and for a heap is looked for within 8 m "
    "(common practice, without a source). Whether the ground bears a machine, this does not say."
)
WORDS = {
    "open": "gets there", "tight": "gets there, little room", "shut": "shut", "never": "no way", "no-turning": "no room to turn",
    "no-heap": "no room for the heap", "no-place": "place unknown",
}  # fmt: skip


def loads_input(at: Standing) -> Input:
    """Return the question from where loads come: where a must of the garden says, else the first spot outside, else outside."""
    spots = tuple(Option(s.id, s.name) for s in at.timeline.frame.spots)
    out = [s.id for s in at.timeline.frame.spots if not at.timeline.frame.boundary.covers(Point(s.at))]
    said = [p for must in at.garden.intents if not must.muted and (p := must.loads_from()) is not None]
    start = next((p for p in (*said, *out) if p == OUTSIDE or p in {o.id for o in spots}), OUTSIDE)
    options = (*spots, Option(OUTSIDE, "anywhere outside the boundary"))
    return Input("loads", "Loads come from", "choice", start, options, when=("show", ("works",)))


def answer(at: Standing, scene: Scene, given: Given) -> Answer:
    """Return how things get to each job of the year shown."""
    year, words, through = scene.on.year, at.words, at.timeline
    walkers = {n: w for n in ("barrow", "machine") if (w := words.walker(n)) is not None}
    jobs = [j for j in through.jobs if (first := through.first_month(j)) is not None and first // 12 == year]
    start = given.choice("loads")
    found = bringings(through, walkers, start, jobs)
    named = {j.id: j for j in through.jobs}
    if not found:
        return Answer(
            words=f"No job of {year} needs a barrow or a machine. Under Jobs each says what has to get there."
        )
    shut = [b for b in found if b.state not in ("open", "tight")]
    figures: list[Figure] = [
        f for b in found for f in (*bringing_figures(b), *(shut_figures(through, b) if b in shut else ()))
    ]
    good = len(found) - len(shut)
    return Answer(
        words=f"Barrow and machine from {words.the(start)}, {year}: {good} of {len(found)} {'job' if len(found) == 1 else 'jobs'} reached."
        + _others(found, start, words),
        legend=(Row("the way of a load, or what shuts it", role="evidence", pattern="hatch"),),
        figures=tuple(figures),
        below=(
            Table("Jobs of the year", ("", "", ""), tuple((named[b.job].name, month_words(b.month), WORDS[b.state]) for b in found)),
        ),
        leads=tuple(Lead(bringing_words(b, named, words), _where(at, b, named), b.target) for b in found),
        offers=tuple(o for b in shut for o in _sooner(through, b, named)),
        how=(HOW,),
    )  # fmt: skip


def _others(found: tuple[Bringing, ...], start: str, words: Words) -> str:
    """Return for how many jobs loads come from somewhere else, as the job itself says."""
    own = dict.fromkeys(b.start for b in found if b.start != start)
    if not own:
        return ""
    some = sum(b.start != start for b in found)
    return f" Of these, {some} from {words.both(tuple(own))}, as the job says."


def _where(at: Standing, b: Bringing, jobs: dict[str, Job]) -> tuple[float, float]:
    for owner, shape in places_of(at.timeline, jobs[b.job]):
        if owner == b.target or not b.target:
            point = shape.representative_point()
            return (point.x, point.y)
    middle = at.timeline.frame.boundary.representative_point()
    return (middle.x, middle.y)


def _sooner(through: Timeline, b: Bringing, jobs: dict[str, Job]) -> Iterator[Offer]:
    """Offer to move a job before the first of those that shut its way, into the last month its season allows."""
    starts = {c.job: month for c in b.closers if (month := through.first_month(jobs[c.job])) is not None}
    job = jobs[b.job]
    if b.state != "shut" or not starts or job.booked or through.course(job).state != "planned":
        return
    last = min(starts.values()) - job.months
    fits = range(last, max(last - 12, (through.means.now or 0) - 1), -1)  # never into a month gone by
    month = next(
        (m for m in fits if not job.window or all((m + k) % 12 + 1 in job.window for k in range(job.months))), None
    )
    if month is None:
        return
    when = month_from_index(month)
    op = Op(do="change", part="jobs", id=job.id, value={"start": when})
    first = min(starts, key=lambda one: (starts[one], one))
    words = f"Move “{job.name}” to {month_words(month)}, before “{jobs[first].name}”"
    yield Offer(words, Edit(label=f"Do {job.name} sooner", ops=(op,)))
