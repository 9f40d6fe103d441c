"""What stands in the way of an opening that a job makes: which plants, how many, when to lift them and what to do with them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from shapely import LineString

from quincunx.build.frames import YOUNG_YEARS
from quincunx.garden.lifting import NEVER, Lifted, lifted
from quincunx.grow.windows import window
from quincunx.scene.left_open import planted_line
from quincunx.shapes import XY, FrameWork, Work
from quincunx.sheets._outdoors import Made, compass
from quincunx.sheets._plant_rows import MOST_BENDS, row_words, rows_of
from quincunx.sheets._set import Set
from quincunx.units import counted, listed
from quincunx.units.dates import MONTHS, first_day, month_from_index
from quincunx.works import Job


def lifting(of: Set, plan: Made) -> list[Lifted]:
    """Return what a job lifts, by opening and planting."""
    return lifted_for(of, plan.job)


def lifted_for(of: Set, job: Job) -> list[Lifted]:
    """Return what a job lifts, by opening and planting."""
    features = (of.timeline.feature(owner) for owner in dict.fromkeys(t.partition("/")[0] for t in job.does))
    return [x for f in features if f is not None for x in lifted(of.timeline, f)]


def lifted_shortly(of: Set, plan: Made) -> list[str]:
    """Return the same for a page with less room: of several plantings how many, and where the rest is told."""
    found = lifting(of, plan)
    if len(found) < 2:
        return list(lifted_words(of, plan))
    many = sum(len(x.at) for x in found)
    return [f"Dig out {many} plants in the way: which, and when, is on the setting-out sheet", *_wire_words(of, plan)]


def lifted_words(of: Set, plan: Made) -> Iterator[str]:
    """Yield for each planting that a job opens which of its plants are dug out; then, once, when and what becomes of them."""
    found = lifting(of, plan)
    for x in found:
        many, where = counted(len(x.at), "plant"), _where(of, x)
        yield f"Dig out {many} of {of.words.the(x.planting)} for {of.words.the(x.owner)}{where}."
    yield from _wire_words(of, plan)
    yield from lift_words(of, plan.job)


WIRES = (
    "set a strutted post at either side of it and tie them off there, then cut them between: what is under strain whips"
    " back. Posts the opening doesn't bring are not in the bill."
)
"""What is done with strained wires where an opening comes (common practice, no source)."""


def _wire_words(of: Set, plan: Made) -> Iterator[str]:
    """Yield for each planting whose wires a job opens what is done before: what is dangerous is on every page."""
    for owner, planting in _wires_cut(of, plan):
        yield f"Before {of.words.the(owner)} opens the wires of {of.words.the(planting)}, {WIRES}"


def _wires_cut(of: Set, plan: Made) -> Iterator[tuple[str, str]]:
    """Yield each opening of a job with the planting whose wires it cuts, which were there before."""
    for feature in of.timeline.features:
        for way in of.timeline.ways_in(feature):
            since = (of.timeline.span(feature.id).begins or 0) < way.begins < NEVER and way.owner in plan.owners
            if since and _there(of, feature.id, way.begins) and _wired(of.timeline.as_made(feature).work):
                yield way.owner, feature.id


def _there(of: Set, planting: str, month: int) -> bool:
    return of.timeline.stands_on(planting, first_day(month_from_index(month)))


def _wired(works: Iterable[Work]) -> bool:
    return any(m.material == "wire" for w in works if isinstance(w, FrameWork) for m in w.members)


def _where(of: Set, x: Lifted) -> str:
    feature = of.timeline.feature(x.planting)
    found = None if feature is None else planted_line(feature)
    if found is None or len(found[0]) > MOST_BENDS + 2:
        return ": those between its ends and half their spacing beside them"
    line = found[0]
    course = LineString(line)
    rows = [row_words(of, aside, along, x.spacing_m) for aside, along in rows_of(course, x.at)]
    told = "; ".join(row[:1].lower() + row[1:] for row in rows)
    return f", measured along its line from {_begins(line, course)}: {told}"


def _begins(line: tuple[XY, ...], course: LineString) -> str:
    if course.is_closed:
        return "the corner where it was begun"
    side = compass(line[0], line[-1])
    return f"its {side} end{' round the bends' if len(line) > 2 else ''}"


def _when(of: Set, job: Job, x: Lifted) -> str:
    """Return the months in which they are lifted, and that the job's own is none of them."""
    plant = of.timeline.find(x.plant)
    if plant is None:
        return "Lift what is to grow on while it sleeps."
    right = window(plant, "bare root", of.timeline.frame)
    months = right.months
    words = f"Lift what is to grow on in {_span(months)}"
    hard = " Where the ground freezes for weeks, that is done in spring." if right.if_hard else ""
    start = of.timeline.first_month(job)
    if start is None or any((start + k) % 12 + 1 in months for k in range(job.months)):
        return f"{words}.{hard}"
    return f"{words}: before this job begins, for lifted at other times few grow on.{hard}"


def lift_before(of: Set, job: Job, start: int) -> list[tuple[int, int, str]]:
    """Return from when to when plants are lifted before a job that begins in the month ``start``, and which.

    Months count from January of year 0; what is lifted in the same months stands together.  Nothing where the job lifts
    nothing that grows on, or has a month for it itself.
    """
    told: dict[tuple[int, int], list[str]] = {}
    for x in lifted_for(of, job):
        plant = of.timeline.find(x.plant)
        months = window(plant, "bare root", of.timeline.frame).months if plant is not None else ()
        own = any((start + k) % 12 + 1 in months for k in range(job.months))
        last = next((m for m in range(start - 1, start - 13, -1) if m % 12 + 1 in months), None)
        if x.years > YOUNG_YEARS or own or last is None:
            continue
        first = last
        while first > last - 11 and (first - 1) % 12 + 1 in months:
            first -= 1
        told.setdefault((first, last), []).append(f"{counted(len(x.at), 'plant')} of {of.words.the(x.planting)}")
    return [(first, last, listed(words)) for (first, last), words in sorted(told.items())]


def lift_words(of: Set, job: Job) -> list[str]:
    """Return the months in which plants are lifted for a job, and what becomes of them; nothing where it lifts none."""
    return list(dict.fromkeys(f"{_when(of, job, x)} {_what(x.years)}" for x in lifted_for(of, job)))


def _span(months: tuple[int, ...]) -> str:
    """Return months as from when till when, over the turn of the year too: ``March to April or September to October``."""
    told = []
    for first in (m for m in months if (m - 2) % 12 + 1 not in months):
        last = first
        while last % 12 + 1 in months:
            last = last % 12 + 1
        told.append(MONTHS[first - 1] if last == first else f"{MONTHS[first - 1]} to {MONTHS[last - 1]}")
    return " or ".join(told) or "any month"


def _what(years: float) -> str:
    """Return what becomes of plants lifted so long after they were set (common practice, no source)."""
    if years <= YOUNG_YEARS:
        return (
            "Keep the roots whole and moist; set them at once where plants failed or are wanted, heel them in, or give"
            " them away."
        )
    return (
        "So long after planting the roots reach far and few grow on: cut them down, and grub out the stumps within the"
        " opening and half a spacing beside it."
    )
