"""Something to hold on where a way has steps or climbs steeply: rails on steps and ramps, and what asks for them."""

import math
from typing import Any

import pytest
from pydantic import TypeAdapter
from shapely import box

from quincunx.build.safe_places import flight as looked_up
from quincunx.features import Feature, kinds
from quincunx.intents import AnyIntent, Intent, Words
from quincunx.scene import Frame, Spot, Stood, Timeline
from quincunx.shapes import FlightWork, FrameWork, Height, Plane, Solid, State, Surface, TextFigure
from quincunx.site.codes import codes
from quincunx.site.ground import Ground
from quincunx.units import Style
from quincunx.walk.holding import RISE_M
from quincunx.works import Means
from tests.intents.test_sitting_musts import published
from tests.walk.grounds import Thing, still

ANY: TypeAdapter[Intent] = TypeAdapter(AnyIntent)
SPOTS = (Spot("door", "kitchen door", (5, 1)), Spot("bed", "far bed", (5, 13)))
HILL = Ground.from_levels([(x, y, min(max(y - 6.0, 0.0) / 2.0, 0.45)) for x in (-9.0, 19.0) for y in (-9, 6, 6.9, 24)])


def steps(**more: Any) -> Feature:
    data = {"kind": "steps", "id": "bank-steps", "line": [[5, 6], [5, 7.08]], "width": 1.2, "fall": 0.45, "count": 3}
    return kinds()["steps"].model_validate({**data, "there_from": "start", **more})


def garden(*things: Any) -> Timeline:
    names = [(t.id, t.id.replace("-", " ")) for t in things] + [(s.id, s.name) for s in SPOTS]
    frame = Frame(box(0, 0, 10, 15), HILL, (), SPOTS, tuple(sorted(names)))
    return Timeline(frame, things, means=Means(first_year=2027, years=3))


def judged(line: Timeline, currency: str = "USD", **fields: Any):
    must = ANY.validate_python({"id": "m", "kind": "handrail-on-the-way", "start": "door", "end": "bed", **fields})
    return must.judge(line, 2027, Words.of(line, Style(currency=currency)))


def test_steps_without_a_rail_fail_and_the_height_is_the_countrys():
    found = judged(garden(steps()))
    assert found.state is State.FAILS
    row = codes()["US", "handrail"]  # IRC R311.7.8: 34 to 38 in
    assert (row.figures["low_m"], row.figures["high_m"]) == pytest.approx((34 * 0.0254, 38 * 0.0254))
    assert found.because.startswith(
        "There is nothing to hold on at the bank steps (3 steps). Give it a handrail on both sides, 0.86 m to 0.97 m high by IRC R311.7.8"
    )
    assert any(isinstance(f, TextFigure) and f.text == "no rail" for f in found.evidence)


def test_a_height_that_the_countrys_code_leaves_open_is_told_as_englands():
    """The rows of Japan and Australia name no height, and no upper one; Approved Document K of England: 0.9 to 1.0 m."""
    assert not {"low_m", "high_m"} & set(codes()["JP", "handrail"].figures)
    assert "high_m" not in codes()["AU", "handrail"].figures
    japan = judged(garden(steps()), "JPY").because
    assert "0.90 m to 1.00 m high by Approved Document K of England (second-hand); of Building Standards Law" in japan
    assert japan.endswith("our table has no height.")
    australia = judged(garden(steps()), "AUD").because
    assert "0.86 m high or more by NCC D3D22" in australia  # 865 mm
    assert australia.endswith("and no more than 1.00 m by Approved Document K of England (second-hand).")


@pytest.mark.parametrize(
    ("rail", "sides", "state"),
    [("both", "both", "holds"), ("left", "both", "fails"), ("left", "one", "holds"), ("right", "one", "holds")],
)
def test_rails_count_by_side(rail: str, sides: str, state: str):
    found = judged(garden(steps(rail=rail)), sides=sides)
    assert found.state.value == state, found.because
    assert found.measured == (1.0 if state == "holds" else 0.0)
    if state == "fails":
        assert "There is a rail on one side only at the bank steps" in found.because


def test_a_rail_too_low_is_told_with_its_height():
    found = judged(garden(steps(rail="both", rail_height=0.7)))
    assert found.because.startswith("The rail at the bank steps (3 steps) is 0.70 m high.")


def test_few_steps_and_a_level_way_ask_for_nothing():
    assert judged(garden(steps()), steps=4).state is State.HOLDS
    assert "no flight of 4 steps" in judged(garden(steps()), steps=4).because


def test_a_fence_close_by_serves_and_a_thick_wall_or_one_that_ends_half_way_does_not():
    def beside(x0: float, x1: float, y1: float = 7.5) -> Thing:
        return Thing("side", still(Stood((Solid("side", "", box(x0, 5.5, x1, y1), top=Height(0.9)),))))

    assert judged(garden(steps(), beside(5.65, 5.7)), sides="one").state is State.HOLDS
    assert judged(garden(steps(), beside(5.65, 5.9)), sides="one").state is State.FAILS
    assert judged(garden(steps(), beside(5.65, 5.7, 6.5)), sides="one").state is State.FAILS
    assert judged(garden(steps(), beside(6.2, 6.25)), sides="one").state is State.FAILS


@pytest.mark.parametrize(("long", "grade", "asks"), [(2.0, 0.1, True), (2.0, 0.04, False), (1.4, 0.1, False)])
def test_ramps_ask_when_steep_and_higher_than_six_inches(long: float, grade: float, asks: bool):
    assert pytest.approx(published("ramp-rise"), abs=0.003) == RISE_M
    area = box(3, 5, 7, 5 + long)
    floor = Surface("ramp", "", area, "stone", Plane(5, 5, Height(0.0), 180.0, grade), firmness=(1.0,) * 12, layer=9)
    names = (("bed", "far bed"), ("door", "kitchen door"), ("ramp", "ramp"))
    things = (Thing("ramp", still(Stood(surfaces=(floor,)))),)
    line = Timeline(
        Frame(box(0, 0, 10, 15), Ground.flat(), (), SPOTS, names), things, means=Means(first_year=2027, years=1)
    )
    found = judged(line)
    assert (found.state is State.FAILS) == asks, found.because


def test_rails_are_cut_as_long_as_the_slope_and_priced_with_posts():
    line = garden(steps(rail="both"))
    scene = line.at(line.leaf_date(2027))
    frame = next(w for w in scene.work if isinstance(w, FrameWork) and w.owner == "bank-steps")
    rails = [m for m in frame.members if m.name == "handrail"]
    assert len(rails) == 2
    going = 1.08  # three treads of 36 cm; past both ends 30 cm
    for rail in rails:
        cut = math.dist(rail.start, rail.end) + rail.more_m
        assert cut == pytest.approx(math.hypot(going, 0.45) + 2 * published("rail-past"), abs=0.02)
    assert len(frame.footings) == sum(m.name == "rail post" for m in frame.members) >= 4
    assert "judged by somebody" in " ".join(frame.assumes)


def test_the_lookup_no_longer_says_that_none_is_drawn():
    bare = FlightWork("s", 5, 0.15, 0.36, 1.2)
    told = {s.what: s for s in looked_up(bare, "US")}["handrail at the steps"]
    assert (told.answer, told.because.endswith("none is drawn")) == ("unknown", True)
    good = FlightWork("s", 5, 0.15, 0.36, 1.2, 2, 0.9)
    told = {s.what: s for s in looked_up(good, "US")}["handrail at the steps"]
    assert told.answer == "within"
    assert told.because.endswith("two are drawn 90 cm (35.4 in) high")
    low = FlightWork("s", 5, 0.15, 0.36, 1.2, 1, 0.7)
    assert {s.what: s for s in looked_up(low, "US")}["handrail at the steps"].answer == "beyond"


def test_a_rail_on_one_side_changes_sides_in_a_mirror_and_leaves_the_width_clear():
    one = steps(rail="left")
    assert one.mirrored(((5.0, 0.0), 0.0))["rail"] == "right"
    line = garden(steps(rail="both"))
    rails = [s for s in line.at(line.leaf_date(2027)).solids if s.part.startswith("rail")]
    xs = sorted(x for s in rails for x in (s.footprint.bounds[0], s.footprint.bounds[2]))
    assert xs[1] < 5 - 0.6 < 5 + 0.6 < xs[2]


def test_a_verdict_is_kept_while_nothing_beside_the_steps_moves():
    def pot(x: float) -> Thing:
        return Thing("pot", still(Stood((Solid("pot", "", box(x, 1, x + 0.4, 1.4), top=Height(0.8)),))))

    must = ANY.validate_python({"id": "m", "kind": "handrail-on-the-way", "start": "door", "end": "bed"})
    was, now = garden(steps(rail="both"), pot(1)), garden(steps(rail="both"), pot(1.5))
    words = Words.of(was)
    verdict = must.judge(was, 2027, words)
    assert must.stands(verdict, was, now, words)
    assert must.judge(now, 2027, words) == verdict
    assert not must.stands(verdict, was, garden(steps(rail="left"), pot(1)), words)


def test_no_piece_of_a_long_rail_is_longer_than_a_board_and_together_they_are_the_slope():
    data = {"kind": "ramp", "id": "up", "line": [[5, 2], [5, 12]], "width": 1.0, "fall": 0.6, "rail": "left"}
    ramp = kinds()["ramp"].model_validate({**data, "there_from": "start"})
    line = garden(ramp)
    frame = next(w for w in line.at(line.leaf_date(2027)).work if isinstance(w, FrameWork))
    cut = [math.dist(m.start, m.end) + m.more_m for m in frame.members if m.name == "handrail"]
    assert max(cut) <= 2.45
    assert sum(cut) == pytest.approx(math.hypot(10.0, 0.6) + 2 * published("rail-past"), abs=0.02)
