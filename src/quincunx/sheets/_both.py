"""One view with something planned and without it: where one stands, when, and both drawings; for phone, paper and command."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from functools import partial

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from quincunx.garden import Garden, timeline
from quincunx.garden.edits import apply
from quincunx.garden.taking_out import take_out
from quincunx.light.shadow_day import shadows
from quincunx.light.sky import Sky
from quincunx.scene import Scene, Timeline
from quincunx.shapes import XY, AreaFigure, Figure, PathFigure, TextFigure, united
from quincunx.sheets._moments import USUAL, Moment, clock, moment_words
from quincunx.sheets._outdoors import dated, ready_on
from quincunx.sheets._outlooks import photo_day
from quincunx.sheets._set import Set
from quincunx.sheets.book import SheetError
from quincunx.sight import EYE_M, Target, eye_over, seen, target_of
from quincunx.sight.outlook import Camera, Outlook, bearing_to, outlook
from quincunx.sight.shaded import Sun
from quincunx.units import compass_words
from quincunx.units.dates import MONTHS
from quincunx.walk import Walker, free_ground
from quincunx.works import Job
from quincunx.years.left_out import left_out

NEAR = "near"
"""The place a few steps off, which every garden has."""
MOST_PLACES, MOST_CHOICES = 3, 4
HOURS = (10.0, 17.0)
"""In summer the sun stands to one side at one of these hours, whichever way one looks, and its shadows are long."""
NOON = 12.0
"""The hour where the sun is up at neither of them."""
ASIDE_DEG = 115.0
"""Best the sun stands so far from where one looks [deg]."""
LEAST_SEEN = 0.004
"""A place from which less than this share of the picture changes is not worth a picture."""
FULL = 0.9
"""Grown is what stands at this share of its height thirty years on; looked for in so many years."""
AHEAD_YEARS, THIRTY = 15, 30
STEP_OFF_M, MOST_OFF_M = 3.5, 12.0
"""A few steps off: from where all of a thing is seen, no nearer and no farther than this [m]."""
SIDES = 16
FAR_M = 80.0
MOST_OWNERS, MOST_TRIED, MOST_LINES = 6, 4, 48
"""So many things of a job are looked at to choose where to stand, from so many places, along so many lines."""
FILLS, ENOUGH, BEFORE_M = 0.8, 0.35, 0.3
"""So many times its width off a thing is whole in the picture; more of the picture than this it needn't take; what is nearer
to the eye [m] is beside it."""
POINT = re.compile(r"(-?\d{1,4}(?:\.\d{1,3})?),(-?\d{1,4}(?:\.\d{1,3})?)")
WHO = Walker(id="person")


@dataclass(frozen=True)
class Subject:
    """What is shown: its ids, its name, the day it is there, and the garden that does without it.

    ``also`` are the things that can't be without it, and are missing with it.
    """

    ids: tuple[str, ...]
    name: str
    ready: date
    without: Garden
    also: tuple[str, ...] = ()


@dataclass(frozen=True)
class Place:
    """Where one stands: its id, its words (from the kitchen window), its camera.

    ``stake`` is the share of the picture that what is shown takes, ``framed`` the share of it that is in the picture and seen.
    """

    id: str
    words: str
    camera: Camera
    stake: float = 0.0
    framed: float = 0.0


@dataclass(frozen=True)
class Row:
    """One day in words, and the view on it without what is shown, and with it."""

    on: date
    words: str
    without: Outlook
    within: Outlook


@dataclass(frozen=True)
class Both:
    """A view with something and without it, from one place, on one or two days."""

    subject: Subject
    place: Place
    where: str
    rows: tuple[Row, ...]
    choice: str = ""
    """What stands on a place that is still held open, in words; empty for anything else."""
    when: str = ""
    """The day and the hour at which it is drawn, in words."""
    lit: bool = True
    """Whether the sun is up then."""

    @property
    def name(self) -> str:
        """Return what is shown, and as which of its shortlist."""
        return f"{self.subject.name}: {self.choice}" if self.choice else self.subject.name


def subject_of(of: Set, about: str) -> tuple[Set, Subject]:
    """Return what a job or a thing is, and the garden in which its job has a month; :class:`SheetError` for any other id."""
    of = dated(of)
    job = next((j for j in of.garden.jobs if j.id == about), None)
    if job is not None:
        return of, _of_job(of, job)
    out = take_out(of.garden, (about,))
    feature = of.timeline.feature(about)
    if out is None or feature is None:
        raise SheetError(f"There is no job and no thing {about!r} in this garden.")
    span, first = of.timeline.span(about), date(of.timeline.years[0], 1, 1)
    if span.known and span.begins is not None:
        first = max(first, date(span.begins // 12, span.begins % 12 + 1, 1))
    if not span.known or not of.timeline.stands_on(about, first):
        raise SheetError(f"{of.words.name(about)} comes with no job, so that nobody knows when. Give it a job first.")
    return of, Subject((about,), of.words.name(about), first, apply(of.garden, out.edit)[0], out.features)


def _of_job(of: Set, job: Job) -> Subject:
    ids = tuple(dict.fromkeys(t.partition("/")[0] for t in (*job.does, *job.takes_away)))
    less = left_out(of.garden, job.id)
    kept = {j.id for j in less.jobs}
    gone = (t.partition("/")[0] for j in of.garden.jobs if j.id not in kept and j.id != job.id for t in j.does)
    return Subject(ids, job.name, ready_on(of, job), less, tuple(dict.fromkeys(i for i in gone if i not in ids)))


def both(of: Set, about: str, at: Sequence[str] = (), choice: str = "", when: Moment = USUAL) -> Iterator[Both]:
    """Yield the views with ``about`` (a job or a thing, by id) and without it: from the places ``at``, else the best.

    Each is drawn for the first summer it stands and for the year it is grown, or for the year of ``when`` alone, on the day
    of ``when`` or at the end of June.  The eye, the day and all else are the same; the sun stands as at the hour of ``when``,
    or at the one of :data:`HOURS` that shows most.  On a place held open each of its shortlist is drawn from the best place,
    or the ``choice`` alone.  :class:`SheetError` where there is nothing to see, or no such place.
    """
    of, subject = subject_of(of, about)
    chosen = list(_choices(of, subject, choice))
    less, first = timeline(subject.without), chosen[0][1]
    ahead = [on for on, _ in _days(first, subject, when)]
    last = ahead[-1]
    places = list(_places(of, subject, [first.at(on) for on in reversed(ahead)], at))
    if not places:
        raise SheetError(f"{subject.name}: nothing of it is seen from anywhere in {_month(last)}.")
    shown, suns = False, _Suns(Sky.over(of.timeline.frame))
    for words, through in chosen:
        days = _days(through, subject, when)
        for place in places if len(chosen) == 1 or at else places[:1]:
            hour = when.hour if when.hour is not None else _telling_hour(through, place, days[0][0])
            sun = partial(suns.over, hour=hour)
            rows = tuple(_row((through, less), place, on, told, sun) for on, told in days)
            if all(_same(row.without, row.within) for row in rows):
                continue
            rows, shown = tuple(_named(row, subject.ids) for row in rows), True
            true = (place.camera.bearing_deg + of.timeline.frame.north_offset_deg) % 360
            where = f"{place.words}, looking {compass_words(true)}"
            said = moment_words(days[0][0], hour, by_clock=through.frame.place is not None)
            yield Both(subject, place, where, rows, words, said, sun(through.at(days[0][0])) is not None)
    if not shown:
        raise SheetError(
            f"{subject.name}: a picture with it is the same as one without. On a place held open, put what may stand there"
            " on its shortlist first; what lies in the ground is not seen."
        )


def _choices(of: Set, subject: Subject, choice: str) -> Iterator[tuple[str, Timeline]]:
    """Yield the garden through time, for each choice of a place of it that is still held open, and its words."""
    for feature in of.garden.features:
        held = feature.held_place() if feature.id in subject.ids else None
        if held is None or held.chosen is not None or not held.shortlist:
            continue
        if choice and choice not in {c for c, *_ in held.shortlist}:
            raise SheetError(
                f"There is no choice {choice!r} for {subject.name}. There are: {', '.join(c for c, *_ in held.shortlist)}."
            )
        for c, words, _ in held.shortlist[:MOST_CHOICES]:
            if choice in ("", c):
                taken = feature.changed(chosen=c)
                rest = tuple(taken if f.id == feature.id else f for f in of.garden.features)
                yield words, timeline(of.garden.changed(features=rest))
        return
    yield "", of.timeline


def _row(
    lines: tuple[Timeline, Timeline], place: Place, on: date, words: str, sun: Callable[[Scene], Sun | None]
) -> Row:
    within, without = (outlook(scene, place.camera, sun(scene)) for scene in (line.at(on) for line in lines))
    return Row(on, words, without, within)


class _Suns:
    """The sun and the shadows over each scene at each hour, reckoned once for all places to look from."""

    def __init__(self, sky: Sky) -> None:
        self._sky = sky
        self._known: dict[tuple[str, float], Sun | None] = {}

    def over(self, scene: Scene, hour: float) -> Sun | None:
        """Return the sun over a scene at an hour by the clock [h], with its shadows; None where it isn't up."""
        key = (scene.key, hour)
        if key not in self._known:
            self._known[key] = sun_at(scene, self._sky, hour)
        return self._known[key]


def sun_at(scene: Scene, sky: Sky, hour: float) -> Sun | None:
    """Return the sun at an hour by the clock on a scene's day, and the shadows on its ground; None where it isn't up."""
    moment = datetime.combine(scene.on, clock(hour), tzinfo=sky.clock())
    towards = sky.direction(moment)
    if not sky.seen(towards)[0]:
        return None
    x, y, z = (float(v) for v in towards[0])
    return Sun((x, y, z), tuple((s.shape, s.share) for s in shadows(scene, moment, sky)))


def _telling_hour(through: Timeline, place: Place, on: date) -> float:
    """Return the hour at which the sun stands most to the side, a little behind who looks: its shadows tell most."""
    sky = Sky.over(through.frame)
    suns = {h: sky.direction(datetime.combine(on, clock(h), tzinfo=sky.clock())) for h in HOURS}

    def off(hour: float) -> float:
        x, y, _ = suns[hour][0]
        turn = abs((math.degrees(math.atan2(x, y)) - place.camera.bearing_deg + 180) % 360 - 180)
        return abs(turn - ASIDE_DEG)

    return min((h for h in HOURS if sky.seen(suns[h])[0]), key=off, default=NOON)


def _same(one: Outlook, other: Outlook) -> bool:
    return one.figures == other.figures and one.stems == other.stems


def _named(row: Row, ids: Sequence[str]) -> Row:
    """Return the drawings with no names but those of what is shown, which has a firm line, so that it is found at once."""
    looks = (
        replace(look, figures=tuple(f for g in look.figures for f in _marked(g, mine)))
        for look, mine in ((row.without, ()), (row.within, ids))
    )
    without, within = looks
    return replace(row, without=without, within=within)


def _marked(figure: Figure, ids: Sequence[str]) -> tuple[Figure, ...]:
    mine = bool(figure.owner) and figure.owner in ids
    if isinstance(figure, TextFigure):
        return (figure,) if mine else ()
    if mine and isinstance(figure, AreaFigure) and figure.weight != "fine":  # fine ones are leaves
        return (replace(figure, weight="normal"),)
    if (
        mine and isinstance(figure, PathFigure) and figure.dash
    ):  # dashes of meshes and slats are many: firmer ones would run together
        return (replace(figure, weight="thin"),)
    return (figure,)


def _month(on: date) -> str:
    return f"{MONTHS[on.month - 1]} {on.year}"


def _days(through: Timeline, subject: Subject, when: Moment) -> list[tuple[date, str]]:
    """Return the days to draw, each in words: the first summer it stands, and when it is grown."""
    said = _month if when.day is None else _day
    if when.year is not None:
        if not through.years[0] <= when.year <= through.years[-1] + THIRTY:
            first, last = through.years[0], through.years[-1] + THIRTY
            raise SheetError(f"Choose a year from {first} to {last}; got {when.year}.")
        on = when.on(through, when.year)
        if on < subject.ready:
            raise SheetError(
                f"{subject.name} is not there {'in' if when.day is None else 'on'} {said(on)} yet: the plan has it from"
                f" {_month(subject.ready)} on."
            )
        return [(on, said(on))]
    first = next(y for y in range(subject.ready.year, subject.ready.year + 2) if when.on(through, y) >= subject.ready)
    first = max(first, through.years[0])
    start = when.on(through, first)
    young = ", its first summer" if when.day is None else ", in its first year"
    begins = (start, said(start) + (young if subject.ready.year >= through.years[0] else ""))
    grown = _grown(through, subject.ids, first)
    if grown is None:
        return [(start, said(start))]
    year, whole = grown
    on = when.on(through, year)
    n = year - first
    later = f"{said(on)}, {'grown' if whole else 'still growing'}: {n} year{'s' if n > 1 else ''} later"
    return [begins, (on, later)]


def _day(on: date) -> str:
    return f"{on.day} {_month(on)}"


def _grown(through: Timeline, ids: Sequence[str], first: int) -> tuple[int, bool] | None:
    """Return the year in which all of it is grown (False: not within what is looked at); None if it hardly grows."""
    now, then = (_high(through, ids, first + n) for n in (0, THIRTY))
    growing = [i for i in then if then[i] > 0 and now.get(i, 0.0) < FULL * then[i]]
    if not growing:
        return None
    for n in range(2, AHEAD_YEARS + 1):
        high = _high(through, growing, first + n)
        if all(high.get(i, 0.0) >= FULL * then[i] for i in growing):
            return first + n, True
    return first + AHEAD_YEARS, False


def _high(through: Timeline, ids: Sequence[str], year: int) -> dict[str, float]:
    """Return how high what grows of each thing is in the summer of a year [m]."""
    on, out = photo_day(through, year), dict[str, float]()
    for i in ids:
        feature = through.feature(i)
        solids = through.stood(feature, on).solids if feature is not None and through.stands_on(i, on) else ()
        tops = [s.top.above_ground_m(_under(through, s.footprint)) for s in solids if s.grown]
        if tops:
            out[i] = max(tops)
    return out


def _under(through: Timeline, shape: BaseGeometry) -> float:
    p = shape.representative_point()
    return float(np.asarray(through.frame.ground.height(p.x, p.y)))


def _places(of: Set, subject: Subject, scenes: Sequence[Scene], at: Sequence[str]) -> Iterator[Place]:
    """Yield the places to stand at: those asked for, else a few steps off and the spots and pegs that see most of it.

    ``scenes`` are those of the days to be drawn, the last day first.
    """
    scene = scenes[0]
    shape = _shape(scene, subject.ids) or _shape(timeline(subject.without).at(scene.on), subject.ids)
    if shape is None or shape.is_empty:
        return
    if at:
        known = {p.id: p for p in (*_fixed(of, scene, shape), *_near(of, subject, scenes, shape))}
        for name in at:
            place = known.get(name) or _anywhere(of, scene, shape, name)
            if place is None:
                raise SheetError(
                    f"There is no spot and no peg {name!r} to look from. There are: {', '.join(known)}; or give a point of the"
                    " plan in metres, such as 3.5,12."
                )
            yield place
        return
    found = _best(scenes, subject, list(_fixed(of, scene, shape)), lambda p: p.stake)
    near = _near(of, subject, scenes, shape)
    yield from [p for p in (*near, *found) if p.stake >= LEAST_SEEN][:MOST_PLACES]


def _best(
    scenes: Sequence[Scene],
    subject: Subject,
    places: Sequence[Place],
    worth: Callable[[Place], float],
    most: int = MOST_TRIED,
) -> list[Place]:
    """Return the places of most worth, the best first; only those that could see most of it are looked from."""
    could = [_weighed(scenes[0], subject, p, looked=False) for p in places]
    first = sorted((p for p in could if p.stake >= LEAST_SEEN), key=lambda p: (-worth(p), p.id))[:most]
    return sorted((_over_days(scenes, subject, p) for p in first), key=lambda p: (-worth(p), p.id))


def _over_days(scenes: Sequence[Scene], subject: Subject, place: Place) -> Place:
    """Return a place weighed by the mean of the days that are drawn."""
    each = [_weighed(scene, subject, place) for scene in scenes]
    return replace(place, stake=sum(p.stake for p in each) / len(each), framed=sum(p.framed for p in each) / len(each))


def _shape(scene: Scene, ids: Sequence[str]) -> BaseGeometry | None:
    areas = [a for i in ids if (a := scene.area_of(i)) is not None]
    return united(areas) if areas else None


def _fixed(of: Set, scene: Scene, shape: BaseGeometry) -> Iterator[Place]:
    """Yield pegs as they look, and spots looking at the middle of what is shown; not those that stand in it."""
    middle = (shape.centroid.x, shape.centroid.y)
    for peg in of.garden.pegs:
        camera = Camera(peg.place, scene.ground_z_m(*peg.place) + float(peg.height), peg.bearing_deg)
        yield Place(peg.id, f"from the peg “{peg.name or peg.id}”", camera)
    for spot in scene.spots:
        off = shape.distance(shapely.points(spot.at))
        if 1.0 < off < FAR_M:
            eye = eye_over(scene, spot.at, spot.height_m if spot.height_m > 0 else EYE_M["standing"])
            camera = Camera(spot.at, eye.z_m, bearing_to(spot.at, middle))
            yield Place(spot.id, f"from {of.words.the(spot.id)}", camera)


def _near(of: Set, subject: Subject, scenes: Sequence[Scene], shape: BaseGeometry) -> Iterator[Place]:
    """Yield the place a few steps off, where a person can stand and sees most of it."""
    scene, middle = scenes[0], shape.centroid
    west, south, east, north = shape.bounds
    tall = max(
        (s.top.above_ground_m(scene.ground_z_m(middle.x, middle.y)) for s in scene.solids if s.owner in subject.ids),
        default=0.0,
    )
    across = FILLS * math.hypot(east - west, north - south)
    off = min(MOST_OFF_M, max(STEP_OFF_M, across, 1.4 * tall))
    free = united([p for p in free_ground(scene, WHO).stand if isinstance(p, Polygon)])
    own = shapely.intersection(free, scene.boundary)
    free = own if own.area > 1.0 else free
    around = shape.convex_hull
    tried = []
    for k in range(SIDES):
        turn = 2 * math.pi * k / SIDES
        way = shapely.LineString([middle, (middle.x + 200 * math.sin(turn), middle.y + 200 * math.cos(turn))])
        edge = shapely.get_coordinates(way.intersection(around.buffer(0.01)))
        start = float(np.hypot(edge[:, 0] - middle.x, edge[:, 1] - middle.y).max()) if len(edge) else 0.0
        for share in (1.0, 0.75, 0.5):
            far = start + off * share
            at = (middle.x + far * math.sin(turn), middle.y + far * math.cos(turn))
            if free.contains(shapely.points(at)):
                tried.append(_stood(scene, at, (middle.x, middle.y)))
                break
    for best in _best(scenes, subject, tried, lambda p: p.framed + min(p.stake, ENOUGH), SIDES)[:1]:
        yield replace(best, words=_aside(of, shape, best.camera.at))


def _aside(of: Set, shape: BaseGeometry, at: XY) -> str:
    """Say how far off something one stands, and on which side of it."""
    middle = (shape.centroid.x, shape.centroid.y)
    side = compass_words((bearing_to(middle, at) + of.timeline.frame.north_offset_deg) % 360)
    return f"from {of.words.distance(shape.distance(shapely.points(at)))} {side} of it"


def _anywhere(of: Set, scene: Scene, shape: BaseGeometry, name: str) -> Place | None:
    """Return the place at a point of the plan written as ``x,y`` [m], somebody standing there; None for any other name."""
    found = POINT.fullmatch(name)
    if found is None:
        return None
    at = (float(found[1]), float(found[2]))
    far = scene.boundary.distance(shapely.points(at))
    if far > FAR_M or shape.contains(shapely.points(at)):
        raise SheetError(
            f"From {name} it can’t be looked at: stand beside it, no farther than {of.words.distance(FAR_M)} outside."
        )
    return replace(_stood(scene, at, (shape.centroid.x, shape.centroid.y)), id=name, words=_aside(of, shape, at))


def _stood(scene: Scene, at: XY, middle: XY) -> Place:
    return Place(NEAR, "", Camera(at, scene.ground_z_m(*at) + EYE_M["standing"], bearing_to(at, middle)))


def _weighed(scene: Scene, subject: Subject, place: Place, *, looked: bool = True) -> Place:
    """Return a place with the share of its picture that what is shown takes, and the share of it that is in the picture.

    Both roughly: by the hulls of the points it is looked at by; with ``looked`` less what hides it.
    """
    camera, points = place.camera, list[NDArray[np.float64]]()
    eye = eye_over(scene, camera.at, camera.z_m - scene.ground_z_m(*camera.at))
    frame, stake, inside = shapely.box(*_edges(camera)), 0.0, list[float]()
    for owner in subject.ids[:MOST_OWNERS]:
        target = target_of(scene, owner, eye)
        ahead = target.lines[camera.depth(target.lines) > BEFORE_M] if target is not None else np.empty((0, 3))
        if target is None or len(ahead) < 3:
            continue
        at = camera.seen_at(ahead)
        points.append(ahead)
        stake += shapely.MultiPoint(at).convex_hull.intersection(frame).area / frame.area
        inside.append(float(shapely.contains_xy(frame, at[:, 0], at[:, 1]).sum()) / len(target.lines))
    if not points:
        return replace(place, stake=0.0, framed=0.0)
    share = 1.0
    if looked:
        lines = np.concatenate(points)
        every = Target(subject.ids[0], lines[:: -(-len(lines) // MOST_LINES), None, :], flat=False)
        share = float(seen(scene, eye, every, shut=True).share)
    return replace(place, stake=share * stake, framed=share * sum(inside) / len(inside))


def _edges(camera: Camera) -> tuple[float, float, float, float]:
    wide, high = camera.half
    return -wide, -high, wide, high
