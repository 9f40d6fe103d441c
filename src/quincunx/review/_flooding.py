"""High water: what is built or planted where it comes, and what is dug beside running water."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from shapely import MultiPoint
from shapely.geometry.base import BaseGeometry

from quincunx.garden.flooded import flooded_months
from quincunx.garden.safety import dug_ground
from quincunx.intents._raining import months_words
from quincunx.plants.catalogue import find_plant
from quincunx.review._view import View, middle
from quincunx.scene import Scene
from quincunx.shapes import Finding, FrameWork, Severity, Surface, united
from quincunx.units import format_length, listed
from quincunx.units.dates import format_month, month_from_index
from quincunx.works import Course, Job, courses

BESIDE_M = 8.0
"""Works no farther from running water than this are told of [m]: so near to the bank of a main river England asks for a permit."""
BESIDE_SOURCE = (
    "8 m: England's distance for works beside a main river that no tide reaches (Environmental Permitting Regulations 2016;"
    " second-hand: gov.uk, Flood risk activities: environmental permits, and accounts of it); other places have distances of"
    " their own. The rest: common practice, no source"
)
WET_SOURCE = (
    "most woody plants stand a few days of it, some a week or more, and the resting ones most (L. G. Jull, Effects of flooding on"
    " woody landscape plants, A3871, University of Wisconsin-Extension); which like wet ground: the catalogue"
)

MOST_NAMED = 2
"""So many of the things dug beside water are named."""


@dataclass
class _Found:
    """Things met so far, each with the first year and where."""

    years: dict[str, int] = field(default_factory=dict)
    places: list[BaseGeometry] = field(default_factory=list)

    def add(self, owner: str, year: int, place: BaseGeometry) -> None:
        """Take a thing in, once."""
        if owner not in self.years:
            self.years[owner] = year
            self.places.append(place)


def check(view: View) -> Iterator[Finding]:
    """Yield what stands, grows or is dug where high water comes or running water is near."""
    stands: dict[str, _Found] = {}
    grows: dict[str, _Found] = {}
    dug: dict[str, _Found] = {}
    floods: dict[str, Surface] = {}
    streams: set[str] = set()
    made, first = view.made(), view.timeline.years[0]
    for year, scene in view.summers():
        new = {owner for owner, done in made.items() if first <= done <= year}
        for wet in (s for s in scene.surfaces if s.floods_m > 0):
            floods.setdefault(wet.owner, wet)
            _look(scene, wet, year, stands.setdefault(wet.owner, _Found()))
            _plants(view, scene, wet, year, new, grows.setdefault(wet.owner, _Found()))
        for water in (s for s in scene.surfaces if s.flows):
            streams.add(water.owner)
            _beside(scene, water, year, new, dug.setdefault(water.owner, _Found()))
    begun = {f.id for f in view.garden.features if f.there_from == "start"}
    for owner, wet in floods.items():
        yield from _standing(view, wet, stands[owner], begun)
        yield from _growing(view, wet, grows[owner])
        yield from _kept(view, wet)
    yield from _under_water(view)
    for owner in sorted(streams):
        yield from _digging(view, owner, dug[owner])
        if not floods:
            yield Finding(
                f"high-water-{owner}", Severity.HINT, f"Nobody has drawn how far {view.words.the(owner)} comes when it is high.",
                "Ask neighbours, look for twigs and silt, peg that line and draw it as ground that floods; if it never does, leave this.",
                "common practice, no source", (owner,), None, first,
            )  # fmt: skip


def _look(scene: Scene, wet: Surface, year: int, found: _Found) -> None:
    """Take in what is built where the water comes, and what stands there on footings."""
    for solid in scene.solids:
        if not solid.grown and solid.owner != wet.owner and solid.footprint.intersects(wet.area):
            found.add(solid.owner, year, solid.footprint.intersection(wet.area))
    for work in scene.work:
        if isinstance(work, FrameWork) and work.footings:
            feet = MultiPoint(work.footings).intersection(wet.area)
            if not feet.is_empty:
                found.add(work.owner, year, feet)


def _plants(view: View, scene: Scene, wet: Surface, year: int, new: set[str], found: _Found) -> None:
    """Take in woody plants of the plan that don't like wet ground."""
    own = {p.id: p for p in view.garden.plants}
    for one in scene.plants:
        plant = find_plant(one.plant, own)
        if one.owner in new and plant is not None and plant.woody and plant.moisture and "wet" not in plant.moisture:
            under = MultiPoint(one.at).intersection(wet.area)
            if not under.is_empty:
                found.add(one.owner, year, under)


def _beside(scene: Scene, water: Surface, year: int, new: set[str], found: _Found) -> None:
    """Take in works of the plan that dig near running water."""
    for work in scene.work:
        near = [s for s in dug_ground(work) if s.dwithin(water.area, BESIDE_M)] if work.owner in new else []
        if near:
            found.add(work.owner, year, near[0])


def _standing(view: View, wet: Surface, found: _Found, begun: set[str]) -> Iterator[Finding]:
    old = sorted(o for o in found.years if o in begun)
    new = sorted(set(found.years) - set(old))
    if new:
        yield Finding(
            f"floods-{wet.owner}", Severity.CARE,
            f"{_who(view, new, 'stands', 'stand')} where {view.words.the(wet.owner)} comes{_since(found, new)}: {_how(view, wet)}.",
            "Move it above that line, or raise its floor above the water and hold its feet against the current; what stays lets the"
            " water through, as twigs lodge against it. Keep what floats, spoils or poisons elsewhere. Your local authority says"
            " what may stand there at all.",
            "common practice, no source", (*new, wet.owner), middle(united(found.places)), min(found.years[o] for o in new),
            hurts=True,
        )  # fmt: skip
    if old:
        yield Finding(
            f"flooded-{wet.owner}", Severity.HINT,
            f"{_who(view, old, 'stands', 'stand')} where {view.words.the(wet.owner)} comes already: {_how(view, wet)}.",
            "Keep what floats, spoils or poisons above it, and know the way out that stays dry.",
            "common practice, no source", (*old, wet.owner), middle(wet.area), view.timeline.years[0],
        )  # fmt: skip


def _kept(view: View, wet: Surface) -> Iterator[Finding]:
    """Yield each place kept for something not chosen yet where the water comes."""
    for feature in view.garden.features:
        place = feature.held_place()
        if place is not None and place.chosen is None and place.outline.intersects(wet.area):
            yield Finding(
                f"kept-{feature.id}-{wet.owner}", Severity.HINT,
                f"The place kept for {view.words.the(feature.id)} lies where {view.words.the(wet.owner)} comes: {_how(view, wet)}.",
                "Keep it above that line, or choose what may stand in water for days: open at the sides, its floor raised, its posts in"
                " firm footings. Your local authority says what may stand there at all.",
                "common practice, no source", (feature.id, wet.owner), middle(place.outline), view.timeline.years[0],
            )  # fmt: skip


def _growing(view: View, wet: Surface, found: _Found) -> Iterator[Finding]:
    if found.years:
        owners = sorted(found.years)
        yield Finding(
            f"wet-feet-{wet.owner}", Severity.CARE,
            f"{_who(view, owners, 'does', 'do')} not like wet ground and {'grows' if len(owners) == 1 else 'grow'} where"
            f" {view.words.the(wet.owner)} comes{_since(found, owners)}: {_how(view, wet)}.",
            "Plant above that line or on a mound, or choose what likes it: look for “wet” where plants are chosen. A day or two"
            " of water in winter harms few.",
            WET_SOURCE, (*owners, wet.owner), middle(united(found.places)), min(found.years.values()),
        )  # fmt: skip


def _digging(view: View, water: str, found: _Found) -> Iterator[Finding]:
    if found.years:
        owners, near = sorted(found.years), view.words.distance(BESIDE_M)
        yield Finding(
            f"beside-{water}", Severity.DANGER, f"{_most(view, owners)} dug within {near} of {view.words.the(water)}.",
            "A soft bank slips, with whoever stands on it: not alone, not while the water is high or rising, no deep hole at its edge,"
            " soil heaped on the far side. Keep cement, fuel and soil out of the water. Many places want to be asked before"
            " anybody digs or builds so near: ask whoever looks after the water there.",
            BESIDE_SOURCE, (*owners, water), middle(united(found.places)), min(found.years.values()),
        )  # fmt: skip


def _under_water(view: View) -> Iterator[Finding]:
    """Yield each job that is to dig or plant in a month in which its ground floods; of begun ones what is left of them."""
    garden = view.garden
    goes = courses(garden.means, garden.jobs, garden.journal)
    for job in garden.jobs:
        months, when = _still_worked(goes[job.id], job, garden.means.now or 0)
        wet = flooded_months(view.timeline, job, max(months)) & {m % 12 + 1 for m in months} if months else frozenset()
        if wet:
            yield Finding(
                f"under-water-{job.id}", Severity.CARE,
                f"“{job.name}” {when}, and its ground floods in {months_words(tuple(sorted(wet)))}.",
                "Do it when the water is low: the months it fits in are reckoned so where none are typed.",
                "common practice, no source", tuple(t.partition("/")[0] for t in job.does), None, months[0] // 12, hurts=True,
            )  # fmt: skip


def _still_worked(goes: Course, job: Job, now: int) -> tuple[Sequence[int], str]:
    """Return the months in which a job is still worked on, seen from the month ``now``, and when that is, in words."""
    if goes.first is None or goes.state == "done":
        return (), ""
    planned = range(goes.first, goes.first + job.months)
    if goes.state == "planned":
        return planned, f"is planned for {format_month(month_from_index(goes.first))}"
    months = sorted(goes.to_do) if job.hours else [m for m in planned if m >= now]
    return months, f"goes on in {format_month(month_from_index(months[0]))}" if months else ""


def _who(view: View, owners: list[str], one: str, many: str) -> str:
    return f"{listed([view.words.the(o) for o in owners])} {one if len(owners) == 1 else many}"


def _most(view: View, owners: list[str]) -> str:
    """Return the first of several things, and how many more: in each of their jobs the same is said."""
    if len(owners) <= MOST_NAMED:
        return _who(view, owners, "is", "are")
    return f"{', '.join(view.words.the(o) for o in owners[:MOST_NAMED])} and {len(owners) - MOST_NAMED} more are"


def _since(found: _Found, owners: list[str]) -> str:
    years: Mapping[str, int] = found.years
    return f" from {min(years[o] for o in owners)}"


def _how(view: View, wet: Surface) -> str:
    """Return how deep it stands there and when."""
    deep = format_length(wet.floods_m, view.garden.style)
    return f"up to {deep} of water, {months_words(wet.floods_in) or 'in any month'}"
