"""Where plants could come from: bought in other sizes, raised at home, a nursery row, and what each costs in time."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from click.testing import CliRunner

from quincunx.board import age
from quincunx.board.asking import given_of
from quincunx.board.standing import Standing
from quincunx.build import reckon
from quincunx.cli._raise import command
from quincunx.demos import demo_garden
from quincunx.garden import Garden, garden_from, timeline
from quincunx.garden.costing import rules_of, works_of
from quincunx.garden.edits import apply
from quincunx.garden.sources import Source, compared, sources
from quincunx.plants.catalogue import builtin
from quincunx.plants.raising import behind_years, way_of, ways
from quincunx.store import Store
from quincunx.units import format_money

HEDGE = {
    "kind": "hedge",
    "id": "hedge",
    "line": [[0, 0], [9.6, 0]],
    "plant": "ligustrum-ovalifolium",
    "start_height": 0.5,
}
NUT = {"kind": "tree", "id": "nut", "at": [5, 5], "plant": "corylus-avellana"}
JOB: dict[str, Any] = {"id": "plant", "name": "Plant", "window": [11, 12, 1, 2, 3], "start": "2027-02", "hours": 2}
PRICES = [{"id": "plant-ligustrum-ovalifolium", "words": "Privet", "unit": "each", "sum": 150}]


def garden(*features: dict[str, Any], does: list[str], **more: Any) -> Garden:
    data = {"format": "quincunx/1", "features": list(features), "jobs": [{**JOB, "does": does}], "prices": PRICES}
    return garden_from({**data, "means": {"first_year": 2027, "years": 6}, **more})


def ways_for(one: Garden, thing: str) -> dict[str, Source]:
    return {s.id: s for s in sources(one, timeline(one), thing)}


def known(year: int | None) -> int:
    assert year is not None
    return year


def test_every_way_is_in_order_and_names_plants_there_are():
    genera = {p.botanical.split(" ")[0] for p in builtin().values()}
    assert len({w.id for w in ways()}) == len(ways())
    for way in ways():
        assert 0 < way.takes <= 1
        assert 0 <= way.years <= 5
        assert set(way.months) <= set(range(1, 13))
        assert any(o in genera or o in builtin() or o.startswith("@") for o in way.of)
        assert way.begun(10) * way.takes >= 10
        assert all(o in builtin() for o in way.of if o[0].islower())


@pytest.mark.parametrize(
    ("plant", "way"),
    [
        ("ribes-nigrum", "cuttings"), ("corylus-avellana", "layers"), ("rubus-idaeus", "suckers"),
        ("fragaria-x-ananassa", "runners"), ("carpinus-betulus", "seed"), ("malus-domestica-mm-106-m-7-rootstock", None),
        ("prunus-laurocerasus", "cuttings"), ("phaseolus-coccineus", None), ("paeonia-lactiflora", "divisions"),
    ],
)  # fmt: skip
def test_how_a_plant_is_raised(plant, way):
    found = way_of(builtin()[plant])
    assert (None if found is None else found.way) == way


def test_own_cuttings_cost_less_and_close_later():
    found = ways_for(garden(HEDGE, does=["hedge"]), "hedge")
    drawn, own, nursery = found["as-drawn"], found["own"], found["nursery"]
    # By hand: 9.6 m at 0.4 m are 24 plants, 5 in 100 more for losses make 26, at 1.50.
    assert drawn.sum == 26 * 150
    assert own.sum == nursery.sum == 0
    assert known(own.reached.usually) > known(drawn.reached.usually)
    style = garden(HEDGE, does=["hedge"]).style
    assert compared(drawn, own, style).startswith(f"{format_money(3900, style, whole=True)} less")
    assert compared(drawn, own, style).endswith("later")
    assert found["large"].sum is None
    assert "no price" in compared(drawn, found["large"], style)
    assert known(found["large"].reached.usually) <= known(drawn.reached.usually)


def test_a_size_with_a_price_of_its_own_is_priced():
    dear = {"id": "plant-ligustrum-ovalifolium-large", "words": "Privet, 0.9 m", "unit": "each", "sum": 400}
    found = ways_for(garden(HEDGE, does=["hedge"], prices=[*PRICES, dear]), "hedge")
    assert found["large"].sum == 24 * 400


def test_what_is_raised_at_home_is_not_bought():
    one = garden({**HEDGE, "raised": "own"}, does=["hedge"])
    works = works_of(timeline(one), one.features[0])
    found = reckon(works, rules_of(one))
    assert found.bill == ()
    assert found.hours > reckon(works_of(timeline(one), one.features[0].changed(raised="bought")), rules_of(one)).hours
    assert any("raised at home" in note for note in found.notes)


def test_own_small_plants_bear_later_by_the_years_of_a_nursery_row():
    plant = builtin()["corylus-avellana"]
    years = behind_years("own", plant)
    assert years == 2.0
    assert behind_years("bought", plant) == behind_years("nursery row", plant) == 0.0
    mate = {**NUT, "id": "mate", "at": [8, 5], "variety": "Red", "there_from": "start"}
    found = ways_for(garden({**NUT, "variety": "Long"}, mate, does=["nut"]), "nut")
    assert known(found["own"].reached.usually) - known(found["as-drawn"].reached.usually) == years


def test_a_nursery_row_is_a_job_before_planting_out():
    one = garden(HEDGE, NUT, does=["hedge", "nut"])
    edit = ways_for(one, "hedge")["nursery"].edit
    assert edit is not None
    after, back = apply(one, edit)
    assert apply(after, back)[0] == one
    jobs = {j.id: j for j in after.jobs}
    assert jobs["plant"].does == ("nut",)
    out, raising = jobs["plant-out-hedge"], jobs["raise-hedge"]
    assert out.does == ("hedge",)
    assert out.after[-1].job == "raise-hedge"
    months = [int(str(j.start)[:4]) * 12 + int(str(j.start)[5:]) for j in (raising, out)]
    assert months[1] - months[0] - 1 >= out.after[-1].wait_months == 12
    assert int(str(out.start)[5:]) in JOB["window"]
    hedge = after.features[0]
    assert hedge.raised == "nursery row"  # type: ignore[attr-defined]
    alone = garden(HEDGE, does=["hedge"])
    moved = apply(alone, ways_for(alone, "hedge")["nursery"].edit)[0]  # type: ignore[arg-type]
    assert [j.id for j in moved.jobs if j.does] == ["plant"]
    planted = next(j for j in moved.jobs if j.does)
    assert [a.job for a in planted.after] == ["raise-hedge"]
    assert str(planted.start) > "2028-01"
    free = garden({**HEDGE, "there_from": "2027-03"}, does=[])
    later = apply(free, ways_for(free, "hedge")["nursery"].edit)[0]  # type: ignore[arg-type]
    assert str(later.features[0].there_from) > "2027-12"


@pytest.mark.parametrize(
    "feature",
    [
        {**HEDGE, "there_from": "start"},
        {"kind": "row", "id": "hedge", "line": [[0, 0], [3, 0]], "plant": "phaseolus-coccineus", "there_from": "2028-05"},
        {"kind": "wall", "id": "hedge", "line": [[0, 0], [3, 0]], "there_from": "2028-05"},
    ],
    ids=["there already", "sown each year", "no planting"],
)  # fmt: skip
def test_nothing_to_choose_from(feature):
    one = garden(feature, does=[])
    assert sources(one, timeline(one), "hedge") == ()
    assert sources(one, timeline(one), "nothing") == ()


def test_age_shows_and_offers_the_ways():
    at = Standing.of(demo_garden("ropewalk"), {})
    scene = at.timeline.at(date(2029, 8, 31))
    given = given_of(at, age.inputs(at), {"show": "sources", "thing": "cobnut-1"})
    found = age.answer(at, scene, given)
    assert found.words == "5 ways to have the plants of Cobnut 1"
    assert found.below[0].rows[0][0] == "as drawn"
    assert any("bears 2 years later" in offer.words for offer in found.offers)
    assert all(offer.edit is not None and apply(at.garden, offer.edit) for offer in found.offers)
    wall = given_of(at, age.inputs(at), {"show": "sources", "thing": "west-hedge"})
    assert age.answer(at, scene, wall).words.startswith("Touch a planting")


def test_raise_on_the_command_line(tmp_path):
    file = tmp_path / "g.quincunx"
    Store.create(file, garden(HEDGE, does=["hedge"])).close()
    assert "To be planted: hedge." in CliRunner().invoke(command, [str(file)]).output
    said = CliRunner().invoke(command, [str(file), "hedge"]).output
    assert "own: own cuttings, set at once" in said
    unknown = CliRunner().invoke(command, [str(file), "wall"])
    assert unknown.exit_code == 2
    assert "wall" in unknown.output
    assert CliRunner().invoke(command, [str(file), "hedge", "--take", "whip"]).exit_code == 1
    done = CliRunner().invoke(command, [str(file), "hedge", "--take", "own"])
    assert "Taken: own cuttings, set at once." in done.output
    with Store.open(file) as store:
        assert store.garden().features[0].raised == "own"  # type: ignore[attr-defined]


def test_only_what_lasts_is_listed_as_to_be_raised(tmp_path):
    tomatoes = {
        "kind": "row",
        "id": "tomatoes",
        "line": [[0, 2], [3, 2]],
        "plant": "solanum-lycopersicum",
        "spacing": 0.5,
    }
    path = tmp_path / "g.quincunx"
    Store.create(path, garden(HEDGE, tomatoes, does=["hedge", "tomatoes"])).close()
    assert CliRunner().invoke(command, [str(path)]).output == "To be planted: hedge.\n"
    said = " ".join(CliRunner().invoke(command, [str(path), "tomatoes"]).output.split())
    assert said.endswith("'row tomatoes' is no planting to come that lasts more than a year. There are: hedge.")
