"""A scene for any date, with the works that lead to it."""

from __future__ import annotations

from calendar import monthrange
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from itertools import chain, combinations

import numpy as np
from numpy.typing import NDArray
from shapely import Polygon

from quincunx.plants.catalogue import Plant
from quincunx.scene.fate import NOTHING, Fate, fates, month_of
from quincunx.scene.left_open import NOTHING_LEFT, LeftOpen, Way, kept_free, planted_line, stretch_of
from quincunx.scene.moment import DAYS_A_YEAR, IN_TIME, Moment, StandingPlant, Stands, Stood, Watched
from quincunx.scene.scene import Cuts, Room, Scene, Spot, assemble
from quincunx.site.climate import Climate, Horizon, Soil
from quincunx.site.ground import Ground
from quincunx.site.household import Household
from quincunx.site.place import Place
from quincunx.units.dates import month_index
from quincunx.works import Course, Entry, Job, Means, YearMoney, courses, ledger

LEVEL = Horizon()


@dataclass(frozen=True, slots=True)
class Span:
    """When a feature stands: ``begins`` and ``ends`` (months since year 0; None open), and when each finish is laid.

    ``stages`` gives the month in which the second, third, ... finish lies ready (never: a month far ahead).
    """

    begins: int | None
    ends: int | None
    stages: tuple[int, ...] = ()
    known: bool = True


NO_SOIL, NOBODY = Soil(), Household()
"""What is known of a site nobody has described."""


@dataclass(frozen=True, slots=True)
class Frame:
    """What is the same on every date: boundary, ground, rooms, spots, names, place, climate, far skyline, soil, people.

    Up on the plan is ``north_offset_deg`` clockwise from true north [deg].  ``cautions`` holds (feature, what about it
    calls for care: foundations, a drain, treated timber, old paint).
    """

    boundary: Polygon
    ground: Ground
    rooms: tuple[Room, ...] = ()
    spots: tuple[Spot, ...] = ()
    names: tuple[tuple[str, str], ...] = ()
    latitude_deg: float = 52.0
    snow_by_month_m: tuple[float, ...] = (0.0,) * 12
    climate: Climate = field(default_factory=Climate)
    north_offset_deg: float = 0.0
    place: Place | None = None
    horizon: Horizon = LEVEL
    soil: Soil = NO_SOIL
    household: Household = NOBODY
    cautions: tuple[tuple[str, str], ...] = ()


ASKED: tuple[tuple[str, ...], ...] = tuple(
    chain.from_iterable(combinations(IN_TIME, n) for n in range(len(IN_TIME) + 1))
)
"""All that a feature may ask of the time."""


SPARE_DATES = 24
"""What stands is kept of so many dates beside the two on which each year is judged: the months of two years."""


class _About:
    """What a feature stands by whatever the date; its hash is worked out once."""

    __slots__ = ("_hash", "parts")

    def __init__(self, parts: tuple[object, ...]) -> None:
        self.parts = parts
        self._hash = hash(parts)

    def __hash__(self) -> int:
        return self._hash

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _About) and self.parts == other.parts


def _standing_key(about: _About, asked: tuple[str, ...], moment: Moment) -> object:
    """Return what a feature's standing goes by if it asks ``asked`` of the moment.

    A feature that once asked just this, and was answered the same, asks and stands the same now.
    """
    values = tuple(round(moment.age_years, 6) if name == "age_years" else getattr(moment, name) for name in asked)
    return (about, asked, values)


class Days:
    """Days in their order, as dates, as numbers of days and of months (since year 0)."""

    def __init__(self, on: Sequence[date]) -> None:
        """Hold them."""
        self.on = tuple(on)
        self.ordinals = np.array([d.toordinal() for d in self.on], dtype=np.float64)
        self.months = np.array([d.year * 12 + d.month - 1 for d in self.on], dtype=np.int64)


class Timeline:
    """The garden through time: :meth:`at` a date gives its :class:`Scene`.

    A feature stands from the end of the job that makes it (the first day of the next month), or from the start,
    or from the month written on it, until the month in which a job or its own field takes it away.  When a job ends is
    told by its :class:`~quincunx.works.Course`: one that was begun and is not called done hasn't ended yet.
    """

    def __init__(
        self,
        frame: Frame,
        features: Iterable[Stands],
        jobs: Iterable[Job] = (),
        means: Means | None = None,
        journal: Iterable[Entry] = (),
        find: Callable[[str], Plant | None] = lambda _: None,
        shared: dict[object, Stood] | None = None,
        goes: Mapping[str, Course] | None = None,
    ) -> None:
        """Hold the parts; nothing is computed until a date is asked for.

        ``shared`` keeps stood features across edits; ``goes`` tells how the jobs go, where that is known already.
        """
        self.frame = frame
        self.features: tuple[Stands, ...] = tuple(sorted(features, key=lambda f: f.id))
        self._by_id = {f.id: f for f in reversed(self.features)}
        self.jobs: tuple[Job, ...] = tuple(sorted(jobs, key=lambda j: j.id))
        self.means = means or Means()
        self.journal = tuple(journal)
        self._jobs = {j.id: j for j in self.jobs}
        self.courses: Mapping[str, Course] = courses(self.means, self.jobs, self.journal) if goes is None else goes
        self.find = find
        self._spans: dict[str, Span] = {}
        self._scenes: dict[date, Scene] = {}
        self._stood: dict[object, Stood] = {} if shared is None else shared
        self._own = shared is None
        self._made = _made_by(self.jobs)
        self.fates = {about: self._since_made(about, fate) for about, fate in fates(self.journal).items()}
        self._ground_key = frame.ground.key()
        self._on: dict[date, dict[str, Stood]] = {}
        self._in_time: dict[date, list[object]] = {}
        self._plants: dict[date, dict[str, tuple[StandingPlant, ...]]] = {}
        self._most = 2 * len(self.means.all_years) + SPARE_DATES
        self._cuts: Cuts = {}
        self._before: Timeline | None = None
        self._new: frozenset[str] = frozenset()
        self._ways: dict[str, tuple[Way, ...]] = {}
        self._opened = True

    def with_features(self, changed: Iterable[Stands], frame: Frame | None = None) -> Timeline:
        """Return the garden with these features in place of those of the same ids, or beside the rest.

        It equals one made from the beginning, but takes from this one all that stays the same.  Give the ``frame``
        if names change; its ground must be the same.
        """
        new = {f.id: f for f in changed}
        features = [f for f in self.features if f.id not in new]
        then = Timeline(
            frame or self.frame, [*features, *new.values()], self.jobs, self.means, self.journal, self.find,
            goes=self.courses,
        )  # fmt: skip
        then._before, then._new, then._cuts = self, frozenset(new), self._cuts.copy()
        replaced = (self._by_id.get(id_) for id_ in new)
        then._opened = any(kept_free(f) is not None for f in (*new.values(), *replaced))
        return then

    def is_changed_from(self, other: Timeline) -> bool:
        """Return whether this is ``other`` with some features in place of others or beside the rest."""
        return self._before is other

    @property
    def southern(self) -> bool:
        """Return whether the seasons are those of the southern half of the world."""
        return self.frame.latitude_deg < 0

    @property
    def years(self) -> range:
        """Return the calendar years of the plan."""
        return self.means.all_years

    def leaf_date(self, year: int) -> date:
        """Return the date on which ``year`` is judged in leaf: the end of its summer."""
        return date(year, 2, monthrange(year, 2)[1]) if self.southern else date(year, 8, 31)

    def bare_date(self, year: int) -> date:
        """Return the mid-winter after the summer of ``year``."""
        return date(year, 7, 15) if self.southern else date(year + 1, 1, 15)

    def money(self) -> tuple[YearMoney, ...]:
        """Return the money and hours of each year of the plan."""
        return ledger(self.means, self.jobs, self.journal)

    def feature(self, feature_id: str) -> Stands | None:
        """Return the feature called ``feature_id``, or None."""
        return self._by_id.get(feature_id)

    def course(self, job: Job) -> Course:
        """Return how a job goes; one that isn't among those of the garden, or is changed, goes as if it were alone."""
        own = self._jobs.get(job.id)
        if own is job or own == job:
            return self.courses[job.id]
        return courses(self.means, (job,), self.journal)[job.id]

    def first_month(self, job: Job) -> int | None:
        """Return the month in which a job begins or was begun, from January of year 0; None where nothing says."""
        return self.course(job).first

    def last_month(self, job: Job) -> int | None:
        """Return the month in which a job is done: what it makes stands from the next, and what it takes away is gone.

        The one answer that all who ask when a job's things come go by; from January of year 0, None where nothing says.
        """
        return self.course(job).last

    def job_of(self, target: str) -> Job | None:
        """Return the job that makes ``target`` (a feature or ``feature/finish``), or None."""
        return self._made.get(target)

    def span(self, feature_id: str) -> Span:
        """Return when the feature stands; ``known`` is False where nothing says when it is made."""
        if feature_id not in self._spans:
            found = self.feature(feature_id)
            self._spans[feature_id] = Span(None, None, (), known=False) if found is None else self._span(found)
        return self._spans[feature_id]

    def _span(self, feature: Stands) -> Span:
        begins, known = self._begins(feature)
        stages = []
        for finish in feature.finish_ids()[1:]:
            job = self._made.get(f"{feature.id}/{finish}")
            month = self.last_month(job) if job else None
            stages.append(10**6 if month is None else month + 1)
        ends = month_index(feature.there_until) if feature.there_until else None
        for job in self.jobs:
            if feature.id in job.takes_away:
                month = self.last_month(job)
                ends = month if month is not None and (ends is None or month < ends) else ends
        return Span(begins, ends, tuple(stages), known)

    def _begins(self, feature: Stands) -> tuple[int | None, bool]:
        if feature.there_from == "start":
            return None, True
        if feature.there_from:
            return month_index(feature.there_from), True
        job = self._maker(feature.id)
        month = self.last_month(job) if job else None
        return (10**6, False) if month is None else (month + 1, True)

    def _maker(self, feature_id: str) -> Job | None:
        """Return the job that makes a feature, or the first of its finishes; None where its own field says when it comes."""
        feature = self.feature(feature_id)
        if feature is None or feature.there_from:
            return None
        first = feature.finish_ids()[:1]
        return self._made.get(feature_id) or (self._made.get(f"{feature_id}/{first[0]}") if first else None)

    def made_in(self, feature_id: str) -> int | None:
        """Return the month in which the feature is made or planted, the last of its job; None if it is there already."""
        begins = self.span(feature_id).begins
        found = self.feature(feature_id)
        written = found is not None and found.there_from is not None
        return begins if begins is None or written else begins - 1

    def is_early(self, feature_id: str, day: date) -> bool:
        """Return whether what happened on ``day`` can't have befallen the feature, as it was made in a later month."""
        made = self.made_by(feature_id)
        return made is not None and month_of(day) < made

    def made_by(self, feature_id: str) -> int | None:
        """Return the month from which on what is told of a feature can have befallen it; None if it is there already.

        That is the month in which it is made.  Of a begun job not called done yet it is the last of those planned, counted
        from when it was begun, or of those worked so far: whoever writes that its hedge was browsed has planted it.
        """
        made, job = self.made_in(feature_id), self._maker(feature_id)
        goes = None if made is None or job is None else self.courses[job.id]
        if made is None or job is None or goes is None or goes.state != "begun" or goes.first is None:
            return made
        return min(made, max((goes.first + job.months - 1, *goes.worked)))

    def _since_made(self, about: str, fate: Fate) -> Fate:
        made, begins = self.made_by(about), self.span(about).begins
        return fate if made is None or begins is None else fate.since(made, begins)

    def stands_on(self, feature_id: str, on: date) -> bool:
        """Return whether the feature is built and not yet taken away on a date."""
        span, month = self.span(feature_id), on.year * 12 + on.month - 1
        if feature_id in self.fates and self.fates[feature_id].gone_in(month):
            return False
        return (span.begins is None or span.begins <= month) and (span.ends is None or month < span.ends)

    def first_year(self, feature_ids: Sequence[str]) -> int | None:
        """Return the first year of the plan by whose judging date all of these stand; None if that never comes."""
        for year in self.years:
            if all(self.stands_on(f, self.leaf_date(year)) for f in feature_ids):
                return year
        return None

    def at(self, on: date) -> Scene:
        """Return the garden as it stands on ``on``."""
        known = self._scenes.get(on)
        if known is None:
            blank = Scene(
                on=on,
                boundary=self.frame.boundary,
                ground=self.frame.ground,
                rooms=self.frame.rooms,
                spots=self.frame.spots,
                names=self.frame.names,
                latitude_deg=self.frame.latitude_deg,
                snow_m=self.frame.snow_by_month_m[on.month - 1],
            )
            scene = assemble(blank, [self.stood(f, on) for f in self.features], self._cuts)
            scene = scene if self._before is None else scene.changed_from(self._before.at(on))
            known = self._scenes.setdefault(on, scene)
        return known

    def stood(self, feature: Stands, on: date) -> Stood:
        """Return what a feature of this garden gives on ``on``, before others cut it; nothing while it doesn't stand."""
        if self._before is not None and self._as_before(feature):
            return self._before.stood(feature, on)
        standing = self._on.get(on)
        if standing is None:
            standing = self._on.setdefault(on, {})
            self._forget_oldest()
        known = standing.get(feature.id)
        if known is None:
            known = standing[feature.id] = self._stand(feature, on)
        return known

    def _forget_oldest(self) -> None:
        """Keep what stands on the newest dates asked for; what is forgotten is worked out again if it is asked for.

        Others may ask at the same time: at worst they work out again what they had.
        """
        for oldest in list(self._on)[: -self._most]:
            self._on.pop(oldest, None)
            self._scenes.pop(oldest, None)
            for key in self._in_time.pop(oldest, ()):
                self._stood.pop(key, None)
            self._cuts.clear()  # they hold what they cut

    def _stand(self, feature: Stands, on: date) -> Stood:
        month = on.year * 12 + on.month - 1
        span = self.span(feature.id)
        stage = max((i for i, laid in enumerate(span.stages, start=1) if laid <= month), default=0)
        if not self.stands_on(feature.id, on):
            gone = span.ends is not None and month >= span.ends
            if gone or not feature.stands_before():
                return Stood()
            stage = -1
        moment = self._moment(feature, span, on, stage)
        happened, anew = moment.setbacks, moment.anew
        plants = tuple(self.find(plant) for plant in feature.plants_named())
        about = _About((feature, plants, stage, self.southern, self._ground_key, happened, anew, moment.left))
        for asked in ASKED:
            stood = self._stood.get(_standing_key(about, asked, moment))
            if stood is not None:
                return stood
        watched = Watched.of(moment)
        stood = feature.stand(watched)
        key = _standing_key(about, watched.asked, moment)
        self._stood[key] = stood
        if watched.asked and self._own:
            self._in_time.setdefault(on, []).append(key)
        return stood

    def _moment(self, feature: Stands, span: Span, on: date, stage: int) -> Moment:
        fate = self.fates.get(feature.id, NOTHING)
        begun = self._begun(span, on, fate)
        happened = fate.setbacks(begun, on, DAYS_A_YEAR)
        age = max((on - begun).days / DAYS_A_YEAR, 0.0)
        anew = fate.planted(on) is not None
        left = self._left(feature, span, on, fate)
        return Moment(on, age, self.frame.ground, self.find, stage, self.southern, happened, anew, left)

    def as_made(self, feature: Stands, stage: int = 0, on: date | None = None) -> Stood:
        """Return what a feature gives when it has just been made, whenever that is; ``on`` says in which season.

        It may be one that doesn't stand in the garden, such as what is thought of for a place held open.
        """
        planted = self._planted(self.span(feature.id))
        left = LeftOpen.on(self.ways_in(feature), planted, planted)
        return self._fresh(feature, left, stage, on)

    def _fresh(self, feature: Stands, left: LeftOpen, stage: int = 0, on: date | None = None) -> Stood:
        day = on or self.leaf_date(self.years[0])
        return feature.stand(Moment(day, 0.0, self.frame.ground, self.find, stage, self.southern, left=left))

    def _planted(self, span: Span) -> int:
        """Return the month from which a feature stands, the plan's first if it is there already."""
        return self.means.first_year * 12 if span.begins is None else span.begins

    def _left(self, feature: Stands, span: Span, on: date, fate: Fate) -> LeftOpen:
        ways = self.ways_in(feature)
        if not ways:
            return NOTHING_LEFT
        again = fate.planted(on)
        planted = self._planted(span) if again is None else again.year * 12 + again.month - 1
        return LeftOpen.on(ways, planted, on.year * 12 + on.month - 1)

    def ways_in(self, feature: Stands) -> tuple[Way, ...]:
        """Return the openings in the line along which a feature's plants are set, in their order; nothing for others."""
        if self._by_id.get(feature.id) is not feature:  # not the garden's own, though it may be called so
            return self._ways_in(feature)
        known = self._ways.get(feature.id)
        if known is None:
            known = self._ways[feature.id] = self._ways_in(feature)
        return known

    def _ways_in(self, feature: Stands) -> tuple[Way, ...]:
        found = planted_line(feature)
        if found is None:
            return ()
        if self._before is None or feature.id in self._new:
            ways, asked = [], self.features
        else:
            ways = [w for w in self._before.ways_in(feature) if w.owner not in self._new]
            asked = tuple(self._by_id[id_] for id_ in self._new) if self._opened else ()
        for other in asked:
            free = kept_free(other)
            stretch = None if free is None else stretch_of(*found, free)
            if stretch is not None:
                span = self.span(other.id)
                begins, ends = (-1 if span.begins is None else span.begins), (10**9 if span.ends is None else span.ends)
                ways.append(Way(stretch, other.id, begins, ends))
        return tuple(sorted(ways, key=lambda w: (w.stretch, w.owner)))

    def _as_before(self, feature: Stands) -> bool:
        """Return whether a feature stands as in the garden this one was changed from."""
        if self._before is None or feature.id in self._new:
            return False
        return not self._opened or self.ways_in(feature) == self._before.ways_in(feature)

    def plants_on(self, feature: Stands, on: date) -> tuple[StandingPlant, ...]:
        """Return the plants a feature gives on ``on``; nothing while it doesn't stand."""
        if self._before is not None and self._as_before(feature):
            return self._before.plants_on(feature, on)
        growing = self._plants.get(on)
        if growing is None:
            growing = self._plants.setdefault(on, {})
            for oldest in list(self._plants)[: -self._most]:
                self._plants.pop(oldest, None)
        known = growing.get(feature.id)
        if known is None:
            known = growing[feature.id] = self._plants_on(feature, on)
        return known

    def _plants_on(self, feature: Stands, on: date) -> tuple[StandingPlant, ...]:
        standing = self._on.get(on, {}).get(feature.id)
        if standing is not None:
            return standing.plants
        if not self.stands_on(feature.id, on):
            return ()
        growing = getattr(feature, "growing", None)
        alone = None if growing is None else growing(self._moment(feature, self.span(feature.id), on, 0))
        return self.stood(feature, on).plants if alone is None else tuple(alone)

    def sizes(self, feature: Stands, days: Days) -> NDArray[np.float64]:
        """Return height and spread of a planting, low, middle and high [m] (n, 6), on many days in their order.

        As :meth:`plants_on` tells them of its first plant; nan on days on which it doesn't stand.
        """
        out = np.full((len(days.on), 6), np.nan)
        span, fate = self.span(feature.id), self.fates.get(feature.id, NOTHING)
        standing = (days.months >= (span.begins or 0)) & (days.months < (span.ends or 10**9))
        if fate.gone:
            standing &= [not fate.gone_in(m) for m in days.months.tolist()]
        where = np.flatnonzero(standing)
        cuts = np.searchsorted(days.ordinals[where], sorted(d.toordinal() for d in fate.days))
        for some in np.split(where, cuts):
            if len(some):
                out[some] = self._sizes(feature, span, days, some)
        return out

    def _sizes(self, feature: Stands, span: Span, days: Days, some: NDArray[np.int64]) -> NDArray[np.float64]:
        """Return the sizes on ``some`` of the days, between which nothing happens to a planting."""
        sizes = getattr(feature, "sizes", None)
        moment = self._moment(feature, span, days.on[some[0]], 0)
        begun = self._begun(span, days.on[some[0]], self.fates.get(feature.id, NOTHING)).toordinal()
        since = np.maximum(days.ordinals[some] - begun, 0.0)
        later = (since - since[0]) / DAYS_A_YEAR
        found: NDArray[np.float64] | None = None if sizes is None else sizes(moment, later, days.months[some] % 12 + 1)
        if found is None:
            told = [self.plants_on(feature, days.on[k])[:1] for k in some]
            found = np.array([[*t[0].height_m, *t[0].spread_m] if t else [np.nan] * 6 for t in told])
        return found

    def _begun(self, span: Span, on: date, fate: Fate) -> date:
        """Return the day from which a feature's age counts: when it was last planted, by ``on``."""
        start = self.means.first_year * 12 if span.begins is None else span.begins
        return fate.planted(on) or date(min(max(start // 12, 1), 9998), start % 12 + 1, 1)


def _made_by(jobs: Iterable[Job]) -> dict[str, Job]:
    """Return the job that makes each target; the first by id where several claim it."""
    made: dict[str, Job] = {}
    for job in jobs:
        for target in job.does:
            made.setdefault(target, job)
    return made
