"""A bed worked sitting or standing: the height of its rim, and how much a hand reaches from firm, level ground."""

from typing import Any

import pytest
from pydantic import TypeAdapter
from shapely import box

from quincunx.features import Feature, kinds
from quincunx.intents import AnyIntent, Intent, Words
from quincunx.intents.bed_at_hand import REACH_M, RIM_M
from quincunx.scene import Frame, Spot, Stood, Timeline
from quincunx.shapes import AreaFigure, PathFigure, State, Surface
from quincunx.site.ground import Ground
from quincunx.units import Style
from quincunx.works import Means
from tests.intents.test_sitting_musts import published
from tests.walk.grounds import Thing, still, wall

ANY: TypeAdapter[Intent] = TypeAdapter(AnyIntent)
SPOTS = (Spot("door", "kitchen door", (1, 1)),)
HARD = (1.0,) * 12


def floor(*at: float, owner: str = "yard", firmness: tuple[float, ...] = HARD) -> Thing:
    return Thing(owner, still(Stood(surfaces=(Surface(owner, "", box(*at), "stone", firmness=firmness, layer=9),))))


def bed(wide: float = 1.2, high: float = 0.68, long: float = 3.0) -> Feature:
    ring = [[4, 4], [4 + long, 4], [4 + long, 4 + wide], [4, 4 + wide]]
    data = {"kind": "raised-bed", "id": "salad", "name": "salad bed", "outline": ring, "height": high}
    return kinds()["raised-bed"].model_validate({**data, "there_from": "start"})


def garden(*things: Any, ground: Ground | None = None) -> Timeline:
    names = [(t.id, t.name.replace("-", " ")) for t in things] + [(s.id, s.name) for s in SPOTS]
    frame = Frame(box(0, 0, 12, 10), ground or Ground.flat(), (), SPOTS, tuple(sorted(names)))
    return Timeline(frame, things, means=Means(first_year=2027, years=2))


def judged(line: Timeline, **fields: Any):
    must = ANY.validate_python({"id": "m", "kind": "bed-at-hand", "start": "door", "bed": "salad", **fields})
    return must.judge(line, 2027, Words.of(line))


def test_figures_are_those_of_the_guides():
    assert RIM_M["sitting"] == pytest.approx((published("bed-sitting-low"), published("bed-sitting-high")))
    assert RIM_M["standing"][1] == pytest.approx(published("bed-standing-high"))
    assert pytest.approx(published("bed-reach")) == REACH_M
    assert pytest.approx(published("bed-wide"), abs=0.01) == 2 * REACH_M  # 4 ft from both sides


def test_a_bed_of_four_feet_on_a_hard_yard_is_reached_whole():
    found = judged(garden(floor(0, 0, 12, 10), bed(published("bed-wide"))))
    assert found.state is State.HOLDS
    assert found.because == "The rim is 0.68 m high, and all of the salad bed is reached from its side."
    assert sum(isinstance(f, PathFigure) for f in found.evidence) >= 1


@pytest.mark.parametrize(
    ("high", "posture", "right"),
    [(0.3, "sitting", False), (0.61, "sitting", True), (0.76, "sitting", True), (0.9, "sitting", False),
     (0.61, "standing", False), (0.9, "standing", True), (0.76, "standing", True), (1.1, "standing", False)],
)  # fmt: skip
def test_the_rim_is_held_against_how_one_works(high: float, posture: str, right: bool):
    found = judged(garden(floor(0, 0, 12, 10), bed(high=high)), posture=posture)
    assert (found.state is State.HOLDS) == right
    assert ("is right for work" in found.because) == (not right)


def test_a_wide_bed_leaves_its_middle_out_of_reach_by_just_so_much():
    found = judged(garden(floor(0, 0, 12, 10), bed(2.2)))
    assert found.state is State.FAILS
    inner = (2.2 - 2 * REACH_M) * (3.0 - 2 * REACH_M)
    assert found.measured == pytest.approx(1 - inner / (2.2 * 3.0), abs=0.01)
    assert "too wide: 1.22 m is the most reached from both sides" in found.because
    assert any(isinstance(f, AreaFigure) for f in found.evidence)


def test_from_one_side_only_half_as_much_is_reached():
    back = Thing("back", still(Stood((wall("back", 3.5, 5.3, 7.5, 5.5),))))
    ends = [Thing(n, still(Stood((wall(n, x, 3.9, x + 0.1, 5.5),)))) for n, x in (("left", 3.8), ("right", 7.1))]
    line = garden(floor(0, 0, 12, 10), bed(1.2), back, *ends)
    found = judged(line)
    assert found.state is State.FAILS
    assert found.measured == pytest.approx(REACH_M / 1.2, abs=0.02)
    assert "no room to stand, or no way there" in found.because
    assert judged(garden(floor(0, 0, 12, 10), bed(0.6), back, *ends)).state is State.HOLDS


def test_soft_or_sloping_ground_beside_it_does_not_serve():
    soft = judged(garden(bed()))
    assert soft.state is State.FAILS
    assert "None of it is reached, and the ground beside it is not firm all the year: lay a floor there" in soft.because
    path = judged(garden(floor(0, 0, 12, 3.98), bed(0.6)))
    assert path.state is State.HOLDS  # a firm path along one side reaches 2 ft
    hill = Ground.from_levels([(x, y, y / 25) for x in (-9.0, 21.0) for y in (-9.0, 19.0)])
    steep = judged(garden(floor(0, 0, 12, 10), bed(), ground=hill))
    assert "steeper than 1 in 48: level it" in steep.because
    assert judged(garden(floor(0, 0, 12, 10), bed(), ground=hill), run=20).state is State.HOLDS


def test_a_bed_behind_a_wall_is_not_reached_at_all():
    shut = Thing("wall", still(Stood((wall("wall", -5, 2, 17, 2.2),))))
    found = judged(garden(floor(0, 0, 12, 10), bed(), shut))
    assert found.measured == 0.0
    assert found.state is State.FAILS


def test_the_sentence_says_who_from_where_and_how():
    must = ANY.validate_python({"id": "m", "kind": "bed-at-hand", "start": "door", "bed": "salad"})
    said = must.sentence(Words({"door": "kitchen door", "salad": "salad bed"}, Style()))
    assert said == (
        "There is room for a wheelchair coming from the kitchen door beside the salad bed, and all of it is worked sitting, "
        "within a reach of 0.61 m."
    )
