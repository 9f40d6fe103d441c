"""Plants whose place is too dark or too sunny for them, against hours reckoned by hand and by the sun's own engine."""

from __future__ import annotations

import pytest

from quincunx.demos import DEMOS, demo_garden
from quincunx.garden import Garden, timeline
from quincunx.light import Sky, shade_at
from quincunx.review import _light
from quincunx.review._light import LEAST_H, ROUGH_H, light_of, misfit
from quincunx.review._view import View
from quincunx.review.answers import Answers
from quincunx.review.read import words_for
from quincunx.shapes import Severity


def garden(*features, latitude=52.1):
    return Garden.model_validate(
        {
            "format": "quincunx/1", "name": "Dark corner", "boundary": [[0, 0], [30, 0], [30, 30], [0, 30]],
            "site": {"place": {"latitude_deg": latitude, "longitude_deg": 0.5}}, "means": {"first_year": 2027, "years": 6},
            "features": features,
        }
    )  # fmt: skip


def wall(line, height):
    return {"kind": "wall", "id": "wall", "name": "North wall", "line": line, "height": height, "there_from": "start"}


def shrub(owner, plant, at):
    return {"kind": "shrub", "id": owner, "plant": plant, "at": at, "there_from": "2027-03"}


def found(one, answers=None):
    through = timeline(one)
    return {f.id: f for f in _light.check(View(one, through, words_for(one, through), answers))}


def test_the_limits_are_those_of_the_words():
    assert misfit(("full",), 5.0) is True
    assert misfit(("full", "part"), 5.0) is None
    assert misfit(("full", "part"), 3.0) is True
    assert misfit(("part", "shade"), 0.0) is None
    assert misfit(("part", "shade"), 12.0) is None
    assert misfit(("shade",), 6.5) is False
    assert misfit(("full",), 6.0 - _light.MARGIN_H) is None
    assert LEAST_H["full"] == 6.0  # as the classes of the sun page, whose sources stand in light/data/sun_classes.json


def test_what_likes_sun_north_of_a_wall_is_told_with_what_shades_it():
    court = wall([[8, 14], [8, 10], [14, 10], [14, 14]], 4.0)
    one = garden(court, shrub("dark-lavender", "lavandula-angustifolia", [11, 10.6]))
    finding = found(one)["light-lavandula-angustifolia"]
    assert finding.severity is Severity.CARE
    assert "likes full sun and gets" in finding.words
    assert "shaded mostly by North wall" in finding.words
    assert "clip or thin" in finding.remedy
    assert "full sun 6 hours" in finding.source
    assert finding.about == ("dark-lavender",)
    assert finding.year == 2032


def test_the_same_in_the_open_or_south_of_the_wall_is_not_told():
    for y in (9.4, 25.0):
        one = garden(wall([[2, 10], [20, 10]], 4.0), shrub("lavender", "lavandula-angustifolia", [11, y]))
        assert not found(one)


def test_south_of_the_line_the_north_side_is_the_sunny_one():
    dark, light = (
        garden(wall([[2, 10], [20, 10]], 4.0), shrub("lavender", "lavandula-angustifolia", [11, y]), latitude=-42.0)
        for y in (9.4, 10.6)
    )
    assert found(dark)
    assert not found(light)


def test_a_plant_does_not_shade_itself_and_those_of_one_kind_are_told_together():
    one = garden(
        wall([[2, 10], [20, 10]], 4.0),
        *(shrub(f"lavender-{k}", "lavandula-angustifolia", [6 + 4 * k, 10.7]) for k in range(3)),
    )
    finding = found(one)["light-lavandula-angustifolia"]
    assert finding.about == ("lavender-0", "lavender-1", "lavender-2")
    assert "So is it with" in finding.words


def test_the_hours_are_those_of_a_single_point():
    one = garden(wall([[2, 10], [20, 10]], 4.0), shrub("lavender", "lavandula-angustifolia", [11, 10.9]))
    through = timeline(one)
    ((planting, lit),) = light_of(through, 2032)
    scene, months = through.at(through.leaf_date(2032)), _light.MONTHS_LOOKED_AT
    height = max(planting.standing.height_m[1] / 2, 0.2)
    own = frozenset(s.name for s in scene.solids if s.owner == "lavender")
    alone = shade_at(scene, (11, 10.9), height, months=months, step_min=30, sky=Sky.over(through.frame), without=own)
    assert lit[0] == pytest.approx(sum(alone.sun_h(m) for m in months) / 6, abs=1e-9)


@pytest.mark.parametrize("demo", [d.id for d in DEMOS])
def test_the_first_look_is_true_to_an_hour_and_the_demonstrations_have_light(demo):
    one = demo_garden(demo)
    through = timeline(one)
    year = through.years[-1]
    asked = [p for p, _ in light_of(through, year)]
    rough = _light._suns(through, year, asked, _light.ROUGH_MONTHS, _light.ROUGH_MIN)
    fine = _light._suns(through, year, asked, _light.MONTHS_LOOKED_AT, _light.STEP_MIN)
    assert len(asked) >= 12
    assert max(abs(a.hours - b.hours) for a, b in zip(rough, fine, strict=True)) < ROUGH_H
    assert not found(one)


def test_what_was_found_is_kept_for_the_next_run(tmp_path, monkeypatch):
    one = garden(wall([[2, 10], [20, 10]], 4.0), shrub("lavender", "lavandula-angustifolia", [11, 10.6]))
    answers = Answers(tmp_path)
    first = found(one, answers)
    answers.close()
    monkeypatch.setattr(_light, "_looked_at", None)
    again = Answers(tmp_path)
    assert found(one, again) == first
    again.close()
    moved = garden(wall([[2, 10], [20, 10]], 4.0), shrub("lavender", "lavandula-angustifolia", [11, 10.8]))
    anew = Answers(tmp_path)
    with pytest.raises(TypeError):
        found(moved, anew)
    anew.close()
