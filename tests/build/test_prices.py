"""Money by the person's list: packs, tonnes, yards, stock lengths, delivery; hours by norms and by the journal."""

import pytest
import shapely

from quincunx.build import Pace, Rules, Task, learned, norms, reckon
from quincunx.build.amounts import Line, Piece
from quincunx.build.hours import SPREAD, TRUST_H, labour
from quincunx.build.prices import UNITS, buy, deliveries, saw, units_asked
from quincunx.shapes import AreaWork, FrameWork, KitWork, Layer, Member
from quincunx.units import Style
from quincunx.works import Norm, Price

STONE = Line("crushed-stone", "crushed stone", "m3", 2.0, 2.4, "builders' merchant", 2.4 * 1700)


def price(id_="crushed-stone", unit="m3", sum_=5000, **more):
    return Price(id=id_, words=id_, unit=unit, sum=sum_, **more)


@pytest.mark.parametrize(
    ("unit", "holds", "count", "sum_"),
    [
        ("m3", None, 2.4, 12000),
        ("t", None, 4.08, 20400),
        ("yd3", None, 3.14, 15700),
        ("kg", None, 4080, 20_400_000),
        ("big bag", 0.5, 5, 25000),
    ],
)
def test_units_of_the_list_are_turned_into_the_bill(unit, holds, count, sum_):
    found = buy(STONE, [price(unit=unit, holds=holds)])
    assert found.count == pytest.approx(count, abs=0.01)
    assert found.sum == pytest.approx(sum_, abs=60)


def test_a_unit_nobody_can_turn_is_said_not_guessed():
    found = buy(STONE, [price(unit="bag")])
    assert found.sum is None
    assert "how much one holds" in found.trouble


def test_nothing_is_priced_without_a_price():
    assert buy(STONE, []).sum is None
    assert buy(STONE, [price("sand")]).sum is None


def test_the_cheapest_that_fits_is_taken_and_shorter_names_serve():
    line = Line("wire-mesh-180", "mesh", "m", 10, 10.5)
    assert buy(line, [price("wire-mesh", "m", 300), price("wire-mesh-2", "m", 1, item="other")]).sum == 3150
    two = [price("a", "m3", 6000, item="crushed-stone"), price("b", "m3", 5500, item="crushed-stone")]
    assert buy(STONE, two).sum == 13200


def test_found_things_cost_nothing_but_are_on_the_list():
    found = buy(STONE, [price(found=True)])
    assert (found.sum, found.found) == (0, True)


def test_boards_are_bought_in_the_lengths_that_are_sold():
    pieces = [Piece("timber-45x95", "slat", 1.5, 4, (0.045, 0.095))]
    per_m = [price("timber-45x95", "m", 300, stock_m=2.4, also_m=[3.1])]
    sheet, boards = saw(pieces, per_m, "metric")
    assert [(b.count, b.sold_by, b.sum) for b in boards] == [(2, "3.1 m", 1860)]
    assert sheet.proven
    assert not sheet.assumed_stock
    each = [
        price("timber-45x95", "length", 700, stock_m=2.4),
        price("x", "length", 1600, item="timber-45x95", stock_m=3.1),
    ]
    assert [b.sum for b in saw(pieces, each, "metric")[1]] == [2800]


def test_feet_are_sold_by_the_foot():
    pieces = [Piece("timber-38x89", "rail", 2.4, 1, (0.038, 0.089))]
    _, boards = saw(pieces, [price("timber-38x89", "ft", 100, stock_m=8 * 0.3048)], "feet")
    assert boards[0].sum == 800


def test_without_a_price_the_usual_lengths_are_taken_and_said():
    sheet, boards = saw([Piece("timber-1x2", "rail", 2.0, 1, (0.02, 0.01))], [], "metric")
    assert sheet.assumed_stock
    assert boards[0].sum is None


def test_delivery_is_paid_below_the_free_sum_only():
    order = [buy(STONE, [price(supplier="pit")])]
    brings = price("delivery-pit", "load", 4000, item="delivery", supplier="pit", free_from=15000)
    assert [d.sum for d in deliveries(order, [brings])] == [4000]
    assert deliveries(order, [brings.model_copy(update={"free_from": 12000})]) == ()
    assert deliveries(order, [brings.model_copy(update={"supplier": "yard"})]) == ()


def test_a_job_adds_up():
    works = [AreaWork("a", shapely.box(0, 0, 4, 5), (Layer("gravel", 0.05), Layer("crushed stone", 0.1)))]
    found = reckon(works, Rules(prices=(price("gravel", "m3", 6000, low=5000, high=9000), price())))
    assert found.complete
    assert found.sum == sum(b.sum or 0 for b in found.bill)
    assert found.low < found.sum < found.high
    assert found.hours == pytest.approx(sum(x.hours for x in found.labour))
    assert found.loads > 0
    assert found.hours_range[0] < found.hours < found.hours_range[1]


def test_what_has_no_price_is_named():
    found = reckon([AreaWork("a", shapely.box(0, 0, 4, 5), (Layer("gravel", 0.05),))])
    assert found.unpriced == ("gravel",)
    assert not found.complete
    assert found.sum == 0


def test_a_kit_costs_what_its_maker_says():
    assert reckon([KitWork("gh", price=145000, weight_kg=120)]).sum == 145000
    assert reckon([KitWork("gh")]).unpriced


def test_equal_pieces_of_several_features_are_sawn_together():
    def frame(owner):
        return FrameWork(owner, (Member("rail", (0, 0, 0), (1.1, 0, 0), (0.04, 0.09), "timber"),))

    found = reckon([frame("a"), frame("b")])
    assert len(found.cuts) == 1
    assert sum(b.count for b in found.cuts[0].boards) == 1


def test_norms_of_ones_own_take_the_place_of_the_packaged():
    own = Norm(id="dig", words="Dig here", unit="m3", hours=4.0)
    assert norms([own])["dig"] is own
    (row,) = labour([Task("dig", 2.0)], norms([own]))
    assert (row.hours, row.source) == (8.0, "own experience")


def test_the_journal_teaches_the_pace():
    assert learned([]) == Pace()
    once = learned([(10.0, 20.0)])
    assert once.factor == pytest.approx((TRUST_H + 20) / (TRUST_H + 10))
    assert once.low == pytest.approx(once.factor * SPREAD[0])
    many = learned([(10.0, 15.0), (20.0, 26.0), (40.0, 60.0)])
    assert 1.3 < many.factor < 1.5
    assert [many.low, many.high] == pytest.approx([1.3, 1.5])
    assert many.jobs == 3
    # A plum the norms plant in four minutes took two hours with all that goes with it: no job takes thirty times as long.
    small = learned([(0.07, 2.0), (0.53, 7.0), (14.3, 9.0)])
    assert [small.low, small.high] == pytest.approx([small.factor * s for s in SPREAD])
    assert small.factor == pytest.approx((TRUST_H + 18) / (TRUST_H + 14.9))
    assert learned([(10.0, 15.0), (20.0, 26.0), (40.0, 60.0), (0.1, 3.0)]).high == pytest.approx(1.5)
    # Very much work of one's own leaves nothing of the norms.
    assert learned([(1000.0, 1500.0)]).factor == pytest.approx(1.5, abs=0.01)


def test_the_pace_scales_every_task():
    works = [AreaWork("a", shapely.box(0, 0, 4, 5), (Layer("gravel", 0.05),))]
    slow = reckon(works, Rules(pace=Pace(2.0, 1.5, 3.0)))
    assert slow.hours == pytest.approx(2 * reckon(works).hours)
    assert list(slow.hours_range) == pytest.approx([slow.hours * 0.75, slow.hours * 1.5])


def test_a_price_by_the_metre_without_a_length_counts_for_the_usual_lengths():
    """Who writes what a metre costs has said a price: 4 of 1.5 m from 2 of 3.0 m at 2.50 a metre (arithmetic)."""
    pieces = [Piece("timber-45x95", "slat", 1.49, 4, (0.045, 0.095))]
    sheet, (board,) = saw(pieces, [price("timber-45x95", "m", 250)], "metric")
    assert sheet.assumed_stock
    assert (board.count, board.sum) == (2, 1500)
    _, (feet,) = saw(pieces, [price("timber-45x95", "ft", 100)], "feet")
    assert (feet.count, feet.sum) == (2, 2000)


def test_prices_are_asked_for_in_the_persons_own_units():
    assert units_asked("m3", Style(system="feet"))[0] == "yd3"
    assert units_asked("m", Style())[0] == "m"
    for system in ("metric", "feet"):
        for unit in ("m", "m2", "m3", "kg", "each"):
            assert all(UNITS[u][0] == unit for u in units_asked(unit, Style(system=system)))
