"""Take-off: published volumes, holes, walls and posts; every material that a kind can give is known how to buy."""

import math

import pytest
import shapely
from shapely import LineString

from quincunx.build import Ground, norms, take_off, take_off_all
from quincunx.build._data import layer_row, line_row, table as packaged
from quincunx.build.floors import BARROW_M3, barrow_loads, strips
from quincunx.build.frames import hole_concrete_m3, length_of, mix_bags
from quincunx.build.runs import bricks_per_m2
from quincunx.features import KINDS, kind_id
from quincunx.shapes import AreaWork, FrameWork, KitWork, Layer, LineWork, Member, PlantWork
from tests.build.published import FT, IN, YD3, table
from tests.features.standing import make, stand

Q = table("quantities")


def of(taken, item):
    return next(x for x in taken.lines if x.item == item)


def test_sand_and_stone_of_the_published_patio():
    # BIA guide (Q3, Q4): volumes in place, as the guide counts them.
    row = Q["patio"]
    patio = shapely.box(0, 0, row["long_ft"] * FT, row["wide_ft"] * FT)
    layers = (Layer("brick", 2.25 * IN), Layer("bedding sand", IN), Layer("crushed stone", 4 * IN))
    taken = take_off(AreaWork("patio", patio, layers, "stack", (8 * IN, 4 * IN)))
    assert of(taken, "sand").net / YD3 == pytest.approx(row["sand_yd3"], abs=0.005)
    assert of(taken, "crushed-stone").net / YD3 == pytest.approx(row["stone_yd3"], abs=0.005)
    bricks = of(taken, "paving-brick-203x102")
    assert (bricks.net, bricks.gross) == (row["pavers"], row["with_breakage"])
    assert taken.dug_m3 == pytest.approx(patio.area * 7.25 * IN)


@pytest.mark.parametrize(("deep_in", "ft2"), Q["mulch_ft2_per_yd3"]["rows"])
def test_a_cubic_yard_covers_what_the_table_says(deep_in, ft2):
    # Supplier table (Q20): 27 x 12 / depth.
    taken = take_off(AreaWork("bed", shapely.box(0, 0, ft2 * FT, FT), (Layer("woodchip", deep_in * IN),)))
    assert of(taken, "woodchip").net / YD3 == pytest.approx(1.0, abs=0.001)
    assert of(taken, "woodchip").gross > of(taken, "woodchip").net


@pytest.mark.parametrize(("pounds", "bags"), Q["bags_per_yd3"]["rows"])
def test_bags_of_mix_in_a_cubic_yard(pounds, bags):
    assert mix_bags(YD3, pounds * 0.45359237) == bags
    with pytest.raises(KeyError):
        mix_bags(1.0, 33.0)


@pytest.mark.parametrize(("across_in", "deep_in", "post_in", "ft3", "bags"), Q["holes"]["rows"])
def test_holes_for_posts(across_in, deep_in, post_in, ft3, bags):
    volume = hole_concrete_m3(across_in * IN, deep_in * IN, post_in * IN)
    assert volume / FT**3 == pytest.approx(ft3, abs=0.0012)
    assert mix_bags(volume, 80 * 0.45359237) == bags


def test_bricks_in_a_square_metre():
    assert bricks_per_m2(0.1025) == pytest.approx(Q["bricks_per_m2"]["value"], abs=0.05)
    assert bricks_per_m2(0.215) == pytest.approx(2 * Q["bricks_per_m2"]["value"], abs=0.1)
    # 60 a square metre is the usual trade figure (from memory).
    assert 58 < bricks_per_m2(0.1) < 60.5


def test_posts_of_a_fence_as_counted():
    side = 100 * FT
    open_run = stand(make("fence", line=[[0, 0], [side, 0]], post_spacing=8 * FT))
    q = side / 4
    ring = stand(make("fence", line=[[0, 0], [q, 0], [q, q], [0, q]], closed=True, post_spacing=8 * FT))
    posts = [sum(m.count for m in w.members) for s in (open_run, ring) for w in s.work if isinstance(w, FrameWork)]
    assert posts[0] == Q["posts"]["open"]
    # A square of 100 ft in all has a corner every 25 ft: 4 bays a side, one post each.
    assert posts[1] == 16


def test_barrow_loads_round_up():
    assert barrow_loads(0.0) == 0
    assert barrow_loads(BARROW_M3) == 1
    assert barrow_loads(BARROW_M3 * 1.01) == 2


def test_boards_across_a_triangle_have_their_real_lengths():
    triangle = shapely.Polygon([(0, 0), (4, 0), (0, 2)])
    found = strips(triangle, 0.5, 90.0)
    assert sum(found) * 0.5 == pytest.approx(triangle.area, rel=0.05)


def test_sloping_ends_take_their_length():
    straight = Member("rafter", (0, 0, 0), (3, 0, 4), (0.045, 0.12), "timber")
    sloped = Member("rafter", (0, 0, 0), (3, 0, 4), (0.045, 0.12), "timber", more_m=0.1)
    assert length_of(straight) == pytest.approx(5.0)
    assert length_of(sloped) == pytest.approx(5.1)


def test_pads_go_below_the_frost_that_is_written_down():
    frame = FrameWork("hut", (Member("post", (0, 0, 0), (0, 0, 2), (0.1, 0.1), "timber", "post"),), ((0, 0),))
    shallow, deep = take_off(frame, Ground(0.2)), take_off(frame, Ground(1.2))
    assert of(shallow, "concrete").net == pytest.approx(0.4 * 0.4 * 12 * IN)  # at least 12 in, IRC R403.1.4
    assert of(deep, "concrete").net == pytest.approx(0.4 * 0.4 * 1.2)
    assert "your local code" in take_off(frame).notes[0]


def test_a_retaining_wall_is_drained():
    taken = take_off(LineWork("edge", LineString([(0, 0), (4, 0)]), 0.6, 0.3, "retaining stone"))
    assert {"drain-stone", "drain-pipe", "filter-sheet", "walling-stone", "concrete"} <= {x.item for x in taken.lines}


def test_a_closed_run_goes_all_round():
    ring = LineWork("bed", LineString([(0, 0), (2, 0), (2, 1), (0, 1)]), 0.4, 0.05, "raised bed timber", closed=True)
    taken = take_off(ring)
    boards = [p for p in taken.pieces if p.name == "side board"]
    assert sum(p.length_m * p.count for p in boards) == pytest.approx(2 * 6.0)
    pegs = next(p for p in taken.pieces if p.name == "peg")
    assert pegs.count == 4 + 2  # four corners, one between on each 2 m side


def test_plants_have_a_few_over_only_when_many_and_small():
    hedge = take_off(PlantWork("h", "crataegus-monogyna", 100, 0.3, "bare root"))
    assert hedge.lines[0].gross == 105
    assert take_off(PlantWork("t", "malus", 1, 0, "tree")).lines[0].gross == 1


def test_a_kit_without_a_weight_says_so():
    taken = take_off(KitWork("gh"))
    assert taken.lines[0].kg == 0
    assert "no weight" in taken.notes[0]


def test_take_offs_add_up():
    one = AreaWork("a", shapely.box(0, 0, 2, 2), (Layer("gravel", 0.05),))
    both = take_off_all([one, AreaWork("b", shapely.box(5, 0, 7, 2), (Layer("gravel", 0.05),))])
    assert of(both, "gravel").net == pytest.approx(2 * of(take_off(one), "gravel").net)
    assert of(both, "gravel").owners == ("a", "b")
    assert both.dug_m3 == pytest.approx(0.4)


@pytest.mark.parametrize("kind", KINDS, ids=kind_id)
def test_every_kind_can_be_taken_off_and_every_task_has_a_norm(kind):
    stood = stand(make(kind_id(kind)))
    known = norms()
    for work in stood.work:
        taken = take_off(work)
        assert {t.norm for t in taken.tasks} <= set(known)
        assert all(math.isfinite(x.gross) and x.gross >= x.net - 1e-9 > -1e-9 for x in taken.lines)
        assert all(p.length_m > 0 and p.count > 0 for p in taken.pieces)
        assert all(x.owners == (work.owner,) for x in taken.lines)


def test_rows_are_found_by_their_first_words():
    assert layer_row("gravel 10-20 mm")["item"] == "gravel"
    assert layer_row("leaf mould")["item"] == "leaf-mould"
    assert line_row("retaining timber")["by"] == "stacked-boards"
    assert line_row("retaining stone")["retains"]
    assert line_row("nobody knows")["item"] == "nobody-knows"


def test_the_packaged_norms_are_all_positive_and_marked():
    assert "no source" in packaged("norms")["about"]
    assert all(n.hours > 0 and n.source for n in norms().values())
