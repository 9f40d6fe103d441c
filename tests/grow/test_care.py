"""What plants want done when, in which months things are planted, and what is out of season."""

from __future__ import annotations

import pytest
from shapely import box

from quincunx.grow.care import care, chores, hours_by_month, marks
from quincunx.grow.plantings import plantings
from quincunx.grow.windows import UNSURE, hard_winter, out_of_season, planting_job, unsure, window
from quincunx.scene import Frame, Timeline
from quincunx.site.climate import Climate, Frosts
from quincunx.site.ground import Ground
from quincunx.works import Job, Means
from tests.grow.gardens import feature, hedge, line, plant, tree

MILD = Climate(
    t_min_c=(1.2, 1.0, 2.2, 3.8, 6.7, 9.6, 11.7, 11.6, 9.5, 6.9, 3.7, 1.6),
    t_max_c=(7.2, 7.9, 10.6, 13.7, 17.0, 20.0, 22.4, 22.0, 18.9, 14.5, 10.2, 7.5),
)
HARD = Climate(
    t_min_c=(-10.5, -9.3, -4.4, 1.6, 7.3, 12.4, 15.5, 14.6, 10.2, 3.9, -0.9, -6.7),
    t_max_c=(-0.6, 1.2, 6.2, 13.6, 20.0, 24.9, 27.8, 26.9, 22.4, 15.6, 8.7, 2.4),
)


def test_every_chore_can_be_done():
    assert len({c.id for c in chores()}) == len(chores())
    for chore in chores():
        assert chore.marks
        assert chore.minutes > 0
        assert chore.per in ("plant", "m", "kg")
        assert chore.since < chore.until
        assert set(chore.months) <= set(range(1, 13))
        assert chore.months or chore.per == "kg"


@pytest.mark.parametrize(
    ("made", "has"),
    [
        (tree("t", "malus-domestica-m-9-rootstock", (5, 5)), {"tree", "woody", "pome", "edible"}),
        (tree("t", "prunus-cerasus", (5, 5)), {"stone"}),
        (hedge("t", "crataegus-monogyna"), {"clipped", "quick", "plain"}),
        (hedge("t", "taxus-baccata"), {"clipped"}),
        (feature("row", "t", plant="rubus-idaeus", line=[[0, 0], [4, 0]]), {"cane", "edible"}),
        (feature("row", "t", plant="phaseolus-coccineus", line=[[0, 0], [4, 0]]), {"annual", "herb"}),
        (feature("shrub", "t", plant="syringa-vulgaris", at=(4, 4)), {"shrub", "plain"}),
    ],
)
def test_what_a_planting_is(made, has):
    (one,) = plantings(line(made), 2030)
    assert has <= marks(one)


def test_an_old_yew_is_cared_for_as_a_tree_not_as_a_shrub():
    """What is sold for hedges and grows high is a tree where nobody clips it: its stems are not cut out in turn."""
    (yew,) = plantings(line(tree("t", "taxus-baccata", (5, 5))), 2030)
    assert "tree" in marks(yew)
    (box_bush,) = plantings(line(feature("shrub", "t", plant="buxus-sempervirens", at=(4, 4))), 2030)
    assert "shrub" in marks(box_bush)
    found = care(line(tree("t", "taxus-baccata", (5, 5))), 2032)
    assert "prune-shrub" not in {c.id for c in found}
    assert "prune-tree" in {c.id for c in found}


def test_cherries_are_pruned_in_summer_apples_in_winter():
    found = care(line(tree("a", "malus-domestica-m-9-rootstock", (5, 5)), tree("c", "prunus-cerasus", (20, 5))), 2030)
    by = {(c.id, o): c.month for c in found for o in c.owners}
    assert by["prune-pome", "a"] == 2
    assert by["prune-stone", "c"] == 7
    assert ("prune-pome", "c") not in by


def test_southern_gardens_do_it_half_a_year_later():
    south = line(hedge("h", "taxus-baccata"), latitude_deg=-37.0)
    assert [c.month for c in care(south, 2031) if c.id == "clip-hedge"] == [2]


def test_a_hedge_takes_its_minutes_by_the_metre():
    found = care(line(hedge("h", "taxus-baccata", spacing=0.5)), 2032)
    clip = next(c for c in found if c.id == "clip-hedge")
    # 12 m of hedge, 24 plants half a metre apart, 5 minutes a metre.
    assert clip.hours == pytest.approx(12 * 5 / 60)
    assert sum(hours_by_month(found)) == pytest.approx(sum(c.hours for c in found))


def test_picking_takes_its_time_by_the_kilogram():
    beans = feature("row", "beans", plant="phaseolus-coccineus", line=[[0, 0], [4, 0]], spacing=0.25)
    found = [c for c in care(line(beans), 2028) if c.id == "pick"]
    assert [c.month for c in found] == [7, 8, 9, 10]
    # 4 m at 2 to 3 kg/m, 6 minutes a kilogram.
    assert sum(c.hours for c in found) == pytest.approx(4 * 2.5 * 6 / 60)


def test_watering_stops_when_a_tree_has_taken_hold():
    one = tree("t", "acer-campestre", (5, 5))
    watered = {y: sum(c.id == "water-young" for c in care(line(one), y)) for y in (2027, 2028, 2029, 2030)}
    assert watered == {2027: 4, 2028: 4, 2029: 0, 2030: 0}


def test_winters_hard_and_mild():
    assert hard_winter(MILD) is False
    assert hard_winter(HARD) is True
    # Winters are hard where the coldest month freezes in the mean (common practice, no source): -3 hard, 0.5 mild.
    for coldest, hard in ((-3.0, True), (0.5, False)):
        months = (coldest, *(8.0,) * 11)
        climate = Climate(t_min_c=tuple(m - 3 for m in months), t_max_c=tuple(m + 3 for m in months))
        assert hard_winter(climate) is hard
    assert hard_winter(Climate()) is None
    assert hard_winter(Climate(extreme_min_c=-25.0)) is True
    assert hard_winter(Climate(extreme_min_c=-8.0)) is False


def frame(climate: Climate, latitude_deg: float = 52.0) -> Frame:
    return Frame(box(0, 0, 9, 9), Ground.flat(), climate=climate, latitude_deg=latitude_deg)


@pytest.mark.parametrize(
    ("plant_id", "stock", "climate", "months"),
    [
        # Bare root roughly November to March where winters are mild, spring once the soil works where they are hard.
        ("carpinus-betulus", "bare root", MILD, (11, 12, 1, 2, 3)),
        ("malus-domestica-m-9-rootstock", "bare root", HARD, (4, 5)),
        ("taxus-baccata", "bare root", MILD, (3, 4, 9, 10)),
        ("syringa-vulgaris", "pot", HARD, (4, 5, 9, 10)),
        ("syringa-vulgaris", "pot", MILD, (3, 4, 5, 9, 10, 11)),
        ("solanum-lycopersicum", "plug", Climate(frosts=(Frosts(last_spring="05-20", first_autumn="09-22"),)), (5, 6)),
    ],
)
def test_planting_months(plant_id, stock, climate, months):
    assert window(plant(plant_id), stock, frame(climate)).months == months


def test_planting_months_in_the_south():
    assert window(plant("carpinus-betulus"), "bare root", frame(MILD, -40.0)).months == (5, 6, 7, 8, 9)
    # The same hard winter half a year later: its own spring, not the months that are warm there in autumn.
    turned = {n: HARD.model_dump()[n][6:] + HARD.model_dump()[n][:6] for n in ("t_min_c", "t_max_c")}
    tree = plant("malus-domestica-m-9-rootstock")
    assert window(tree, "bare root", frame(Climate(**turned), -45.0)).months == (10, 11)


def test_where_winters_are_unknown_that_is_said_and_neither_season_is_called_wrong():
    """Iowa State University Extension (2023): where winters are hard bare roots go in early in spring; 60 N may be either."""
    kind = plant("carpinus-betulus")
    right = window(kind, "bare root", frame(Climate(), 60.0))
    assert right.months == (11, 12, 1, 2, 3)
    assert right.if_hard == (4, 5)
    assert right.words.endswith(UNSURE)
    assert window(kind, "bare root", frame(Climate(), -40.0)).if_hard == (10, 11)
    for known in (MILD, HARD, Climate(extreme_min_c=-30.0)):
        right = window(kind, "bare root", frame(known, 60.0))
        assert not right.if_hard
        assert UNSURE not in right.words

    def planned(climate: Climate, month: str) -> Timeline:
        one = tree("t", "malus-domestica-m-9-rootstock", (5, 5), there_from=None)
        jobs, means = (Job(id="plant", name="plant", does=("t",), start=month),), Means(first_year=2027, years=4)
        return Timeline(frame(climate, 60.0), (one,), jobs, means, (), lambda _: plant("malus-domestica-m-9-rootstock"))

    assert unsure(planned(Climate(), "2028-01")) == ("t",)
    assert unsure(planned(Climate(), "2028-04")) == unsure(planned(MILD, "2028-01")) == ()
    assert out_of_season(planned(Climate(), "2028-04")) == ()
    assert len(out_of_season(planned(MILD, "2028-04"))) == len(out_of_season(planned(HARD, "2028-01"))) == 1
    assert len(out_of_season(planned(Climate(), "2028-07"))) == 1


def test_a_tree_planted_in_july_is_noticed():
    def planned(month: str, months: int = 1, there_from: str | None = None) -> Timeline:
        one = tree("t", "malus-domestica-m-9-rootstock", (5, 5), there_from=there_from)
        job = Job(id="plant", name="plant", does=("t",), start=month, months=months)
        return Timeline(
            frame(MILD),
            (one,),
            (job,),
            Means(first_year=2027, years=4),
            (),
            lambda _: plant("malus-domestica-m-9-rootstock"),
        )

    (found,) = out_of_season(planned("2028-07"))
    assert (found.owner, found.month % 12 + 1) == ("t", 7)
    assert out_of_season(planned("2028-02")) == ()
    assert out_of_season(planned("2028-03", 2)) == ()  # two months, one of them right
    own_word = planned("2028-07", there_from="2028-06")  # what the thing says itself goes before its job
    (found,) = out_of_season(own_word)
    assert (found.month % 12 + 1, found.by_job) == (6, False)
    assert planting_job(own_word, own_word.features[0]) is None
    assert out_of_season(planned("2028-07", there_from="2028-02")) == ()
