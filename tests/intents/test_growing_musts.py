"""The musts about plants, through the years."""

from __future__ import annotations

import pytest

from quincunx.intents import Words
from quincunx.intents.bears import Bears
from quincunx.intents.each_month import EachMonth
from quincunx.intents.harvest_at_least import HarvestAtLeast
from quincunx.intents.hedge_closed import HedgeClosed
from quincunx.intents.plants_fit import PlantsFit
from quincunx.intents.plants_hide import PlantsHide
from quincunx.shapes import State
from quincunx.site.climate import Climate
from quincunx.site.household import Household
from quincunx.units import Style
from tests.grow.gardens import feature, hedge, line, note, tree

PAIR = (
    tree("nut-1", "corylus-avellana", (5, 5), variety="Long cob"),
    tree("nut-2", "corylus-avellana", (9, 5), variety="Filbert"),
)


def said(must, timeline, style=None):
    words = Words.of(timeline, style)
    return [must.judge(timeline, y, words) for y in timeline.years]


def states(must, timeline):
    return "".join({"holds": "+", "fails": "x", "unknown": "?", "not_due": "."}[v.state] for v in said(must, timeline))


def test_a_hedge_closes_by_a_year():
    timeline = line(hedge(spacing=0.4, clip_height=1.8))
    must = HedgeClosed.model_validate({"id": "m", "feature": "hedge", "high": 1.5})
    assert states(must, timeline) == "xxxx++++"
    assert states(must.changed(by=2030), timeline) == "...x++++"
    verdict = said(must, timeline)[-1]
    assert "not before" in verdict.because
    assert verdict.range[0] <= verdict.measured <= verdict.range[1]
    assert must.changed(by=2030).sentence(Words()) == "The hedge has closed and is 1.50 m high by 2030."


def test_a_browsed_hedge_breaks_its_must():
    eaten = line(hedge(spacing=0.4, clip_height=1.8), journal=[note("2028-05-01", "browsed", "hedge")])
    must = HedgeClosed.model_validate({"id": "m", "feature": "hedge", "high": 1.5, "by": 2031})
    assert states(must, eaten) == "....x+++"
    assert states(must, line(hedge(spacing=0.4, clip_height=1.8))) == "....++++"


def test_how_much_earlier_it_would_have_to_be_planted():
    late = line(hedge(spacing=0.4, clip_height=1.8, there_from="2029-03"))
    must = HedgeClosed.model_validate({"id": "m", "feature": "hedge", "high": 1.5, "by": 2031})
    assert said(must, late)[4].because.endswith("Planted 2 years earlier, or as larger plants, it would be in time.")
    assert "earlier" not in said(must, line(hedge(spacing=0.4, clip_height=1.8)))[4].because


def test_what_is_lost_does_not_stand():
    gone = line(hedge(), journal=[note("2030-05-01", "lost", "hedge")])
    must = HedgeClosed.model_validate({"id": "m", "feature": "hedge", "high": 0.5})
    assert said(must, gone)[-1].because == "The hedge does not stand then."


def test_a_wall_is_no_plant():
    wall = feature("wall", "wall", line=[[0, 0], [4, 0]])
    must = HedgeClosed.model_validate({"id": "m", "feature": "wall"})
    assert said(must, line(wall))[2].state is State.UNKNOWN


def test_a_hornbeam_hides_in_summer_not_in_winter():
    timeline = line(hedge(clip_height=1.8))
    must = PlantsHide.model_validate({"id": "m", "feature": "hedge", "high": 1.5})
    assert states(must, timeline)[-1] == "+"
    winter = must.changed(winter=True)
    assert states(winter, timeline)[-1] == "x"
    assert "evergreen" in said(winter, timeline)[-1].because
    assert states(winter, line(hedge("hedge", "taxus-baccata", clip_height=1.8), years=14))[-1] == "+"


def test_nuts_by_a_year():
    timeline = line(*PAIR)
    must = Bears.model_validate({"id": "m", "plantings": ["nut-1", "nut-2"]})
    assert states(must, timeline) == "xxx+++++"
    verdict = said(must, timeline)[4]
    assert verdict.because.startswith("They all bear not before 2029, surely by 2031")
    assert verdict.range == (2029, 2031)
    assert must.changed(by=2031).sentence(Words()) == "The nut-1 and the nut-2 bear by 2031."


def test_a_lone_nut_never_bears_and_unnamed_ones_may():
    alone = Bears.model_validate({"id": "m", "plantings": ["nut-1"]})
    assert states(alone, line(PAIR[0])) == "xxxxxxxx"
    assert "sets no fruit alone" in said(alone, line(PAIR[0]))[-1].because
    unnamed = line(*(t.changed(variety="") for t in PAIR))
    assert states(alone, unnamed)[-1] == "?"


def test_kilograms_a_year():
    timeline = line(*PAIR)
    must = HarvestAtLeast.model_validate({"id": "m", "kilograms": 5.0})
    found = said(must, timeline)
    assert states(must, timeline)[0] == "x"
    assert states(must, timeline)[-1] == "+"
    assert found[-1].range[0] < found[-1].measured < found[-1].range[1]
    assert "give nothing yet" in found[0].because
    only = must.changed(plantings=("nut-1",), months=(9,), by=2034)
    assert only.sentence(Words()) == "The nut-1 gives at least 5 kg in September by 2034."
    assert said(only, timeline)[-1].measured == pytest.approx(found[-1].measured / 4)
    assert only.sentence(Words(style=Style("feet"))) == "The nut-1 gives at least 11 lb in September by 2034."


def test_flowers_in_each_month():
    area = feature(
        "planted-area", "asters", plant="symphyotrichum-novae-angliae", outline=[[0, 0], [3, 0], [3, 3], [0, 3]]
    )
    must = EachMonth.model_validate({"id": "m", "months": [9, 10]})
    assert states(must, line(area))[-1] == "+"
    wider = must.changed(months=(8, 9, 10))
    assert said(wider, line(area))[-1].because == "Nothing is in flower in August."
    assert wider.sentence(Words()) == "In each month from August to October something is in flower."
    green = EachMonth.model_validate({"id": "m", "what": "green", "months": [1]})
    assert states(green, line(area)) == "xxxxxxxx"
    assert states(green, line(hedge("yew", "taxus-baccata"))) == "x+++++++"  # not yet planted in January 2027


def test_all_plants_fit():
    must = PlantsFit.model_validate({"id": "m"})
    fig = tree("fig", "ficus-carica", (5, 5), there_from="2029-03")
    cold = line(fig, climate=Climate(extreme_min_c=-25.0))
    assert states(must, cold) == "..xxxxxx"
    assert "can kill it" in said(must, cold)[-1].because
    assert states(must, line(fig)) == "..++++++"
    lily = feature("planted-area", "lily", plant="narcissus-hybrids", outline=[[0, 0], [3, 0], [3, 3], [0, 3]])
    young = line(lily, household=Household(children=True))
    assert states(must, young) == "++++++++"
    assert states(must.changed(strict=True), young) == "xxxxxxxx"


def test_plants_fit_is_asked_of_the_plantings_it_names_alone():
    timeline = line(hedge("yew", "taxus-baccata"), *PAIR, household=Household(hens=True))
    must = PlantsFit.model_validate({"id": "m"})
    assert states(must, timeline) == "xxxxxxxx"
    assert states(must.changed(plantings=("yew",)), timeline) == "xxxxxxxx"
    nuts = must.changed(plantings=("nut-1",))
    assert states(nuts, timeline) == "++++++++"
    assert said(nuts, timeline)[0].because.startswith("None of these is in the wrong place.")


def test_where_nothing_is_planted_nothing_suits_yet():
    must = PlantsFit.model_validate({"id": "m"})
    late = line(tree("nut", "corylus-avellana", (5, 5), there_from="2029-03"))
    assert states(must, late) == "..++++++"
    assert said(must, late)[0].because == "Nothing is planted then."
