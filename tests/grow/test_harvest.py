"""First and full crops, kilograms by month, what is lost, and who pollinates whom."""

from __future__ import annotations

import pytest
from hypothesis import given, strategies as st

from quincunx.grow.bearing import bearing
from quincunx.grow.bloom import in_month
from quincunx.grow.harvest import FIRST_SHARE, crop_share, crops, full_kg, harvest, harvests
from quincunx.grow.partners import partners
from quincunx.grow.plantings import plantings
from quincunx.plants.catalogue import Plant, builtin, find_plant
from quincunx.plants.varieties import apart, varieties
from tests.grow.gardens import feature, known, line, note, tree

CROPPING = st.sampled_from([p for p in sorted(builtin().values(), key=lambda p: p.id) if p.harvest_months])
ORCHARD = (
    tree("one", "malus-domestica-m-9-rootstock", (10, 10), variety="Early red"),
    tree("two", "malus-domestica-m-9-rootstock", (14, 10), variety="Winter keeper"),
)


@given(plant=CROPPING, age=st.floats(0, 80))
def test_a_share_is_a_share(plant, age):
    share = crop_share(plant, (age, age, age))
    assert 0 <= share.low <= share.mid <= share.high <= 1


@given(plant=CROPPING, age=st.floats(0, 40), more=st.floats(0, 5))
def test_until_it_is_past_its_best_a_crop_only_grows(plant, age, more):
    lasting = plant.changed(life_years=None)
    now, later = (crop_share(lasting, (a, a, a)) for a in (age, age + more))
    assert all(a <= b + 1e-9 for a, b in zip(now.triple, later.triple, strict=True))


def test_not_yet_planted_gives_nothing():
    plant = find_plant("rubus-idaeus")
    assert plant is not None
    assert crop_share(plant, (-1.0, -1.0, -1.0)).high == 0


def test_first_and_full_crop_by_the_published_ages():
    # Cornell Guide to Growing Fruit at Home, Table 2 (read in part): apple on M.9 bears at 3 to 5 years.
    plant = find_plant("malus-domestica-m-9-rootstock")
    assert plant is not None
    assert crop_share(plant, (2.4, 2.4, 2.4)).high == 0
    assert crop_share(plant, (3.0, 3.0, 3.0)).high > 0 == crop_share(plant, (3.0, 3.0, 3.0)).low
    assert crop_share(plant, (5.0, 5.0, 5.0)).low == pytest.approx(FIRST_SHARE)
    assert plant.full_crop_years is not None
    old = plant.full_crop_years[1]
    assert crop_share(plant.changed(life_years=None), (old, old, old)).triple == (1.0, 1.0, 1.0)


def test_strawberries_fall_off_when_they_are_old():
    # Replace the bed every 3 to 4 years (common practice).
    plant = find_plant("fragaria-x-ananassa")
    assert plant is not None
    assert [round(crop_share(plant, (a, a, a)).mid, 2) for a in (2, 3.5, 4.4, 6)] == [1.0, 1.0, 0.49, 0.0]


def test_kilograms_of_a_row_and_of_trees():
    # KSU1: 150 lb per 100 ft of beetroot is 2.23 kg/m.
    beet = feature("row", "beet", plant="beta-vulgaris-beetroot", line=[[0, 0], [10, 0]], spacing=0.1)
    (row,) = plantings(line(beet), 2027)
    assert row.standing.count == 100
    assert full_kg(row).mid == pytest.approx(22.3, rel=0.01)
    one, two = plantings(line(*ORCHARD), 2034)
    assert full_kg(one).mid == full_kg(two).mid == pytest.approx((9 + 13.5) / 2)


def test_months_add_up_to_the_year():
    found = harvest(line(*ORCHARD, years=12), 2038)
    assert sum(m.mid for m in found.months) == pytest.approx(found.kg.mid)
    assert [m for m in range(1, 13) if found.months[m - 1].mid > 0] == [8, 9, 10]
    assert found.gaps == (1, 2, 3, 4, 5, 6, 7, 11, 12)
    assert found.gluts == ()  # 22 kg in all: no month over 10 kg
    assert found.kg.low < found.kg.mid < found.kg.high


def test_southern_gardens_pick_half_a_year_later():
    found = harvest(line(*ORCHARD, years=14, latitude_deg=-37.0), 2040)
    assert [m for m in range(1, 13) if found.months[m - 1].mid > 0] == [2, 3, 4]


def test_a_late_planting_loses_years():
    early = bearing(line(*ORCHARD), "one").when
    late = [o.changed(there_from="2029-03") for o in ORCHARD]
    assert bearing(line(*late), "one").when.usually == known(early.usually) + 2


def test_setbacks_put_the_first_crop_off_and_cost_the_year():
    plain = bearing(line(*ORCHARD), "one").when
    frozen = line(*ORCHARD, journal=[note("2029-01-20", "died-back", "one")])
    assert bearing(frozen, "one").when.usually == known(plain.usually) + 2
    old = line(*ORCHARD, years=14, journal=[note("2038-05-02", "browsed", "one")])
    by_owner = {c.owner: c for c in crops(old, 2038)}
    assert by_owner["one"].kg.high == 0
    assert by_owner["one"].set_back
    assert by_owner["two"].kg.mid > 0


def test_an_apple_alone_sets_no_fruit():
    alone = line(ORCHARD[0], years=10)
    (partner,) = partners(plantings(alone, 2034)).values()
    assert (partner.state, partner.needed, partner.sure) == ("none", True, False)
    assert bearing(alone, "one").when.usually is None
    assert harvest(alone, 2036).kg.mid == 0 < harvest(alone, 2036).kg.high


@pytest.mark.parametrize(
    ("variety", "at", "state"),
    [
        ("Winter keeper", (14, 10), "has"),
        ("Early red", (14, 10), "none"),
        ("", (14, 10), "perhaps"),
        ("Winter keeper", (30, 10), "perhaps"),  # 20 m: bees surely come 15 m, hardly 30 (memory)
        ("Winter keeper", (45, 10), "none"),
    ],
)
def test_partners_by_variety_and_distance(variety, at, state):
    other = ORCHARD[1].changed(variety=variety, at=at)
    assert partners(plantings(line(ORCHARD[0], other), 2030))["one"].state == state


def test_a_crab_apple_pollinates_apples():
    crab = tree("crab", "malus-hybrids-ornamental", (12, 10))
    assert partners(plantings(line(ORCHARD[0], crab), 2030))["one"].by == "crab"


def test_the_wind_carries_hazel_pollen_farther():
    near = tree("a", "corylus-avellana", (2, 2), variety="Long cob")
    far = tree("b", "corylus-avellana", (50, 2), variety="Filbert")
    assert partners(plantings(line(near, far), 2030))["a"].state == "has"


def test_kiwis_need_both_sexes():
    def vine(name, x, variety):
        return feature("climber", name, plant="actinidia-arguta", line=[[x, 0], [x, 3]], variety=variety)

    pair = line(vine("a", 1, "female"), vine("b", 4, "male"))
    assert partners(plantings(pair, 2030))["a"].state == "has"
    same = line(vine("a", 1, "female"), vine("b", 4, "a female one"))
    assert partners(plantings(same, 2030))["a"].state == "none"


def test_a_pair_that_never_flowers_together_is_none():
    def pear(name: str, month: int) -> Plant:
        return Plant(
            id=name, name=name, form="tree", height_m=4, spread_m=3, kin="pear", pollination="partner",
            bloom_months=(month,), harvest_months=(9,),
        )  # fmt: skip

    own = {"early": pear("early", 3), "late": pear("late", 5)}
    timeline = line(tree("a", "early", (1, 1), variety="x"), tree("b", "late", (4, 1), variety="y"), own=own)
    assert partners(plantings(timeline, 2030))["a"].state == "none"


def test_flowers_and_leaf_by_month():
    timeline = line(*ORCHARD, feature("hedge", "yew", plant="taxus-baccata", line=[[0, 0], [5, 0]]))
    assert in_month(timeline, 2033, 5, bloom=True) == ("one", "two")
    assert in_month(timeline, 2028, 5, bloom=True) == ()  # too young
    assert in_month(timeline, 2033, 1, bloom=False) == ("yew",)
    assert in_month(timeline, 2033, 1, bloom=False, among=("one",)) == ()


def test_every_year_has_a_harvest():
    found = harvests(line(*ORCHARD))
    assert list(found) == list(range(2027, 2035))
    assert [h.begun for h in found.values()] == sorted(h.begun for h in found.values())


@pytest.mark.parametrize(
    ("mine", "theirs", "state", "said"),
    [
        ("James Grieve", "Egremont Russet", "has", ""),
        ("James Grieve", "Cox’s Orange Pippin", "has", ""),
        ("Egremont Russet", "Lord Derby", "perhaps", "hardly flower together"),
        ("Egremont Russet", "Newton Wonder", "none", "don't flower together"),
        ("Rival", "Bramley's Seedling", "none", "triploid"),
        ("Bramley's seedling", "Rival", "has", ""),
        ("Of my own", "Newton Wonder", "has", ""),
        ("Blenheim Orange", "Newton Wonder", "has", ""),
    ],
)
def test_flowering_groups_of_apples(mine, theirs, state, said):
    plant = "malus-domestica-mm-106-m-7-rootstock"
    two = (tree("one", plant, (5, 5), variety=mine), tree("two", plant, (9, 5), variety=theirs))
    found = partners(plantings(line(*two), 2032))["one"]
    assert found.state == state
    assert said in found.why


def test_every_variety_is_in_order():
    assert len(varieties()) >= 20
    for kin, one in varieties():
        assert kin == "apple"
        assert 1 <= min(one.groups) <= max(one.groups) <= 7
        assert set(one.source.split(";")) <= {"RHS1", "GWM1", "KRI1", "ENC1"}
        assert apart(one, one) == 0
