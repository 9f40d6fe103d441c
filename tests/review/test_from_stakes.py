"""Things, the lie of the ground and level places from stakes."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given, settings, strategies as st

from quincunx.features import kinds
from quincunx.garden import Garden, GardenError, apply, garden_from
from quincunx.review.from_stakes import drawables, drawn_edit, heights_edit
from quincunx.review.ground import book_words, measure
from quincunx.review.ground_edits import with_readings
from quincunx.review.levelled import ground_of, levelled, levelled_words
from quincunx.site.ground import Ground
from quincunx.units import Style

# 3 by 4 m, squared by its diagonals; D lies 30 cm lower than A, and C 20 cm.
RECTANGLE = "A B 4\nB C 3\nC D 4\nD A 3\nA C 5\nB D 5\nA>B sees C right"
LEVELS = "A B rises 0.1 by water level\nA C falls 0.2 by water level\nA D falls 0.3 by line level\nD C rises 0.1 by an A-frame"


def plot(text: str = RECTANGLE, **more: Any) -> Garden:
    garden = garden_from({"format": "quincunx/1", "name": "Plot", **more})
    edit, problems = with_readings(garden, text)
    assert not problems
    assert edit is not None
    return apply(garden, edit)[0]


def test_stakes_draw_a_house_and_trees() -> None:
    garden = plot()
    house = apply(garden, drawn_edit(garden, "house", ["A", "B", "C", "d"]))[0]
    (made,) = house.features
    assert (made.kind, made.there_from, made.id) == ("house", "start", "house")
    sides = [math.dist(p, q) for p, q in zip(made.outline, made.outline[1:], strict=False)]  # type: ignore[attr-defined]
    assert sides == pytest.approx([4, 3, 4], abs=0.003)
    trees = apply(house, drawn_edit(house, "tree", ["B", "D"]))[0]
    assert [f.id for f in trees.features][1:] == ["tree", "tree-2"]
    at = measure(garden).places
    assert trees.features[2].at == pytest.approx(at["d"], abs=0.001)  # type: ignore[attr-defined]


def test_every_kind_offered_can_be_drawn_and_stands() -> None:
    garden = plot()
    offered = drawables()
    assert {"house", "tree", "wall", "hedge", "path"} <= {d.kind for d in offered}
    assert len(offered) > len(kinds()) / 2
    for d in offered:
        after, _ = apply(garden, drawn_edit(garden, d.kind, ["A", "B", "C", "D"][: max(d.least, 1)]))
        assert len(after.features) == 1


@pytest.mark.parametrize(
    ("kind", "stakes", "said"),
    [
        ("moat", ["A", "B"], "can't draw 'moat'"),
        ("house", ["A", "B"], "needs 3 stakes or more; got 2"),
        ("tree", ["Q"], "No stake is called 'Q'"),
        ("tree", ["E"], "has no place yet"),
        ("house", ["A", "C", "B", "D"], "Stakes in that order give no house"),
    ],
)
def test_what_stakes_can_not_draw_is_said(kind: str, stakes: list[str], said: str) -> None:
    garden = plot(RECTANGLE + "\nA E 2")
    with pytest.raises(GardenError, match=said):
        drawn_edit(garden, kind, stakes)


def test_the_ground_takes_the_heights_of_the_stakes_once_and_leaves_others() -> None:
    own = {"at": [9, 9], "z_m": 1.5, "words": "by the gate"}
    garden = plot(f"{RECTANGLE}\n{LEVELS}", levels={"heights": [own]})
    assert {t.kind for t in garden.survey.instruments} == {"water_level", "line_level", "a_frame"}
    edit = heights_edit(garden)
    assert edit is not None
    after, _ = apply(garden, edit)
    found = {h.words: float(h.z_m) for h in after.levels.heights}
    assert found == {
        "by the gate": 1.5, "stake A": 0.0, "stake B": pytest.approx(0.1, abs=0.002),
        "stake C": pytest.approx(-0.2, abs=0.002), "stake D": pytest.approx(-0.3, abs=0.002),
    }  # fmt: skip
    assert heights_edit(after) is None
    assert heights_edit(plot()) is None


def test_the_book_says_how_it_proves_itself() -> None:
    book = "back A 1.425\nbetween B 0.980\nfore C 0.655\nback C 1.100\nfore A 1.868"
    first, second = book_words(measure(plot(book)))
    assert first.endswith("They are.")
    assert second.startswith("The book ends within 2 mm of the known height")
    first, second = book_words(measure(plot("back A 1.425\nfore C 0.655")))
    assert second.startswith("End the book on its first stake")
    (only,) = book_words(measure(plot("fore C 0.655\nback A 1.425")))
    assert "can't be worked out" in only
    assert book_words(measure(plot())) == ()


def test_an_even_slope_levelled_is_two_wedges() -> None:
    """A plane falling h over a length l and width w: digging fills at its middle, each wedge h l w / 8 (geometry, D)."""
    ground = Ground.from_levels([(0, 0, 1.0), (8, 0, 1.0), (0, 6, 0.0), (8, 6, 0.0)])
    found = levelled(ground, [(0, 0), (8, 0), (8, 6), (0, 6)], "ABCD")
    assert found.level_m == pytest.approx(0.5)
    earth = [found.earth.cut_m3, found.earth.fill_m3]
    assert earth == pytest.approx([6.0, 6.0])
    assert [found.deepest_m, found.highest_m] == pytest.approx([0.5, 0.5])
    assert [round(e[2], 6) for e in found.edges] == [-0.5, 0.0, 0.5, 0.0]
    steps = found.steps(0)
    assert steps is not None
    assert steps.count * steps.rise_m == pytest.approx(0.5)
    assert steps.rise_m <= 0.17
    words = " ".join(levelled_words(found, Style()))
    assert "One fills the other." in words
    assert "Half-way from B to C it meets the ground." in words
    assert "below the ground: 3 steps" in words
    high = levelled(ground, [(0, 0), (8, 0), (8, 6), (0, 6)], "ABCD", 1.25)
    assert high.earth.fill_m3 == pytest.approx(0.75 * 48)
    said = levelled_words(high, Style())
    assert any("has to be brought" in w for w in said)
    assert any("somebody licensed" in w for w in said)


@settings(max_examples=20, deadline=None)
@given(
    st.lists(st.floats(-2, 2), min_size=9, max_size=9),
    st.floats(-1, 1),
    st.sampled_from([[(1, 1), (7, 1), (7, 5), (1, 5)], [(1, 1), (7, 1), (7, 7), (4, 3), (1, 7)]]),
)
def test_cut_less_fill_is_the_mean_height_above_the_level(zs: list[float], level: float, outline: Any) -> None:
    """Against a plain sum over fine squares, on ground of nine heights and outlines with an inward corner."""
    import numpy as np
    import shapely

    ground = Ground.from_levels([(4 * (k % 3), 4 * (k // 3), z) for k, z in enumerate(zs)])
    found = levelled(ground, outline, "ABCDE"[: len(outline)], level)
    x, y = np.meshgrid(np.arange(0.025, 8, 0.05), np.arange(0.025, 8, 0.05))
    inside = shapely.contains_xy(shapely.Polygon(outline), x, y)
    over = ground.height(x[inside], y[inside]) - level
    assert found.earth.cut_m3 == pytest.approx(float(over.clip(0).sum()) * 0.0025, abs=0.25)
    assert found.earth.surplus_m3 == pytest.approx(float(over.sum()) * 0.0025, abs=0.25)


def test_ground_known_too_little_has_no_lie() -> None:
    garden = plot()
    assert ground_of(garden, measure(garden)) is None
    garden = plot(f"{RECTANGLE}\n{LEVELS}")
    ground = ground_of(garden, measure(garden))
    assert ground is not None
    with pytest.raises(ValueError, match="in their order round it"):
        levelled(ground, [(0, 0), (4, 3), (4, 0), (0, 3)], "ABCD")
    with pytest.raises(ValueError, match="two heights or more"):
        levelled(Ground.flat(), [(0, 0), (1, 0), (1, 1)], "ABC")
