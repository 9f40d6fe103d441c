"""Where the plants of a planting could come from: bought in other sizes, raised at home, grown on in a nursery row first.

Each way with what it costs, when it is planted, and when it closes, bears or is grown: *31 sums less, closes 2 years later*.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from quincunx.build import reckon
from quincunx.features import Feature
from quincunx.garden.costing import rules_of, works_of
from quincunx.garden.document import Garden
from quincunx.garden.edits import Edit, Op, apply, change, free_id, put
from quincunx.garden.plain import plain
from quincunx.garden.through_time import timeline
from quincunx.grow.bearing import bearing
from quincunx.grow.plantings import planting, southern
from quincunx.grow.reached import When, closed, height, when
from quincunx.plants.catalogue import Plant, find_plant
from quincunx.plants.raising import Way, way_of
from quincunx.scene import Timeline
from quincunx.shapes import PlantWork
from quincunx.units import Style, format_hours, format_money
from quincunx.units.dates import MONTHS, month_from_index

GROWN = 0.6
"""A tree or shrub counts as grown at this share of its height (common practice, no source)."""
HEDGE_SIZES = ((0.3, "small", "small whips, 0.3 m"), (0.9, "large", "larger plants, 0.9 m"))
"""Sizes a hedge is bought in beside what is drawn [m]: id and words (nursery trade sizes, from memory)."""


@dataclass(frozen=True, slots=True)
class Source:
    """One way: what its plants come to (``sum`` None: no price known), hours, the month planted, when it is what for.

    ``what`` says what ``reached`` is the year of: closes, bears, is grown.  ``edit`` is nothing for the way it is drawn.
    """

    id: str
    words: str
    sum: int | None
    hours: float
    planted: int
    what: str
    reached: When
    edit: Edit | None = None
    note: str = ""


def sources(garden: Garden, through: Timeline, feature_id: str) -> tuple[Source, ...]:
    """Return the ways to have the plants of a planting that is still to come, as drawn first; nothing if it is none."""
    feature = next((f for f in garden.features if f.id == feature_id), None)
    found = None if feature is None else _to_come(garden, through, feature)
    if feature is None or found is None:
        return ()
    plant, begins = found
    ways = [_Way("as-drawn", "as drawn", None), *_ways(garden, through, feature, plant, begins)]
    return tuple(_tried(garden, feature, plant, way) for way in ways)


def plantings_to_come(garden: Garden, through: Timeline) -> tuple[str, ...]:
    """Return the plantings that are still to come and last more than a year: those with ways to have their plants."""
    return tuple(f.id for f in garden.features if _to_come(garden, through, f) is not None)


def _to_come(garden: Garden, through: Timeline, feature: Feature) -> tuple[Plant, int] | None:
    """Return the plant of a planting to come that lasts more than a year, and the month from which it stands; else None."""
    begins = through.span(feature.id).begins
    if begins is None or begins >= 10**6 or len(feature.plants_named()) != 1:
        return None
    plant = find_plant(feature.plants_named()[0], {p.id: p for p in garden.plants})
    return None if plant is None or plant.annual or "raised" not in type(feature).model_fields else (plant, begins)


@dataclass(frozen=True, slots=True)
class _Way:
    id: str
    words: str
    edit: Edit | None
    note: str = ""


def _ways(garden: Garden, through: Timeline, feature: Feature, plant: Plant, begins: int) -> Iterator[_Way]:
    """Yield each way but the drawn one."""
    raised, home = getattr(feature, "raised", "bought"), way_of(plant)
    label = f"{feature.called}: "
    for name, words, fields in _bought(feature):
        yield _Way(name, words, change("features", feature.id, {**fields, "raised": "bought"}, label + words))
    if home is None:
        return
    note = f"{home.words}; begin {home.begun(_count(through, feature))} of them, in {_months(home, through)}"
    if raised != "own" and home.way != "seed":
        words = f"own {home.way}, set at once"
        yield _Way("own", words, change("features", feature.id, {"raised": "own"}, label + words), note)
    if raised != "nursery row" and home.years > 0:
        what, years = "seedlings" if home.way == "seed" else home.way, max(round(home.years), 1)
        words = f"own {what}, {years} {'year' if years == 1 else 'years'} in a nursery row, then planted out"
        yield _Way("nursery", words, _nursery(garden, through, feature, home, begins, label + words), note)


def _bought(feature: Feature) -> Iterator[tuple[str, str, dict[str, Any]]]:
    """Yield (id, words, fields) of the sizes a planting may be bought in other than as drawn."""
    fields = type(feature).model_fields
    raised = getattr(feature, "raised", "bought") != "bought"
    if "clip_height" in fields and "start_height" in fields:
        now = float(getattr(feature, "start_height"))  # noqa: B009 - not every kind has it
        for high, name, words in HEDGE_SIZES:
            if raised or abs(now - high) > 0.15:
                yield name, words, {"start_height": high}
    if "stock" in fields:
        for stock in ("whip", "bare root", "standard"):
            if raised or stock != getattr(feature, "stock"):  # noqa: B009
                yield stock.replace(" ", "-"), f"bought as a {stock}" if stock != "bare root" else "bought bare-rooted", {
                    "stock": stock, "start_height": None,
                }  # fmt: skip


def _count(through: Timeline, feature: Feature) -> int:
    return sum(w.count for w in works_of(through, feature) if isinstance(w, PlantWork))


def _months(way: Way, through: Timeline) -> str:
    return " or ".join(MONTHS[m - 1] for m in southern(way.months, turned=through.southern)[:3])


def _nursery(garden: Garden, through: Timeline, feature: Feature, way: Way, begins: int, label: str) -> Edit:
    """Return the edit that raises the plants first: a job to begin them as soon as the season comes, planting out later."""
    count, first = _count(through, feature), through.means.first_year * 12
    months = southern(way.months, turned=through.southern)
    taken = next(k for k in range(first, first + 12) if k % 12 + 1 in months)
    job = next((j for j in garden.jobs if feature.id in {t.partition("/")[0] for t in j.does}), None)
    planned = begins if job is None else begins - job.months
    wait = max(round(12 * way.years), 6)
    out = max(planned, taken + 1 + wait)
    window = () if job is None else job.window
    out = next((k for k in range(out, out + 12) if k % 12 + 1 in window), out) if window else out
    raise_id = free_id(f"raise-{feature.id}", {j.id for j in garden.jobs})
    raising = {
        "id": raise_id, "name": f"Raise plants for {feature.called}"[:80], "start": month_from_index(taken), "worth": "none",
        "hours": max(round(2 * 0.1 * way.begun(count)) / 2, 0.5), "window": list(months),
        "tasks": [f"Begin {way.begun(count)}: {way.words}", "Water and weed the row until they are lifted"],
    }  # fmt: skip
    after = {"job": raise_id, "wait_months": wait}
    ops: list[Op] = [*put("jobs", raising).ops, *change("features", feature.id, {"raised": "nursery row"}).ops]
    if job is None:
        ops += change("features", feature.id, {"there_from": month_from_index(out)}).ops
    elif len(job.does) == 1:
        more = {} if job.start is None else {"start": month_from_index(out)}
        ops += change("jobs", job.id, {"after": [*(plain(a) for a in job.after), after], **more}).ops
    else:
        rest = [t for t in job.does if t.partition("/")[0] != feature.id]
        plants = {
            "id": free_id(f"plant-out-{feature.id}", {j.id for j in garden.jobs}), "name": f"Plant out {feature.called}"[:80], "does": [feature.id],
            "hours": max(round(2 * 0.1 * count) / 2, 0.5), "window": list(window), "start": month_from_index(out),
            "after": [*(plain(a) for a in job.after), after], "worth": job.worth,
        }  # fmt: skip
        ops = [*change("jobs", job.id, {"does": rest}).ops, *put("jobs", plants).ops, *ops]
    return Edit(label=label[:200], ops=tuple(ops))


def _tried(garden: Garden, feature: Feature, plant: Plant, way: _Way) -> Source:
    if way.edit is None:
        return _source(garden, timeline(garden), feature, plant, way)
    after = apply(garden, way.edit)[0]
    other = next(f for f in after.features if f.id == feature.id)
    return _source(after, timeline(after), other, plant, way)


def _source(garden: Garden, through: Timeline, feature: Feature, plant: Plant, way: _Way) -> Source:
    """Return a way with what it comes to; another bought size has a price only where the list has one for it."""
    works = [w for w in works_of(through, feature) if isinstance(w, PlantWork)]
    found = reckon(works, rules_of(garden))
    known = None if found.unpriced else found.sum
    if way.edit is not None and getattr(feature, "raised", "bought") == "bought":
        sized = next((p for p in garden.prices if (p.item or p.id) == f"plant-{plant.id}-{way.id}"), None)
        known = None if sized is None else sized.sum * sum(w.count for w in works)
    new = set() if way.edit is None else _new_jobs(way.edit, "raise-")
    hours = found.hours + sum(j.hours for j in garden.jobs if j.id in new)
    what, reached = _reached(through, feature, plant)
    begins = through.span(feature.id).begins or 0
    return Source(way.id, way.words, known, hours, begins, what, reached, way.edit, way.note)


def _new_jobs(edit: Edit, begins: str) -> set[str]:
    return {str(op.id) for op in edit.ops if op.do == "put" and op.part == "jobs" and str(op.id).startswith(begins)}


def _reached(through: Timeline, feature: Feature, plant: Plant) -> tuple[str, When]:
    one = planting(through, feature.id, through.leaf_date(through.years[-1] + 1))
    if one is not None and one.standing.kept and one.standing.spacing_m:
        return "closes", when(through, feature.id, closed, 1.0)
    if plant.harvest_months and plant.first_crop_years:
        return "bears", bearing(through, feature.id).when
    return "is well grown", when(through, feature.id, height, GROWN * plant.height_m)


def compared(drawn: Source, other: Source, style: Style) -> str:
    """Return another way against the drawn one in words: what it saves or costs more, how much later or sooner."""
    parts = []
    if other.sum is None:
        parts.append("no price for it in your list")
    elif drawn.sum is not None:
        less = drawn.sum - other.sum
        said = format_money(abs(less), style, whole=True)
        parts.append("costs the same" if less == 0 else f"{said} less" if less > 0 else f"{said} more")
    if abs(other.hours - drawn.hours) >= 0.5:
        parts.append(f"{_halves(other.hours - drawn.hours, style)} {'more' if other.hours > drawn.hours else 'less'}")
    parts.append(_later(drawn, other))
    return ", ".join(parts)


def _halves(hours: float, style: Style) -> str:
    return format_hours(round(2 * abs(hours)) / 2, style)


def _later(drawn: Source, other: Source) -> str:
    a, b = drawn.reached.usually, other.reached.usually
    if a is None or b is None:
        return f"{other.what} {other.reached.words}"
    if a == b:
        return f"{other.what} in the same year"
    years = abs(a - b)
    return f"{other.what} {years} {'year' if years == 1 else 'years'} {'later' if b > a else 'sooner'}"
