"""The hours that all that stands and grows takes to keep, and setting them aside in the plan."""

from __future__ import annotations

from typing import Any

import pytest
from click.testing import CliRunner
from shapely import box

from quincunx.board import age
from quincunx.board.asking import given_of
from quincunx.board.standing import Standing
from quincunx.cli._hours import command
from quincunx.demos import demo_garden
from quincunx.garden import Garden, timeline
from quincunx.garden.edits import apply
from quincunx.garden.tending import Line, Tending, set_aside, shown_m2, tending, too_much
from quincunx.grow.care import care, hours_by_month
from quincunx.plants.tables import rows_of
from quincunx.site.climate import Climate
from quincunx.water.watering import watering
from tests.grow.gardens import feature, line

SQUARE = [[0, 0], [20, 0], [20, 10], [0, 10]]


def test_every_norm_is_in_order():
    rows = rows_of("tending.csv")
    assert len({r["id"] for r in rows}) == len(rows)
    for row in rows:
        assert 0 < float(row["minutes"]) <= 10
        assert 1 <= float(row["times"]) <= 8
        assert {int(m) for m in row["months"].split()} <= set(range(1, 13))
        assert row["words"][0].islower()


def test_a_lawn_is_mown_by_its_square_metres():
    found = tending(line(feature("lawn", "grass", outline=SQUARE)))[2027]
    mow = next(x for x in found.lines if x.words == "mow the grass")
    # 200 m2, 0.15 minutes each, twice in each of seven months.
    assert mow.hours == pytest.approx(200 * 0.15 * 2 * 7 / 60)
    assert mow.months[0] == 0.0
    assert mow.months[6] == pytest.approx(1.0)
    assert "rain and temperatures" in found.without


def test_seasons_turn():
    south = tending(line(feature("lawn", "grass", outline=SQUARE, there_from="start"), latitude_deg=-40.0))[2027]
    mow = next(x for x in south.lines if x.words == "mow the grass")
    assert mow.months[0] == pytest.approx(1.0)
    assert mow.months[6] == 0.0


@pytest.mark.parametrize(
    ("latitude", "wanted", "cut"),
    [(52.0, [], {8}), (-37.0, [], {2}), (-37.0, [1, 4], {1, 4}), (52.0, [7, 10], {7, 10})],
)
def test_a_meadow_is_cut_in_the_months_that_are_wanted_or_late_in_its_own_summer(latitude, wanted, cut):
    long_grass = feature("meadow", "hay", outline=SQUARE, there_from="start", cut_months=wanted)
    found = tending(line(long_grass, latitude_deg=latitude))[2027]
    (hay,) = (x for x in found.lines if x.words == "cut the long grass and rake it off")
    assert {m for m, h in enumerate(hay.months, start=1) if h} == cut
    # 200 m2 at 0.8 minutes each time.
    assert hay.hours == pytest.approx(len(cut) * 200 * 0.8 / 60)


def test_what_lies_under_something_else_takes_no_upkeep():
    grass = feature("lawn", "grass", outline=SQUARE)
    bed = feature("bed", "bed", outline=[[1, 1], [5, 1], [5, 5], [1, 5]])
    here = line(grass, bed, boundary=box(0, 0, 15, 60))
    shown = shown_m2(here.at(here.leaf_date(2027)))
    assert shown["soil"] == pytest.approx(16.0)
    assert shown["grass"] == pytest.approx(150.0 - 16.0)


@pytest.mark.parametrize("demo", ["ropewalk", "kettle-hill"])
def test_the_demonstrations_add_up(demo):
    through = timeline(demo_garden(demo))
    found, poured = tending(through), watering(through)
    assert poured is not None
    assert set(found) == set(through.years)
    for year, one in found.items():
        assert one.hours == pytest.approx(sum(x.hours for x in one.lines))
        plants = next(x for x in one.lines if x.words == "care of the plants")
        assert plants.months == hours_by_month(care(through, year))
        water = next(x for x in one.lines if x.words == "watering")
        assert water.hours == pytest.approx(sum(poured[year].by_month_l) * 0.1 / 60)
        assert one.without == ""
    assert 20 < found[through.years[-1]].hours < 150


def test_set_aside_it_is_what_the_order_goes_by():
    garden = demo_garden("ropewalk")
    found = tending(timeline(garden))
    then, back = apply(garden, set_aside(found))
    for year, one in found.items():
        assert sum(then.means.upkeep(year)) == pytest.approx(one.hours, abs=12 * 0.125)
        assert all(h * 4 == round(h * 4) for h in then.means.upkeep(year))
    row = timeline(then).money()[-1]
    assert row.upkeep_h == pytest.approx(sum(then.means.upkeep(row.year)))
    assert apply(then, back)[0].means == garden.means


def test_the_months_in_which_there_are_too_few_hours():
    garden = demo_garden("ropewalk")
    busy = Tending(2030, (Line("mowing", tuple([0.0] * 6 + [20.0] + [0.0] * 5)),))
    assert too_much(garden, busy) == (7,)
    assert too_much(Garden(), busy) == ()


def test_the_board_shows_it_and_offers_to_set_it_aside():
    garden = demo_garden("ropewalk")
    at = Standing.of(garden, {})
    scene = at.timeline.at(at.timeline.leaf_date(2032))
    told: Any = age.answer(at, scene, given_of(at, age.inputs(at), {}))
    table = told.below[-1]
    assert table.words.startswith("Upkeep in 2032, hours by month")
    assert [r[0] for r in table.rows][-2:] == ["in all", "there are"]
    offer, *others = told.offers
    then, _ = apply(garden, offer.edit)
    again = Standing.of(then, {})
    left = age.answer(again, again.timeline.at(scene.on), given_of(again, age.inputs(again), {})).offers
    assert [o.edit for o in left] == [o.edit for o in others]


def test_the_command(tmp_path):
    path = tmp_path / "g.json"
    garden = demo_garden("ropewalk")
    path.write_text(garden.model_dump_json(), encoding="utf-8")
    done = CliRunner().invoke(command, [str(path)])
    assert done.exit_code == 0, done.output
    assert "2032: " in done.output
    assert "mow the grass" in done.output
    assert "there are" in done.output
    assert CliRunner().invoke(command, [str(path), "--year", "1990"]).exit_code == 1
    bare = garden.changed(site=garden.site.changed(climate=Climate()))
    path.write_text(bare.model_dump_json(), encoding="utf-8")
    assert "Without watering" in CliRunner().invoke(command, [str(path)]).output


def test_the_command_sets_it_aside_in_a_file(tmp_path):
    from quincunx.store import Store

    path, garden = tmp_path / "g.quincunx", demo_garden("ropewalk")
    Store.create(path, garden).close()
    done = CliRunner().invoke(command, [str(path), "--take"])
    assert done.exit_code == 0, done.output
    with Store.open(path) as store:
        kept = store.garden().means
    assert len(kept.upkeep_other_years) == len(timeline(garden).years)
