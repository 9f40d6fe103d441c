"""What stands on a date as named things in their paints: the file, the ground, the seasons."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest
import shapely

from quincunx.demos import demo_garden
from quincunx.garden import timeline
from quincunx.grow.bloom import in_month
from quincunx.model import glb_of, things_of
from quincunx.model.floors import floors_of
from quincunx.scene import Scene
from quincunx.shapes import GROUND, Height, Risers, Surface
from quincunx.site.ground import Ground
from tests.board.garden import small
from tests.model.reading import read

SLOPE = Ground.from_levels([(0, 0, 0), (10, 0, 0), (5, 5, 0.5), (0, 10, 3), (10, 10, 3)])


def plan_area(mesh):
    a, b, c = (mesh.corners[mesh.triangles[:, k], :2] for k in range(3))
    return 0.5 * ((b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])).sum()


def test_the_file_keeps_the_rules_of_gltf_and_says_names_metres_and_y_up():
    through = timeline(small())
    on = date(2029, 8, 31)
    model = read(glb_of(through.at(on), through.find, name="Small green"))
    assert model.doc["scenes"][0]["name"] == "Small green on 2029-08-31"
    wall = model.corners("Old wall")
    # Inside: x east, y north, z up.  glTF (3.4): metres, y up; so north is -z.
    (west, low, south), (east, high, north) = wall.min(0), wall.max(0)
    (solids,) = [[s for s in through.at(on).solids if s.owner == "wall"]]
    x0, y0, x1, y1 = shapely.union_all([s.footprint for s in solids]).bounds
    assert (west, east, -north, -south) == pytest.approx((x0, x1, y0, y1), abs=1e-5)
    assert high == pytest.approx(max(s.top.value_m for s in solids))
    assert low == pytest.approx(-0.1)
    assert model.node("Old wall")["extras"] == {"id": "wall"}
    assert {n["name"] for n in model.doc["nodes"]} > {"Old wall", "Green gate", "The ground", "The ground around"}


def test_the_same_scene_gives_the_same_bytes_and_each_year_its_own():
    through = timeline(small())
    first, again, later = (
        glb_of(t.at(date(y, 8, 31)), t.find) for t, y in ((through, 2028), (timeline(small()), 2028), (through, 2029))
    )
    assert first == again
    assert "seat" not in {n["extras"]["id"] for n in read(first).doc["nodes"]}
    assert "seat" in {n["extras"]["id"] for n in read(later).doc["nodes"]}


def test_water_below_its_banks_has_them_seen_from_the_middle_and_they_are_earth():
    """Without them one looks under the ground, into the sky, where a stream runs half a metre down."""
    stream = Surface(
        "stream", "", shapely.box(4, -1, 6, 11), "running water", Height(-0.5), water_depth_m=0.3, flows=True
    )
    scene = Scene(date(2027, 8, 31), shapely.box(0, 0, 10, 10), Ground.flat(), surfaces=(stream,))
    mine = [f for f in floors_of(scene) if f.owner == "stream"]
    assert [f.material for f in mine] == ["running water", "earth"]
    mesh = mine[1].mesh
    assert (mesh.corners[:, 2].min(), mesh.corners[:, 2].max()) == pytest.approx((-0.5, 0.0))
    a, b, c = (mesh.corners[mesh.triangles[:, k]] for k in range(3))
    outward = np.cross(b - a, c - a)[:, :2]
    inward = np.array([5.0, 5.0]) - ((a + b + c) / 3)[:, :2]
    assert ((outward * inward).sum(axis=1) > 0).all()


@pytest.mark.parametrize("name", ["ropewalk", "kettle-hill"])
def test_the_demonstrations_stand_whole(name):
    through = timeline(demo_garden(name))
    scene = through.at(through.leaf_date(through.years[-1]))
    model = read(glb_of(scene, through.find, name=name))
    there = {n["extras"]["id"] for n in model.doc["nodes"]} - {""}
    assert there == {s.owner for s in scene.solids} | {s.owner for s in scene.surfaces} | {
        o.owner for o in scene.openings if o.leaf is not None
    }
    for thing in things_of(scene, through.find):
        if thing.id and (solids := [s for s in scene.solids if s.owner == thing.id]):
            around = shapely.union_all([s.footprint for s in solids]).buffer(0.02)
            at = np.vstack([p.mesh.corners for p in thing.pieces])[:, :2]
            others = [s.area.buffer(0.02) for s in scene.surfaces if s.owner == thing.id]
            others += [o.clear.buffer(0.05) for o in scene.openings if o.owner == thing.id]
            assert shapely.covers(shapely.union_all([around, *others]), shapely.points(at)).all()


def test_floors_cover_what_shows_of_them_and_lie_on_the_ground():
    lawn = Surface("lawn", "", shapely.box(1, 1, 9, 9), "grass")
    path = Surface("path", "", shapely.box(4, 0, 5, 10), "gravel", layer=5)
    scene = Scene(date(2030, 8, 31), shapely.box(0, 0, 10, 10), SLOPE, surfaces=(lawn, path))
    floors = {f.owner or f.material: f.mesh for f in floors_of(scene)}
    assert plan_area(floors["path"]) == pytest.approx(10, rel=1e-4)
    assert plan_area(floors["lawn"]) == pytest.approx(64 - 8, rel=1e-4)
    assert plan_area(floors["ground"]) == pytest.approx(100, rel=1e-6)
    at = floors["lawn"].corners
    assert at[:, 2] == pytest.approx(SLOPE.height(at[:, 0], at[:, 1]), abs=0.01)
    middle = at[np.hypot(at[:, 0] - 5, at[:, 1] - 5) < 1e-6]
    assert len(middle) or plan_area(floors["path"]) > 0


def test_steps_climb_riser_by_riser():
    flight = Surface(
        "steps",
        "",
        shapely.box(0, 0, 1.2, 0.9),
        "stone",
        Risers(up_deg=0, count=3, rise_m=0.15, going_m=0.3, foot=GROUND),
    )
    scene = Scene(date(2030, 8, 31), shapely.box(-2, -2, 4, 4), Ground.flat(), surfaces=(flight,))
    (mesh,) = [f.mesh for f in floors_of(scene) if f.owner == "steps"]
    assert set(np.round(mesh.corners[:, 2], 3)) == {0.0, 0.15, 0.3, 0.45}
    assert plan_area(mesh) == pytest.approx(1.2 * 0.9, rel=1e-4)


def test_a_raised_floor_has_edges_and_open_ground_stays_under_it():
    deck = Surface("deck", "", shapely.box(0, 0, 2, 2), "boards", Height(0.4))
    scene = Scene(date(2030, 8, 31), shapely.box(-2, -2, 4, 4), Ground.flat(), surfaces=(deck,))
    floors = {f.owner or f.material: f.mesh for f in floors_of(scene)}
    assert set(np.round(floors["deck"].corners[:, 2], 3)) == {0.0, 0.4}
    assert plan_area(floors["ground"]) == pytest.approx(36)


@pytest.mark.parametrize(("month", "paint"), [(1, "twigs"), (4, "leaf young"), (7, "leaf"), (10, "leaf turning")])
def test_leaves_go_by_the_season(month, paint):
    through = timeline(small())
    model = read(glb_of(through.at(date(2029, month, 20)), through.find))
    assert model.paints("hedge") == {paint}


def test_what_flowers_shows_it():
    garden = demo_garden("ropewalk")
    through = timeline(garden)
    year = through.years[-1]
    month = next(m for m in range(1, 13) if in_month(through, year, m, bloom=True))
    flowering = in_month(through, year, month, bloom=True)
    scene = through.at(date(year, month, 28))
    by_id = {t.id: {p.paint.name for p in t.pieces} for t in things_of(scene, through.find, flowering)}
    assert any("blossom" in by_id[o] for o in flowering if o in by_id)
