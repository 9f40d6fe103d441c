"""Decks and bridges: what they are made of by hand, that they fit, carry, are walked on, and cross water."""

import math
from itertools import pairwise

import pytest
from hypothesis import given, settings, strategies as st

from quincunx.build.screening import Loads, screen
from quincunx.build.take_off import take_off_all
from quincunx.features._decking import guard_members
from quincunx.features.bridge import Bridge
from quincunx.features.deck import Deck
from quincunx.shapes import DropWork, FrameWork, KitWork
from quincunx.walk import find_walker, free_ground
from tests.features.standing import make, moment, scene_of

OUTLINE = ((0, 0), (3.6, 0), (3.6, 2.4), (0, 2.4))


def deck(**fields):
    return Deck.model_validate({"kind": "deck", "id": "d", "outline": OUTLINE, **fields})


def bridge(**fields):
    return Bridge.model_validate({"kind": "bridge", "id": "b", "line": [[0, 0], [0, 2.4]], "below": 0.6, **fields})


def frame(feature):
    return next(w for w in feature.stand(moment()).work if isinstance(w, FrameWork))


def named(work, name):
    return [m for m in work.members if m.name == name]


def test_a_deck_by_hand():
    """3.6 x 2.4 m: boards along 3.6, joists 2.4 long at 0.4 m, beams 3.6 long, three of them at most 1.8 apart."""
    made = frame(deck())
    joists = named(made, "joist")
    assert len(joists) == 10  # 3.54 m between first and last, nine bays of 0.393
    assert all(math.dist(m.start, m.end) == pytest.approx(2.4) for m in joists)
    beams = named(made, "beam")
    assert len(beams) == 3
    assert all(math.dist(m.start, m.end) == pytest.approx(3.5) for m in beams)
    assert beams[0].strip_m == pytest.approx(1.12)  # 2.24 m in two bays
    assert len(named(made, "post")) == 3 * 4  # 3.5 m in bays of at most 1.5: three bays
    # Boards 28, joists 145, beams 145: the beam's underside lies 0.4 - 0.318 m above the ground, the posts end there.
    assert beams[0].start[2] == pytest.approx(0.4 - 0.028 - 0.145 - 0.145)
    assert named(made, "post")[0].end[2] == pytest.approx(beams[0].start[2])


def test_a_low_deck_says_how_high_it_would_stand_on_beams():
    low = deck(floor_height=0.2)
    assert len(frame(low).footings) == 10 * 3  # ten joists of 2.4 m, in two bays of 1.2
    _, high, other = low.on_fewer_pads()
    assert high == pytest.approx(0.37)  # 28 + 145 + 145 mm, and 50 clear of the ground
    assert len(frame(other).footings) == 3 * 4
    assert min(m.start[2] for m in named(frame(other), "beam")) >= 0.05
    assert deck().on_fewer_pads() is None


@settings(max_examples=25)
@given(st.floats(1.5, 8), st.floats(1.2, 5), st.floats(0.35, 2.5), st.floats(0.25, 0.6))
def test_every_deck_fits_together(wide, deep, high, apart):
    made = frame(deck(outline=[[0, 0], [wide, 0], [wide, deep], [0, deep]], floor_height=high, joists_apart=apart))
    beam, joist = named(made, "beam")[0], named(made, "joist")[0]
    assert beam.start[2] + beam.section_m[1] == pytest.approx(joist.start[2], abs=1e-6)
    assert all(m.end[2] == pytest.approx(beam.start[2], abs=1e-6) for m in named(made, "post"))
    xs = sorted(
        {round(m.start[0], 4) for m in named(made, "joist")} | {round(m.start[1], 4) for m in named(made, "joist")}
    )
    assert xs
    for m in made.members:
        assert -0.01 <= m.start[0] <= wide + 0.01
        assert -0.01 <= m.start[1] <= deep + 0.01
    assert made.floor_m2 == pytest.approx(wide * deep, rel=1e-3)


def test_holes_in_a_guard_are_no_wider_than_said():
    made = guard_members([((0, 0), (4.0, 0))], 0.8, 1.0, 0.09)
    xs = sorted(m.start[0] for m in made if m.name == "baluster")
    posts = sorted(m.start[0] for m in made if m.name == "guard post")
    edges = sorted([(x - 0.015, x + 0.015) for x in xs] + [(x - 0.045, x + 0.045) for x in posts])
    assert all(b[0] - a[1] <= 0.09 + 1e-6 for a, b in pairwise(edges))


def test_what_a_deck_asks_for():
    low, high = (deck(floor_height=h).stand(moment()).work for h in (0.4, 1.0))
    found = {s.what.split()[0]: s.answer for s in screen(high, Loads("us"))}
    assert found["drop"] == "beyond"
    guarded = deck(floor_height=1.0, guard_height=1.1, guard_gap=0.09).stand(moment()).work
    assert next(s for s in screen(guarded, Loads("us")) if s.what.startswith("drop")).answer == "within"
    assert next(s for s in screen(low, Loads("us")) if s.what.startswith("drop")).answer == "within"
    # Joists and beams are looked up without any snow: people stand on them.
    assert found["joist"] in ("within", "beyond")
    assert found["post"] == "within"


def test_a_deck_comes_to_boards_joists_pads_and_fixings():
    found = take_off_all(deck().stand(moment()).work)
    assert {p.name for p in found.pieces} == {"deck board", "joist", "beam", "post"}
    assert {x.item for x in found.lines} >= {"concrete", "post-base", "framing-anchor"}
    assert sum(p.count * p.length_m for p in found.pieces if p.name == "deck board") == pytest.approx(
        3.6 * 2.4 / 0.126, rel=0.06
    )


def test_a_deck_as_a_kit_is_one_thing():
    works = deck(how="kit", kit={"price": 90000}).stand(moment()).work
    assert any(isinstance(w, KitWork) for w in works)
    assert any(isinstance(w, DropWork) for w in works)  # the drop is there whoever builds it
    assert not any(isinstance(w, FrameWork) for w in works)


def test_a_bridge_by_hand():
    """2.4 m long, resting 0.4 m on each bank: 1.6 m clear; 15 boards of 145 with 10 mm between: 15 x 155 - 10 = 2315 mm."""
    made = frame(bridge())
    assert bridge().span_m() == pytest.approx(1.6)
    assert len(named(made, "board")) == 15
    beams = named(made, "beam")
    assert len(beams) == 3
    assert beams[0].span_m == pytest.approx(1.6)
    assert beams[0].strip_m == pytest.approx(0.5)
    xs = sorted(m.start[0] for m in beams)
    assert xs == pytest.approx([-0.4625, 0.0, 0.4625])  # half a beam in from either edge
    assert len(made.footings) == 4


@pytest.mark.parametrize(("deep", "answer"), [(0.2, "within"), (0.1, "beyond")])
def test_a_long_bridge_needs_deep_beams(deep, answer):
    works = bridge(line=[[0, 0], [0, 3.8]], beam_deep=deep).stand(moment()).work
    assert next(s for s in screen(works, Loads("europe")) if s.what.startswith("beam")).answer == answer


def walker(name):
    found = find_walker(name)
    assert found is not None
    return found


def ditch(*more):
    water = make(
        "pond",
        id="ditch",
        outline=[[-300, 4], [300, 4], [300, 5.5], [-300, 5.5]],
        margin=0,
        depth=0.6,
        edge_width=0,
        lining="natural",
    )
    return free_ground(scene_of(water, *more), walker("person"))


def together(ground, a, b):
    first, second = ground.numbers([a, b])
    return first is not None and first == second


def test_people_cross_water_on_a_bridge_and_not_without():
    span = make("bridge", id="b", line=[[5, 3.5], [5, 6]], width=1.2, below=0.6)
    assert not together(ditch(), (5, 1), (5, 9))
    assert together(ditch(span), (5, 1), (5, 9))
    short = make("bridge", id="b", line=[[5, 3.5], [5, 5]], width=1.2, below=0.6)
    assert not together(ditch(short), (5, 1), (5, 9))


def test_a_high_deck_is_stepped_up_to_only_where_it_is_open():
    shut, opened = (make("deck", id="d", outline=OUTLINE, floor_height=1.0, open_sides=o) for o in ((), (1,)))
    for feature, reached in ((shut, False), (opened, True)):
        ground = free_ground(scene_of(feature), walker("wheelchair"))
        assert together(ground, (1.8, 1.2), (1.8, -3)) is reached
