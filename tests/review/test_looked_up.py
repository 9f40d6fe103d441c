"""What goes beyond the published tables is noticed in the year it is built; what stands within them is not."""

from __future__ import annotations

from typing import Any

import pytest

from quincunx.garden import garden_from, timeline
from quincunx.review import _looked_up
from quincunx.review._view import View
from quincunx.review.read import words_for


def noticed(feature: dict[str, Any], snow: float | None = 2.0, **job: Any) -> list[Any]:
    climate = {} if snow is None else {"snow_load": {"ground_kn_m2": snow, "edition": "made up"}}
    garden = garden_from(
        {
            "format": "quincunx/1",
            "site": {"place": {"latitude_deg": 42.4, "longitude_deg": -72.6}, "climate": climate},
            "boundary": [[0, 0], [20, 0], [20, 20], [0, 20]],
            "features": [{"id": "hut", "name": "Hut", **feature}],
            "jobs": [{"id": "build", "name": "Build", "does": ["hut"], "start": "2028-04", **job}],
            "means": {"first_year": 2027, "years": 3},
        }
    )
    through = timeline(garden)
    return list(_looked_up.check(View(garden, through, words_for(garden, through))))


SHELTER = {"kind": "roofed-shelter", "at": [8, 8], "width": 3.0, "depth": 2.4, "roof": "gable", "closed_sides": []}


def test_a_thin_roof_under_snow_is_noticed_once_in_its_year() -> None:
    (found,) = noticed({**SHELTER, "rafter_deep": 0.045, "rafters_apart": 1.2})
    assert found.year == 2028
    assert "rafter" in found.words
    assert "licensed person" in found.remedy
    assert "ASCE" in found.source


def test_a_sturdy_one_and_one_nobody_can_judge_are_not() -> None:
    sturdy = {
        **SHELTER,
        "width": 2.0,
        "depth": 1.8,
        "rafter_deep": 0.184,
        "plate_deep": 0.235,
        "post": 0.14,
        "pad": 0.8,
    }
    assert noticed(sturdy, snow=0.5) == []
    assert noticed(SHELTER, snow=None) == []


@pytest.mark.parametrize(("height", "count"), [(1.2, 0), (2.4, 1)])
def test_a_fence_higher_than_the_model_code_lets_without_asking(height: float, count: int) -> None:
    found = noticed({"kind": "fence", "line": [[2, 2], [9, 2]], "height": height})
    assert len(found) == count


def test_what_stands_already_is_not_asked_after() -> None:
    assert noticed({"kind": "fence", "line": [[2, 2], [9, 2]], "height": 2.4, "there_from": "start"}, does=[]) == []


def test_what_is_finished_in_autumn_is_noticed_in_the_year_of_its_job() -> None:
    (found,) = noticed({"kind": "fence", "line": [[2, 2], [9, 2]], "height": 2.4}, start="2028-10")
    assert found.year == 2028
