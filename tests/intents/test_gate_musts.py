"""A gate somebody opens alone: clear width, threshold, key, and the firm, level room before it."""

from typing import Any

import pytest
from pydantic import TypeAdapter
from shapely import box

from quincunx.features import kinds
from quincunx.intents import AnyIntent, Intent, Words
from quincunx.intents.gate_opens_easily import WIDE_M
from quincunx.scene import Frame, Spot, Stood, Timeline
from quincunx.shapes import AreaFigure, DimensionFigure, State, Surface
from quincunx.site.ground import Ground
from quincunx.units import Style
from quincunx.walk.gate_room import FACE_M, LATCH_M, PULL_M, PUSH_M, room
from quincunx.works import Means
from tests.intents.test_sitting_musts import block, published
from tests.walk.grounds import Thing, still, wall

ANY: TypeAdapter[Intent] = TypeAdapter(AnyIntent)
SPOTS = (Spot("door", "kitchen door", (1, 1)),)


def yard(y0: float = 0, y1: float = 10, firm: float = 1.0) -> Thing:
    floor = Surface("yard", "", box(0, y0, 10, y1), "stone", firmness=(firm,) * 12, layer=9)
    return Thing("yard", still(Stood(surfaces=(floor,))))


def gate(**more: Any) -> Any:
    data = {"kind": "gate", "id": "side-gate", "name": "side gate", "at": [5, 5], "along_deg": 90, "width": 0.9}
    return kinds()["gate"].model_validate({**data, "there_from": "start", **more})


def garden(*things: Any, ground: Ground | None = None) -> Timeline:
    made = (Thing("wall", still(Stood((wall("wall", -5, 4.9, 15, 5.1),)))), *things)
    names = [(t.id, t.name.replace("-", " ")) for t in made] + [(s.id, s.name) for s in SPOTS]
    frame = Frame(box(0, 0, 10, 10), ground or Ground.flat(), (), SPOTS, tuple(sorted(names)))
    return Timeline(frame, made, means=Means(first_year=2027, years=2))


def judged(line: Timeline, **fields: Any):
    must = ANY.validate_python({"id": "m", "kind": "gate-opens-easily", "gate": "side-gate", **fields})
    return must.judge(line, 2027, Words.of(line))


def test_figures_are_those_of_the_standard():
    assert pytest.approx(published("gate-wide")) == WIDE_M
    asked = [published(f"gate-{n}") for n in ("pull", "latch", "push", "face")]
    assert pytest.approx(asked) == [PULL_M, LATCH_M, PUSH_M, FACE_M]


def test_a_gate_with_room_on_a_hard_yard_holds_and_sends_the_latch_to_be_looked_at():
    found = judged(garden(yard(), gate()))
    assert found.state is State.HOLDS
    assert found.because == "0.90 m clear, with firm, level room on both sides. Latch and spring: look yourself."
    assert any(isinstance(f, DimensionFigure) and f.value_m == pytest.approx(0.9) for f in found.evidence)


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"width": 0.75}, "it is 0.75 m clear, and 0.81 m is asked for"),
        ({"step": 0.1}, "there is a step of 0.10"),
        ({"latch": "locked"}, "it wants a key"),
        ({"latch": "shut"}, "it is shut for good"),
    ],
)
def test_what_is_hard_about_the_gate_itself_is_told(more: dict[str, Any], said: str):
    found = judged(garden(yard(), gate(**more)))
    assert found.state is State.FAILS
    assert said.lower() in found.because.lower()


def test_soft_and_sloping_ground_before_it_are_told_side_by_side():
    assert "on one side the ground is not firm all the year" in judged(garden(yard(0, 5), gate())).because.lower()
    assert "on both sides the ground" in judged(garden(gate())).because.lower()
    hill = Ground.from_levels([(x, y, y / 25) for x in (-9.0, 21.0) for y in (-9.0, 19.0)])
    assert "as steep as 1 in 25, and 1 in 48 is the most" in judged(garden(yard(), gate(), ground=hill)).because
    assert judged(garden(yard(), gate(), ground=hill)).measured is None  # its width is not what fails
    assert judged(garden(yard(), gate(), ground=hill), run=20).state is State.HOLDS


def test_room_beside_the_latch_is_asked_for_on_one_side_only_and_on_the_side_of_the_latch():
    """The gate is hung on its west end (left of the line from west to east), so the latch is in the east."""
    near = (block("pot", 5.6, 5.5, 0.9), block("tub", 5.6, 3.5, 0.9))
    one = judged(garden(yard(), gate(), near[0]))
    assert one.state is State.HOLDS  # it can be hung to be pulled from the other side
    both = judged(garden(yard(), gate(), *near))
    assert both.state is State.FAILS
    assert "on neither side is there room to pull it, 1.52 m deep and 0.46 m beside the latch" in both.because.lower()
    assert any(isinstance(f, AreaFigure) and f.pattern == "hatch" for f in both.evidence)
    assert judged(garden(yard(), gate(hung_left=False), *near)).state is State.HOLDS


def test_what_stands_right_before_it_is_named():
    found = judged(garden(yard(), gate(), block("tub", 4.5, 3.9, 0.9)))
    assert found.because == "The tub stands within 1.22 m before it."


@pytest.mark.parametrize("side", [1, -1])
def test_the_room_is_as_large_as_the_table_says(side: Any):
    line = garden(yard(), gate())
    opening = next(o for o in line.at(line.leaf_date(2027)).openings if o.owner == "side-gate")
    assert opening.hinge == "start"
    pull = room(opening, side, PULL_M, LATCH_M)
    west, south, east, north = pull.bounds
    assert (west, east) == pytest.approx((5 - 0.45, 5 + 0.45 + LATCH_M))
    assert max(abs(south - 5), abs(north - 5)) == pytest.approx(PULL_M)


def test_two_leaves_have_their_latch_in_the_middle():
    line = garden(yard(), gate(leaves=2, width=2.0))
    opening = next(o for o in line.at(line.leaf_date(2027)).openings if o.owner == "side-gate")
    assert opening.hinge == ""
    west, _, east, _ = room(opening, 1, PULL_M, LATCH_M).bounds
    assert (west, east) == pytest.approx((4.0, 6.0))


def test_the_sentence_says_who_and_how_wide():
    must = ANY.validate_python({"id": "m", "kind": "gate-opens-easily", "gate": "side-gate"})
    words = Words({"side-gate": "side gate"}, Style())
    assert must.sentence(words) == (
        "The side gate is easy to open alone for a wheelchair: 0.81 m wide, with firm, level room before it."
    )
    assert "0.86 m to 1.22 m" in must.asks(words)[0]
