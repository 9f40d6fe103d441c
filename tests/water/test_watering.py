"""What each bed needs in each year of a plan, who waters it, and how long a tank lasts."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from pydantic import TypeAdapter
from shapely import box

from quincunx.intents import AnyIntent, Intent, Words
from quincunx.scene import Timeline
from quincunx.shapes import State
from quincunx.site.climate import Climate, Soil
from quincunx.water.balance import tank_days
from quincunx.water.thirst import growing_months, thirsts, uses
from quincunx.water.watering import Flow, lasts_with, size_for, watering
from tests.grow.gardens import feature, line, plant, tree

LOW, HIGH = (1.0, 1, 2, 4, 7, 10, 12, 12, 10, 7, 4, 2), (7.0, 8, 11, 14, 17, 20, 22, 22, 19, 15, 10, 8)
CLIMATE = Climate(
    t_min_c=LOW, t_max_c=HIGH, rain_mm=(50.0,) * 12, rain_days=(9.0,) * 12, wind_m_s=(4.0,) * 12
)  # fmt: skip
ANY: TypeAdapter[Intent] = TypeAdapter(AnyIntent)
SQUARE = [[10, 10], [14, 10], [14, 15], [10, 15]]


def garden(*more: Any, climate: Climate = CLIMATE, latitude_deg: float = 52.0, years: int = 4) -> Timeline:
    return line(*more, climate=climate, latitude_deg=latitude_deg, years=years)


def bed(feature_id: str = "bed", **more: Any) -> Any:
    return feature("bed", feature_id, **{"outline": SQUARE, **more})


def shed(**more: Any) -> Any:
    fields = {"at": [30, 30], "width": 4.0, "depth": 4.0, "sheds_to": "butt", **more}
    return feature("shed", "shed", **fields)


def test_a_bed_of_this_and_that_needs_most_in_july_and_nothing_in_winter():
    found = watering(garden(bed()))
    assert found is not None
    need = found[2027].need("bed")
    assert need is not None
    assert need.of.area_m2 == pytest.approx(20.0)
    assert max(range(12), key=lambda m: need.by_month_l[m]) in (5, 6)
    assert sum(need.by_month_l[m] for m in (0, 1, 2, 10, 11)) == 0.0
    assert need.litres < need.dry_year_l
    # Some 4 mm a day in July of which a third rains: two to four litres on a square metre a day, a fifth of it missing.
    assert 1.0 < need.by_month_l[6] / 20.0 / 31.0 < 5.0
    assert found[2027].by_month_l == need.by_month_l


def test_sand_is_watered_more_often_than_clay():
    here = garden(bed())
    times = []
    for texture in ("sand", "clay loam"):
        here.frame = replace(here.frame, soil=Soil(texture=texture))
        moved = Timeline(here.frame, here.features, (), here.means, (), here.find)
        found = watering(moved)
        assert found is not None
        times.append(found[2027].needs[0].times)
    assert times[0] > 1.5 * times[1]


def test_under_glass_no_rain_comes():
    wet = Climate(t_min_c=LOW, t_max_c=HIGH, rain_mm=(150.0,) * 12, rain_days=(15.0,) * 12)
    frame = feature("cold-frame", "frame", at=[20, 20], width=2.0, depth=1.0)
    found = watering(garden(bed(), frame, climate=wet))
    assert found is not None
    need, out = found[2027].need("frame"), found[2027].need("bed")
    assert need is not None
    assert out is not None
    assert need.litres / need.of.area_m2 > 3 * (out.litres / out.of.area_m2)


def test_a_tree_is_watered_until_it_has_rooted():
    found = watering(
        garden(
            tree("oak", "quercus-robur", (30, 30)),
            tree("old", "quercus-robur", (40, 40), there_from="start", age_at_start=40.0),
        )
    )
    assert found is not None
    first, third = (found[y].need("oak") for y in (2027, 2029))
    assert first is not None
    assert third is not None
    assert first.of.why == "young: until it has rooted"
    assert third.of.why == "rooted: it lives on rain"
    assert third.litres == 0.0
    old = found[2027].need("old")
    assert old is not None
    assert not old.of.watered
    assert old.short_days >= 0.0


def test_soft_fruit_is_watered_every_year_and_stands_in_its_bed_once():
    raspberries = feature("row", "canes", plant="rubus-idaeus", line=[[11, 11], [11, 14]])
    found = watering(garden(bed(), raspberries))
    assert found is not None
    canes, rest = found[2030].need("canes"), found[2030].need("bed")
    assert canes is not None
    assert rest is not None
    assert canes.of.watered
    assert rest.of.area_m2 == pytest.approx(20.0 - canes.of.area_m2)


def test_a_lawn_is_left_to_the_rain():
    found = watering(garden(feature("lawn", "grass", outline=SQUARE)))
    assert found is not None
    assert found[2027].needs == ()
    assert sum(found[2027].by_month_l) == 0.0


def test_what_plants_use_by_month():
    # FAO-56, Table 12: berries 0.30, 1.05, 0.50; in leaf from April to October.
    k = uses(plant("vaccinium-corymbosum"))
    leaf = [m for m, full in enumerate(plant("vaccinium-corymbosum").in_leaf()) if full]
    assert k[leaf[2]] == 1.05
    assert k[leaf[-1]] == 0.5
    assert k[0] == 0.3
    turned = uses(plant("vaccinium-corymbosum"), southern=True)
    assert turned[6:] + turned[:6] == k


def test_seasons_turn_in_the_south():
    turned = CLIMATE.changed(t_min_c=LOW[6:] + LOW[:6], t_max_c=HIGH[6:] + HIGH[:6])
    south = garden(bed(), climate=turned, latitude_deg=-52.0)
    north = watering(garden(bed()))
    found = watering(south)
    assert found is not None
    assert north is not None
    need = found[2028].need("bed")
    assert need is not None
    assert need.by_month_l[0] > 0.0 == need.by_month_l[6]
    assert need.litres == pytest.approx(north[2028].needs[0].litres, rel=0.15)
    assert growing_months(south.frame)[0] >= 6


def test_without_a_climate_nothing_is_said():
    assert watering(garden(bed(), climate=Climate())) is None
    assert watering(garden(bed(), climate=Climate(rain_mm=(50.0,) * 12))) is None


def butt(*waters: str, **more: Any) -> Any:
    return feature("tank", "butt", at=[35, 30], stated_litres=500.0, waters=list(waters), **more)


def test_a_tank_serves_what_is_watered_from_it():
    found = watering(garden(bed(), shed(), butt("bed")))
    assert found is not None
    tank = found[2027].tanks[0]
    assert tank.roof_m2 >= 16.0
    assert tank.runs_in_l == pytest.approx(tank.roof_m2 * 600.0 * 0.85)
    assert tank.wanted_l == pytest.approx(sum(found[2027].by_month_l))
    assert 0.0 < tank.given_l <= tank.wanted_l
    assert tank.met_days <= tank.wanted_days
    assert tank.met == pytest.approx(tank.given_l / tank.wanted_l)
    assert sum(tank.short_from) == pytest.approx(1.0 - tank.lasts)
    # In the long run what runs in is given or spilled.
    assert tank.given_l + tank.spilled_l == pytest.approx(tank.runs_in_l, rel=0.01)


def test_a_larger_tank_lasts_longer_and_the_least_that_does_is_found():
    here = watering(garden(bed(outline=[[10, 10], [12, 10], [12, 12], [10, 12]]), shed(), butt("bed")))
    assert here is not None
    flow = here[2027].tanks[0].flow
    shares = [lasts_with(flow, size) for size in (100.0, 400.0, 1600.0, 6400.0)]
    assert shares == sorted(shares)
    size = size_for(flow, 0.8)
    assert size is not None
    assert lasts_with(flow, size) >= 0.8 - 1e-9
    assert lasts_with(flow, size - 100.0) < 0.8
    dry = Flow(0.001 * flow.runs_in, flow.wanted)
    assert size_for(dry, 0.8) is None
    again = tank_days(flow.runs_in.tolist(), flow.wanted.tolist(), size, flow.winter_l)
    assert again.held.min() >= 0.0


def must(kind: str, **fields: object) -> Intent:
    return ANY.validate_python({"id": "m", "kind": kind, **fields})


def test_water_no_more():
    here = garden(bed())
    words = Words.of(here)
    found = watering(here)
    assert found is not None
    litres = sum(found[2027].by_month_l)
    enough = must("water-no-more", litres=litres + 1.0).judge(here, 2027, words)
    assert enough.state is State.HOLDS
    assert enough.measured == pytest.approx(litres)
    assert "Most goes to the bed" in enough.because
    assert enough.evidence
    less = must("water-no-more", litres=litres - 1.0).judge(here, 2027, words)
    assert less.state is State.FAILS
    assert less.margin == pytest.approx(-1.0)
    assert must("water-no-more", litres=litres + 1.0, dry_year=True).judge(here, 2027, words).state is State.FAILS
    july = must("water-no-more", months=[7]).judge(here, 2027, words)
    assert july.measured == pytest.approx(found[2027].by_month_l[6])
    bare = garden(bed(), climate=Climate())
    unknown = must("water-no-more").judge(bare, 2027, Words.of(bare))
    assert unknown.state is State.UNKNOWN
    assert "The place, Climate" in unknown.because
    said = must("water-no-more", litres=100.0, months=[6, 7], dry_year=True).sentence(words)
    assert said == "Watering takes no more than 100 l in a dry year, June to July."


@pytest.mark.parametrize(
    ("things", "state", "says"),
    [
        ((bed(outline=[[10, 10], [13, 10], [13, 13], [10, 13]]), shed(), butt("bed")), State.FAILS, "would last"),
        ((bed(), butt("bed")), State.FAILS, "No roof drains to"),
        ((bed(), shed(), butt()), State.UNKNOWN, "Nobody has said what is watered from"),
        ((feature("lawn", "grass", outline=SQUARE), shed(), butt("grass")), State.HOLDS, "needs any"),
        ((bed(), shed(sheds_to=None), feature("seat", "butt", at=[5, 5])), State.UNKNOWN, "is no tank or butt"),
        ((bed(outline=[[10, 10], [11, 10], [11, 11], [10, 11]]), shed(), butt("bed")), State.HOLDS, "Lasts"),
        ((bed(), shed(width=1.0, depth=1.0), butt("bed")), State.FAILS, "No larger tank would do"),
    ],
)  # fmt: skip
def test_the_tank_lasts(things, state, says):
    here = garden(*things)
    found = must("tank-lasts", tank="butt").judge(here, 2027, Words.of(here))
    assert found.state is state
    assert says in found.because


def test_the_tank_lasts_in_words():
    here = garden(bed(), shed(), butt("bed"))
    intent = must("tank-lasts", tank="butt", share=0.9)
    assert intent.things() == ("butt",)
    assert intent.sentence(Words.of(here)).endswith("lasts all summer for what it waters, 9 chances in 10.")
    dry = garden(bed(), shed(), butt("bed"), climate=Climate())
    assert intent.judge(dry, 2027, Words.of(dry)).state is State.UNKNOWN


def test_thirst_is_found_once_for_each_scene():
    here = garden(bed())
    scene = here.at(here.leaf_date(2027))
    assert thirsts(scene, here.find, here.frame) is thirsts(scene, here.find, here.frame)
    assert box(10, 10, 14, 15).area == pytest.approx(thirsts(scene, here.find, here.frame)[0].area_m2)
