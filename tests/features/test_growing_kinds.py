"""Kinds that grow: forms of trees, climbers on their support, rows and patterns, the seasons of both hemispheres."""

from __future__ import annotations

import math
from datetime import date
from typing import Any

import pytest
from shapely import union_all

from quincunx.plants.catalogue import find_plant
from quincunx.plants.growth import size_at
from quincunx.scene import Stood
from quincunx.shapes import Crown, FrameWork, Narrow, PlantWork, Prism, Solid
from tests.features.standing import find, make, moment, scene_of, stand

GROWING = ["climber", "hedge", "planted-area", "row", "shrub", "tree"]


def built(kind: str, **fields: Any) -> Any:
    """The feature of a kind, whose own fields and methods the tests look into."""
    return make(kind, **fields)


def part(stood: Stood, name: str) -> Solid:
    (one,) = [s for s in stood.solids if s.part == name]
    return one


@pytest.mark.parametrize("kind", GROWING)
def test_what_grows_never_shrinks_from_summer_to_summer(kind):
    before = 0.0
    for age in range(0, 60, 4):
        stood = stand(make(kind), moment(date(2030, 7, 15), age=age))
        (listed,) = stood.plants
        high = max(s.top.value_m for s in stood.solids if s.grown)
        assert high >= before - 1e-9
        assert listed.height_m[0] <= listed.height_m[1] <= listed.height_m[2]
        assert listed.age_years == age
        before = high


@pytest.mark.parametrize("kind", GROWING)
def test_plants_nobody_has_described_stand_all_the_same(kind):
    (listed,) = stand(make(kind, plant="nobody-knows-it")).plants
    assert listed.plant == "nobody-knows-it"
    assert listed.height_m[1] > 0


@pytest.mark.parametrize("kind", GROWING)
def test_leaf_turns_with_the_hemisphere(kind):
    north, south = stand(make(kind)), stand(make(kind), moment(date(2030, 12, 15), southern=True))
    grown = [(a, b) for a, b in zip(north.solids, south.solids, strict=True) if a.grown and len(set(a.opacity)) > 1]
    assert grown
    for a, b in grown:
        assert b.opacity == pytest.approx(a.opacity[6:] + a.opacity[:6])


def test_a_tree_grows_by_the_curve_and_is_drawn_true():
    plum = find_plant("prunus-domestica-semi-dwarf-rootstock")
    assert plum is not None
    stood = stand(make("tree", there_from=None), moment(age=6))
    size = size_at(plum, 6, start_height_m=1.5, stock="bare root")
    crown = part(stood, "crown")
    assert crown.top.value_m == pytest.approx(size.height_m.mid)
    west, _, east, _ = crown.footprint.bounds
    assert east - west == pytest.approx(size.spread_m.mid)
    assert crown.reluctant
    assert crown.base.value_m == part(stood, "stem").top.value_m or part(stood, "stem").top.value_m == 0.1


@pytest.mark.parametrize(("form", "clear"), [("standard", 1.8), ("half-standard", 1.35), ("bush", 0.7)])
def test_forms_have_their_clear_stem(form, clear):
    # Nursery trade sizes, from memory: standard 1.8 m, half-standard 1.35 m, bush 0.7 m.
    tall = stand(make("tree", form=form, start_height=3.5, plant="malus-domestica-mm-106-m-7-rootstock"))
    assert part(tall, "crown").base.value_m == pytest.approx(clear)
    whip = stand(make("tree", form=form, start_height=1.0), moment(age=0.0))
    assert part(whip, "crown").base.value_m <= 0.6 * 1.0


def test_a_column_is_narrow_a_flat_tree_is_flat_and_pruning_holds():
    grown = (stand(make("tree", form=f), moment(age=8)) for f in ("as it grows", "column"))
    wide, narrow = (part(stood, "crown").footprint.bounds for stood in grown)
    assert narrow[2] - narrow[0] == pytest.approx(0.35 * (wide[2] - wide[0]), rel=1e-6)
    flat = part(stand(make("tree", form="flat", along_deg=90), moment(age=8)), "crown")
    assert isinstance(flat.form, Prism)
    _, south, _, north = flat.footprint.bounds
    assert north - south == pytest.approx(0.5)
    kept = stand(make("tree", most_height=2.2, most_spread=1.5), moment(age=30))
    assert part(kept, "crown").top.value_m == 2.2
    assert kept.plants[0].spread_m == (1.5, 1.5, 1.5)


@pytest.mark.parametrize("crown", ["ellipsoid", "cone", "dome"])
def test_a_crown_has_the_outline_chosen(crown):
    assert part(stand(make("tree", crown=crown)), "crown").form == Crown(crown)


def test_a_tree_that_was_there_starts_as_measured():
    old = make("tree", there_from="start", start_height=3.4, start_spread=3.0, age_at_start=40, stem=0.2)
    stood = stand(old, moment(age=0.0))
    assert part(stood, "crown").top.value_m == pytest.approx(3.4)
    west, _, east, _ = part(stood, "stem").footprint.bounds
    assert east - west == pytest.approx(0.2)
    assert stood.plants[0].age_years == 40
    later = stand(old, moment(age=10.0))
    assert 3.4 < part(later, "crown").top.value_m <= 3.75


def test_a_shrub_stands_from_the_ground_and_dies_back_if_it_is_a_herb():
    bush = stand(make("shrub"), moment(age=4))
    assert bush.solids[0].base.value_m == 0
    assert bush.solids[0].form == Crown("dome")
    winter, summer = (stand(make("shrub", plant="hosta-hybrids"), moment(date(2030, m, 15), age=5)) for m in (1, 7))
    assert winter.solids[0].top.value_m == pytest.approx(0.05)
    assert summer.solids[0].top.value_m > 0.4


ARCH = {"id": "arch", "at": [0, 0], "along_deg": 90, "width": 1.25, "headroom": 2.2}
ROSE = {"line": [[-0.625, 0], [0.625, 0]], "where": "over an arch", "support": "arch", "support_height": 2.2}


def test_a_climber_narrows_its_arch_a_little_more_each_year():
    widths, heads = [], []
    for year in range(9):
        rose = make("climber", **ROSE, thickness=0.25)
        (way,) = scene_of(make("arch", **ARCH), rose, at=moment(date(2030 + year, 8, 31), age=float(year))).openings
        widths.append(way.width_m)
        heads.append(way.headroom_m)
    assert widths == sorted(widths, reverse=True)
    rose_plant = find_plant("rosa-climbing-and-rambling")
    assert rose_plant is not None
    # In year N it takes from each side its thickness, in step with its length up to the arch's height.
    for year in (0, 1, 3):
        share = min(size_at(rose_plant, year).height_m.mid / 2.2, 1.0)
        assert widths[year] == pytest.approx(1.25 - 2 * max(0.25 * share, 0.05))
    assert widths[-1] == pytest.approx(1.25 - 0.5)
    assert heads[0] == 2.2
    assert heads[-1] == pytest.approx(2.2 - 0.25)


def test_its_leaves_and_what_it_takes_agree():
    stood = stand(rose := built("climber", **ROSE, thickness=0.25, width=0.5), moment(age=8.0))
    (change,) = stood.changes
    assert isinstance(change, Narrow)
    feet = union_all([s.footprint for s in stood.solids if s.part.startswith("foot")])
    free = rose.along(0.5).difference(feet)
    west, _, east, _ = free.bounds
    assert east - west == pytest.approx(1.25 - 2 * change.side_m)
    assert part(stood, "leaves").base.value_m == 2.2


def test_a_climber_on_a_wall_changes_no_opening_and_hides_more_each_year():
    lengths = []
    for age in (0, 2, 5, 9):
        stood = stand(make("climber", line=[[0, 0], [6, 0]], where="on a wall"), moment(age=age))
        assert stood.changes == ()
        west, _, east, _ = part(stood, "leaves").footprint.bounds
        lengths.append(east - west)
        assert part(stood, "leaves").top.value_m <= 2.2
    assert lengths == sorted(lengths)
    assert part(stood, "leaves").opacity[6] == pytest.approx(0.85)
    assert part(stood, "leaves").opacity[0] < 0.5


def test_a_climber_over_slats_climbs_first_and_then_covers():
    vine = {
        "plant": "vitis-vinifera",
        "line": [[0, 0], [0, 6]],
        "where": "over slats",
        "width": 2.4,
        "support_height": 2.4,
    }
    young, grown = (stand(make("climber", **vine), moment(age=a)) for a in (0.5, 12.0))
    assert [s.part for s in young.solids] == ["stem"]
    leaves = part(grown, "leaves")
    assert leaves.base.value_m == 2.4
    plant = find("vitis-vinifera")
    assert plant is not None
    assert leaves.footprint.area == pytest.approx(2.4 * (size_at(plant, 12.0).height_m.mid - 2.4))


def test_a_row_counts_and_spaces_its_plants():
    # Raspberries 0.5 m apart: 6 m hold 12.
    stood = stand(make("row"))
    work = [w for w in stood.work if isinstance(w, PlantWork)]
    assert (work[0].count, work[0].spacing_m) == (12, 0.5)
    assert stood.plants[0].count == 12
    (frame,) = [w for w in stood.work if isinstance(w, FrameWork)]
    # 6 m in spans of at most 4 m: three posts, two spans, two wires each.
    assert len(frame.footings) == 3
    assert [m.name for m in frame.members].count("wire") == 4
    assert max(m.end[2] for m in frame.members) == 1.5


def test_rows_beside_each_other_are_one_body_as_wide_as_they_are():
    leeks = {"plant": "allium-ampeloprasum-leek", "rows": 3, "row_apart": 0.3, "wire_height": 0}
    body = stand(make("row", **leeks), moment(date(2030, 12, 15), age=0.6)).solids[0]
    _, south, _, north = body.footprint.bounds
    assert 0.6 < north - south < 0.8
    assert body.gap_m > 0.05


def test_beans_are_gone_in_winter_and_open_before_they_close():
    beans = {"plant": "phaseolus-coccineus", "wire_height": 0}
    summer, winter = (stand(make("row", **beans), moment(date(2030, m, 15), age=1.0)) for m in (8, 1))
    assert summer.solids[0].top.value_m > 1.5
    assert winter.solids[0].top.value_m == pytest.approx(0.05)
    assert winter.solids[0].opacity[0] == pytest.approx(0.0, abs=0.01)


@pytest.mark.parametrize(
    ("layout", "count"),
    [("square", 20), ("triangular", 18), ("quincunx", 32)],
)
def test_a_planted_area_of_12_by_9(layout, count):
    # d = 3, edge planted: square 5 x 4 = 20, triangular 5 + 4 + 5 + 4 = 18 (computed); the quincunx adds 4 x 3 middles.
    area = make(
        "planted-area", outline=[[0, 0], [12, 0], [12, 9], [0, 9]], layout=layout, spacing=3.0, edge=0.0, between=None
    )
    stood = stand(area)
    assert stood.plants[0].count == count
    assert [w.count for w in stood.work if isinstance(w, PlantWork)] == [count]
    assert stood.surfaces[0].planted
    assert len(stood.solids) == count


def test_many_plants_stand_as_one_body_that_closes():
    cover = {"outline": [[0, 0], [6, 0], [6, 4], [0, 4]], "plant": "geranium-hardy-cranesbill-e-g-g-macrorrhizum"}
    young, grown = (
        stand(
            make("planted-area", **cover, layout="triangular", spacing=0.4, between=None),
            moment(date(2030, 7, 1), age=a),
        )
        for a in (0.1, 6.0)
    )
    (a,), (b,) = young.solids, grown.solids
    assert a.gap_m > b.gap_m
    assert a.opacity[6] < b.opacity[6] <= 1
    assert b.gap_m == pytest.approx(0.05)
    assert a.footprint.area == pytest.approx(24)


def test_an_orchard_over_grass_is_not_planted_ground():
    stood = stand(make("planted-area"))
    assert stood.surfaces[0].material == "grass"
    assert not stood.surfaces[0].planted
    assert stood.plants[0].count == 8
    at = stood.plants[0].at
    nearest = min(math.dist(p, q) for i, p in enumerate(at) for q in at[:i])
    assert nearest == pytest.approx(4 / math.sqrt(2))


def test_the_smallest_ground_holds_one_plant():
    stood = stand(make("planted-area", outline=[[0, 0], [0.3, 0], [0.3, 0.3], [0, 0.3]]))
    assert stood.plants[0].count == 1


def test_a_hedge_takes_years_to_close():
    gaps = [stand(make("hedge", there_from=None), moment(age=float(a))).solids[0].gap_m for a in range(6)]
    assert gaps == sorted(gaps, reverse=True)
    # 0.4 m apart, 0.175 m wide when set: 0.225 m clear between, and the stems' own hole.
    assert gaps[0] == pytest.approx(0.225 + 0.08)
    assert gaps[1] == gaps[0]
    # Middle figures: 1.5 years to take hold, then 0.105 m a year to each side: 2.6 years.
    assert gaps[2] > 0.15
    assert gaps[3] == pytest.approx(0.08)
