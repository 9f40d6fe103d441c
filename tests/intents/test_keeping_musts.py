"""Keeping animals off plants and in: by fence, guard, net and height; and what is told of how they get by."""

from dataclasses import replace
from typing import Any

import pytest
from pydantic import TypeAdapter
from shapely import Point, box

from quincunx.intents import AnyIntent, Intent, Words
from quincunx.intents._walking import by_way_of, parts
from quincunx.scene import Frame, Room, Spot, StandingPlant, Stood, Timeline
from quincunx.shapes import Cover, Guard, Leaf, Shut, State
from quincunx.site.ground import Ground
from quincunx.walk.reach import left_open, walk_of
from quincunx.works import Means
from tests.walk.grounds import Thing, gate, hedge, known, still, wall

H, F, U, N = State.HOLDS, State.FAILS, State.UNKNOWN, State.NOT_DUE
ANY: TypeAdapter[Intent] = TypeAdapter(AnyIntent)
ROOMS = (Room("run", "hen run", (5, 5)), Room("beds", "bed ground", (15, 5)))
SPOTS = (Spot("wood", "wood", (10, -2)),)


def ring(owner: str, x0: float, y0: float, x1: float, y1: float, high_m: float, gap_m: float = 0.0) -> Stood:
    """Return a fence round a box, without its gate."""
    t = 0.04
    sides = ((x0, y0, x1, y0 + t), (x0, y1 - t, x1, y1), (x0, y0, x0 + t, y1), (x1 - t, y0, x1, y1))
    solids = [wall(owner, *side, high_m, gap_m=gap_m) for side in sides]
    return Stood(tuple(replace(s, part=str(i)) for i, s in enumerate(solids)))


def tree(owner: str, x: float, y: float, high_m: float, from_: str = "start") -> Thing:
    plant = StandingPlant(owner, "cobnut", ((x, y),), 1.0, (high_m, high_m, high_m), (1.0, 1.0, 1.0))
    return Thing(owner, still(Stood(plants=(plant,))), from_)


def garden(*things: Thing, snow_m: float = 0.0, years: int = 2) -> Timeline:
    names = [(t.id, t.id.replace("-", " ")) for t in things] + [(r.id, r.name) for r in ROOMS]
    names += [(s.id, s.name) for s in SPOTS]
    months = (snow_m, snow_m, *(0.0,) * 9, snow_m)
    frame = Frame(box(0, 0, 20, 10), Ground.flat(), ROOMS, SPOTS, tuple(sorted(names)), snow_by_month_m=months)
    return Timeline(frame, things, means=Means(first_year=2027, years=years))


def judged(line: Timeline, year: int = 2027, **fields: Any):
    return ANY.validate_python({"id": "m", **fields}).judge(line, year, Words.of(line))


RUN = ring("run-fence", 2, 2, 8, 8, 1.9, 0.02)
GATE = gate("run-gate", (4.5, 2), (5.4, 2), leaf=Leaf(1.9))


def test_hens_stay_in_a_high_fence_and_get_out_of_a_low_one():
    held = judged(garden(Thing("run-fence", still(RUN)), Thing("run-gate", still(GATE))), kind="stays-in", walker="hen", place="run")  # fmt: skip
    assert (held.state, held.because) == (H, "Hens can't get out as long as the run gate is kept shut.")
    low = garden(Thing("run-fence", still(ring("run-fence", 2, 2, 8, 8, 1.2))))
    out = judged(low, kind="stays-in", walker="hen", place="run")
    assert (out.state, out.because) == (F, "Hens get out, over the run fence (1.20 m high).")


def test_a_gate_left_open_lets_them_out_or_only_as_far_as_the_next():
    line = garden(Thing("run-fence", still(RUN)), Thing("run-gate", still(GATE)))
    asked: dict[str, Any] = {"kind": "stays-in", "walker": "hen", "place": "run", "gates": "one-left-open"}
    assert judged(line, **asked).because == "Hens get out when the run gate is left open."
    beds = Thing("bed-fence", still(ring("bed-fence", 12, 2, 18, 8, 1.9)))
    assert judged(garden(*line.features, beds), kept_from="beds", **asked).state == H  # type: ignore[arg-type]


@pytest.mark.parametrize(("who", "place", "sentence"), [
    ("hen", {"place": "run"}, "Hens from the hen run stay in."),
    ("dog", {"place": "run", "gates": "one-left-open"}, "A dog from the hen run stays in, whichever gate is left open."),
    ("hen", {"place": "run", "kept_from": "beds"}, "Hens from the hen run keep off the bed ground."),
])  # fmt: skip
def test_it_is_said_as_people_say_it(who, place, sentence):
    must = ANY.validate_python({"id": "m", "kind": "stays-in", "walker": who, **place})
    assert must.sentence(Words.of(garden())) == sentence


EATEN: dict[str, Any] = {"kind": "not-eaten", "walker": "roe", "start": "wood", "plants": ["cobnut-1", "cobnut-2"]}


def test_what_stands_free_is_eaten_and_counted():
    line = garden(tree("cobnut-1", 5, 5, 0.8), tree("cobnut-2", 15, 5, 0.8))
    found = judged(line, **EATEN)
    assert found.state == F
    assert found.measured == 2
    assert found.because == "Roe deer eat at cobnut 1: nothing stands in the way. The same with 1 more of the 2."


def guard(target: str, high_m: float, hole_m: float = 0.05) -> Thing:
    return Thing(f"guard-of-{target}", still(Stood(changes=(Guard(f"guard-of-{target}", high_m, hole_m, target),))))


def test_guards_keep_off_up_to_their_height_less_the_snow():
    two = (tree("cobnut-1", 5, 5, 0.8), tree("cobnut-2", 15, 5, 0.8))
    line = garden(*two, guard("cobnut-1", 1.2), guard("cobnut-2", 1.2))
    assert judged(line, **EATEN).because == "All 2 that stand are kept from roe deer."
    snowy = garden(*two, guard("cobnut-1", 1.2), guard("cobnut-2", 1.2), snow_m=0.3)
    assert judged(snowy, **EATEN).state == F
    assert judged(snowy, winter=False, **EATEN).state == H
    assert judged(garden(*two, guard("cobnut-1", 1.2)), **EATEN).measured == 1


def test_only_a_fine_high_guard_keeps_rabbits_and_voles_off():
    line = garden(tree("cobnut-1", 5, 5, 3.0), tree("cobnut-2", 15, 5, 3.0), guard("cobnut-1", 0.6, 0.03), guard("cobnut-2", 0.6, 0.03))  # fmt: skip
    assert judged(line, **{**EATEN, "walker": "rabbit"}).state == H
    assert judged(line, **{**EATEN, "walker": "vole"}).state == F
    assert judged(line, **{**EATEN, "walker": "hare"}).state == F  # a hare's guard stands 0.75 m


def test_a_tree_that_has_outgrown_deer_loses_only_what_hangs_low_but_bark_is_never_out_of_reach():
    line = garden(tree("cobnut-1", 5, 5, 3.0), tree("cobnut-2", 15, 5, 3.0))
    found = judged(line, **EATEN)
    assert found.state == U
    assert found.because.startswith(
        "Cobnut 1 has outgrown roe deer, who take only what hangs below 1.20 m: roe deer eat"
    )
    assert judged(line, **{**EATEN, "walker": "vole"}).state == F


def test_a_net_keeps_off_and_a_hedge_only_discourages():
    net = Thing("net", still(Stood(changes=(Cover("net", Point(5, 5).buffer(1), 0.015),))))
    line = garden(tree("cobnut-1", 5, 5, 0.8), net)
    assert judged(line, **{**EATEN, "plants": ["cobnut-1"]}).because == "The net keeps roe deer off cobnut 1."
    t = 0.5
    sides = ((2, 2, 8, 2 + t), (2, 8 - t, 8, 8), (2, 2, 2 + t, 8), (8 - t, 2, 8, 8))
    grown = [replace(hedge("yew", *side, 2.0), part=str(i)) for i, side in enumerate(sides)]
    hedges = Stood(tuple(grown))
    found = judged(
        garden(tree("cobnut-1", 5, 5, 0.8), Thing("yew", still(hedges))), **{**EATEN, "plants": ["cobnut-1"]}
    )
    assert found.state == U
    assert "discourages roe deer but does not hold them" in found.because


def test_it_is_due_when_the_first_of_them_is_planted():
    line = garden(tree("cobnut-1", 5, 5, 0.8, "2028-02"), tree("cobnut-2", 15, 5, 0.8, "2035-02"))
    must = ANY.validate_python({"id": "m", **EATEN})
    assert must.due_from(line) == 2028
    found = must.judge(line, 2028, Words.of(line))
    assert (found.state, found.measured) == (F, 1)
    assert must.judge(line, 2027, Words.of(line)).state == N


def low_things(*at: float) -> Thing:
    return Thing(f"edging-{at[0]:g}", still(Stood((wall(f"edging-{at[0]:g}", at[0], 3, at[0] + 0.1, 7, 0.4),))))


def test_the_fence_that_decides_is_never_hidden_among_low_things():
    fence = Thing("fence", still(ring("fence", 12, 0.5, 19, 9.5, 1.4)))
    lows = [low_things(x) for x in (13.0, 13.4, 13.8, 14.2)]
    row = Thing("west-wood", still(Stood()))
    line = garden(fence, *lows, row, tree("cobnut-2", 15, 5, 0.8))
    scene = line.at(line.leaf_date(2027))
    walk = walk_of(scene, known("roe"))
    frame_way = walk.way("run", "cobnut-2")
    assert frame_way is not None
    told = by_way_of(walk, frame_way, Words.of(line), "cobnut-2", "run")
    assert told == "over the fence (1.40 m high), among others"
    assert parts(walk, 1.4, "run", "cobnut-2")
    assert not parts(walk, 1.5, "run", "cobnut-2")


def test_a_gate_a_little_lower_than_its_fence_counts_as_one_with_it():
    posts = ring("fence", 12, 0.5, 19, 9.5, 2.4)
    low_gate = gate("barn-gate", (13, 0.52), (14, 0.52), leaf=Leaf(2.2))
    lows = [low_things(x) for x in (13.0, 13.4, 13.8, 14.2)]
    fence, way_in = Thing("fence", still(posts)), Thing("barn-gate", still(low_gate))
    line = garden(fence, way_in, *lows, tree("cobnut-2", 15, 5, 0.8))
    found = judged(line, **{**EATEN, "walker": "white-tail", "plants": ["cobnut-2"]})
    assert "over the fence (2.40 m high)" in found.because or "over the barn gate (2.20 m high)" in found.because


def test_an_opening_shut_for_good_is_not_found_left_open():
    locked = gate("run-gate", (4.5, 2), (5.4, 2), leaf=Leaf(1.9), latch="locked")
    for changes, gates in (((), ("run-gate",)), ((Shut("hurdle", "run-gate"),), ())):
        things = (Thing("run-fence", still(RUN)), Thing("run-gate", still(locked)), Thing("hurdle", still(Stood(changes=changes))))  # fmt: skip
        line = garden(*things)
        scene = line.at(line.leaf_date(2027))
        assert left_open(walk_of(scene, known("hen")), "run", "outside") == gates
        thief = known("person").changed(opens="locked")
        assert walk_of(scene, thief, polite=True).reaches("wood", "run") == (not changes)
        assert walk_of(scene, thief, "open", polite=True).reaches("wood", "run") == (not changes)
