"""What every kind must do, asked of each of them through its example."""

from __future__ import annotations

import math
import re
from datetime import date
from typing import Any, get_args, get_origin

import pytest
import shapely
from hypothesis import given, settings, strategies as st
from pydantic import BaseModel, TypeAdapter, ValidationError
from shapely import affinity

from quincunx.features import KINDS, AnyFeature, Feature, Group, feature_from, kind_id
from quincunx.features._plan import ROUND_M
from quincunx.shapes import AreaFigure, Figure, Height, Plane, Risers
from quincunx.units.fields import Length
from tests.features.standing import ALL, IDS, footprint, make, moment, points, stand

every_kind = pytest.mark.parametrize(("word", "kind"), ALL, ids=IDS)
MONTHS = [(month, southern) for southern in (False, True) for month in range(1, 13)]


def example(kind: type[Feature]) -> Feature:
    return kind.model_validate(kind.example)


def test_the_list_is_in_order_and_without_doubles():
    names = [kind.__name__ for kind in KINDS]
    assert names == sorted(names)
    assert len({kind_id(kind) for kind in KINDS}) == len(KINDS)


@every_kind
def test_is_described(word, kind):
    assert kind.__doc__
    assert not kind.__doc__.startswith("A feature ")
    assert kind.words == kind.words.strip()
    assert kind.words[0].islower()
    assert re.search(r"[.!]$", kind.about), "about is a sentence"
    assert len(kind.about) >= 30
    assert kind.group in get_args(Group)
    assert word.replace("-", "_").endswith(kind.__module__.rsplit(".", 1)[1]), "one file, called as the kind"


def fields_of(model: type[BaseModel]) -> list[tuple[str, Any]]:
    """Fields of a model and of the small models inside it."""
    found = []
    for name, info in model.model_fields.items():
        found.append((name, info))
        inside = [info.annotation, *get_args(info.annotation)]
        inside += [deeper for part in inside for deeper in get_args(part)]
        for part in dict.fromkeys(inside):
            if isinstance(part, type) and issubclass(part, BaseModel):
                found += fields_of(part)
    return found


@every_kind
def test_every_field_has_words_and_a_unit_where_it_measures(word, kind):
    for name, info in fields_of(kind):
        if name == "kind":
            continue
        assert info.title, f"{name} has no words"
        assert info.title[0].isupper(), f"{name}: {info.title}"
        parts = (info.annotation, *get_args(info.annotation))
        measures = any(isinstance(p, type) and issubclass(p, float) for p in parts)
        if measures:
            assert (info.json_schema_extra or {}).get("unit"), f"{name} has no unit"
        if Length in parts and get_origin(info.annotation) is not tuple:
            extra = info.json_schema_extra
            assert extra["min"] is not None, f"{name} has no lower bound"
            assert extra["max"] is not None, f"{name} has no upper bound"


@every_kind
def test_its_schema_builds(word, kind):
    schema = kind.model_json_schema()
    assert schema["properties"]["kind"]["const"] == word
    assert schema["additionalProperties"] is False


def test_one_schema_tells_all_apart():
    schema = TypeAdapter(AnyFeature).json_schema()
    assert set(schema["discriminator"]["mapping"]) == set(IDS)


@every_kind
def test_goes_to_json_and_back(word, kind):
    feature = example(kind)
    text = feature.model_dump_json()
    again: Any = TypeAdapter(AnyFeature).validate_json(text)
    assert type(again) is kind
    assert again == feature
    assert hash(again) == hash(feature)
    assert again.model_dump_json() == text


@every_kind
def test_refuses_what_it_does_not_know(word, kind):
    with pytest.raises(ValidationError):
        kind.model_validate({**kind.example, "no_such_field": 1})


@every_kind
@pytest.mark.parametrize("start", [None, "start"])
def test_stands_in_every_month_north_and_south(word, kind, start):
    feature = example(kind).changed(there_from=start)
    for month, southern in MONTHS:
        for age in (0.0, 0.5, 7.0) if month in (1, 6) else (2.0,):
            check(feature, stand(feature, moment(date(2030, month, 15), age=age, southern=southern)))


def check(feature: Feature, stood: Any) -> None:
    for solid in stood.solids:
        assert solid.owner == feature.id
        sound(solid.footprint)
        assert solid.base.z_m(0.0) < solid.top.z_m(0.0), "stood on flat ground at 0"
        assert solid.gap_m >= 0
        for monthly in (solid.opacity, solid.transmittance):
            assert len(monthly) == 12
            assert all(0.0 <= share <= 1.0 for share in monthly)
    for surface in stood.surfaces:
        assert surface.owner == feature.id
        sound(surface.area)
        assert len(surface.firmness) == 12
        assert all(0.0 <= share <= 1.0 for share in surface.firmness)
        assert 0.0 <= surface.run_off <= 1.0
        assert surface.water_depth_m >= 0
        assert isinstance(surface.lie, (Height, Plane, Risers))
    names = [item.name for item in (*stood.solids, *stood.surfaces)]
    assert len(set(names)) == len(names), "parts have names of their own"
    for opening in stood.openings:
        assert opening.owner == feature.id
        assert opening.width_m == pytest.approx(opening.clear.length, abs=1e-9)
    for change in stood.changes:
        assert change.owner == feature.id
    for plant in stood.plants:
        assert plant.plant in feature.plants_named()
        assert plant.count == len(plant.at) > 0
        for size in (plant.height_m, plant.spread_m):
            assert 0 <= size[0] <= size[1] <= size[2]
    for figure in stood.figures:
        drawn(feature, figure)
    for work in stood.work:
        assert work.owner == feature.id


def sound(shape: Any) -> None:
    assert shape.geom_type == "Polygon"
    assert shape.is_valid
    assert shape.area > 0
    assert not shape.has_z


def drawn(feature: Feature, figure: Figure) -> None:
    assert figure.owner == feature.id
    assert points(figure)
    assert all(math.isfinite(v) for p in points(figure) for v in p)
    if isinstance(figure, AreaFigure):
        assert all(len(ring) >= 3 for ring in figure.rings)


@every_kind
def test_is_drawn(word, kind):
    assert stand(example(kind)).figures


@every_kind
def test_what_it_takes_in_plan_is_drawn_there(word, kind):
    """True dimensions: the drawing covers the ground that the thing takes, and hardly more."""
    stood = stand(example(kind), moment(age=3.0))
    takes = footprint(stood)
    if takes.is_empty:
        return
    lines = [shapely.MultiPoint(points(f)) for f in stood.figures]
    hull = shapely.union_all(lines).envelope
    assert hull.buffer(0.02).covers(shapely.union_all([s.footprint for s in stood.solids] or [hull.centroid]).envelope)
    assert hull.buffer(0.02).covers(shapely.union_all([s.area for s in stood.surfaces] or [hull.centroid]).envelope)


@every_kind
def test_each_handle_drags(word, kind):
    feature = example(kind)
    handles = feature.handles()
    assert len({h.id for h in handles}) == len(handles) > 0
    for handle in handles:
        assert handle.words
        dx, dy = (0.37, -0.21) if handle.along_deg is None else along(handle.along_deg, 0.4)
        to = (handle.at[0] + dx, handle.at[1] + dy)
        after = feature.changed(**feature.dragged(handle.id, to))
        assert after != feature
        at = next(h.at for h in after.handles() if h.id == handle.id)
        # A handle that turns the thing or is held by a bound comes near, others come to the point itself.
        assert math.dist(at, to) <= math.dist(handle.at, to), f"{handle.id} went away from the pointer"
        if handle.along_deg is not None or "." in handle.id or handle.id == "at":
            assert math.dist(at, to) < 0.002, f"{handle.id} did not follow"


def along(bearing_deg: float, by_m: float) -> tuple[float, float]:
    a = math.radians(bearing_deg)
    return by_m * math.sin(a), by_m * math.cos(a)


@every_kind
def test_a_handle_it_has_not(word, kind):
    with pytest.raises(KeyError):
        example(kind).dragged("no-such-handle", (0, 0))


@every_kind
@pytest.mark.parametrize("at_age", [0.0, 4.0])
def test_a_quarter_turn_moves_it_rigidly(word, kind, at_age):
    """A quarter turn and a shift by whole millimetres keep the grid: exact to a billionth."""
    feature = example(kind)
    after = feature.changed(**feature.moved(3.125, -1.5, 90.0, (0.0, 0.0)))
    when = moment(age=at_age)
    was, now = footprint(stand(feature, when)), footprint(stand(after, when))
    want = affinity.translate(affinity.rotate(was, -90.0, origin=(0, 0)), 3.125, -1.5)
    assert now.area == pytest.approx(was.area, abs=1e-6)
    if not was.is_empty:
        assert now.hausdorff_distance(want) < 1e-6


@every_kind
@settings(max_examples=12)
@given(
    turn=st.floats(-360, 360),
    dx=st.floats(-30, 30),
    dy=st.floats(-30, 30),
    about=st.tuples(st.floats(-8, 8), st.floats(-8, 8)),
)
def test_any_turn_moves_it_as_near_as_the_grid_allows(word, kind, turn, dx, dy, about):
    feature = example(kind)
    after = feature.changed(**feature.moved(dx, dy, turn, about))
    was, now = footprint(stand(feature)), footprint(stand(after))
    want = affinity.translate(affinity.rotate(was, -turn, origin=about), dx, dy)
    if was.is_empty:
        assert now.is_empty
        return
    # Each point is at most half a millimetre off east and north, so nothing reaches 2 mm further or less far.  The sides
    # of a circle, which lie up to ROUND_M inside it, do not turn with it.
    off = max(abs(a - b) for a, b in zip(reach(now), reach(want), strict=True))
    assert off < 0.002 + (1.1 * ROUND_M if has_circle(stand(feature)) else 0.0)
    assert now.area == pytest.approx(was.area, abs=0.0015 * was.length + 1e-6)


def reach(shape: Any) -> list[float]:
    """How far a shape reaches in sixteen directions."""
    at = shapely.get_coordinates(shape)
    turns = [2 * math.pi * (i + 0.37) / 16 for i in range(16)]
    return [float((at @ [math.cos(a), math.sin(a)]).max()) for a in turns]


def has_circle(stood: Any) -> bool:
    shapes = [s.footprint for s in stood.solids] + [s.area for s in stood.surfaces]
    shapes += [c.place for c in stood.changes if getattr(c, "place", None) is not None]
    return any(len(s.exterior.coords) > 12 for s in shapes)


@every_kind
def test_moving_by_nothing_changes_nothing(word, kind):
    feature = example(kind)
    assert feature.changed(**feature.moved(0.0, 0.0, 0.0, (1.0, 2.0))) == feature


@every_kind
def test_the_same_again_is_the_same(word, kind):
    a, b = stand(example(kind)), stand(example(kind))
    assert a == b


@every_kind
def test_is_found_by_its_word(word, kind):
    again = feature_from({**kind.example, "kind": word}, "another-id")
    assert type(again) is kind
    assert again.id == "another-id"
    assert make(word).id == f"a-{word}"


NO_MIRROR_IMAGE = {"boulder"}
"""A found stone has a shape of its own that no mirror changes: only its place is mirrored."""
AXES = [((0.0, 0.0), 0.0), ((1.5, -2.0), 90.0), ((0.25, 1.0), 45.0)]


@every_kind
@pytest.mark.parametrize("axis", AXES, ids=["north", "east", "north-east"])
def test_is_mirrored(word, kind, axis):
    """Mirrored in lines that keep the grid it lies as a mirror shows it, as general geometry says; twice, as it was."""
    feature = example(kind)
    after = feature.changed(**feature.mirrored(axis))
    was, now = parts_of(stand(feature)), parts_of(stand(after))
    assert set(now) == set(was)
    for name, shape in was.items():
        if word in NO_MIRROR_IMAGE:
            assert now[name].area == pytest.approx(shape.area)
            continue
        want = affinity.affine_transform(shape, mirror_of(axis))
        assert now[name].symmetric_difference(want).area < 1e-3 * shape.area + 1e-6, name
    again = after.changed(**after.mirrored(axis))
    assert parts_of(stand(again)).keys() == was.keys()
    assert again.moved(0.0, 0.0, 0.0, (0.0, 0.0)) == feature.moved(0.0, 0.0, 0.0, (0.0, 0.0))


def mirror_of(axis: Any) -> list[float]:
    """The matrix of a reflection in a line at the angle t to the east: (cos 2t, sin 2t; sin 2t, -cos 2t)."""
    (x, y), deg = axis
    double = 2 * math.radians(90.0 - deg)
    c, s = math.cos(double), math.sin(double)
    return [c, s, s, -c, x - c * x - s * y, y - s * x + c * y]


def parts_of(stood: Any) -> dict[str, Any]:
    """What it takes, told apart by what it is: walls, floors, posts and all."""
    found: dict[str, Any] = {}
    for name, shape in [(f"solid {s.form}"[:14], s.footprint) for s in stood.solids] + [
        (f"surface {s.material}", s.area) for s in stood.surfaces
    ]:
        found[name] = shapely.union(found.get(name, shapely.Polygon()), shape)
    return found


@every_kind
def test_what_a_measure_holds_on_to_moves_with_it(word, kind):
    feature = example(kind)
    after = feature.changed(**feature.moved(3.0, -1.0, 0.0, (0.0, 0.0)))
    holds = feature.holds()
    assert {h.id for h in feature.handles()} <= set(holds)
    for name, (x, y) in after.holds().items():
        assert (x, y) == pytest.approx((holds[name][0] + 3.0, holds[name][1] - 1.0), abs=1e-6)
