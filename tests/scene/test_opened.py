"""What an opening cuts is drawn with a gap as wide as the opening."""

from __future__ import annotations

from typing import Any

import pytest
import shapely
from hypothesis import given, settings, strategies as st

from quincunx.garden import garden_from, timeline
from quincunx.scene import Scene
from quincunx.shapes import AreaFigure, PathFigure

WALL = {"kind": "wall", "id": "wall", "line": [[0, 0], [7, 0], [7, 11], [0, 11]], "closed": True, "there_from": "start"}
FENCE = {"kind": "fence", "id": "fence", "line": [[0, 5], [7, 5]], "there_from": "start"}
GATE = {"kind": "gate", "id": "gate", "there_from": "start"}


def stood(*features: dict[str, Any]) -> Scene:
    data = {"format": "quincunx/1", "boundary": [[-1, -1], [9, -1], [9, 12], [-1, 12]], "features": list(features)}
    through = timeline(garden_from(data))
    return through.at(through.leaf_date(through.years[0]))


def walls_drawn(scene: Scene, owner: str) -> list[shapely.Polygon]:
    return [
        shapely.Polygon(f.rings[0], f.rings[1:])
        for f in scene.figures
        if isinstance(f, AreaFigure) and f.owner == owner and len(f.rings[0]) > 2
    ]


@settings(max_examples=25)
@given(st.floats(1.0, 6.0), st.floats(0.6, 1.6))
def test_a_wall_is_drawn_open_at_its_gate_by_the_width_of_the_gate(x, width):
    scene = stood(WALL, {**GATE, "at": [round(x, 3), 0], "width": round(width, 3)})
    drawn = shapely.union_all(walls_drawn(scene, "wall"))
    (opening,) = scene.openings
    along = shapely.LineString([(0.2, 0), (6.8, 0)])
    assert along.difference(drawn).length == pytest.approx(min(width, 6.8 - 0.2), abs=0.002)
    assert drawn.distance(opening.clear.interpolate(0.5, normalized=True)) > 0.25
    # What is drawn is what stands: the solids are cut by the same openings.
    solid = shapely.union_all([s.footprint for s in scene.solids if s.owner == "wall"])
    assert drawn.symmetric_difference(solid).area < 1e-3


def test_a_fence_drawn_as_a_line_with_posts_ends_at_its_gate_too():
    scene = stood(FENCE, {**GATE, "at": [3, 5], "width": 1.0})
    at = shapely.Point(3, 5)
    for figure in scene.figures:
        if figure.owner == "fence" and isinstance(figure, PathFigure):
            assert shapely.LineString(figure.points).distance(at) > 0.4
        if figure.owner == "fence" and isinstance(figure, AreaFigure):
            assert shapely.Polygon(figure.rings[0]).distance(at) > 0.4


def test_what_merely_stands_near_a_gate_and_what_no_opening_cuts_is_drawn_whole():
    other = {**FENCE, "id": "other", "line": [[0, 5.3], [7, 5.3]]}
    scene = stood(FENCE, other, {**GATE, "at": [3, 5]})
    assert [f for f in scene.figures if f.owner == "other"] == [f for f in scene.drawn_whole if f.owner == "other"]
    plain = stood(WALL, FENCE)
    assert plain.figures == plain.drawn_whole


def test_a_climber_over_an_arch_is_drawn_as_it_grows():
    arch = {"kind": "arch", "id": "arch", "at": [3, 5], "along_deg": 90, "there_from": "start"}
    rose = {
        "kind": "climber", "id": "rose", "line": [[2.3, 5], [3.7, 5]], "where": "over an arch", "support": "arch",
        "there_from": "start", "age_at_start": 6.0,
    }  # fmt: skip
    scene = stood(FENCE, arch, rose)
    assert [f for f in scene.figures if f.owner == "rose"] == [f for f in scene.drawn_whole if f.owner == "rose"]
    assert [f for f in scene.figures if f.owner == "fence"] != [f for f in scene.drawn_whole if f.owner == "fence"]
