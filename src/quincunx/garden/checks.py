"""Faults that need the whole document: ids twice, references to nothing, a boundary that crosses itself."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from pydantic import ValidationError

from quincunx.garden.document import LISTS, Garden
from quincunx.garden.sentences import sentence
from quincunx.plants.catalogue import find_plant

OUTSIDE = "outside"


def cross_faults(garden: Garden) -> Iterator[tuple[str, str]]:
    """Yield (path, sentence) for each fault between parts of the document."""
    yield from _twins(garden)
    yield from _boundary(garden)
    yield from _feature_references(garden)
    yield from _job_references(garden)
    yield from _intent_references(garden)
    yield from _trip_references(garden)


def _trip_references(garden: Garden) -> Iterator[tuple[str, str]]:
    from quincunx.walk.walkers import find_walker

    known = {x.id for part in ("rooms", "spots", "features") for x in getattr(garden, part)} | {OUTSIDE}
    own = {w.id: w for w in garden.walkers}
    for trip in garden.trips:
        for name in (trip.start, trip.end):
            if name not in known:
                yield f"trips → {trip.id}", f"Nothing is called {name!r}. Name a spot, room or feature that is there."
        if find_walker(trip.walker, own) is None:
            yield f"trips → {trip.id}", f"No walker is called {trip.walker!r}. `quincunx schema` lists those there are."


def _twins(garden: Garden) -> Iterator[tuple[str, str]]:
    for part in LISTS:
        count = Counter(item.id for item in getattr(garden, part))
        for twin in sorted(i for i, n in count.items() if n > 1):
            yield f"{part} → {twin}", f"The id {twin!r} is used {count[twin]} times in {part}. Give each its own."
    places = Counter(i for part in ("rooms", "spots", "features") for i in {x.id for x in getattr(garden, part)})
    for twin in sorted(i for i, n in places.items() if n > 1):
        yield twin, f"The id {twin!r} names a thing in more than one of rooms, spots and features. Give each its own."


def _boundary(garden: Garden) -> Iterator[tuple[str, str]]:
    if not garden.boundary:
        return
    if len(garden.boundary) < 3:
        yield "boundary", f"The boundary has {len(garden.boundary)} corners; at least 3 are needed."
        return
    from shapely import Polygon, is_valid_reason

    shape = Polygon([(float(x), float(y)) for x, y in garden.boundary])
    if not shape.is_valid:
        reason = is_valid_reason(shape)
        where = reason.partition("[")[2].rstrip("]")
        near = f" near {where.replace(' ', ', ')}" if where else ""
        yield "boundary", f"The boundary crosses itself{near}. Put its corners in order round the ground."
    elif shape.area < 0.01:
        yield "boundary", "The boundary encloses no ground. Check its corners."


def _feature_references(garden: Garden) -> Iterator[tuple[str, str]]:
    ids = {f.id for f in garden.features}
    own = {p.id: p for p in garden.plants}
    for feature in garden.features:
        try:
            plants, others = feature.plants_named(), feature.features_named()
        except (KeyError, ValueError) as error:
            yield f"features → {feature.id} → shortlist", f"One of the shortlist can't be read: {_first_fault(error)}."
            continue
        for name in plants:
            if find_plant(name, own) is None:
                yield (
                    f"features → {feature.id}",
                    f"No plant is called {name!r}. Choose one of the catalogue, or add it to plants.",
                )
        for name in others:
            if name not in ids:
                yield (
                    f"features → {feature.id}",
                    f"No feature is called {name!r}. Name one that is there, or take the reference out.",
                )


def _first_fault(error: KeyError | ValueError) -> str:
    if isinstance(error, KeyError):
        return f"there is no kind {str(error.args[0])[:40]!r}"
    if not isinstance(error, ValidationError):
        return str(error).splitlines()[0].rstrip(".")
    first = error.errors()[0]
    where = " → ".join(str(step)[:60] for step in first["loc"])
    words = sentence(first).rstrip(".")
    return f"{where}: {words[:1].lower()}{words[1:]}" if where else words


def _job_references(garden: Garden) -> Iterator[tuple[str, str]]:
    targets = {f.id for f in garden.features} | {f"{f.id}/{x}" for f in garden.features for x in f.finish_ids()}
    jobs = {j.id for j in garden.jobs}
    places = {x.id for part in ("rooms", "spots", "features") for x in getattr(garden, part)} | {OUTSIDE}
    made: dict[str, str] = {}
    for job in garden.jobs:
        path = f"jobs → {job.id}"
        for name in (*job.does, *job.takes_away):
            if name not in targets:
                yield path, f"No feature or finish is called {name!r}. Name one that is there, or take it out."
        for name in job.does:
            if name in made:
                yield path, f"{name!r} is made by two jobs, {made[name]!r} and {job.id!r}. Leave it to one of them."
            made[name] = job.id
        if job.comes_from is not None and job.comes_from not in places:
            yield path, f"Nothing is called {job.comes_from!r}. Name a spot, room or feature things come from."
        for name in (*(a.job for a in job.after), *job.enjoyed_with, *(w.job for w in job.weighed)):
            if name not in jobs:
                yield path, f"No job is called {name!r}. Name one that is there, or take it out."
            elif name == job.id:
                yield path, "A job can't wait for itself. Take the reference out."
    yield from _job_circle(garden)
    for entry in garden.journal:
        if entry.about and entry.about not in jobs and entry.about not in targets:
            yield f"journal → {entry.id}", f"No job or feature is called {entry.about!r}."


def _job_circle(garden: Garden) -> Iterator[tuple[str, str]]:
    from graphlib import CycleError, TopologicalSorter

    try:
        TopologicalSorter({j.id: {a.job for a in j.after if a.job != j.id} for j in garden.jobs}).prepare()
    except CycleError as error:
        names = {j.id: j.name or j.id for j in garden.jobs}
        ring = " → ".join(names.get(job, job) for job in error.args[1])
        yield "jobs", f"These jobs wait for each other in a circle: {ring}. Take one of the waits out."


def _intent_references(garden: Garden) -> Iterator[tuple[str, str]]:
    known = {x.id for part in ("rooms", "spots", "features", "jobs") for x in getattr(garden, part)} | {OUTSIDE}
    from quincunx.walk.walkers import find_walker

    own = {w.id: w for w in garden.walkers}
    for intent in garden.intents:
        for name in intent.things():
            if name not in known:
                yield (
                    f"intents → {intent.id}",
                    f"Nothing in the garden is called {name!r}. Name a room, spot or feature that is there.",
                )
        for name in intent.walkers():
            if find_walker(name, own) is None:
                yield (
                    f"intents → {intent.id}",
                    f"No walker is called {name!r}. `quincunx schema` lists those there are.",
                )
