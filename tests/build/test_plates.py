"""Roofs, panes and sides as plates, the sheets bought for them, and what is at hand going first."""

import math

import pytest
from hypothesis import given, strategies as st
from shapely import LineString, Polygon, box
from shapely.affinity import rotate

from quincunx.build.amounts import Line, Piece, Plate, stacked
from quincunx.build.prices import saw, supply
from quincunx.build.reckon import Rules, reckon
from quincunx.build.sheet_lists import saw_plates
from quincunx.build.take_off import take_off
from quincunx.shapes import AreaWork, Layer, LineWork
from quincunx.works import Price


def roof(outline, material="metal sheet", up=0.0):
    return AreaWork("r", outline, (Layer(material, 0.03),), dug=False, up_deg=up)


def sizes(plates):
    return sorted((round(p.wide_m, 3), round(p.long_m, 3), p.count) for p in plates)


def test_a_roof_of_ribbed_sheets_by_hand():
    # 3.0 m of eaves, 1.7 m up: sheets 0.9 wide cover 0.8, so 3 whole ones and 0.6 + 0.1 of lap.
    plates = take_off(roof(box(0, 0, 3.0, 1.7))).plates
    assert sizes(plates) == [(0.7, 1.7, 1), (0.9, 1.7, 3)]
    assert sum(p.net_m2 for p in plates) == pytest.approx(5.1)
    sheet, bought = saw_plates(plates, (), "metric")
    assert [(b.sold_by, b.count, b.sum) for b in bought] == [("0.9 × 2 m", 4, None)]
    assert sheet.proven
    assert sheet.assumed_stock
    # 4.4 m up is longer than 3 m: two to a width, lapping 15 cm: (4.4 + 0.15) / 2 each.
    assert sizes(take_off(roof(box(0, 0, 0.8, 4.4))).plates) == [(0.8, 2.275, 2)]


@given(st.floats(0, 360), st.floats(0.5, 6), st.floats(0.4, 2.9))
def test_plates_do_not_care_where_up_is(turn, wide, long):
    straight = take_off(roof(box(0, 0, wide, long))).plates
    turned = take_off(roof(rotate(box(0, 0, wide, long), -turn, origin=(0, 0)), up=turn)).plates
    pairs = list(zip(stacked(turned), stacked(straight), strict=True))
    assert all(a.count == b.count for a, b in pairs)
    assert [x for a, _ in pairs for x in (a.wide_m, a.long_m)] == pytest.approx(
        [x for _, b in pairs for x in (b.wide_m, b.long_m)]
    )


@given(st.floats(1, 6), st.floats(0.5, 2.5))
def test_a_hip_takes_sheets_as_long_as_their_longest_edge(base, high):
    plates = take_off(roof(Polygon([(0, 0), (base, 0), (base / 2, high)]))).plates
    # Slivers of less than 1 cm2 are left to the flashing.
    assert sum(p.net_m2 for p in plates) == pytest.approx(base * high / 2, abs=1e-3)
    assert all(p.long_m <= high + 1e-9 for p in plates)
    # By the geometry of the triangle: a strip's sheet reaches its edge nearest to the middle.
    for n in range(math.ceil(base / 0.8 - 1e-6)):
        a, b = n * 0.8, min((n + 1) * 0.8, base)
        near = min(max(base / 2, a), b)
        want = high * (1 - abs(near - base / 2) / (base / 2))
        assert (b - a) * want < 1e-3 or any(-1e-6 <= p.long_m - want <= 1e-3 for p in plates)


def test_panes_are_equal_between_bars_and_ordered_to_size():
    plates = take_off(roof(box(0, 0, 2.5, 1.2), "glass")).plates
    assert sizes(plates) == [(0.5, 1.2, 5)]  # 2.5 m in bays of at most 0.61
    sheet, bought = saw_plates(plates, (), "metric")
    assert sheet.ordered
    assert (bought[0].unit, bought[0].sum) == ("m2", None)
    assert bought[0].gross == pytest.approx(3.0)
    priced = saw_plates(plates, (Price(id="glass", words="Glass", unit="m2", sum=5000),), "metric")[1]
    assert priced[0].sum == 15000
    # A list that names a sheet of glass has them cut from it; a glass cutter takes nothing.
    cut, boughts = saw_plates(
        plates, (Price(id="glass", words="Glass", unit="sheet", sum=4000, wide_m=1.0, stock_m=1.2),), "metric"
    )
    assert [(b.count, b.sum) for b in boughts] == [(3, 12000)]
    assert [(len(s.plates), s.count) for s in cut.sheets] == [(2, 2), (1, 1)]


def test_metal_sides_of_a_bed_stand_5_cm_in_the_ground():
    ring = LineString([(0, 0), (2.4, 0), (2.4, 1.2), (0, 1.2)])
    plates = take_off(LineWork("b", ring, 0.4, 0.002, "raised bed metal", closed=True)).plates
    assert sizes(plates) == [(0.45, 1.2, 2), (0.45, 2.4, 2)]
    # 1.2 x 2.4 m sheets: two long ones and the two short ones fit on one (0.9 + 0.002 x 2 of 1.25; 0.45 does not).
    found = reckon([LineWork("b", ring, 0.4, 0.002, "raised bed metal", closed=True)], Rules())
    assert sum(s.count for s in found.sheets[0].sheets) == 2
    assert found.sheets[0].proven


def test_sheets_are_priced_by_the_sheet_or_by_area_and_the_cheaper_is_bought():
    plates = [Plate("metal-sheet", "roof sheet", 0.9, 1.9, 4, 6.0, turns=False, words="metal", kg_m2=6.0)]
    by_sheet = Price(
        id="a", item="metal-sheet", words="Sheet", unit="sheet", sum=3000, low=2500, high=3500, wide_m=0.9, stock_m=2.0
    )
    by_area = Price(id="b", item="metal-sheet", words="Sheet, long", unit="m2", sum=1500, wide_m=0.9, stock_m=4.0)
    bought = saw_plates(plates, [by_sheet, by_area], "metric")[1]
    assert [(b.sold_by, b.count, b.sum) for b in bought] == [("0.9 × 4 m", 2, 10800)]  # 2 of 0.9 x 4 x 1500
    bought = saw_plates(plates, [by_sheet], "metric")[1]
    assert [(b.count, b.sum, b.low, b.high) for b in bought] == [(4, 12000, 10000, 14000)]
    # Only priced by area: the usual sheets at that price.
    usual = saw_plates(plates, [Price(id="c", item="metal-sheet", words="x", unit="m2", sum=1000)], "metric")
    assert usual[0].assumed_stock
    assert [(b.count, b.sum) for b in usual[1]] == [(4, 7200)]


def test_what_is_left_over_is_named_and_used_first():
    plates = [Plate("bed-sheet", "side", 0.45, 1.2, 2, 1.0, words="sheet metal", kg_m2=8.0)]
    sheet, _ = saw_plates(
        plates, [Price(id="a", item="bed-sheet", words="x", unit="sheet", sum=4000, wide_m=1.0, stock_m=2.0)], "metric"
    )
    (wide, long, count) = sheet.kept()[0]
    assert (wide, long) == pytest.approx((1.0, 0.798))
    assert count == 1
    left = Price(
        id="left",
        item="bed-sheet",
        words="left over",
        unit="each",
        sum=0,
        found=True,
        at_hand=1,
        wide_m=0.5,
        stock_m=1.3,
    )
    new = Price(id="a", item="bed-sheet", words="new", unit="sheet", sum=4000, wide_m=0.5, stock_m=1.3)
    bought = saw_plates(plates, [new, left], "metric")[1]
    assert [(b.words, b.count, b.sum, b.found) for b in bought] == [("new", 1, 4000, False), ("left over", 1, 0, True)]


def test_bricks_and_boards_at_hand_go_first_and_the_rest_is_bought():
    bricks = [
        Price(id="a", item="wall-brick", words="Bricks", unit="each", sum=90),
        Price(id="b", item="wall-brick", words="Bricks from next door", unit="each", sum=0, found=True, at_hand=300),
    ]
    line = Line("wall-brick", "bricks", "each", 500, 525, "builders' merchant", 1050.0)
    found, new = supply(line, bricks)
    assert (found.words, found.count, found.sum, found.found) == ("Bricks from next door", 300, 0, True)
    assert (new.words, new.count, new.sum) == ("Bricks", 225, 20250)
    assert found.kg + new.kg == pytest.approx(1050)
    assert [b.sum for b in supply(Line("wall-brick", "bricks", "each", 200, 210), bricks)] == [0]
    boards = [
        Price(id="t", item="timber-45x95", words="T", unit="m", sum=500, stock_m=2.4),
        Price(id="u", item="timber-45x95", words="left over", unit="each", sum=0, found=True, at_hand=2, stock_m=2.4),
    ]
    cuts, bought = saw([Piece("timber-45x95", "rail", 1.1, 7, (0.045, 0.095))], boards, "metric")
    assert [(b.words, b.count, b.sum) for b in bought] == [("T", 2, 2400), ("left over", 2, 0)]
    assert cuts.proven
