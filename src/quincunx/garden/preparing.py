"""Ground made ready before it is planted: turf smothered for months, improved, left to settle, then planted.

Proposed only, for the person takes it over; then these are jobs like all others, in the order of works and in money.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import shapely
from shapely import MultiPoint, Polygon
from shapely.geometry.base import BaseGeometry

from quincunx.features import KINDS, Feature
from quincunx.features._floors import Lies
from quincunx.garden.document import Garden
from quincunx.garden.edits import Edit, Op, change, free_id, put
from quincunx.garden.plain import plain
from quincunx.grow.plantings import southern
from quincunx.grow.windows import hard_winter
from quincunx.scene import Timeline
from quincunx.shapes import united
from quincunx.units.dates import month_from_index
from quincunx.units.words import counted
from quincunx.works import Job

TURF = frozenset((int(Lies.LAWN), int(Lies.MEADOW)))
"""What lies lowest is sown or grows of itself, and grows up again through whatever is planted in it."""
STRIP_M = 1.0
"""Width of the strip that is made ready for a row or a hedge [m] (common practice, no source)."""
MOST_IN_TURF = 0.3
"""Of a bed so much may lie in turf before it is worth a word."""
SETTLES_MONTHS = 1
"""Dug and fed ground is left to settle so long (common practice, no source) [months]."""
COVER_H_M2, IMPROVE_H_M2, LEAST_H = 0.12, 0.2, 0.5
"""Hours to mow, lay card and spread chip on a square metre; to fork compost into it (common practice, no source)."""
COVERS, WORKS, FREEZES = (3, 4, 5, 6, 7, 8, 9, 10, 11), (9, 10, 11, 12, 1, 2, 3, 4, 5), (12, 1, 2, 3)
"""Northern months in which ground is covered, in which it is dug, and those of them in which it freezes where winters are
hard (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Unready:
    """What is to be planted into turf: the features of one job, the ground [m] and how much of it is turf [m2]."""

    owners: tuple[str, ...]
    job: Job | None
    month: int
    ground: Polygon
    turf_m2: float


def unready(garden: Garden, through: Timeline) -> tuple[Unready, ...]:
    """Return the beds, rows and hedges that are to be planted into turf nobody has smothered, a job at a time.

    Single trees and shrubs are left out: a cleared ring with a mulch does for them.  Ground of which nobody has said what
    lies there is not guessed at.
    """
    jobs = {t.partition("/")[0]: job for job in garden.jobs for t in job.does}
    groups: dict[tuple[str, int], list[tuple[str, Polygon, float]]] = {}
    for feature in garden.features:
        begins = through.span(feature.id).begins
        if begins is None or begins >= 10**6:
            continue
        ground = _ground(through, feature, begins)
        turf = 0.0 if ground is None else _turf_m2(through, ground, begins, feature.id)
        if ground is not None and turf > MOST_IN_TURF * ground.area:
            job = jobs.get(feature.id)
            groups.setdefault((job.id if job else feature.id, begins), []).append((feature.id, ground, turf))
    return tuple(
        Unready(
            tuple(owner for owner, _, _ in those), jobs.get(those[0][0]), month, _around([g for _, g, _ in those]),
            sum(turf for _, _, turf in those),
        )
        for (_, month), those in sorted(groups.items(), key=lambda kv: (kv[0][1], kv[0][0]))
    )  # fmt: skip


def _ground(through: Timeline, feature: Feature, begins: int) -> Polygon | None:
    """Return the ground a feature is planted in, if it is planted in tilled ground [m]."""
    stood = through.stood(feature, through.leaf_date(begins // 12 + 1))
    tilled = [s.area for s in stood.surfaces if s.planted and s.layer == Lies.BED]
    if tilled:
        return _around(tilled)
    rows = [p for p in stood.plants if p.spacing_m and len(p.at) > 1 and not stood.surfaces]
    if not rows or not any(s.reluctant for s in stood.solids):
        return None
    return _around([MultiPoint(p.at).convex_hull.buffer(STRIP_M / 2, cap_style="square") for p in rows])


def _around(shapes: list[Any]) -> Polygon:
    joined: BaseGeometry = united(shapes)
    return joined if isinstance(joined, Polygon) else joined.convex_hull


def _turf_m2(through: Timeline, ground: Polygon, begins: int, owner: str) -> float:
    """Return how much turf there is in a piece of ground in the month before it is planted, as what shows [m2]."""
    on = through.leaf_date(begins // 12 - (begins % 12 < 8))
    surfaces = [s for s in through.at(on).surfaces if s.owner != owner]
    turf = [s.area for s in surfaces if s.layer in TURF]
    if not turf or not shapely.intersects(united(turf), ground):
        return 0.0
    over = [s.area for s in surfaces if s.layer not in TURF] + _smothered(through, begins)
    lies = shapely.intersection(united(turf), ground)
    return float(shapely.difference(lies, united(over)).area) if over else float(lies.area)


def _smothered(through: Timeline, begins: int) -> list[Polygon]:
    """Return what has lain covered for long enough, and not too long ago, when something is planted."""
    found = []
    for feature in through.features:
        needed = getattr(feature, "months_needed", None)
        span = through.span(feature.id)
        if needed is None or span.begins is None or span.begins + needed() > begins:
            continue
        found += [s.area for s in through.stood(feature, _within(through, span.begins)).surfaces]
    return found


def _within(through: Timeline, month: int) -> Any:
    return through.leaf_date(month // 12).replace(year=month // 12, month=month % 12 + 1, day=15)


def prepare(garden: Garden, through: Timeline, one: Unready) -> Edit:
    """Return the edit that makes ground ready before it is planted: covered, improved, settled, and the planting after.

    It is covered as late as will do, though not in winter, and dug when the soil works; where the plan's first year comes
    too soon for it the planting job begins later, in its own months.  Nothing else is moved.
    """
    name, cover = _name(garden, one), _cover(garden, one)
    lies: int = cover.months_needed()  # type: ignore[attr-defined]
    planned = one.month if one.job is None else one.month - one.job.months
    hard = hard_winter(through.frame.climate)
    digs = tuple(m for m in WORKS if not (hard and m in FREEZES))
    covers, improves = _covered_and_dug(planned, lies, digs, through)
    windows = [list(southern(months, turned=through.southern)) for months in (COVERS, digs)]
    plants = max(planned, improves + 1 + SETTLES_MONTHS)
    area, taken = one.ground.area, _taken(garden)
    smother = {
        "id": free_id(f"smother-{one.owners[0]}", taken), "name": f"Smother the turf for {name}"[:80], "does": [cover.id],
        "tasks": ["Mow it short", "Lay card, overlapping by a hand's breadth", "Cover with woodchip 0.1 m deep"],
        "hours": _hours(area * COVER_H_M2), "start": month_from_index(covers), "window": windows[0],
        "worth": "none", "note": f"It lies {counted(lies, 'month')} until what grew there is dead.",
    }  # fmt: skip
    improve = {
        "id": free_id(f"improve-{one.owners[0]}", taken), "name": f"Improve the ground for {name}"[:80],
        "takes_away": [cover.id], "tasks": ["Rake off what is left of the cover", "Pull out living roots", "Fork in compost"],
        "hours": _hours(area * IMPROVE_H_M2), "start": month_from_index(improves), "window": windows[1],
        "worth": "none", "after": [{"job": smother["id"], "wait_months": lies}],
        "note": f"Then it settles for {_some(SETTLES_MONTHS)} before it is planted. Not when it is frozen or wet.",
    }  # fmt: skip
    ops = [*put("features", cover).ops, *put("jobs", improve).ops, *put("jobs", smother).ops]
    ops += _planting(one, str(improve["id"]), planned, plants)
    return Edit(label=f"Make the ground ready for {name}"[:200], ops=tuple(ops))


def _cover(garden: Garden, one: Unready) -> Feature:
    """Return the ground as it is covered: of the kind that says how long it has to lie."""
    kind = next(k for k in KINDS if hasattr(k, "months_needed"))
    fields = {
        "id": free_id(f"smothered-{one.owners[0]}", _taken(garden)), "name": f"Turf smothered for {_name(garden, one)}"[:80],
        "outline": _ring(one.ground),
    }  # fmt: skip
    return kind.model_validate(fields)


def _covered_and_dug(planned: int, lies: int, digs: tuple[int, ...], through: Timeline) -> tuple[int, int]:
    """Return the months in which ground is covered and dug: as late as will do for the planned planting.

    Ground that would come free while it is frozen is covered so much earlier that it is dug before the winter; where
    there is no such month from the plan's first on, it is covered as if winters were mild, and planted later.
    """
    first, latest = through.means.first_year * 12, planned - (lies + 2 + SETTLES_MONTHS)
    fits = southern(COVERS, turned=through.southern)
    months = [k for k in range(latest, latest - 12, -1) if k % 12 + 1 in fits]
    dug = {k: _next(k + 1 + lies, digs, turned=through.southern) for k in (*months, first)}
    in_time = (k for k in months if k >= first and dug[k] + 1 + SETTLES_MONTHS <= planned)
    covered = next(in_time, max(months[0], first))
    return covered, dug[covered]


def _planting(one: Unready, after: str, planned: int, month: int) -> list[Op]:
    """Return the changes that let the planting come after the ground is ready."""
    if one.job is None:
        later = one.owners if month > planned else ()
        return [op for owner in later for op in change("features", owner, {"there_from": month_from_index(month)}).ops]
    wait = {"job": after, "wait_months": SETTLES_MONTHS}
    fields: dict[str, Any] = {"after": [*(plain(a) for a in one.job.after), wait]}
    if one.job.start is not None and month > planned:
        window = one.job.window
        fields["start"] = month_from_index(_next(month, window, turned=False) if window else month)
    return list(change("jobs", one.job.id, fields).ops)


def _name(garden: Garden, one: Unready) -> str:
    called = {f.id: f.called for f in garden.features}
    names = [called[o] for o in one.owners]
    return names[0] if len(names) == 1 else f"{names[0]} and {len(names) - 1} more"


def _next(month: int, months: tuple[int, ...], *, turned: bool) -> int:
    """Return the first month (from January of year 0) not before ``month`` that is one of the calendar ``months``."""
    fits = southern(months, turned=turned)
    return next(k for k in range(month, month + 12) if k % 12 + 1 in fits)


def _some(months: int) -> str:
    return "a month" if months == 1 else f"{months} months"


def _ring(shape: Polygon) -> list[list[float]]:
    simple = shape.simplify(0.02)
    return [[round(float(x), 3), round(float(y), 3)] for x, y in simple.exterior.coords[:-1]]


def _hours(hours: float) -> float:
    return max(round(hours * 2) / 2, LEAST_H)


def _taken(garden: Garden) -> set[str]:
    return {x.id for part in (garden.features, garden.jobs) for x in part}
