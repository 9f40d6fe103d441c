"""Sheets cut edge to edge: published optima, closed forms, every cut done again, and all ways tried on small sets."""

import json
from functools import lru_cache
from itertools import combinations
from pathlib import Path

import pytest
from hypothesis import given, settings, strategies as st

from quincunx.build.guillotine import Item, Sheet, greedy_blocks
from quincunx.build.sheet_cutting import MOST_SHEETS, SheetStock, Want, _Task, cut_sheets

PUBLISHED = json.loads(
    (Path(__file__).parents[1] / "published" / "guillotine" / "christofides_whitlock.json").read_text()
)
MM = 1e-6


@pytest.mark.parametrize("problem", PUBLISHED["problems"], ids=lambda p: str(p["optimum"]))
def test_the_published_optimum_is_found_and_proven(problem):
    # N. Christofides, C. Whitlock, Operations Research 25 (1977) 30-44, Table 2: 244, 2892, 1860.
    pieces, (wide, long) = problem["pieces"], problem["sheet"]
    sheet = Sheet(wide, long, [Item(w, h, n) for w, h, n, _ in pieces])
    best = sheet.best([v for *_, v in pieces], steps=10_000)
    assert best.proven
    assert best.value == problem["optimum"]
    assert best.block is not None
    assert sum(n * v for n, (*_, v) in zip(best.block.counts, pieces, strict=True)) == problem["optimum"]
    assert all(n <= most for n, (_, _, most, _) in zip(best.block.counts, pieces, strict=True))
    assert best.block.wide <= wide
    assert best.block.long <= long
    # Without limits there is room for no less, and what is filled greedily is no better.
    assert sheet.without_limits([v for *_, v in pieces])[-1, -1] >= best.value
    for block in greedy_blocks(wide, long, sheet.items):
        assert sum(n * v for n, (*_, v) in zip(block.counts, pieces, strict=True)) <= problem["optimum"]


def test_closed_forms():
    # 2 x 4 squares of 0.6 m come off 1.2 x 2.4 m where a cut takes nothing, 1 x 3 where it takes 3 mm.
    stock = [SheetStock(1.2, 2.4, 100)]
    assert [s.count for s in cut_sheets([Want(0.6, 0.6, 8)], stock, saw_m=0.0).sheets] == [1]
    sawn = cut_sheets([Want(0.6, 0.6, 8)], stock, saw_m=0.003)
    assert sum(s.count for s in sawn.sheets) == 3
    assert sawn.proven
    # A sheet of the very size needs no cut.
    whole = cut_sheets([Want(1.2, 2.4, 5)], stock).sheets
    assert [(s.count, s.cuts, s.left) for s in whole] == [(5, (), ())]
    # Five 1 x 2 dominoes on a 3 x 3: four fit edge to edge round a hole only without a straight cut; guillotine holds four too.
    assert sum(s.count for s in cut_sheets([Want(1, 2, 4)], [SheetStock(3, 3, 1)], saw_m=0.0).sheets) == 1
    # The five-piece windmill is the least set that fits and can't be cut edge to edge (1 x 2 four times round 1 x 1).
    windmill = cut_sheets([Want(1, 2, 2, False), Want(2, 1, 2, False), Want(1, 1, 1)], [SheetStock(3, 3, 1)], saw_m=0.0)
    assert sum(s.count for s in windmill.sheets) == 2
    assert windmill.proven


def test_ribs_are_not_turned_and_what_is_too_large_is_said():
    stock = [SheetStock(1.0, 3.0, 100)]
    assert cut_sheets([Want(2.0, 0.9, 1, turns=False)], stock).misfits == (0,)
    assert cut_sheets([Want(2.0, 0.9, 1, turns=True)], stock).misfits == ()
    assert cut_sheets([Want(0.5, 3.1, 2), Want(0.5, 0.5, 1)], stock).misfits == (0,)
    assert cut_sheets([], stock).sheets == ()


def test_the_cheaper_size_is_bought_and_what_is_at_hand_goes_first():
    wants = [Want(0.5, 1.0, 3)]
    sizes = [SheetStock(1.0, 2.0, 300), SheetStock(0.5, 1.0, 90)]
    assert cut_sheets(wants, sizes, saw_m=0.0).cost == 270
    assert cut_sheets(wants, [sizes[0], SheetStock(0.5, 1.0, 110)], saw_m=0.0).cost == 300
    held = cut_sheets(wants, [*sizes, SheetStock(0.6, 1.1, 0, at_hand=2)], saw_m=0.003)
    assert held.cost == 90
    assert sum(s.count for s in held.sheets if s.stock == 2) == 2


def cut_again(sawn):
    """Do every cut in its order on the sheet; return the parts that result: (x, y, width, length)."""
    parts = [(0.0, 0.0, sawn.wide_m, sawn.long_m)]
    for c in sawn.cuts:
        (x0, y0), (x1, y1) = c.start, c.end
        for part in parts:
            x, y, w, h = part
            if c.along and abs(y - y0) < MM and abs(y + h - y1) < MM and x - MM <= x0 <= x + w + MM:
                assert x0 - x == pytest.approx(c.measure_m, abs=MM)
                parts.remove(part)
                parts += [(x, y, x0 - x, h), (x0 + 0.003, y, x + w - x0 - 0.003, h)]
                break
            if not c.along and abs(x - x0) < MM and abs(x + w - x1) < MM and y - MM <= y0 <= y + h + MM:
                assert y0 - y == pytest.approx(c.measure_m, abs=MM)
                parts.remove(part)
                parts += [(x, y, w, y0 - y), (x, y0 + 0.003, w, y + h - y0 - 0.003)]
                break
        else:
            raise AssertionError(f"a cut goes from no edge to no edge: {c}")
    return [p for p in parts if p[2] > MM and p[3] > MM]


mm = st.integers(150, 1300).map(lambda n: n / 1000)
wanted = st.lists(st.builds(Want, mm, mm, st.integers(1, 3), st.booleans()), min_size=1, max_size=4)
sheets = st.lists(
    st.builds(SheetStock, st.sampled_from([0.9, 1.22, 1.5]), st.sampled_from([1.5, 2.0, 2.44]), st.integers(10, 90)),
    min_size=1, max_size=2,
)  # fmt: skip


@settings(max_examples=12, deadline=None)
@given(wanted, sheets)
def test_every_plate_comes_off_by_the_cuts_in_their_order(plates, stock):
    done = cut_sheets(plates, stock)
    got = [0] * len(plates)
    for sawn in done.sheets:
        parts = cut_again(sawn)
        sizes = sorted((round(w, 6), round(h, 6)) for _, _, w, h in parts)
        mine = [(round(p.wide_m, 6), round(p.long_m, 6)) for p in sawn.plates]
        assert sizes == sorted([*mine, *((round(w, 6), round(h, 6)) for w, h in sawn.left)])
        for p in sawn.plates:
            assert any(
                max(abs(a - b) for a, b in zip(q, (p.x_m, p.y_m, p.wide_m, p.long_m), strict=True)) < MM for q in parts
            )
            want = plates[p.plate]
            ways = [(want.wide_m, want.long_m), *([(want.long_m, want.wide_m)] if want.turns else [])]
            assert any(abs(p.wide_m - w) < MM and abs(p.long_m - h) < MM for w, h in ways)
            got[p.plate] += sawn.count
    assert all(g == (0 if i in done.misfits else p.count) for i, (g, p) in enumerate(zip(got, plates, strict=True)))
    assert done.cost == pytest.approx(sum(stock[s.stock].price * s.count for s in done.sheets))
    assert done.bound <= done.cost + 1e-6


def least(plates, stock):
    """Return the least cost by trying all ways to join subsets, and all ways to share them among sheets."""
    ones = [(p.wide_m, p.long_m, p.turns) for p in plates for _ in range(p.count)]
    saw = 0.003

    @lru_cache(None)
    def boxes(of):
        if len(of) == 1:
            w, h, turns = ones[of[0]]
            return frozenset([(w, h), *([(h, w)] if turns else [])])
        found = set()
        for k in range(1, len(of)):
            for part in combinations(of[1:], k):
                rest = tuple(i for i in of if i not in part)
                for aw, ah in boxes(part):
                    for bw, bh in boxes(rest):
                        found.add((round(aw + saw + bw, 6), max(ah, bh)))
                        found.add((max(aw, bw), round(ah + saw + bh, 6)))
        return frozenset(b for b in found if not any(o != b and o[0] <= b[0] and o[1] <= b[1] for o in found))

    @lru_cache(None)
    def cost(of):
        if not of:
            return 0.0
        best = float("inf")
        for k in range(len(of)):
            for more in combinations(of[1:], k):
                group = (of[0], *more)
                fit = [
                    s.price for s in stock if any(w <= s.wide_m + MM and h <= s.long_m + MM for w, h in boxes(group))
                ]
                if fit:
                    best = min(best, min(fit) + cost(tuple(i for i in of if i not in group)))
        return best

    return cost(tuple(range(len(ones))))


small = st.lists(st.builds(Want, mm, mm, st.integers(1, 2), st.booleans()), min_size=1, max_size=3)


@settings(max_examples=25, deadline=None)
@given(small, sheets)
def test_no_way_of_cutting_small_sets_costs_less(plates, stock):
    done = cut_sheets(plates, stock)
    if done.misfits:
        return
    known = least(plates, stock)
    assert done.proven
    assert done.cost == pytest.approx(known)


def test_many_plates_are_cut_with_the_gap_known():
    count = 200
    sizes = [(0.61, 1.42), (0.55, 0.6), (0.4, 2.0), (0.45, 1.2)]
    done = cut_sheets(
        [Want(w, h, count // 4) for w, h in sizes], [SheetStock(1.22, 2.44, 3500), SheetStock(1.5, 3.0, 5200)]
    )
    area = sum(w * h for w, h in sizes) * (count // 4)
    assert done.cost >= area * min(3500 / (1.22 * 2.44), 5200 / 4.5)
    assert done.bound <= done.cost
    assert done.gap < 0.2
    assert sum(len(s.plates) * s.count for s in done.sheets) == count


@settings(deadline=None)
@given(st.lists(st.integers(1, 60), min_size=1, max_size=4), st.integers(1, 400))
def test_a_bound_is_raised_to_what_whole_sheets_can_come_to(prices: list[int], least: int) -> None:
    """The least sum of whole sheets that is no lower, found here one by one."""
    task = _Task([], [(100, 100)] * len(prices), [float(p) for p in prices], [None] * len(prices))
    sums = [True] + [False] * (least + 60)
    for total in range(1, len(sums)):
        sums[total] = any(total >= p and sums[total - p] for p in prices)
    if least / min(prices) <= MOST_SHEETS:
        assert task._whole_bound(least) == next(t for t in range(least, len(sums)) if sums[t])


@settings(deadline=None, max_examples=8)
@given(st.lists(st.tuples(st.integers(3, 10), st.integers(3, 20), st.integers(1, 4)), min_size=1, max_size=3))
def test_sizes_nobody_would_buy_change_nothing(plates: list[tuple[int, int, int]]) -> None:
    """A smaller sheet for no less money is never worth having; two alike count once."""
    wants = [Want(w / 10, h / 10, n) for w, h, n in plates]
    sold = [SheetStock(1.0, 2.0, 900.0), SheetStock(1.25, 2.5, 1300.0)]
    more = [SheetStock(0.9, 2.0, 900.0), *sold, SheetStock(1.25, 2.4, 1500.0), SheetStock(1.25, 2.5, 1300.0)]
    one, other = cut_sheets(wants, sold), cut_sheets(wants, more)
    assert (one.cost, one.bound, one.proven) == (other.cost, other.bound, other.proven)
    assert {s.stock for s in other.sheets} <= {1, 2}
