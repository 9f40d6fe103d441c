"""Musts about easy ways: without steps, fit for wheels, near to hand."""

from dataclasses import replace
from typing import Any

import pytest
from pydantic import TypeAdapter
from shapely import box

from quincunx.intents import AnyIntent, Intent, Words
from quincunx.intents.fit_for_wheels import rule_in
from quincunx.scene import Frame, Spot, Stood, Timeline
from quincunx.shapes import Height, PathFigure, Plane, Risers, Solid, State, Surface
from quincunx.site.codes import codes
from quincunx.site.ground import Ground
from quincunx.site.place import Place
from quincunx.units import Style
from quincunx.walk.wheel_rules import RULES
from quincunx.works import Means
from tests.walk.grounds import Thing, gate, still, wall

H, F, U = State.HOLDS, State.FAILS, State.UNKNOWN
ANY: TypeAdapter[Intent] = TypeAdapter(AnyIntent)
SPOTS = (Spot("road", "road", (2, -2)), Spot("door", "kitchen door", (2, 1)), Spot("bed", "far bed", (8, 11)))


def paved(owner: str, *at: float, lie: object = None, from_: str = "start") -> Thing:
    floor = Surface(owner, "", box(*at), "stone", lie if isinstance(lie, (Plane, Risers)) else Height(0.0), layer=9)
    return Thing(owner, still(Stood(surfaces=(floor,))), from_)


def flight(x0: float, x1: float) -> Thing:
    return paved("garden-steps", x0, 5.6, x1, 6.5, lie=Risers(0.0, 3, 0.15, 0.3))


def bank(*gaps: tuple[float, float]) -> tuple[Thing, ...]:
    """Return a bank across the garden that is no way over, open between these."""
    edges = [-0.1, *(x for gap in gaps for x in gap), 10.1]
    spans = zip(edges[::2], edges[1::2], strict=True)
    parts = [Solid("bank", str(i), box(a, 5.8, b, 6.2), top=Height(0.9)) for i, (a, b) in enumerate(spans)]
    return (Thing("bank", still(Stood(tuple(parts)))),)


def garden(*things: Thing, ground: Ground | None = None) -> Timeline:
    sides = [
        Thing("west", still(Stood((wall("west", -0.2, 0, 0, 12),)))),
        Thing("east", still(Stood((wall("east", 10, 0, 10.2, 12),)))),
        Thing("south", still(Stood((wall("south", -0.2, -0.2, 10.2, 0),)))),
        Thing("north", still(Stood((wall("north", -0.2, 12, 10.2, 12.2),)))),
        Thing("road-gate", still(gate("road-gate", (1.4, -0.1), (2.6, -0.1)))),
    ]
    made = (*sides, *things)
    names = [(t.id, t.id.replace("-", " ")) for t in made] + [(s.id, s.name) for s in SPOTS]
    frame = Frame(box(0, 0, 10, 12), ground or Ground.flat(), (), SPOTS, tuple(sorted(names)))
    return Timeline(frame, made, means=Means(first_year=2027, years=3))


def judged(line: Timeline, year: int = 2027, **fields: object):
    return ANY.validate_python({"id": "m", **fields}).judge(line, year, Words.of(line))


def test_steps_bar_a_way_without_steps_and_are_named():
    line = garden(*bank((1.5, 2.7)), flight(1.5, 2.7))
    asked: dict[str, Any] = {"kind": "step-free", "start": "door", "end": "bed"}
    found = judged(line, **asked)
    assert found.state == F
    assert found.because == "The way from the kitchen door to the far bed has 3 steps, at the garden steps."
    assert any(isinstance(f, PathFigure) and f.weight == "thick" and not f.arrow for f in found.evidence)


def test_a_ramp_beside_the_steps_lets_it_hold_from_its_year_on():
    ramp = paved("ramp", 7.0, 3.0, 8.2, 7.0, lie=Plane(7.6, 3.0, Height(0.0), 180.0, 0.075), from_="2028-03")
    line = garden(*bank((1.5, 2.7), (7.0, 8.2)), flight(1.5, 2.7), ramp)
    found = judged(line, 2028, kind="step-free", start="door", end="bed")
    assert found.state == H
    assert found.measured == pytest.approx(0.075, abs=0.002)  # it crosses the ramp a little aslant
    assert found.because.endswith("at its steepest 1 in 13.")
    steep = judged(line, 2028, kind="step-free", start="door", end="bed", run=20)
    assert steep.state == F


def test_a_steep_hill_is_told_with_its_slope():
    hill = Ground.from_levels([(x, y, y / 6) for x in (-9.0, 19.0) for y in (-9.0, 21.0)])
    line = garden(ground=hill)
    found = judged(line, kind="step-free", start="door", end="bed", run=10)
    assert found.state == F
    assert "steeper than 1 in 10" in found.because or "as steep as 1 in" in found.because
    assert judged(line, kind="step-free", start="door", end="bed", run=4).state == H


def test_no_way_at_all_is_said_so():
    found = judged(garden(*bank()), kind="step-free", start="door", end="bed")
    assert found.state == F
    assert found.because.startswith("There is no way at all from the kitchen door to the far bed:")


def test_fit_for_wheels_holds_on_level_ground_and_names_what_lacks():
    asked: dict[str, Any] = {"kind": "fit-for-wheels", "start": "road", "end": "bed", "rule": "trail"}
    assert judged(garden(), **asked).state == H
    narrow = judged(garden(*bank((1.5, 2.35))), **asked)
    assert narrow.state == H  # 0.85 m wide for 0.4 m: 32 in may be 24 in long
    sides = {"left": (0, 5.4, 1.5, 6.6), "right": (2.35, 5.4, 10, 6.6)}
    long_posts = [Thing(n, still(Stood((wall(n, *at),)))) for n, at in sides.items()]
    found = judged(garden(*long_posts), **asked)
    assert found.state == F
    assert found.because.startswith("Narrower than 0.91 m for 1.2")
    stepped = judged(garden(*bank((1.5, 2.7)), flight(1.5, 2.7)), **asked)
    assert stepped.because.endswith("there are 3 steps at the garden steps.")


def test_by_which_rule_is_said_in_words():
    line = garden()
    for rule, words in (("walk", "a walk with ramps"), ("route", "a way between outdoor places"), ("trail", "a trail")):
        must = ANY.validate_python({"id": "m", "kind": "fit-for-wheels", "start": "road", "end": "bed", "rule": rule})
        assert must.sentence(Words.of(line)).endswith(f"by the rule for {words}.")


def test_across_a_slope_wheels_are_told_so():
    hill = Ground.from_levels([(x, y, x / 15) for x in (-9.0, 19.0) for y in (-9.0, 21.0)])
    found = judged(garden(ground=hill), kind="fit-for-wheels", start="road", end="bed", rule="trail")
    assert found.state == F
    assert "across" in found.because


def test_what_is_used_daily_lies_near():
    line = garden()
    found = judged(line, kind="near-to-hand", start="door", ends=["bed", "road"], within=12)
    assert found.state == H
    assert found.measured == pytest.approx(11.66, abs=0.05)
    assert found.because == "The far bed is the farthest, 12 m, half a minute on foot."
    near = judged(line, kind="near-to-hand", start="door", ends=["bed", "road"], within=2)
    assert near.state == F
    assert near.because.endswith("2 of 2 lie too far.")
    assert len(near.evidence) == 2
    gone = judged(line, kind="near-to-hand", start="door", ends=["well"], within=2)
    assert (gone.state, gone.because) == (U, "The well does not stand then.")


def test_near_to_hand_without_a_way_says_why():
    found = judged(garden(*bank()), kind="near-to-hand", start="door", ends=["bed"], within=50)
    assert found.state == F
    assert found.because.startswith("There is no way from the kitchen door to the far bed:")


@pytest.mark.parametrize(
    ("seconds", "said"),
    [(5, "half a minute"), (60, "1 minute"), (95, "1½ minutes"), (130, "2 minutes"), (400, "7 minutes")],
)
def test_minutes_are_written_as_people_say_them(seconds, said):
    assert Words().minutes(seconds) == said


def test_slopes_are_said_as_one_in_so_many():
    assert Words().slope(1 / 12) == "1 in 12"
    assert Words().slope(0.0) == "level"


def placed(line: Timeline, **place: Any) -> Timeline:
    return Timeline(replace(line.frame, place=Place(**place)), line.features, means=Means(first_year=2027, years=3))


def test_a_walk_is_held_against_the_rule_of_the_gardens_country():
    """DIN 18040-1: 6 %, no more than 6 m on end over 4 %, 120 cm wide; 2010 ADA 405.2: 1:12; AS 1428.1: 1:14."""
    rules = {c: rule_in(c, "walk")[0] for c in ("US", "DE", "AU", "GB", "FR", "BR", None)}
    steepest = {c: rule.slopes[-1][0] for c, rule in rules.items()}
    assert steepest == pytest.approx(
        {"US": 1 / 12, "DE": 0.06, "AU": 1 / 14, "GB": 1 / 12, "FR": 0.1, "BR": 1 / 12, None: 1 / 12}, rel=1e-4
    )
    assert rules["DE"].slopes == ((0.03, 10.0), (0.04, 6.0), (0.06, 0.0))
    assert (rules["DE"].width_m, rules["AU"].width_m, rules["US"].width_m) == pytest.approx((1.2, 1.0, 0.9144))
    for country in ("DE", "BR"):
        assert "figures of the United States; no rule of" in rule_in(country, "trail")[1]
    assert rule_in("US", "trail")[1] == RULES["trail"].source
    assert rule_in("DE", "walk")[1].endswith("(second-hand)")
    assert "no rule of Brazil for this is in our table: ask your building office" in rule_in("BR", "walk")[1]


def test_each_countrys_ramps_run_from_gentle_to_steep():
    for country, kind in codes():
        if kind == "ramp":
            slopes = rule_in(country, "walk")[0].slopes
            assert [g for g, _ in slopes] == sorted(g for g, _ in slopes)
            assert [m for _, m in slopes] == sorted((m for _, m in slopes), reverse=True)
            assert slopes[-1][1] == 0.0


def test_the_same_way_holds_in_one_country_and_fails_in_another():
    hill = Ground.from_levels([(x, y, y * 0.07) for x in (-9.0, 19.0) for y in (-9.0, 21.0)])
    asked: dict[str, Any] = {"kind": "fit-for-wheels", "start": "door", "end": "bed", "rule": "walk"}
    line = garden(ground=hill)
    there = judged(placed(line, latitude_deg=43.7, longitude_deg=-79.4), **asked)
    here = judged(placed(line, latitude_deg=52.5, longitude_deg=13.4), **asked)
    assert "(by Ontario Building Code 3.8.3.4 (" in there.because
    assert here.state == F
    assert "DIN 18040-1" in here.because
    must = ANY.validate_python({"id": "m", **asked})
    paid = must.judge(line, 2027, Words.of(line, Style(currency="CAD")))
    assert "(by Ontario Building Code 3.8.3.4 (" in paid.because, "money tells the country where no place does"
