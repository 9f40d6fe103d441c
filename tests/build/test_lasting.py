"""How long things last and what keeps them: every material known, amounts by hand, kits only as stated."""

import pytest
from hypothesis import given, strategies as st
from shapely import LineString, box

from quincunx.build._data import table
from quincunx.build.hours import norms
from quincunx.build.lasting import lasting, row_of
from quincunx.shapes import AreaWork, FrameWork, KitWork, Layer, LineWork, Member


@pytest.mark.parametrize("name", [n for n in table("lasting") if n != "about"])
def test_every_row_is_whole(name):
    row = table("lasting")[name]
    assert 0 < row["life"][0] <= row["life"][1]
    for chore in row["chores"]:
        assert chore["norm"] in norms()
        assert chore["every"] >= 1
        assert set(chore["months"]) <= set(range(1, 13))
        assert chore["of"] in {"face", "both-faces", "run", "area", "each"}
        assert ("buys" in chore) == ("unit" in chore)


def test_the_source_is_said():
    assert "no source" in table("lasting")["about"]


@pytest.mark.parametrize(
    ("material", "known"),
    [
        ("raised bed timber", "timber"),
        ("retaining dry stone", "dry stone"),
        ("edging steel", "edging steel"),
        ("moonrock", None),
    ],
)
def test_rows_are_found_by_fewer_words(material, known):
    assert row_of(material) == (None if known is None else table("lasting")[known])


def test_both_faces_of_a_fence_are_stained():
    work = LineWork("f", LineString([(0, 0), (10, 0)]), 1.8, 0.04, "boards")
    stain = next(c for c in lasting([work]).chores if c.id == "stain")
    assert stain.taken.lines[0].gross == pytest.approx(2 * 10 * 1.8)
    assert stain.taken.tasks[0].amount == pytest.approx(36.0)


def test_a_closed_run_is_kept_all_round():
    ring = LineString([(0, 0), (2, 0), (2, 1), (0, 1)])
    work = LineWork("b", ring, 0.4, 0.05, "raised bed timber", closed=True)
    assert lasting([work]).chores[0].taken.tasks[0].amount == pytest.approx(6 * 0.4)


def test_a_frame_lasts_as_its_weakest_part_and_its_posts_are_renewed():
    posts = tuple(Member("post", (x, 0, -0.6), (x, 0, 1.2), (0.075, 0.075), "fence post", "post") for x in range(8))
    mesh = LineWork("f", LineString([(0, 0), (7, 0)]), 1.2, 0.02, "mesh")
    found = lasting([mesh, FrameWork("f", posts)])
    assert found.life == tuple(table("lasting")["fence post"]["life"])
    renew = next(c for c in found.chores if c.id == "renew-posts")
    assert renew.taken.lines[0].gross == 2  # a quarter of eight


def test_a_covering_that_goes_first_is_renewed():
    post = Member("post", (0, 0, 0), (0, 0, 2), (0.1, 0.1), "timber", "post")
    felt = AreaWork("h", box(0, 0, 3, 2), (Layer("boards and felt", 0.03),), dug=False)
    ids = {c.id: c.every for c in lasting([FrameWork("h", (post,)), felt]).chores}
    assert ids["renew-boards-and-felt"] == 10
    slates = AreaWork("h", box(0, 0, 3, 2), (Layer("slates", 0.04),), dug=False)
    assert not any(c.id.startswith("renew") for c in lasting([FrameWork("h", (post,)), slates]).chores)


def test_a_floor_of_boards_and_one_of_brick_are_kept_as_floors():
    brick = AreaWork("p", box(0, 0, 4, 5), (Layer("brick", 0.065), Layer("bedding sand", 0.025)))
    assert {c.id for c in lasting([brick]).chores} == {"re-lay", "rejoint"}
    relay = next(c for c in lasting([brick]).chores if c.id == "re-lay")
    assert relay.taken.tasks[0].amount == pytest.approx(2.0)  # a tenth of 20 m2


def test_topping_up_gravel_brings_gravel():
    path = AreaWork("p", box(0, 0, 1, 10), (Layer("gravel", 0.05), Layer("crushed stone", 0.1)))
    top = lasting([path]).chores[0].taken
    assert top.lines[0].item == "gravel"
    assert top.lines[0].net == pytest.approx(10 * 0.012)
    assert top.dug_m3 == 0


def test_a_kit_lasts_as_its_maker_states_or_nobody_can_tell():
    assert lasting([KitWork("k")]).life is None
    assert "states no life" in lasting([KitWork("k")]).because
    stated = lasting([KitWork("k", life_years=15)])
    assert stated.life == (15, 15)
    assert not stated.kept_known


def test_what_nobody_knows_is_said():
    found = lasting([AreaWork("s", box(0, 0, 1, 1), (Layer("moonrock", 0.1),))])
    assert found.life is None
    assert found.because


@given(st.floats(0.5, 30.0), st.floats(0.3, 2.0), st.sampled_from(["boards", "pickets", "brick", "dry stone", "mesh"]))
def test_twice_the_run_takes_twice_the_keeping(long, high, material):
    def amounts(length):
        work = LineWork("w", LineString([(0, 0), (length, 0)]), high, 0.05, material)
        return [c.taken.tasks[0].amount for c in lasting([work]).chores]

    assert amounts(2 * long) == pytest.approx([2 * a for a in amounts(long)])
