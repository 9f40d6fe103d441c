"""The water page, the question of water on the board, and the command: the same figures three times."""

from __future__ import annotations

import json
from typing import Any

import pytest
from click.testing import CliRunner

from quincunx.board import water
from quincunx.board.asking import given_of
from quincunx.board.standing import Standing
from quincunx.cli._water import command
from quincunx.demos import demo_garden
from quincunx.garden import Garden, timeline
from quincunx.review import Review
from quincunx.review.read import words_for
from quincunx.shapes import AreaFigure
from quincunx.sheets import water as page
from quincunx.sheets._set import Set
from quincunx.sheets.book import Paper
from quincunx.site.climate import Climate
from quincunx.water.watering import watering


def made(garden: Garden) -> Set:
    through = timeline(garden)
    return Set(garden, through, Review((), ()), words_for(garden, through), Paper("A4", style=garden.style))


@pytest.fixture(scope="module", params=["ropewalk", "kettle-hill"])
def of(request: Any) -> Set:
    return made(demo_garden(request.param))


def cells(blocks: Any) -> str:
    return json.dumps(blocks, ensure_ascii=False)


def test_the_page_says_the_years_the_beds_the_tanks_and_the_months(of):
    found = watering(of.timeline)
    assert found is not None
    (one,) = page.pages(of)
    text = cells(one.blocks)
    last = found[of.timeline.years[-1]]
    assert of.words.water(sum(last.by_month_l)) in text
    assert of.words.water(sum(last.dry_by_month_l)) in text
    for need in last.needs:
        if need.litres > 0:
            assert of.words.name(need.of.owner) in text
    assert last.tanks
    for tank in last.tanks:
        assert of.words.water(tank.given_l) in text
    assert "chances in 10" in text
    assert "Lives on rain" in text
    assert "FAO-56" in text


def test_every_bed_has_its_tap_or_tank_with_the_way_there(of):
    found = watering(of.timeline)
    assert found is not None
    last = found[of.timeline.years[-1]]
    watered = [n for n in last.needs if n.litres > 0]
    sources = page.nearest(of, last, watered)
    assert {n.of.owner for n in watered} == set(sources)
    unit = "ft" if of.garden.style.system == "feet" else " m"
    # The cold frame stands in a corner that nobody walks into.
    assert all(unit in words for owner, words in sources.items() if owner != "cold-frame")
    assert sum("no way on foot" in words for words in sources.values()) <= 1
    tank = last.tanks[0].supply
    assert all(of.words.name(tank.owner) in sources[w] for w in tank.waters)


def test_the_page_is_left_out_without_a_climate_or_anything_to_water():
    garden = demo_garden("ropewalk")
    bare = garden.changed(site=garden.site.changed(climate=Climate()))
    assert list(page.pages(made(bare))) == []
    assert "rain and temperatures" in page.NEEDS
    assert list(page.pages(made(garden.changed(features=(), jobs=(), intents=(), trips=())))) == []


def asked(garden: Garden, year: int, **query: str) -> tuple[Standing, Any, Any]:
    at = Standing.of(garden, {})
    scene = at.timeline.at(at.timeline.leaf_date(year))
    return at, scene, given_of(at, water.inputs(at), query)


def test_the_board_washes_beds_and_reads_them_under_the_pointer():
    garden = demo_garden("ropewalk")
    at, scene, given = asked(garden, 2032)
    found = watering(at.timeline)
    assert found is not None
    told = water.answer(at, scene, given)
    assert at.words.water(found[2032].by_month_l[6]) in told.words
    drawn = {f.owner for f in told.figures if isinstance(f, AreaFigure) and f.role == "water"}
    assert {n.of.owner for n in found[2032].needs if n.by_month_l[6] >= 0.5} == drawn
    assert len(told.legend) == 5
    bed = found[2032].need("cutting-bed-2")
    assert bed is not None
    said = water.value(at, scene, given, bed.of.at)
    assert said.startswith("Cutting bed 2: ")
    assert at.words.water(bed.by_month_l[6]) in said
    assert water.value(at, scene, given, (-50.0, -50.0)) == "Nothing that is watered lies here."
    hedge = next(n for n in found[2032].needs if n.of.owner == "west-hedge")
    ground = scene.area_of("west-hedge")
    assert ground is not None
    point = ground.representative_point()
    assert f"{hedge.short_days:.0f} days" in water.value(at, scene, given, (point.x, point.y))


def test_a_dry_year_asks_for_more_and_winter_for_nothing():
    garden = demo_garden("ropewalk")
    at, scene, usual = asked(garden, 2032)
    dry = given_of(at, water.inputs(at), {"kind": "dry"})
    winter = given_of(at, water.inputs(at), {"in_month": "1"})
    found = watering(at.timeline)
    assert found is not None
    assert at.words.water(found[2032].dry_by_month_l[6]) in water.answer(at, scene, dry).words
    assert water.answer(at, scene, winter).words.startswith("0 l in January")
    assert water.answer(at, scene, usual).how


def test_without_a_climate_the_board_says_what_is_wanting():
    garden = demo_garden("ropewalk")
    at, scene, given = asked(garden.changed(site=garden.site.changed(climate=Climate())), 2032)
    assert "The place, Climate" in water.answer(at, scene, given).words
    assert "The place, Climate" in water.value(at, scene, given, (3.0, 3.0))


def run(tmp_path: Any, garden: Garden, *words: str) -> Any:
    path = tmp_path / "garden.json"
    path.write_text(garden.model_dump_json(), encoding="utf-8")
    return CliRunner().invoke(command, [str(path), *words])


def test_the_command(tmp_path):
    garden = demo_garden("ropewalk")
    done = run(tmp_path, garden)
    assert done.exit_code == 0, done.output
    assert "in a usual year" in done.output
    assert "Water butt: gives" in done.output
    told = json.loads(run(tmp_path, garden, "--json").output)
    found = watering(timeline(garden))
    assert found is not None
    assert told["2032"]["months_l"] == pytest.approx(found[2032].by_month_l)
    assert set(told) == {str(y) for y in found}
    wrong = run(tmp_path, garden, "--year", "1999")
    assert wrong.exit_code == 1
    assert "1999 is not in the plan" in wrong.output
    bare = garden.changed(site=garden.site.changed(climate=Climate()))
    assert "The place, Climate" in run(tmp_path, bare).output
