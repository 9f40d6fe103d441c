"""Plants in the wrong place are noticed, with source and remedy; what isn't known is not guessed."""

from __future__ import annotations

import pytest

from quincunx.grow.fit import gravest, misfits
from quincunx.plants.growth import mature_height, mature_spread
from quincunx.shapes import Severity
from quincunx.site.climate import Climate, Soil
from quincunx.site.ground import Ground
from quincunx.site.household import Household
from quincunx.site.place import Place
from tests.grow.gardens import feature, hedge, line, plant as catalogued, tree

HERE = Place(latitude_deg=42.0, longitude_deg=-72.0, country="US")
BRITAIN = Place(latitude_deg=52.0, longitude_deg=-1.0, country="GB")


def kinds(timeline, year=2030):
    return {(m.owner, m.kind): m for m in misfits(timeline, year)}


def test_nothing_known_nothing_said():
    assert misfits(line(tree("fig", "ficus-carica", (5, 5)), hedge()), 2030) == ()


def test_a_fig_in_zone_5():
    # Mean extreme minimum -27.28 C is zone 5a (computed from 36 winters of the Champion series).
    cold = line(tree("fig", "ficus-carica", (5, 5)), climate=Climate(extreme_min_c=-27.28))
    found = kinds(cold)["fig", "hardy"]
    assert found.severity is Severity.FAULT
    assert "zone 5a" in found.words
    assert found.source
    assert found.remedy
    mild = line(tree("fig", "ficus-carica", (5, 5)), climate=Climate(extreme_min_c=-8.6))  # Brussels, zone 8b
    assert ("fig", "hardy") not in kinds(mild)


def test_blueberries_in_limy_soil():
    # Highbush blueberry: pH 4.5-5.5 (Strik 2008, OSU EC 1304; opening read).
    row = feature("row", "berries", plant="vaccinium-corymbosum", line=[[0, 0], [5, 0]])
    assert kinds(line(row, soil=Soil(ph=7.2)))["berries", "limy"].severity is Severity.FAULT
    assert ("berries", "limy") not in kinds(line(row, soil=Soil(ph=5.2)))
    box = feature("hedge", "box", plant="buxus-sempervirens", line=[[0, 2], [5, 2]])
    assert kinds(line(box, soil=Soil(ph=5.0)))["box", "acid"].severity is Severity.CARE


def test_wet_feet():
    ground = Soil(drainage="waterlogged")
    assert ("beech", "wet") in kinds(line(hedge("beech", "fagus-sylvatica"), soil=ground))
    assert ("dogwood", "wet") not in kinds(line(hedge("dogwood", "cornus-sericea"), soil=ground))
    lavender = feature("hedge", "lavender", plant="lavandula-angustifolia", line=[[0, 0], [5, 0]])
    assert kinds(line(lavender, soil=Soil(drainage="slow")))["lavender", "wet"].severity is Severity.CARE


def test_cold_air_gathers_at_the_foot():
    ground = Ground.from_levels([(0, 0, 0.0), (60, 0, 0.0), (0, 60, 3.0), (60, 60, 3.0)], [], line().frame.boundary)
    low, high = tree("low", "prunus-armeniaca", (30, 3)), tree("high", "prunus-armeniaca", (30, 55))
    middle = tree("middle", "prunus-armeniaca", (30, 25))
    found = kinds(line(low, middle, high, ground=ground))
    assert ("low", "frost") in found
    assert ("middle", "frost") not in found
    assert ("high", "frost") not in found


def test_poison_is_told_to_those_it_concerns():
    yew = hedge("yew", "taxus-baccata")
    assert kinds(line(yew, household=Household(hens=True)))["yew", "poison"].severity is Severity.DANGER
    assert ("yew", "poison") not in kinds(line(yew))
    lily = feature("planted-area", "lily", plant="hemerocallis-hybrids", outline=[[0, 0], [3, 0], [3, 3], [0, 3]])
    assert kinds(line(lily, household=Household(cats=True)))["lily", "poison"].severity is Severity.HINT
    assert ("lily", "poison") not in kinds(line(lily, household=Household(children=True)))
    assert ("lily", "poison") not in kinds(line(lily, household=Household(dogs=True)))


@pytest.mark.parametrize(
    ("home", "who"),
    [
        (Household(hens=True), "hens"),
        (Household(children=True, hens=True), "children and hens"),
        (Household(children=True, dogs=True, hens=True), "children, dogs and hens"),
    ],
)
def test_who_is_about_is_named_beside_yew(home, who):
    found = kinds(line(hedge("yew", "taxus-baccata"), household=home))["yew", "poison"]
    assert f"can kill, and {who} are about: very poisonous to people, pets, livestock" in found.words
    assert f"while {who} are about" in found.remedy


def test_kernels_and_leaves_are_told_to_animals_too():
    # Cherry laurel is poisonous to people, pets and livestock (ASPCA list of 2015; RHS; from the catalogue's row).
    laurel = hedge("laurel", "prunus-laurocerasus")
    for home in (Household(dogs=True), Household(hens=True)):
        found = kinds(line(laurel, household=home))["laurel", "poison"]
        assert found.severity is Severity.HINT
        assert f"with {home.named()} about" in found.words
        assert "Keep animals off" in found.remedy
    child = kinds(line(laurel, household=Household(children=True, hens=True)))["laurel", "poison"]
    assert child.severity is Severity.CARE
    assert "with children and hens about" in child.words


def test_nothing_is_said_of_what_harms_nobody_here():
    # Red maple: wilted leaves kill horses (ASPCA), and a household here has none.
    maple = tree("m", "acer-rubrum", (5, 5))
    assert ("m", "poison") not in kinds(line(maple, household=Household(dogs=True, cats=True)))
    zinnia = feature("planted-area", "z", plant="zinnia-elegans", outline=[[0, 0], [3, 0], [3, 3], [0, 3]])
    assert ("z", "poison") not in kinds(line(zinnia, household=Household(dogs=True, cats=True, children=True)))


@pytest.mark.parametrize(("place", "said"), [(HERE, True), (BRITAIN, False), (None, False)])
def test_barberry_is_restricted_in_the_states(place, said):
    found = kinds(line(hedge("b", "berberis-thunbergii"), place=place))
    assert (("b", "restricted") in found) is said
    assert (("b", "invasive") in found) is said


def test_currants_and_blister_rust():
    bush = feature("shrub", "currant", plant="ribes-nigrum", at=(5, 5))
    assert "blister rust" in kinds(line(bush, place=HERE))["currant", "restricted"].words
    assert ("currant", "restricted") not in kinds(line(bush, place=BRITAIN))


def test_trees_that_grow_into_each_other():
    close = line(
        tree("a", "malus-domestica-mm-106-m-7-rootstock", (5, 5)),
        tree("b", "malus-domestica-mm-106-m-7-rootstock", (7, 5)),
    )
    found = kinds(close)["a", "neighbours"]
    assert found.other == "b"
    assert found.said(str.upper, lambda m: f"{m:.1f} m").startswith("A (apple, semi-vigorous) and B")
    wide = mature_spread(catalogued("malus-domestica-mm-106-m-7-rootstock")).mid
    said = found.said(str.upper, lambda m: f"{m:.1f} m")
    assert "stand 2.0 m apart" in said
    # Two circles of width w whose middles are 2 m apart overlap by w - 2.
    assert f"grow {wide - 2:.1f} m into each other's room" in said
    apart = line(
        tree("a", "malus-domestica-mm-106-m-7-rootstock", (5, 5)),
        tree("b", "malus-domestica-mm-106-m-7-rootstock", (9, 5)),
    )
    assert ("a", "neighbours") not in kinds(apart)


HOUSE = {"outline": [[0, 0], [8, 0], [8, 6], [0, 6]], "there_from": "start"}


@pytest.mark.parametrize(
    ("plant", "far"),
    [
        # NHBC Standards 4.2, Table 3b (read): 1.25, 0.75 and 0.5 times the mature height by water demand.
        ("malus-domestica-mm-111-m-25-seedling", 0.75),
        ("ficus-carica", 0.5),
        ("quercus-robur", 1.25),
    ],
)
def test_distance_to_a_house_on_clay(plant, far):
    high = mature_height(catalogued(plant)).high
    # The eaves reach 0.3 m past the walls and count as the house: the safer way.
    for distance, said in ((far * high - 0.3, True), (far * high + 0.4, False)):
        house = feature("house", "cottage", **HOUSE)
        there = line(
            house,
            tree("t", plant, (8 + distance, 3)),
            soil=Soil(shrinkable_clay=True),
            cautions=(("cottage", "foundations"),),
        )
        assert (("t", "clay") in kinds(there)) is said
    sound = line(house, tree("t", plant, (9, 3)), soil=Soil(), cautions=(("cottage", "foundations"),))
    assert ("t", "clay") not in kinds(sound)


def test_nhbc_worked_distances():
    # NHBC 2006 Table 12 heights: orchard apple 10 m moderate, 7.5 m; English oak 20 m high, 25 m; fig 8 m low, 4 m (read).
    from quincunx.grow.near import CLAY_TIMES

    for plant, height, distance in (
        ("malus-domestica-mm-111-m-25-seedling", 10, 7.5),
        ("quercus-robur", 20, 25),
        ("ficus-carica", 8, 4),
    ):
        assert CLAY_TIMES[str(catalogued(plant).water_demand)] * height == pytest.approx(distance)


OF_DRAIN = (("drain", "roots clog it"),)


def test_roots_and_drains():
    drain = feature("drain", "drain", line=[[0, 10], [20, 10]], there_from="start")
    found = kinds(
        line(drain, tree("near", "acer-rubrum", (5, 11)), tree("far", "acer-rubrum", (15, 20)), cautions=OF_DRAIN)
    )
    assert found["near", "roots"].other == "drain"
    assert ("far", "roots") not in found


def test_food_beside_treated_timber_and_old_paint():
    bed = feature("raised-bed", "bed", outline=[[0, 0], [4, 0], [4, 2], [0, 2]], treated=True)
    salad = feature("row", "salad", plant="lactuca-sativa", line=[[0.5, 1], [3.5, 1]])
    assert bed.cautions() == ("treated timber",)
    assert ("salad", "timber") in kinds(line(bed, salad, cautions=(("bed", "treated timber"),)))
    barn = feature("house", "barn", old_paint=True, **HOUSE)
    assert barn.cautions() == ("foundations", "old paint")
    there = line(barn, tree("plum", "prunus-cerasus", (9, 3)), cautions=(("barn", "old paint"),))
    assert kinds(there)["plum", "paint"].severity is Severity.DANGER


def test_walnut_and_tomatoes():
    walnut = tree("walnut", "juglans-nigra", (20, 20))
    near = feature("row", "tomatoes", plant="solanum-lycopersicum", line=[[24, 20], [28, 20]])
    assert kinds(line(walnut, near))["tomatoes", "walnut"].other == "walnut"
    far = feature("row", "tomatoes", plant="solanum-lycopersicum", line=[[50, 50], [54, 50]])
    assert ("tomatoes", "walnut") not in kinds(line(walnut, far))


def test_the_gravest():
    assert gravest([]) is None
    found = misfits(line(hedge("yew", "taxus-baccata"), household=Household(hens=True)), 2030)
    assert gravest(found) is Severity.DANGER


def test_young_evergreens_in_wind():
    windy = Climate(wind_m_s=(6.2,) + (4.0,) * 11)
    found = kinds(line(hedge("yew", "taxus-baccata"), hedge("leafy"), climate=windy), 2027)
    assert "6.2 m/s in January" in found["yew", "wind"].words
    assert found["yew", "wind"].remedy
    assert found["yew", "wind"].source
    assert ("leafy", "wind") not in found
    assert ("yew", "wind") not in kinds(line(hedge("yew", "taxus-baccata"), climate=windy), 2030)
    calm = Climate(wind_m_s=(4.9,) * 12)
    assert ("yew", "wind") not in kinds(line(hedge("yew", "taxus-baccata"), climate=calm), 2027)


def test_apples_want_a_winter():
    apple = tree("apple", "malus-domestica-mm-106-m-7-rootstock", (5, 5))
    mild = Climate(t_min_c=(9.0,) * 12, t_max_c=(19.0,) * 12)
    found = kinds(line(apple, climate=mild))["apple", "chill"]
    assert found.severity is Severity.CARE
    assert "800 to 1500 hours" in found.words
    cold = Climate(t_min_c=(1.0,) * 12, t_max_c=(7.0,) * 12)
    assert ("apple", "chill") not in kinds(line(apple, climate=cold))
    assert ("apple", "chill") not in kinds(line(apple))


@pytest.mark.parametrize(("x", "said"), [(1.2, True), (6.0, False)])
def test_bushes_that_grow_over_a_path(x, said):
    path = feature("path", "walk", line=[[0, 0], [0, 20]], there_from="start")
    lilac = feature("shrub", "lilac", plant="syringa-vulgaris", at=[x, 10])
    found = kinds(line(path, lilac))
    assert (("lilac", "way") in found) is said
    kept = feature("shrub", "lilac", plant="syringa-vulgaris", at=[x, 10], most_spread=0.8)
    assert ("lilac", "way") not in kinds(line(path, kept))


@pytest.mark.parametrize(("apart", "said"), [(1.0, True), (2.6, True), (4.0, False)])
def test_a_tall_tree_near_the_walls_of_a_house(apart, said):
    house = feature("house", "house", outline=[[0, 0], [8, 0], [8, 6], [0, 6]], there_from="start")
    lime = tree("lime", "tilia-cordata", (8 + apart, 3))
    assert mature_height(catalogued("tilia-cordata")).mid >= 8
    found = kinds(line(house, lime, cautions=(("house", "foundations"),)))
    assert (("lime", "walls") in found) is said
    if said:
        assert "BS 5837" in found["lime", "walls"].source


def test_a_laurel_left_to_grow_is_judged_like_any_bush():
    path = feature("path", "walk", line=[[0, 0], [0, 20]], there_from="start")
    house = feature("house", "house", outline=[[3, 8], [9, 8], [9, 12], [3, 12]], there_from="start")
    assert catalogued("prunus-laurocerasus").form == "hedge"
    laurel = feature("shrub", "laurel", plant="prunus-laurocerasus", at=[1.4, 10])
    found = kinds(line(path, house, laurel, cautions=(("house", "foundations"),)))
    assert found["laurel", "way"].other == "walk"
    assert found["laurel", "walls"].other == "house"
    clipped = feature("hedge", "laurel", plant="prunus-laurocerasus", line=[[1.4, 5], [1.4, 15]])
    kept = feature("shrub", "laurel", plant="prunus-laurocerasus", at=[1.4, 10], most_spread=0.8)
    for small in (clipped, kept):
        found = kinds(line(path, house, small, cautions=(("house", "foundations"),)))
        assert not {kind for _, kind in found} & {"way", "walls"}


def test_what_is_in_rows_or_clipped_reaches_out_over_ways_too():
    path = feature("path", "walk", line=[[0, 0], [0, 20]], width=1.0, there_from="start")
    canes = feature("row", "canes", plant="rubus-fruticosus-agg-thornless-cultivars", line=[[0.8, 2], [0.8, 8]])
    found = kinds(line(path, canes))["canes", "way"]
    # 2.4 m wide when grown (catalogue): 1.2 m to each side, 0.3 m from the edge; that is most of a way 1 m wide.
    assert "{m:0.900} over the edge of {walk}" in found.words
    assert found.severity is Severity.CARE
    narrow = feature("hedge", "edge", plant="carpinus-betulus", line=[[0.85, 2], [0.85, 18]], clip_width=0.6)
    wide = feature("hedge", "edge", plant="carpinus-betulus", line=[[0.85, 2], [0.85, 18]], clip_width=1.2)
    assert ("edge", "way") not in kinds(line(path, narrow), year=2040)
    grown = kinds(line(path, wide), year=2040)["edge", "way"]
    assert grown.remedy.startswith("Clip it narrower")
    lettuce = feature("planted-area", "lettuce", plant="lactuca-sativa", outline=[[0.5, 1], [2, 1], [2, 3], [0.5, 3]])
    assert ("lettuce", "way") not in kinds(line(path, lettuce))


def test_a_bush_that_grows_into_a_gate():
    wall = feature("wall", "wall", line=[[0, 0], [10, 0]], height=1.8, there_from="start")
    gate = feature("gate", "gate", at=[5, 0], width=1.0, there_from="start")
    lilac = feature("shrub", "lilac", plant="syringa-vulgaris", at=[5.9, 0.6])
    found = kinds(line(wall, gate, lilac))["lilac", "way"]
    assert found.other == "gate"
    assert "hardly anybody gets by" in found.words
    far = feature("shrub", "lilac", plant="syringa-vulgaris", at=[8.5, 0.6])
    assert ("lilac", "way") not in kinds(line(wall, gate, far))


def test_a_little_lime_asks_for_no_bed_of_acid_soil():
    apple = tree("apple", "malus-domestica-mm-106-m-7-rootstock", (3, 3))
    blueberry = feature("shrub", "blueberry", plant="vaccinium-corymbosum", at=[5, 5])
    found = kinds(line(apple, blueberry, soil=Soil(ph=7.8)))
    assert "acid soil" not in found["apple", "limy"].remedy
    assert "acid soil" in found["blueberry", "limy"].remedy


def test_money_tells_the_country_where_no_place_does():
    bush = line(hedge("b", "berberis-thunbergii"))
    kinds_of = {money: {m.kind for m in misfits(bush, 2030, money)} for money in ("USD", "GBP", "EUR")}
    assert "restricted" in kinds_of["USD"]
    assert not kinds_of["GBP"] & {"restricted"}
    assert not kinds_of["EUR"] & {"restricted", "invasive"}
