"""Floors finished more than once: one dig, one level, and what the fall, the house and the lines under it ask for."""

from __future__ import annotations

from typing import Any

import pytest

from quincunx.garden import garden_from
from quincunx.garden.costing import works_of
from quincunx.review import Review
from quincunx.shapes import AreaWork
from quincunx.sheets import Set, prepare
from quincunx.sheets._finishes import finished_twice, fixed_at_start


def garden(
    falls_deg: float = 180.0, level: float = 0.05, gap: float = 0.0, falls: float = 0.0125, *, duct: bool = False
) -> Set:
    court: dict[str, Any] = {
        "kind": "paving", "id": "court", "name": "Court", "outline": [[0, 0], [4, 0], [4, 6 - gap], [0, 6 - gap]], "level": level,
        "falls": falls, "falls_deg": falls_deg, "there_from": "2028-05",
        "finishes": [{"id": "chip", "floor": "woodchip"}, {"id": "brick", "floor": "brick"}],
    }  # fmt: skip
    lines = [
        {
            "kind": "duct",
            "id": "light-duct",
            "name": "Duct for the light",
            "line": [[-1, 3], [5, 3]],
            "there_from": "start",
        }
    ]
    return prepare(
        garden_from(
            {
                "format": "quincunx/1",
                "boundary": [[-2, -2], [12, -2], [12, 12], [-2, 12]],
                "features": [
                    {"kind": "house", "id": "house", "name": "House", "outline": [[0, 6], [8, 6], [8, 11], [0, 11]], "there_from": "start"},
                    court,
                    *(lines if duct else []),
                ],
                "jobs": [{"id": "lay", "name": "Lay brick", "does": ["court/brick"], "start": "2031-04"}],
            }
        ),
        judged=Review((), ()),
    )  # fmt: skip


def fixed(of: Set) -> dict[str, str]:
    court = next(f for f in of.garden.features if f.id == "court")
    first = works_of(of.timeline, court, "chip")[0]
    assert isinstance(first, AreaWork)
    return dict(fixed_at_start(of, court, first))


def test_the_dig_is_the_deepest_finishs_and_stands_once() -> None:
    of = garden()
    court = next(f for f in of.garden.features if f.id == "court")
    brick_alone = prepare(
        garden_from(
            {
                "format": "quincunx/1",
                "features": [{"kind": "paving", "id": "b", "outline": [[0, 0], [4, 0], [4, 6], [0, 6]],
                              "finishes": [{"id": "brick", "floor": "brick"}], "there_from": "start"}],
            }
        ),
        judged=Review((), ()),
    )  # fmt: skip
    (alone,) = works_of(brick_alone.timeline, brick_alone.garden.features[0], "brick")
    (first,) = works_of(of.timeline, court, "chip")
    assert isinstance(alone, AreaWork)
    assert isinstance(first, AreaWork)
    deep = sum(x.thickness_m for x in alone.layers)
    assert sum(x.thickness_m for x in first.layers) == pytest.approx(deep)
    assert fixed(of)["Dig"].startswith(f"{deep:.2f} m below the finished level")
    assert fixed(of)["Level"].startswith("0.05 m above the ground at its middle")


@pytest.mark.parametrize(
    ("falls_deg", "said"),
    [(180, "away from the House"), (0, "TOWARDS the House"), (90, "along the House"), (270, "along the House")],
)
def test_the_fall_is_told_by_the_house_north_of_it(falls_deg: float, said: str) -> None:
    fall = fixed(garden(falls_deg))["Fall"]
    assert fall.startswith("1 in 80 towards ")
    assert said.lower() in fall.lower() or said.replace("the ", "").lower() in fall.lower()


def test_hard_ground_beside_a_house_is_asked_to_fall_one_in_fifty() -> None:
    """IRC 2015 R401.3: hard surfaces within 10 ft fall 2 % away from the building (hardscape Q9; read)."""
    assert "asks for 1 in 50" in fixed(garden())["Fall"]  # drawn with 1 in 80
    assert "asks for 1 in 50" not in fixed(garden(gap=3.8))["Fall"]
    assert "asks for 1 in 50" not in fixed(garden(falls=0.02))["Fall"]


def test_the_damp_course_is_named_only_beside_the_house() -> None:
    assert "0.15 m below the damp course" in fixed(garden())["Damp course"]
    assert "Damp course" not in fixed(garden(gap=1.0))


def test_a_line_under_it_is_named_or_a_duct_recommended() -> None:
    assert "Duct for the light" in fixed(garden(duct=True))["Lines under it"]
    assert "Lay an empty duct" in fixed(garden())["Lines under it"]


def test_the_page_shows_each_finish_with_its_month_and_ends_with_the_caution() -> None:
    (page,) = finished_twice(garden())
    row = next(b for b in page.blocks if b["t"] == "row")
    (drawing,) = [b for b in row["cells"][0] if b["t"] == "drawing"]
    assert "<svg" in drawing["svg"]
    rows = row["cells"][1][0]["rows"]
    assert [r[0] for r in rows] == ["1. there already", "2. Lay brick, April 2031"]
    assert rows[1][1].endswith("on the base that lies there")
    assert page.blocks[-1]["t"] == "keep"
    assert any(b["t"] == "caution" for b in page.blocks[-1]["blocks"])
