"""What the outdoor sheets share: the jobs there are, the points to set, the stakes to measure from."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from string import ascii_uppercase

import shapely
from shapely import Polygon

from quincunx.garden import timeline
from quincunx.scene import Scene, Stood
from quincunx.shapes import XY, Slab, Slats, Solid, united
from quincunx.sheets._marks import Mark, marks_of
from quincunx.sheets._set import Set
from quincunx.survey import Control, SetOut, Target, controls_of, marks_for, set_out
from quincunx.survey.words import small
from quincunx.units import format_length
from quincunx.units.dates import first_day, month_from_index, month_index
from quincunx.works import Job, is_work

MOST_MARKS = 24
"""More points than this in one job are more than anyone sets in a day."""
SURE_M = 0.25
"""A stake known less surely than this is no stake to measure from [m]."""
LOW_M, UNDER_M = 0.3, 0.6
"""A tape is laid over what is lower, and passes under what begins higher [m] (common practice, no source)."""
ONE_PEG_M = 0.05
"""Corners as near as this are one peg: a house that stands in a corner of the ground [m]."""
SAME_M = 0.4
"""A stake no farther than this from a corner of the plan is that corner [m]."""
BUILDING_M2 = 6.0
"""What stands from the start and is no smaller has corners worth measuring from [m2]."""
TAPES_M = (30.5, 50.5)
"""The tapes people have: 30 m or 100 ft, and 50 m or 165 ft [m] (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Base:
    """The stakes to measure from, the name on each, and what each is; ``measured`` if a survey found them."""

    controls: tuple[Control, ...]
    names: dict[str, str]
    about: dict[str, str]
    measured: bool

    @property
    def at(self) -> dict[str, XY]:
        """Return where they are, by id [m]."""
        return {c.id: c.xy for c in self.controls}


@dataclass(frozen=True)
class Made:
    """What one job makes: the things, how they stand, their points, the ground before it."""

    job: Job
    owners: tuple[str, ...]
    stood: dict[str, Stood]
    marks: dict[str, Mark]
    before: Scene
    part: int = 0
    """Which part of its points this is, where there are more than can be set in a day."""
    counts: tuple[int, ...] = (0,)
    """How many points each part has."""


@dataclass(frozen=True, kw_only=True)
class Planned(Made):
    """One job as it is set out: what it makes, its points in order, the ground before it."""

    found: SetOut
    numbers: dict[str, int]
    base: Base
    through: bool
    """True if a tape had to cross something that stands there."""

    @property
    def names(self) -> dict[str, str]:
        """Return how stakes and points are called on the sheet: names of stakes, numbers of points."""
        return self.base.names | {i: str(n) for i, n in self.numbers.items()}


def waiting(of: Set) -> list[Job]:
    """Return the jobs that have a month or were begun and are not done yet, by the month in which they begin or were begun."""
    open_ = (j for j in of.garden.jobs if of.courses[j.id].state in ("planned", "begun"))
    return sorted(open_, key=lambda j: (_first(of, j), j.id))


def undated(of: Set) -> list[Job]:
    """Return the jobs of which nothing says when they begin, and that are not done."""
    return [j for j in of.garden.jobs if of.courses[j.id].state == "unplanned"]


def begins(of: Set, job: Job) -> str:
    """Return the month in which a job with a month begins, or in which one was begun: ``2028-03``."""
    return month_from_index(_first(of, job))


def this_month(of: Set) -> tuple[str, list[Job]] | None:
    """Return the first month of the plan with a job not done, and the jobs that run in it; None if there is none.

    A job that has been begun goes on now, however long ago its planned months were over.
    """
    jobs = waiting(of)
    if not jobs:
        return None
    month = _goes_on(of, jobs[0])
    return month_from_index(month), [j for j in jobs if _first(of, j) <= month]


def _first(of: Set, job: Job) -> int:
    """Return the month in which a job with a month begins, or in which one was begun, from January of year 0."""
    first = of.courses[job.id].first
    return month_index(str(job.start)) if first is None else first


def _goes_on(of: Set, job: Job) -> int:
    """Return the month in which a job begins, or in which it goes on if it has been begun."""
    now = of.garden.means.now if of.courses[job.id].state == "begun" else None
    return max(_first(of, job), now or 0)


def left_of(of: Set, job: Job) -> tuple[float, int]:
    """Return the hours [h] and the money [minor units, whole] still to come of a job: what is written down for it is past."""
    goes = of.courses[job.id]
    hours = sum(goes.to_do.values()) if goes.first is not None else job.hours
    return hours, max(of.to_pay(job) - sum(goes.paid.values()), 0)


def begun(of: Set, job: Job) -> bool:
    """Return whether work has been done on a job."""
    return any(e.about == job.id and is_work(e) for e in of.garden.journal)


def this_year(of: Set) -> tuple[int, list[Job]] | None:
    """Return the first year of the plan with a job not done, and the jobs that begin or go on in it; None if there is none."""
    jobs = waiting(of)
    if not jobs:
        return None
    year = _goes_on(of, jobs[0]) // 12
    return year, [j for j in jobs if year in (_first(of, j) // 12, _goes_on(of, j) // 12)]


def compass(of: XY, middle: XY) -> str:
    """Return on which side of ``middle`` a point lies: N, NE, E, ..."""
    turn = math.degrees(math.atan2(of[0] - middle[0], of[1] - middle[1])) % 360
    for name, at in (("NE", 45), ("SE", 135), ("SW", 225), ("NW", 315)):
        if abs(turn - at) <= 35:
            return name
    return ("N", "E", "S", "W")[round(turn / 90) % 4]


def corners(of: Set) -> list[tuple[XY, str]]:
    """Return the corners of the boundary and of what is built from the start, each with its words; one where two meet."""
    rings: list[tuple[Polygon, str]] = []
    if len(of.garden.boundary) >= 3:
        rings.append((of.timeline.frame.boundary, "the boundary"))
    scene = of.timeline.at(date(of.timeline.years[0], 1, 1))
    for feature in of.garden.features:
        if feature.group == "shelter" and feature.there_from == "start":
            walls = [s.footprint for s in scene.solids if s.owner == feature.id and not isinstance(s.form, Slab)]
            for part in shapely.get_parts(united(walls)) if walls else ():
                rings += [(part, of.words.the(feature.id))] if _building(part) else []
    out: list[tuple[XY, str]] = []
    for at, words in (corner for ring, called in rings for corner in _ring_corners(ring, called)):
        same = next((n for n, (other, _) in enumerate(out) if math.dist(other, at) <= ONE_PEG_M), None)
        if same is None:
            out.append((at, words))
        else:
            out[same] = (out[same][0], f"{out[same][1]}, and {words}")
    return out


def _building(part: object) -> bool:
    return isinstance(part, Polygon) and part.area >= BUILDING_M2


def _ring_corners(ring: Polygon, words: str) -> list[tuple[XY, str]]:
    plain = ring.simplify(0.05)
    points = [(float(x), float(y)) for x, y in plain.exterior.coords[:-1]]
    sides = [compass(p, (plain.centroid.x, plain.centroid.y)) for p in points]
    out, seen = [], dict[str, int]()
    for p, side in zip(points, sides, strict=True):
        seen[side] = seen.get(side, 0) + 1
        more = f" {seen[side]}" if sides.count(side) > 1 else ""
        out.append((p, f"{side} corner{more} of {words}"))
    return out


def base_of(of: Set) -> Base:
    """Return what to measure from: the surveyed stakes, or the corners as drawn where fewer than three are found."""
    known = corners(of)
    places = of.measured.searched.adjusted.positions
    good = [s for s, p in places.items() if p.sure_m < SURE_M]
    if len(good) >= 3:
        controls = controls_of(of.measured.searched.adjusted, good)
        kinds = {s.id: s.kind for s in of.garden.survey.stakes}
        return Base(
            controls,
            {i: of.measured.names[i] for i in good},
            {c.id: _what(c.xy, known) or _by(of, c.xy, kinds[c.id]) for c in controls},
            measured=True,
        )
    letters = _letters(of, known)
    return Base(
        tuple(Control(n, at) for n, (at, _) in zip(letters, known, strict=False)),
        {n: n for n in letters},
        {n: words for n, (_, words) in zip(letters, known, strict=False)},
        measured=False,
    )


def ring_count(of: Set) -> int:
    """Return how many corners the boundary has, those on a straight side left out: the first of :func:`corners`."""
    return len(_ring_corners(of.timeline.frame.boundary, "")) if len(of.garden.boundary) >= 3 else 0


def _letters(of: Set, known: Sequence[tuple[XY, str]]) -> list[str]:
    """Return a letter for each corner, in order; corners the garden began with keep theirs though others came between."""
    alphabet = list(ascii_uppercase)
    first = [(float(x), float(y)) for x, y in of.garden.survey.begun.corners]
    ring = [at for at, _ in known[: ring_count(of)]]
    if not first or len(ring) == len(first):
        return alphabet[: len(known)]
    kept: dict[int, str] = {}
    for letter, at in zip(alphabet, first, strict=False):
        near = min((i for i in range(len(ring)) if i not in kept), key=lambda i: math.dist(ring[i], at), default=None)
        if near is not None and math.dist(ring[near], at) <= SAME_M:
            kept[near] = letter
    free = iter(alphabet[len(first) :])
    given = (kept.get(i) or next(free, "") for i in range(len(known)))
    return [letter for letter in given if letter]


def _what(at: XY, known: Sequence[tuple[XY, str]]) -> str:
    near = min(known, key=lambda c: math.dist(c[0], at), default=None)
    return near[1] if near is not None and math.dist(near[0], at) <= SAME_M else ""


def _by(of: Set, at: XY, kind: str) -> str:
    """Return what kind of stake it is, and for a corner or a mark what it is on."""
    if kind not in ("corner", "mark"):
        return kind
    here = shapely.points(at)
    scene = of.timeline.at(date(of.timeline.years[0], 1, 1))
    near = min((s.footprint.distance(here), s.owner) for s in scene.solids) if scene.solids else (math.inf, "")
    return f"{kind} of {of.words.the(near[1])}" if near[0] <= SAME_M else kind


def _start(of: Set, job: Job) -> str:
    first = of.timeline.first_month(job)
    return f"{of.timeline.years[0]:04d}-01" if first is None else month_from_index(first)


def ready_on(of: Set, job: Job) -> date:
    """Return the first day on which what the job makes stands."""
    done = of.timeline.last_month(job)
    return first_day(month_from_index((month_index(_start(of, job)) if done is None else done) + 1))


def dated(of: Set) -> Set:
    """Return the garden with its jobs of no month done at the plan's start, so that what they make is looked at too."""
    if all(job.start for job in of.garden.jobs):
        return of
    month = f"{of.timeline.years[0]:04d}-01"
    jobs = tuple(job if job.start else job.changed(start=month) for job in of.garden.jobs)
    garden = of.garden.changed(jobs=jobs)
    return replace(of, garden=garden, timeline=timeline(garden))


def made(of: Set, job: Job, part: int = 0) -> Made:
    """Return what ``job`` makes, before anything of it stands; of a job without a month at the plan's start.

    What doesn't stand when the job is done, by a date typed otherwise, is shown as made all the same: its cautions count.
    It has the points of one ``part``: of a job with more than can be set in a day, things stay together.
    """
    of = of if job.start else dated(of)
    start, ready = _start(of, job), ready_on(of, job)
    owners = tuple(dict.fromkeys(t.partition("/")[0] for t in job.does))
    stood = {}
    for owner in owners:
        feature = of.timeline.feature(owner)
        if feature is not None:
            there = of.timeline.stands_on(owner, ready)
            stood[owner] = of.timeline.stood(feature, ready) if there else of.timeline.as_made(feature)
    called = {o: of.words.name(o) if len(stood) > 1 else "" for o in stood}
    parts = _parts(_spread(marks_of(o, called[o], s, of.timeline.feature(o)) for o, s in stood.items()))
    marks = {m.id: m for m in parts[part]}
    return Made(job, owners, stood, marks, of.timeline.at(first_day(start)), part, tuple(map(len, parts)))


def planned(of: Set, job: Job, base: Base | None = None, part: int = 0) -> Planned:
    """Work out how ``job`` is set out, before anything of it stands; a job without a month at the plan's start."""
    what, base = made(of, job, part), base or base_of(of)
    marks = what.marks
    found, through = _set(of, marks, base, obstacles(what.before, what.owners))
    first = sum(what.counts[:part]) + 1
    numbers = {p.id: n for n, p in enumerate(found.points, first)}
    later = (m for m in marks if m not in numbers)  # what can't be set is counted after what can
    marks = {
        m: marks[m].numbered(n)
        for m, n in (numbers | {m: n for n, m in enumerate(later, first + len(numbers))}).items()
    }
    return Planned(
        job, what.owners, what.stood, marks, what.before, part, what.counts, found=found, numbers=numbers, base=base,
        through=through,
    )  # fmt: skip


def planned_whole(of: Set, job: Job, base: Base | None = None) -> Planned:
    """Work out how all points of ``job`` are set out, those of all its parts together; each part is set from the stakes.

    Pages that hold no more than a day's points take :func:`planned`, part by part; numbers are the same in both.
    """
    base = base or base_of(of)
    first = planned(of, job, base)
    parts = [first, *(planned(of, job, base, part) for part in range(1, len(first.counts)))]
    if len(parts) == 1:
        return first
    found = SetOut(
        tuple(p for plan in parts for p in plan.found.points),
        tuple(d for plan in parts for d in plan.found.diagonals),
        tuple(u for plan in parts for u in plan.found.unreachable),
    )
    return replace(
        first,
        marks={i: m for plan in parts for i, m in plan.marks.items()},
        numbers={i: n for plan in parts for i, n in plan.numbers.items()},
        found=found,
        through=any(plan.through for plan in parts),
    )


def _spread(groups: Iterator[list[Mark]]) -> list[list[Mark]]:
    """Return the marks of each feature, those in one place only once."""
    kept: list[Mark] = []
    out: list[list[Mark]] = []
    for group in groups:
        out.append([m for m in group if all(math.dist(m.at, k.at) > 0.15 for k in kept)])
        kept += out[-1]
    return out


def _parts(groups: list[list[Mark]]) -> list[list[Mark]]:
    """Return marks in parts of no more than can be set in a day, those of one thing together if they fit."""
    parts: list[list[Mark]] = [[]]
    for group in groups:
        if parts[-1] and len(parts[-1]) + len(group) > MOST_MARKS:
            parts.append([])
        parts[-1] += group[:MOST_MARKS]
        parts += [group[k : k + MOST_MARKS] for k in range(MOST_MARKS, len(group), MOST_MARKS)]
    return parts


def set_points(
    of: Set, marks: dict[str, Mark], base: Base, before: Scene, without: Sequence[str]
) -> tuple[SetOut, bool]:
    """Set out ``marks`` among what stands in ``before`` (less ``without``); True if a tape has to cross something."""
    return _set(of, marks, base, obstacles(before, without))


def _set(of: Set, marks: dict[str, Mark], base: Base, blocked: list[list[XY]]) -> tuple[SetOut, bool]:
    """Set the points with a short tape round what stands; what can't be, with a long one, at last across it."""
    targets, ways = [Target(m.id, m.at) for m in marks.values()], marks_for(of.garden.style.system)
    found = set_out(targets, base.controls, obstacles=blocked, longest_m=TAPES_M[0], marks=ways)
    if found.unreachable:
        longer = set_out(targets, base.controls, obstacles=blocked, longest_m=TAPES_M[1], marks=ways)
        found = longer if len(longer.unreachable) < len(found.unreachable) else found
    if not found.unreachable:
        return found, False
    across = set_out(targets, base.controls, longest_m=TAPES_M[1], marks=ways)
    return (across, True) if len(across.unreachable) < len(found.unreachable) else (found, False)


def obstacles(scene: Scene, without: Sequence[str]) -> list[list[XY]]:
    """Return what no level tape can cross: outlines of what stands on the ground, a little shrunk [m]."""
    out: list[list[XY]] = []
    for solid in scene.solids:
        if solid.owner in without or not upright(scene, solid):
            continue
        inner = solid.footprint.simplify(0.02).buffer(-0.08, join_style="mitre")
        parts = shapely.get_parts(solid.footprint if inner.is_empty else inner)
        out += [[(float(x), float(y)) for x, y in p.exterior.coords[:-1]] for p in parts if isinstance(p, Polygon)]
    return out


def upright(scene: Scene, solid: Solid) -> bool:
    """Return whether a solid stands on the ground, too high to reach over and too low to pass under."""
    if isinstance(solid.form, (Slab, Slats)):
        return False
    inside = solid.footprint.representative_point()
    z = scene.ground_z_m(inside.x, inside.y)
    return solid.base.above_ground_m(z) <= UNDER_M and solid.top.above_ground_m(z) >= LOW_M


def tape(of: Set, metres: float) -> str:
    """Write a length at the tape's marks, to 5 mm or to 1/8 in, so that it stays in one line."""
    precision = 8 if of.garden.style.system == "feet" else 3
    return whole(format_length(metres, of.garden.style, precision=precision))


def within(of: Set, metres: float) -> str:
    """Write how near something comes, so that it stays in one line: ± 3 cm."""
    return whole(f"± {small(metres, of.garden.style)}")


def whole(text: str) -> str:
    """Return words that are not parted at the end of a line."""
    return text.replace(" ", "\N{NO-BREAK SPACE}")
