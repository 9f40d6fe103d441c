"""Things mirrored, set out in arrays and drawn again beside an edge, as edits of a garden."""

from __future__ import annotations

import math
from typing import Any

import pytest
import shapely

from quincunx.garden import Garden, apply, garden_from, plain
from quincunx.garden.hands import Array, HandError, array, bearing_of, beside, half_width_m, mirror

GARDEN: dict[str, Any] = {
    "format": "quincunx/1",
    "name": "Two rooms",
    "boundary": [[-20, -20], [20, -20], [20, 20], [-20, 20]],
    "features": [
        {
            "kind": "tree",
            "id": "pear",
            "name": "Pear 1",
            "at": [2, 3],
            "plant": "prunus-domestica-semi-dwarf-rootstock",
        },
        {"kind": "guard", "id": "pear-guard", "at": [2, 3], "target": "pear"},
        {"kind": "bed", "id": "bed", "outline": [[0, 0], [4, 0], [4, 2], [0, 2]], "there_from": "start"},
        {"kind": "bed", "id": "deb", "outline": [[10, 2], [14, 2], [14, 0], [10, 0]], "there_from": "start"},
        {"kind": "path", "id": "path", "line": [[0, 5], [8, 5], [8, 12]], "width": 1.2, "there_from": "start"},
        {
            "kind": "wall",
            "id": "ring",
            "line": [[0, -9], [4, -9], [4, -5], [0, -5]],
            "closed": True,
            "there_from": "start",
        },
    ],
    "jobs": [{"id": "plant", "name": "Plant the pear", "does": ["pear", "pear-guard"], "start": "2027-11"}],
}


@pytest.fixture(scope="module")
def garden() -> Garden:
    return garden_from(GARDEN)


def first(handed: Any) -> Any:
    return handed.features[0]


def thing_of(garden: Any, name: str) -> Any:
    return next(f for f in garden.features if f.id == name)


def features(garden: Garden, edit: Any) -> dict[str, Any]:
    after, back = apply(garden, edit)
    again, _ = apply(after, back)
    assert plain(again) == plain(garden), "one step takes it back"
    return {f.id: f for f in after.features}


def test_mirrored_copies_keep_what_they_name_and_who_makes_them(garden):
    handed = mirror(garden, ["pear", "pear-guard"], ((0.0, 0.0), 0.0))
    after, _ = apply(garden, handed.edit)
    found: dict[str, Any] = {f.id: f for f in after.features}
    assert tuple(found["tree-1"].at) == (-2.0, 3.0)
    assert found["tree-1"].name == "Pear 1 (mirrored)"
    assert found["guard-1"].target == "tree-1"
    assert after.jobs[0].does == ("pear", "pear-guard", "tree-1", "guard-1")
    assert handed.said == "2 things once more, mirrored"


def test_turned_over_in_place(garden):
    handed = mirror(garden, ["bed"], ((2.0, 0.0), 45.0), keep=False)
    found = features(garden, handed.edit)
    assert len(found) == len(garden.features)
    assert found["bed"].plan().equals(shapely.box(2, -2, 4, 2))


@pytest.mark.parametrize(("layout", "count"), [("square", 20), ("triangular", 18), ("quincunx", 32)])
def test_an_array_says_how_many_there_are(garden, layout, count):
    """5 by 4 places as in the plot of 12 by 9 m planted at 3 m (tests/shapes/test_arrays.py names the source)."""
    handed = array(garden, ["pear"], Array(layout, 5, 4, 3.0))
    assert handed.said.startswith(f"{count} places")
    assert len(handed.features) == count - 1
    found = features(garden, handed.edit)
    assert found["tree-1"].at == (5.0, 3.0)
    assert [found[f"tree-{n}"].name for n in (1, 2)] == ["Pear 2", "Pear 3"]


def test_arrays_without_end_are_refused_with_a_better_way(garden):
    with pytest.raises(HandError, match="planted area"):
        array(garden, ["pear"], Array("square", 30, 30, 1.0))
    with pytest.raises(HandError, match="at least two"):
        array(garden, ["pear"], Array("square", 1, 1, 1.0))
    with pytest.raises(HandError, match="above nothing"):
        array(garden, ["pear"], Array("square", 2, 2, 0.0))


@pytest.mark.parametrize("thing", ["bed", "deb"])
def test_an_outline_drawn_round_another(garden, thing):
    """Outwards whichever way round it was drawn; the strip is as wide as typed."""
    handed = beside(garden, thing, 0.5)
    new, old = first(handed), thing_of(garden, thing)
    assert new.plan().area == pytest.approx(5 * 3)
    assert new.plan().exterior.distance(old.plan()) == pytest.approx(0.5)
    assert features(garden, beside(garden, thing, -0.4).edit)["bed-1"].plan().area == pytest.approx(3.2 * 1.2)


@pytest.mark.parametrize("thing", ["bed", "deb"])
def test_one_edge_of_an_outline_becomes_a_line(garden, thing):
    handed = beside(garden, thing, 0.3, kind="edging", edge=0, since="2027-03")
    line = shapely.LineString(first(handed).line)
    plan = thing_of(garden, thing).plan()
    assert line.length == pytest.approx(4.0)
    assert line.distance(plan) == pytest.approx(0.3)
    assert not plan.intersects(line)
    with pytest.raises(HandError, match="all round"):
        beside(garden, thing, 0.3, edge=0)


def test_beside_a_line_from_its_middle_or_from_its_edge(garden):
    left = shapely.LineString(first(beside(garden, "path", 1.0, kind="edging")).line)
    path = thing_of(garden, "path")
    assert left.distance(shapely.LineString(path.line)) == pytest.approx(1.0)
    assert half_width_m(path) == 0.6
    edge = shapely.LineString(first(beside(garden, "path", 1.0, kind="edging", from_edge=True)).line)
    assert edge.distance(shapely.LineString(path.line)) == pytest.approx(1.6)
    right = shapely.LineString(first(beside(garden, "path", -1.0, kind="edging", from_edge=True)).line)
    assert right.distance(left) == pytest.approx(2.6)


def test_round_a_wall_that_comes_back_to_its_start(garden):
    new = first(beside(garden, "ring", 0.5, kind="edging"))
    assert shapely.Polygon(new.line).area == pytest.approx(25)


def test_what_has_no_edge_says_so(garden):
    with pytest.raises(HandError, match="no edge"):
        beside(garden, "pear", 0.5)
    with pytest.raises(HandError, match="nothing of the outline"):
        beside(garden, "bed", -1.5)
    with pytest.raises(HandError, match="no longer there"):
        mirror(garden, ["gone"], ((0, 0), 0.0))
    with pytest.raises(HandError, match="differ"):
        bearing_of((1.0, 1.0), (1.0, 1.0))
    assert bearing_of((0, 0), (1, 1)) == pytest.approx(math.degrees(math.pi / 4))
