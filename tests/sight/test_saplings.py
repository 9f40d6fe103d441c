"""Young trees are drawn as what stands there: a stem to their height, branches to their spread, leaves while there are any."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from quincunx.garden import garden_from, timeline
from quincunx.scene import Scene
from quincunx.shapes import AreaFigure, PathFigure
from quincunx.sight.outlook import Camera, Outlook, outlook
from quincunx.sight.saplings import YOUNG_YEARS, branches, saplings

APPLE = {"kind": "tree", "id": "apple", "at": [10, 8], "plant": "malus-domestica-mm-106-m-7-rootstock"}
WALL = {"kind": "wall", "id": "wall", "line": [[8, 6], [12, 6]], "height": 3.0, "there_from": "start"}
EYE = Camera((10, 2), 1.6, 0.0)


def seen(on: date, *more: dict[str, Any], **tree: Any) -> tuple[Scene, Outlook]:
    data = {
        "format": "quincunx/1", "name": "Plot", "boundary": [[0, 0], [20, 0], [20, 15], [0, 15]],
        "means": {"first_year": 2027, "years": 3}, "features": [{**APPLE, "there_from": "2027-02", **tree}, *more],
    }  # fmt: skip
    scene = timeline(garden_from(data)).at(on)
    return scene, outlook(scene, EYE)


def lines(look: Outlook) -> list[PathFigure]:
    return [f for f in look.stems if isinstance(f, PathFigure) and f.owner == "apple"]


def test_a_young_tree_is_as_high_and_as_wide_as_the_plan_has_it() -> None:
    """It stands 6 m off: a metre up is a sixth of a metre on the picture plane, which lies 1 m before the eye."""
    scene, look = seen(date(2027, 6, 30))
    (plant,) = scene.plants
    stem, *limbs = lines(look)
    assert stem.points[0] == pytest.approx((0.0, -1.6 / 6), abs=1e-6)
    assert stem.points[1] == pytest.approx((0.0, (plant.height_m[1] - 1.6) / 6), abs=1e-6)
    xs = [x for f in limbs for x, _ in f.points]
    assert max(map(abs, xs)) == pytest.approx(plant.spread_m[1] / 2 / 6, abs=1e-6)
    assert max(y for f in limbs for _, y in f.points) <= stem.points[1][1] + 1e-9
    (young,) = saplings(scene).values()
    assert min(rise for rise, _ in branches(young)) == pytest.approx(young.clear_m)
    crown = [f for f in look.figures if isinstance(f, AreaFigure) and f.owner == "apple" and f.pattern == "tufts"]
    assert sum((max(y for _, y in f.rings[0]) - min(y for _, y in f.rings[0])) for f in crown) < 0.8 * (
        stem.points[1][1] - stem.points[0][1]
    ), "no crown is drawn, only the clear stem"


def test_it_has_leaves_in_summer_and_none_in_winter() -> None:
    leaves = [
        [f for f in seen(on)[1].stems if isinstance(f, AreaFigure)] for on in (date(2027, 6, 30), date(2027, 12, 21))
    ]
    assert leaves[0]
    assert not leaves[1]
    assert lines(seen(date(2027, 12, 21))[1])


def test_more_branches_each_year_and_then_a_crown() -> None:
    counts = [len(lines(seen(date(year, 6, 30))[1])) for year in (2027, 2028, 2029)]
    assert counts == sorted(set(counts)), "each summer has more"
    old = date(2027 + int(YOUNG_YEARS) + 2, 6, 30)
    assert not lines(seen(old)[1])
    assert any(isinstance(f, AreaFigure) and f.owner == "apple" for f in seen(old)[1].figures)


def test_an_old_tree_and_one_behind_a_wall_are_not_drawn_so() -> None:
    assert not lines(seen(date(2027, 6, 30), there_from="start", age_at_start=30)[1])
    assert not lines(seen(date(2027, 6, 30), WALL)[1])
    low = {**WALL, "height": 1.0}
    over = lines(seen(date(2027, 6, 30), low)[1])
    assert over, "its top shows over a low wall"
    assert over[0].points[0][1] > -1.6 / 6


def test_the_row_of_whips_loses_its_leaves_too() -> None:
    hedge = {
        "kind": "hedge",
        "id": "whips",
        "line": [[8, 7], [12, 7]],
        "plant": "prunus-spinosa",
        "there_from": "2027-02",
    }
    summer, winter = (seen(on, hedge)[1].stems for on in (date(2027, 6, 30), date(2027, 12, 21)))
    for found, leafy in ((summer, True), (winter, False)):
        mine = [f for f in found if getattr(f, "owner", "") == "whips"]
        assert any(isinstance(f, PathFigure) for f in mine)
        assert any(isinstance(f, AreaFigure) for f in mine) == leafy
