"""Gates, seats, stands, greenhouse bases and arches: made by hand they fit, bought whole they are one thing."""

import math

import pytest
from hypothesis import given, settings, strategies as st

from quincunx.build.screening import Loads, screen
from quincunx.build.take_off import take_off, take_off_all
from quincunx.features import kinds
from quincunx.features.tank import Tank
from quincunx.shapes import FrameWork, KitWork, LineWork
from tests.features.standing import make, moment

BUILT = sorted(k for k, c in kinds().items() if "how" in c.model_fields)


def frame(feature):
    return next(w for w in feature.stand(moment()).work if isinstance(w, FrameWork))


def named(work, name):
    return [m for m in work.members if m.name == name]


@pytest.mark.parametrize("kind", BUILT)
def test_each_is_made_or_bought_with_its_makers_figures(kind):
    made, kit = (
        make(kind, how=how, kit={"price": 50000, "weight_kg": 40, "base": "slabs", "people": 2, "life_years": 9})
        .stand(moment())
        .work
        for how in ("made", "kit")
    )
    assert not any(isinstance(w, KitWork) for w in made)
    bought = next(w for w in kit if isinstance(w, KitWork))
    assert (bought.price, bought.weight_kg, bought.base, bought.people, bought.life_years) == (50000, 40, "slabs", 2, 9)
    told = take_off(bought)
    assert any("slabs" in n for n in told.notes)
    assert any("2 people" in n for n in told.notes)
    assert take_off_all(made).lines


@pytest.mark.parametrize("kind", BUILT)
def test_what_is_made_says_its_joints_or_how_its_walls_are_put_together(kind):
    from quincunx.build.made_so import joins

    works = make(kind, how="made").stand(moment()).work
    assert any(w.joints for w in works if isinstance(w, FrameWork)) or joins(works)


@pytest.mark.parametrize(("kind", "more", "item"), [("gate", {"hung_on": "wall"}, "gate"), ("seat", {}, "seat")])
def test_bought_whole_without_figures_it_is_one_line_under_its_own_name(kind, more, item):
    works = make(kind, **more).stand(moment()).work
    assert [x.item for x in take_off_all(works).lines] == [item]
    assert screen(works, Loads("us")) == ()


def test_a_gate_bought_whole_hangs_on_two_posts_in_concrete():
    """0.6 m in the ground, 5 cm under the leaf, 1.2 m, 5 cm over it: 1.9 m; a hole of 0.3 m less a post of 0.12 m."""
    works = make("gate", width=0.9, height=1.2, under=0.05, post=0.12, post_in_ground=0.6).stand(moment()).work
    found = take_off_all(works)
    assert {(p.name, round(p.length_m, 3), p.section_m) for p in found.pieces} == {
        ("hanging post", 1.9, (0.12, 0.12)),
        ("closing post", 1.9, (0.12, 0.12)),
    }
    (concrete,) = (x for x in found.lines if x.item == "concrete")
    assert concrete.net == pytest.approx(2 * (math.pi / 4 * 0.3**2 - 0.12**2) * 0.6)
    assert any("frost, soil and a heavy leaf" in note for note in found.notes)
    assert screen(works, Loads("us")) == ()


def test_a_gate_by_hand():
    """0.9 m clear: posts 100 mm outside it, boards of 120 with 10 mm gaps on 0.88 m: six of them (6 x 130 - 10 = 770)."""
    made = frame(make("gate", how="made", width=0.9, height=1.2, under=0.05))
    posts = [*named(made, "hanging post"), *named(made, "closing post")]
    assert math.dist(posts[0].start[:2], posts[1].start[:2]) - 0.1 == pytest.approx(0.9)
    assert len(named(made, "board")) == 6
    assert all(m.end[2] - m.start[2] == pytest.approx(1.2) for m in named(made, "board"))
    brace = named(made, "gate brace")[0]
    assert brace.start[2] < brace.end[2]


@given(st.floats(0.6, 4.0), st.integers(1, 2), st.floats(0.6, 2.0))
@settings(max_examples=20)
def test_every_leaf_hangs_between_its_posts(wide, leaves, high):
    made = frame(make("gate", how="made", width=wide, leaves=leaves, height=high))
    assert len(named(made, "rail")) == 2 * leaves
    ends = [m.start for m in made.members if m.support == "post"]
    assert len(ends) == 2
    for m in named(made, "rail"):
        assert all(min(math.dist(e[:2], p[:2]) for p in (m.start, m.end)) >= 0.05 for e in ends)
        assert math.dist(m.start, m.end) < wide / leaves


def test_a_seat_by_hand():
    """1.5 m long: three leg frames, slats carried every 0.75 m; 0.5 m deep: six slats of 70 with 10 between (6 x 80 - 10 = 470)."""
    made = frame(make("seat", how="made", width=1.5, depth=0.5))
    assert len(named(made, "front leg")) == 3
    slats = named(made, "slat")
    assert len(slats) == 6
    assert slats[0].start[2] + slats[0].section_m[1] == pytest.approx(0.45)
    assert all(math.dist(m.start, m.end) == pytest.approx(1.5) for m in slats)


def test_a_timber_stand_is_looked_up_under_the_full_tank():
    tank = make("tank", plan_shape="round", width=0.6, height=0.95, raised=0.4, stand_of="timber")
    assert isinstance(tank, Tank)
    works = tank.stand(moment()).work
    made = frame(tank)
    assert made.live_kpa == pytest.approx(tank.litres() * 9.80665 / 1000 / 0.36)
    assert made.live_kpa is not None
    assert made.live_kpa > 6  # three times what people weigh on a deck
    top = max(m.start[2] + (m.section_m[1] if m.name == "board" else 0) for m in made.members if m.name == "board")
    assert top == pytest.approx(0.4)
    found = {s.what.split()[0]: s.answer for s in screen(works, Loads("europe"))}
    assert {"bearer", "board", "post"} <= set(found)


@pytest.mark.parametrize(("of", "item"), [("blocks", "wall-block"), ("brick", "wall-brick")])
def test_a_masonry_stand_is_two_walls(of, item):
    works = make("tank", raised=0.4, stand_of=of).stand(moment()).work
    assert sum(isinstance(w, LineWork) for w in works) == 2
    assert item in {x.item for x in take_off_all(works).lines}


def test_a_lean_to_has_a_wall_plate_and_no_back_footing():
    free, leaning = (
        make("greenhouse", how="made", stands=s, base="brick footing") for s in ("free", "leaning on a wall")
    )
    count = [
        sum(isinstance(w, LineWork) and w.height_m == 0.3 for w in g.stand(moment()).work) for g in (free, leaning)
    ]
    assert count == [4, 3]
    joints = [{j.words for j in frame(g).joints} for g in (free, leaning)]
    assert "wall plate on the house wall" in joints[1] - joints[0]
    assert frame(leaning).order[1].startswith("Anchor the wall plate")
