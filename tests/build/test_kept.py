"""What is left over is sawn first: every piece once, no left-over twice, never dearer than without."""

from __future__ import annotations

from hypothesis import given, settings, strategies as st

from quincunx.build.amounts import Piece, Plate
from quincunx.build.kept import KEPT_M, Left, gathered, sawn_first, still_left
from quincunx.build.prices import LEFT_OVER, saw
from quincunx.build.sheet_lists import saw_plates
from quincunx.works import Price

LENGTHS = st.integers(2, 24).map(lambda n: n / 10)
WANTS = st.lists(st.tuples(LENGTHS, st.integers(1, 6)), min_size=1, max_size=5)
LEFTS = st.lists(st.tuples(LENGTHS, st.integers(1, 3)), max_size=5)
BOARD = Price(id="board", item="timber-45x95", words="board", unit="each", sum=700, stock_m=2.4)


def lefts(found: list[tuple[float, int]]) -> tuple[Left, ...]:
    return gathered([Left("timber-45x95", length, n, "Build the beds") for length, n in found])


def pieces(wants: list[tuple[float, int]]) -> list[Piece]:
    return [Piece("timber-45x95", f"p{i}", x, n, (0.045, 0.095), "timber") for i, (x, n) in enumerate(wants)]


@given(WANTS, LEFTS)
def test_every_piece_is_sawn_once_and_no_left_over_twice(
    wants: list[tuple[float, int]], there: list[tuple[float, int]]
) -> None:
    left = lefts(there)
    done, rest = sawn_first(wants, left, 0.003)
    for i, (_, n) in enumerate(wants):
        assert rest[i] + sum(r.count * k for r in done for j, k in r.cuts if j == i) == n
    for one in left:
        assert sum(r.count for r in done if r.left == one) <= one.count
    for r in done:
        used = sum(wants[i][0] * k for i, k in r.cuts)
        cuts = sum(k for _, k in r.cuts)
        assert used + 0.003 * (cuts - 1) <= r.left.length_m + 1e-9
        assert 0 <= r.left_m <= r.left.length_m - used + 1e-9
    # What is wanted still fits no left-over that is whole.
    whole = still_left(left, [(r.left, r.count) for r in done])
    if whole:
        assert all(not n or x > max(one.length_m for one in whole) for (x, _), n in zip(wants, rest, strict=True))


@settings(deadline=None, max_examples=40)
@given(WANTS, LEFTS)
def test_left_overs_never_make_it_dearer_and_cost_nothing(
    wants: list[tuple[float, int]], there: list[tuple[float, int]]
) -> None:
    bare, alone = saw(pieces(wants), [BOARD], "metric")
    sheet, bought = saw(pieces(wants), [BOARD], "metric", lefts(there))
    if bare.proven:
        assert sum(b.sum or 0 for b in bought) <= sum(b.sum or 0 for b in alone)
    kept = [b for b in bought if b.shop == LEFT_OVER]
    assert sum(b.sum or 0 for b in kept) == 0
    assert sum(b.count for b in kept) == sum(r.count for r in sheet.before)
    sawn = sum(b.count * k for b in sheet.boards for _, k in b.cuts) + sum(
        r.count * k for r in sheet.before for _, k in r.cuts
    )
    assert sawn == sum(n for _, n in wants)


def test_by_pencil() -> None:
    """Two of 0.90 m are left.  Wanted: 3 of 0.40 m and one of 2.00 m.

    0.90 = 0.40 + 0.40 and two cuts of 3 mm, 0.094 m over; the third 0.40 comes from the other, 0.497 m over: not kept.
    2.00 m is sawn from one board of 2.40 m (700), 0.397 m over.  Without left-overs, these 0.397 hold no 0.40,
    so that two boards are bought (1400).
    """
    wants = [(2.0, 1), (0.4, 3)]
    bare, alone = saw(pieces(wants), [BOARD], "metric")
    sheet, bought = saw(pieces(wants), [BOARD], "metric", lefts([(0.9, 2)]))
    assert sum(b.sum or 0 for b in alone) == 1400
    assert sum(b.sum or 0 for b in bought) == 700
    assert sorted(round(r.left_m, 3) for r in sheet.before) == [0.094, 0.497]
    assert sheet.kept() == []
    # Without: 2.00 on one board; 3 x 0.40 and three cuts on the other leave 2.4 - 1.2 - 3 x 0.003 = 1.191 m.
    assert bare.kept() == [(1.191, 1)]
    assert all(length >= KEPT_M for length, _ in bare.kept())


def test_sheets_left_over_are_cut_first() -> None:
    """A pane of 0.50 x 0.40 m comes out of a left-over of 0.60 x 0.45 m, turned; the second is bought."""
    price = Price(id="sheet", item="plywood-12", words="plywood", unit="each", sum=3000, stock_m=2.44, wide_m=1.22)
    plate = Plate("plywood-12", "lid", 0.4, 0.5, 2, 0.4, words="plywood")
    left = [Left("plywood-12", 0.45, 1, "Make the frame", 0.6), Left("plywood-12", 0.3, 4, "Make the frame", 0.3)]
    sheet, bought = saw_plates([plate], [price], "metric", left)
    assert [(one.wide_m, sawn.count, len(sawn.plates)) for one, sawn in sheet.before] == [(0.6, 1, 1)]
    assert [(b.shop, b.count, b.sum) for b in bought] == [(LEFT_OVER, 1, 0), ("", 1, 3000)]
    assert sum(len(s.plates) * s.count for s in sheet.sheets) == 1


def test_left_overs_of_other_wood_are_left_alone() -> None:
    sheet, _ = saw(pieces([(0.4, 1)]), [BOARD], "metric", [Left("timber-50x50", 2.0, 5, "Beds")])
    assert sheet.before == ()
