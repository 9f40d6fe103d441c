"""Edits a hand makes at the sheet: things mirrored, set out in arrays, drawn again beside an edge."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from pydantic import ValidationError

from quincunx.features import Feature, feature_from, kinds
from quincunx.garden.document import Garden
from quincunx.garden.edits import Edit, Op
from quincunx.garden.plain import plain
from quincunx.garden.sentences import sentence
from quincunx.shapes import MOST_COPIES, XY, ArrayLayout, array_count, array_shifts
from quincunx.units.errors import PlainError

Axis = tuple[XY, float]
ORIGIN: XY = (0.0, 0.0)
OWN = frozenset({"id", "kind", "name", "note"})
"""Fields that never name another thing."""


class HandError(PlainError, ValueError):
    """What was asked can't be drawn; the message says why and what to do."""


@dataclass(frozen=True, slots=True)
class Array:
    """How things are set out: the layout, how many a row and how many rows, their distance, the rows' distance [m].

    ``apart_m`` None is as far as the layout asks; rows run towards ``along_deg`` [deg].
    """

    layout: ArrayLayout = "square"
    across: int = 3
    rows: int = 1
    spacing_m: float = 2.0
    apart_m: float | None = None
    along_deg: float = 90.0


@dataclass(frozen=True, slots=True)
class Handed:
    """The edit, the things it puts in or changes (for a look before it is made), and what it comes to in words."""

    edit: Edit
    features: tuple[Feature, ...]
    said: str


def mirror(garden: Garden, ids: Sequence[str], axis: Axis, *, keep: bool = True) -> Handed:
    """Return the edit that mirrors things in an axis: as copies beside them if they ``keep``, else in their place."""
    found = _things(garden, ids)
    if not keep:
        after = tuple(f.changed(**f.mirrored(axis)) for f in found)
        ops = [
            Op(do="change", part="features", id=f.id, value={n: plain(v) for n, v in f.mirrored(axis).items()})
            for f in found
        ]
        return Handed(Edit(label=f"Mirror {_called(found)}", ops=tuple(ops)), after, f"{_many(found)} turned over")
    made = _copies(garden, found, [[f.mirrored(axis) for f in found]], "mirrored")
    return Handed(*made, f"{_many(found)} once more, mirrored")


def array(garden: Garden, ids: Sequence[str], how: Array) -> Handed:
    """Return the edit that sets copies of things out in an array, the things themselves its first place."""
    found = _things(garden, ids)
    count = array_count(how.layout, how.across, how.rows)
    if how.across < 1 or how.rows < 1 or count < 2:
        raise HandError(f"{how.across} a row and {how.rows} rows make no array. Give at least two places.")
    if count * len(found) > MOST_COPIES:
        raise HandError(
            f"That would be {count * len(found)} things; at most {MOST_COPIES} are made at once. For plants without "
            "end, put in a row or a planted area: it holds them all as one."
        )
    if how.spacing_m <= 0 or (how.apart_m is not None and how.apart_m <= 0):
        raise HandError("The distances of an array are above nothing.")
    shifts = array_shifts(
        how.layout, how.across, how.rows, how.spacing_m, apart_m=how.apart_m, along_deg=how.along_deg
    )[1:]
    fields = [[f.moved(dx, dy, 0.0, ORIGIN) for f in found] for dx, dy in shifts]
    edit, features = _copies(garden, found, fields, "")
    more = count - 1
    each = f"{len(found)} things each, " if len(found) > 1 else ""
    return Handed(edit, features, f"{count} places ({each}{more * len(found)} new)")


def beside(
    garden: Garden,
    thing: str,
    aside_m: float,
    *,
    kind: str | None = None,
    edge: int | None = None,
    since: str | None = None,
    from_edge: bool = False,
) -> Handed:
    """Return the edit that puts a new thing beside another: along its line or outline, ``aside_m`` off it [m].

    Of a line, to its left where above nothing; of an outline, outwards.  ``edge`` takes one side of an outline only.
    ``kind`` is what is put in (None: the same again), ``since`` the month it stands from.  ``from_edge`` measures from
    the side of what lies along a line, not from the line in its middle.
    """
    source = _things(garden, [thing])[0]
    name, points, closed = _drawn(source)
    if from_edge and not closed:
        aside_m += math.copysign(half_width_m(source), aside_m)
    if kind is None and closed and edge is not None:
        raise HandError(f"A {source.words} needs an outline, and one edge is only a line. Go all round it instead.")
    whole = _beside_points(points, aside_m, closed=closed, edge=edge)
    made = _own_copy(source, name, whole) if kind is None else _new(kind, whole, since, closed=closed and edge is None)
    fresh = _Fresh(garden).take(made.pop("kind"), made)
    op = Op(do="put", part="features", id=fresh.id, value=plain(fresh))
    return Handed(Edit(label=f"Put {fresh.words} beside {source.called}", ops=(op,)), (fresh,), f"one {fresh.words}")


def half_width_m(feature: Feature) -> float:
    """Return half the width of what lies along a line [m]; 0 if it has none of its own."""
    wide = getattr(feature, "thickness", getattr(feature, "width", None))
    return float(wide) / 2 if isinstance(wide, float) else 0.0


def _drawn(feature: Feature) -> tuple[str, tuple[XY, ...], bool]:
    """Return the field a thing is drawn by, its points, and whether they close."""
    for name, points in feature.lines().items():
        line = getattr(feature, "is_closed", None)
        return name, tuple((float(x), float(y)) for x, y in points), line() if line else True
    raise HandError(f"{feature.called} stands at a point: it has no edge to go along. Choose a thing with a line.")


def _beside_points(points: Sequence[XY], aside_m: float, *, closed: bool, edge: int | None) -> tuple[XY, ...]:
    if closed and edge is None:
        return _round(points, aside_m)
    line = [points[edge % len(points)], points[(edge + 1) % len(points)]] if closed and edge is not None else points
    if closed and _turns_left(points):
        aside_m = -aside_m
    from shapely import LineString

    found = LineString(line).offset_curve(aside_m, join_style="mitre", mitre_limit=4.0)
    if found.is_empty or found.geom_type != "LineString":
        raise HandError("So far off, nothing of the line is left. Give a smaller distance, or the other side.")
    return tuple((float(x), float(y)) for x, y in found.coords)


def _round(points: Sequence[XY], aside_m: float) -> tuple[XY, ...]:
    from shapely import Polygon

    found = Polygon(points).buffer(aside_m, join_style="mitre", mitre_limit=4.0)
    if found.is_empty or found.geom_type != "Polygon":
        raise HandError("So far in, nothing of the outline is left in one piece. Give a smaller distance.")
    ring = [(float(x), float(y)) for x, y in found.exterior.coords[:-1]]
    return tuple(ring)


def _turns_left(points: Sequence[XY]) -> bool:
    around = zip(points, [*points[1:], points[0]], strict=True)
    return sum(ax * by - bx * ay for (ax, ay), (bx, by) in around) > 0


def _own_copy(source: Feature, name: str, points: Sequence[XY]) -> dict[str, Any]:
    return {**plain(source), "name": "", name: [list(p) for p in points]}


def _new(kind: str, points: Sequence[XY], since: str | None, *, closed: bool) -> dict[str, Any]:
    model = kinds().get(kind)
    if model is None:
        raise HandError(f"There is no kind {kind[:40]!r} to put beside it.")
    example = model.model_validate(dict(model.example))
    name, _, round_ = _drawn(example)
    fields = {n: example_value for n, example_value in plain(example).items() if model.model_fields[n].is_required()}
    ring = {} if round_ or not closed else ({"closed": True} if "closed" in model.model_fields else None)
    line = [list(p) for p in points]
    if ring is None:
        ring, line = {}, [*line, line[0]]
    if round_ and not closed:
        raise HandError(f"A {model.words} needs an outline, and one edge is only a line. Go all round it instead.")
    return {**fields, **ring, "kind": kind, name: line, "there_from": since}


def _things(garden: Garden, ids: Sequence[str]) -> tuple[Feature, ...]:
    by_id = {f.id: f for f in garden.features}
    missing = [i for i in ids if i not in by_id]
    if missing or not ids:
        raise HandError("It is no longer there. Choose things that stand on the plan.")
    return tuple(by_id[i] for i in dict.fromkeys(ids))


class _Fresh:
    """Ids nobody has."""

    def __init__(self, garden: Garden) -> None:
        self.taken = {x.id for part in ("rooms", "spots", "features") for x in getattr(garden, part)}

    def id_for(self, kind: str) -> str:
        n = 1
        while f"{kind}-{n}" in self.taken:
            n += 1
        self.taken.add(f"{kind}-{n}")
        return f"{kind}-{n}"

    def take(self, kind: str, fields: Mapping[str, Any]) -> Feature:
        own = {k: v for k, v in fields.items() if v is not None}
        return _made({**own, "kind": kind}, self.id_for(kind))


def _made(data: Mapping[str, Any], name: str) -> Feature:
    try:
        return feature_from(data, name)
    except ValidationError as error:
        raise HandError(f"It can't be drawn there: {sentence(error.errors()[0])}") from None


def _copies(
    garden: Garden, found: Sequence[Feature], fields: Sequence[Sequence[Mapping[str, Any]]], word: str
) -> tuple[Edit, tuple[Feature, ...]]:
    """Return the edit that puts copies of things in, set by set, and makes them by the same jobs."""
    fresh, made = _Fresh(garden), list[Feature]()
    twins: dict[str, list[str]] = {f.id: [] for f in found}
    for number, group in enumerate(fields, 2):
        names = {f.id: fresh.id_for(f.kind) for f in found}
        for source, change in zip(found, group, strict=True):
            data = {**plain(source), **{k: plain(v) for k, v in change.items()}}
            data = {k: v if k in OWN else _renamed(v, names) for k, v in data.items()}
            if source.name:
                data["name"] = f"{source.name[:66]} ({word})" if word else _numbered(source.name, number)
            made.append(_made(data, names[source.id]))
            twins[source.id].append(names[source.id])
    ops = [Op(do="put", part="features", id=f.id, value=plain(f)) for f in made]
    verb = "Mirror" if word else "Set out"
    return Edit(label=f"{verb} {_called(found)}", ops=(*ops, *_with_jobs(garden, twins))), tuple(made)


def _with_jobs(garden: Garden, twins: Mapping[str, list[str]]) -> Iterable[Op]:
    """Yield the changes by which the job that makes a thing makes its copies too, unless that is done already."""
    done = {e.about for e in garden.journal if e.what == "done"}
    for job in garden.jobs:
        more = [t for name in job.does for t in twins.get(name, ())]
        if more and job.id not in done:
            yield Op(do="change", part="jobs", id=job.id, value={"does": [*job.does, *more]})


def _numbered(name: str, number: int) -> str:
    stem = re.sub(r"\s+1$", "", name)[:74]
    return f"{stem} {number}"


def _renamed(value: Any, names: Mapping[str, str]) -> Any:
    if isinstance(value, str):
        return names.get(value, value)
    if isinstance(value, list):
        return [_renamed(v, names) for v in value]
    return {k: _renamed(v, names) for k, v in value.items()} if isinstance(value, dict) else value


def _called(found: Sequence[Feature]) -> str:
    return found[0].called if len(found) == 1 else f"{len(found)} things"


def _many(found: Sequence[Feature]) -> str:
    return found[0].called if len(found) == 1 else f"{len(found)} things"


def bearing_of(start: XY, end: XY) -> float:
    """Return the bearing of a line drawn as an axis [deg]; :class:`HandError` if its ends are one point."""
    if math.dist(start, end) < 1e-6:
        raise HandError("An axis needs two points that differ.")
    return math.degrees(math.atan2(end[0] - start[0], end[1] - start[1])) % 360.0
