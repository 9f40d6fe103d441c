"""The musts about walking, judged in every year of a small garden with a young hedge and two gates."""

import pytest
from pydantic import TypeAdapter, ValidationError
from shapely import box

from quincunx.intents import INTENTS, AnyIntent, Intent, Words, intent_kind
from quincunx.scene import Moment, Room, Spot, Stood, Timeline
from quincunx.shapes import DimensionFigure, Guard, Leaf, PathFigure, State
from quincunx.units import Style
from tests.walk.grounds import Thing, gate, hedge, known, still, timeline, wall

H, F, U, N = State.HOLDS, State.FAILS, State.UNKNOWN, State.NOT_DUE
ANY: TypeAdapter[Intent] = TypeAdapter(AnyIntent)
HIGH = Leaf(1.8)
ROOMS = (Room("court", "court", (5, 3)), Room("green", "drying green", (5, 9)))
SPOTS = (Spot("road", "road", (5, -2)), Spot("door", "kitchen door", (1, 1)), Spot("seat", "seat", (8, 3)))


def young(moment: Moment) -> Stood:
    """Grow a hedge planted in spring 2027: holes of 0.75 m in its first summer, closed in its third."""
    gap = max(0.9 - 0.3 * moment.age_years, 0.08)
    return Stood((hedge("hornbeam-hedge", 3.99, 5.8, 9.9, 6.2, min(0.5 + 0.4 * moment.age_years, 1.8), gap),))


def fixed(owner: str, *at: float) -> Thing:
    return Thing(owner, still(Stood((wall(owner, *at),))))


RING = (
    fixed("west-wall", -0.1, 0, 0.1, 12),
    fixed("east-wall", 9.9, 0, 10.1, 12),
    fixed("south-wall", -0.1, -0.1, 10.1, 0.1),
    fixed("north-wall", -0.1, 11.9, 10.1, 12.1),
    fixed("old-wall", 0.1, 5.9, 4, 6.1),
)


def garden(
    *more: Thing, side: Leaf | None = HIGH, road: Leaf | None = HIGH, snow_m: float = 0.0, grows: bool = True
) -> Timeline:
    things = [
        *RING,
        Thing("hornbeam-hedge", young, "2027-03") if grows else fixed("hornbeam-hedge", 3.99, 5.9, 9.9, 6.1),
        Thing("side-gate", still(gate("side-gate", (1.55, 6), (2.45, 6), leaf=side))),
        Thing("road-gate", still(gate("road-gate", (4.55, 0), (5.45, 0), leaf=road))),
        *more,
    ]
    return timeline(box(0, 0, 10, 12), things, rooms=ROOMS, spots=SPOTS, snow_m=snow_m)


def must(kind: str, **fields: object) -> Intent:
    return ANY.validate_python({"id": "m", "kind": kind, **fields})


def states(line: Timeline, intent: Intent) -> list[State]:
    words = Words.of(line)
    return [intent.judge(line, year, words).state for year in line.years]


def test_a_person_gets_to_the_green_by_both_gates_and_not_through_young_plants():
    line = garden()
    intent = must("reaches", start="road", end="green")
    assert states(line, intent) == [H] * 4
    first = intent.judge(line, 2027, Words.of(line))
    assert first.because == "A person walks 13 m, through the road gate, through the side gate."
    assert first.measured == pytest.approx(12.68, abs=0.01)
    assert isinstance(first.evidence[0], PathFigure)


def test_too_far_fails_with_the_lack():
    line = garden()
    verdict = must("reaches", start="road", end="green", within=10.0).judge(line, 2027, Words.of(line))
    assert verdict.state == F
    assert verdict.target == 10.0
    assert verdict.margin == pytest.approx(-2.68, abs=0.01)


@pytest.mark.parametrize(
    ("walker", "because"),
    [
        ("machine", "the widest way is 0.90 m at the side gate, and 1.10 m is needed."),
        ("toddler", "the road gate and the side gate keep them out."),
    ],
)
def test_why_somebody_does_not_get_there(walker, because):
    line = garden()
    verdict = must("reaches", walker=walker, start="road", end="green").judge(line, 2030, Words.of(line))
    assert verdict.state == F
    assert verdict.because.endswith(because)
    assert verdict.evidence


def test_a_place_that_does_not_stand_is_not_due_or_unknown():
    shed = Thing("shed", still(Stood((wall("shed", 7, 8, 9, 10),))), "2029-03")
    gone = Thing("frame", still(Stood((wall("frame", 7, 8, 9, 10),))), "start", "2029-03")
    never = Thing("kiosk", still(Stood()), None)
    line = garden(shed, gone, never)
    assert states(line, must("reaches", start="road", end="shed")) == [N, N, H, H]
    assert states(line, must("reaches", start="road", end="frame")) == [H, H, U, U]
    assert states(line, must("reaches", start="road", end="kiosk")) == [N] * 4
    assert states(line, must("reaches", start="road", end="shed", from_year=2030)) == [N, N, N, H]


def test_the_only_way_in_fails_until_the_hedge_has_closed():
    line = garden()
    intent = must("only-way-in", room="green", gate="side-gate")
    assert states(line, intent) == [F, H, H, H]
    assert "through the hornbeam hedge (holes of 0.75 m)" in intent.judge(line, 2027, Words.of(line)).because
    assert states(line, must("only-way-in", room="court", gate="road-gate")) == [F, H, H, H]


def test_the_only_way_in_names_another_opening_and_a_gap():
    back = Thing("back-gate", still(gate("back-gate", (6, 12), (7, 12), leaf=None)), "2028-05")
    line = garden(back, grows=False)
    intent = must("only-way-in", room="green", gate="side-gate")
    assert states(line, intent) == [H, F, F, F]
    assert "by the back gate" in intent.judge(line, 2028, Words.of(line)).because


def test_a_place_built_over_is_told_with_what_stands_there_and_how_its_point_is_moved():
    line = garden(fixed("shed", 7, 2, 9.5, 4.5), grows=False)
    told = must("reaches", start="seat", end="road").judge(line, line.years[0], Words.of(line))
    assert told.state is F
    assert (
        "no room to stand at the seat, as its point lies in the shed (on the board, under “What is there”,"
        in told.because
    )
    wide = garden(fixed("shed", 7, 4.5, 9.5, 5.5), grows=False)
    assert (
        "its point lies"
        not in must("reaches", start="seat", end="green").judge(wide, wide.years[0], Words.of(wide)).because
    )


def test_a_gate_that_does_not_lead_into_the_room():
    inner = Thing("inner-gate", still(Stood((wall("inner", 6, 1, 6.2, 4),)) + gate("inner-gate", (6.1, 2), (6.1, 3))))
    line = garden(inner, grows=False)
    assert states(line, must("only-way-in", room="green", gate="inner-gate")) == [F] * 4


def test_rooms_are_separate_when_the_hedge_has_closed():
    line = garden()
    assert states(line, must("separate-rooms")) == [F, H, H, H]
    assert states(line, must("separate-rooms", rooms=["green", "court"])) == [F, H, H, H]
    verdict = must("separate-rooms", rooms=["green"]).judge(line, 2027, Words.of(line))
    assert verdict.measured == pytest.approx(0.75, abs=0.01)
    assert verdict.because == "The drying green leaks: the hornbeam hedge has not closed: holes of 0.75 m."


def test_a_gap_left_in_a_hedge_is_measured_and_drawn():
    short = fixed("hornbeam-hedge-2", 3.99, 5.9, 9.0, 6.1)
    things = [*RING, short]
    line = timeline(box(0, 0, 10, 12), things, rooms=ROOMS, spots=SPOTS)
    verdict = must("separate-rooms").judge(line, 2027, Words.of(line, Style("feet")))
    assert verdict.measured == pytest.approx(0.9, abs=1e-6)
    assert "2' 11 1/2\"" in verdict.because
    assert [f.value_m for f in verdict.evidence if isinstance(f, DimensionFigure)] == pytest.approx([0.9, 0.9])


def test_deer_jump_a_low_gate_and_not_a_high_one():
    low = must("cant-reach", walker="roe", end="court")
    assert states(garden(road=Leaf(1.2)), low) == [F] * 4
    verdict = low.judge(garden(road=Leaf(1.2)), 2027, Words.of(garden()))
    assert verdict.because == "Roe deer reach the court, over the road gate (1.20 m high)."
    assert states(garden(road=Leaf(1.5)), low) == [H] * 4


def test_a_gate_left_open_is_told_and_fails_if_asked():
    line = garden()
    kept = must("cant-reach", walker="roe", end="court").judge(line, 2027, Words.of(line))
    assert kept.state == H
    assert kept.because == "Roe deer can't reach the court as long as the road gate is kept shut."
    left = must("cant-reach", walker="roe", end="court", gates="one-left-open").judge(line, 2027, Words.of(line))
    assert left.state == F
    assert left.because == "Roe deer reach the court when the road gate is left open."


def test_a_hedge_alone_never_holds_an_animal():
    # Roe stand in the court; only the hedge parts it from the green.
    line = garden()
    intent = must("cant-reach", walker="roe", start="court", end="green", winter=False)
    assert states(line, intent) == [F, F, U, U]
    words = Words.of(line)
    assert "discourages" in intent.judge(line, 2029, words).because
    assert states(garden(grows=False), intent) == [H] * 4


def test_a_person_is_held_by_a_grown_hedge():
    # With a locked gate only the hedge is between.
    locked = Thing("side-gate", still(gate("side-gate", (1.55, 6), (2.45, 6), latch="locked", leaf=HIGH)))
    things = [*RING, Thing("hornbeam-hedge", young, "2027-03"), locked]
    line = timeline(box(0, 0, 10, 12), things, rooms=ROOMS, spots=SPOTS)
    assert states(line, must("cant-reach", walker="person", start="court", end="green")) == [F, H, H, H]


def test_snow_lifts_white_tails_over_the_fence_in_winter_only():
    high = Thing("tall", still(Stood(tuple(wall(f"tall{i}", *at, 2.5) for i, at in enumerate(FRAME)))))
    intent = must("cant-reach", walker="white-tail", end="court")
    assert states(timeline(box(0, 0, 10, 12), [high], rooms=ROOMS, spots=SPOTS), intent) == [H] * 4
    snowy = timeline(box(0, 0, 10, 12), [high], rooms=ROOMS, spots=SPOTS, snow_m=0.4)
    assert states(snowy, intent) == [F] * 4
    assert "0.40 m of snow" in intent.judge(snowy, 2027, Words.of(snowy)).because
    assert states(snowy, intent.changed(winter=False)) == [H] * 4


FRAME = ((-0.1, 0, 0.1, 12), (9.9, 0, 10.1, 12), (-0.1, -0.1, 10.1, 0.1), (-0.1, 11.9, 10.1, 12.1))


def test_a_guard_keeps_deer_off():
    tree = Thing("cobnut", still(Stood((wall("cobnut", 5, 3, 5.1, 3.1),))))
    tube = Thing("tube", still(Stood(changes=(Guard("tube", 1.2, 0.0, target="cobnut"),))), "2028-03")
    intent = must("cant-reach", walker="roe", end="cobnut", winter=False)
    assert states(garden(tree, tube, road=None), intent) == [F, H, H, H]


def test_the_way_comes_by_the_seat():
    line = garden()
    near = must("way-passes-by", start="road", end="green", by="door", within=4.0)
    assert states(line, near) == [H] * 4
    far = near.changed(within=3.0).judge(line, 2027, Words.of(line))
    assert far.state == F
    assert far.measured == pytest.approx(3.1, abs=0.01)


@pytest.mark.parametrize(("width", "state"), [(0.9, H), (0.91, F)])
def test_a_way_is_as_wide_as_its_narrowest_gate(width, state):
    line = garden()
    verdict = must("at-least-wide", start="road", end="green", width=width).judge(line, 2030, Words.of(line))
    assert verdict.state == state
    assert verdict.measured == pytest.approx(0.9, abs=1e-6)
    assert verdict.because == "The narrowest place is 0.90 m at the side gate."


def test_an_unknown_walker_is_a_sentence():
    line = garden()
    verdict = must("reaches", walker="griffin", start="road", end="green").judge(line, 2027, Words.of(line))
    assert verdict.state == U
    own = {"griffin": known("person").changed(id="griffin", name="a griffin")}
    verdict = must("reaches", walker="griffin", start="road", end="green").judge(line, 2027, Words.of(line, None, own))
    assert verdict.because.startswith("A griffin walks")


FORBIDDEN = ("intent", "verdict", "cut set", "viewshed", "residual", "toddler safe", "transmittance")


@pytest.mark.parametrize("kind", INTENTS, ids=intent_kind)
def test_every_kind_has_words_an_example_and_a_plain_sentence(kind):
    assert kind.words
    assert kind.about
    assert kind.reads
    made = ANY.validate_python({"kind": intent_kind(kind), **kind.example})
    assert type(made) is kind
    said = f"{kind.words} {kind.about} {made.sentence(Words())}".lower()
    assert not any(word in said for word in FORBIDDEN)
    assert made.sentence(Words()).endswith(".")
    for name, info in kind.model_fields.items():
        assert name == "kind" or info.title, name


def test_unknown_kinds_and_fields_are_refused():
    with pytest.raises(ValidationError):
        must("flies", start="road", end="green")
    with pytest.raises(ValidationError):
        must("reaches", start="road", end="green", speed=3)


def test_the_same_must_says_the_same_twice():
    line, again = garden(), garden()
    for fields in ({"kind": "separate-rooms"}, {"kind": "cant-reach", "walker": "roe", "end": "green"}):
        intent = ANY.validate_python({"id": "m", **fields})
        assert intent.judge(line, 2027, Words.of(line)) == intent.judge(again, 2027, Words.of(again))
