"""Somewhere to sit on the way: what counts as a seat, and how far it is from one to the next."""

import csv
from pathlib import Path
from typing import Any

import pytest
from pydantic import TypeAdapter
from shapely import box

from quincunx.features.seat import Seat
from quincunx.intents import AnyIntent, Intent, Words
from quincunx.intents.rests_on_the_way import EVERY_M, MOST_SEATS
from quincunx.scene import Frame, Spot, Stood, Timeline
from quincunx.shapes import Height, PathFigure, Solid, State, TextFigure, every_month
from quincunx.site.ground import Ground
from quincunx.units import Style
from quincunx.walk.resting import SIT_M
from quincunx.works import Means
from tests.walk.grounds import Thing, still, wall

ANY: TypeAdapter[Intent] = TypeAdapter(AnyIntent)
SPOTS = (Spot("door", "kitchen door", (1, 5)), Spot("heap", "compost", (61, 5)))
EASY = Path(__file__).parents[1] / "published" / "walking" / "easy.csv"


def published(row: str) -> float:
    lines = EASY.read_text(encoding="utf-8").splitlines()
    found = {r["row"]: r for r in csv.DictReader(x for x in lines if not x.startswith("#"))}
    return float(found[row]["value"]) * {"in": 0.0254, "ft": 0.3048, "m": 1.0, "ratio": 1.0}[found[row]["unit"]]


def block(
    owner: str, x: float, y: float, high: float = 0.45, deep: float = 0.5, from_: str = "start", **more: Any
) -> Thing:
    solid = Solid(owner, "", box(x, y, x + 1.2, y + deep), top=Height(high), **more)
    return Thing(owner, still(Stood((solid,))), from_)


def garden(*things: Thing) -> Timeline:
    names = [(t.id, t.id.replace("-", " ")) for t in things] + [(s.id, s.name) for s in SPOTS]
    frame = Frame(box(0, 0, 70, 10), Ground.flat(), (), SPOTS, tuple(sorted(names)))
    return Timeline(frame, things, means=Means(first_year=2027, years=3))


def must(**fields: Any) -> Intent:
    return ANY.validate_python({"id": "m", "kind": "rests-on-the-way", "start": "door", "end": "heap", **fields})


def judged(line: Timeline, year: int = 2027, **fields: Any):
    return must(**fields).judge(line, year, Words.of(line))


def test_figures_are_those_of_the_published_guides():
    assert pytest.approx((published("seat-low"), published("seat-high"))) == SIT_M
    assert pytest.approx(published("rest-often"), abs=0.5) == EVERY_M  # 100 ft, printed as 30 m
    low, high = SIT_M
    assert low <= float(Seat.model_fields["seat_height"].default) <= high


def test_without_a_seat_the_way_there_and_back_is_told_whole_and_seats_are_offered():
    found = judged(garden())
    assert found.state is State.FAILS
    assert found.measured == pytest.approx(120.0)
    assert found.because == (
        "120 m from the kitchen door to the compost and back without anything to sit on: "
        "2 seats, the last at the end, would do, evenly spaced."
    )
    at = [f.at for f in found.evidence if isinstance(f, TextFigure)]
    assert [x for x, _ in at] == pytest.approx([31.0, 61.0])


def test_one_way_needs_only_the_seat_half_way():
    found = judged(garden(), back=False, every=published("seats-apart"))
    assert found.measured == pytest.approx(60.0)
    assert found.because.endswith("without anything to sit on: a seat half way, 30 m on, would do.")
    made = judged(garden(block("bench", 30.0, 5.6)), back=False, every=published("seats-apart"))
    assert made.state is State.HOLDS
    assert made.because == "The longest piece without a seat is 30 m; one sits on the bench."
    assert made.measured == pytest.approx(30.0, abs=1.3)


def test_all_the_seats_wanted_are_told_though_only_some_are_drawn():
    """60 m with a seat every 5 m take eleven between the ends."""
    found = judged(garden(), back=False, every=5)
    assert found.because.endswith("without anything to sit on: 11 seats evenly spaced would do.")
    assert sum(isinstance(f, TextFigure) for f in found.evidence) == MOST_SEATS == 8


def test_the_seats_offered_do_when_they_are_there():
    offered = [f.at for f in judged(garden()).evidence if isinstance(f, TextFigure)]
    benches = [block(f"bench-{n}", x - 0.6, y + 0.4) for n, (x, y) in enumerate(offered)]
    found = judged(garden(*benches), every=31.0)
    assert found.state is State.HOLDS
    assert found.measured <= 31.0


@pytest.mark.parametrize(
    ("high", "said"), [(0.43, None), (0.485, None), (0.38, "0.38"), (0.55, "0.55"), (0.2, ""), (0.75, "")]
)
def test_only_what_is_of_sitting_height_counts_and_the_rest_is_told(high: float, said: str | None):
    found = judged(garden(block("bench", 30.0, 5.6, high)), back=False, every=40)
    assert (found.state is State.HOLDS) == (said is None)
    if said:
        assert f"(the bench is {said} m high, and 0.43 m to 0.48 m is right)" in found.because
        assert any(isinstance(f, TextFigure) and f.text.startswith("too ") for f in found.evidence)
    elif said == "":
        assert "bench" not in found.because


@pytest.mark.parametrize("more", [{"deep": 0.1}, {"transmittance": every_month(0.8)}, {"grown": True}, {"gap_m": 0.1}])
def test_nobody_sits_on_a_narrow_rim_on_glass_on_a_plant_or_on_pickets(more: dict[str, Any]):
    assert judged(garden(block("thing", 30.0, 5.6, **more)), back=False, every=40).state is State.FAILS


def test_a_low_wall_serves_and_a_seat_behind_a_fence_or_far_off_does_not():
    low_wall = Thing("low-wall", still(Stood((wall("low-wall", 28, 5.5, 34, 5.85, 0.46),))))
    assert judged(garden(low_wall), back=False, every=40).state is State.HOLDS
    fence = Thing("fence", still(Stood((wall("fence", 20, 5.5, 40, 5.55, 1.0),))))
    assert judged(garden(fence, block("bench", 30.0, 5.7)), back=False, every=40).state is State.FAILS
    assert judged(garden(block("bench", 30.0, 7.5)), back=False, every=40).state is State.FAILS
    assert judged(garden(block("bench", 30.0, 7.5)), back=False, every=40, beside=3).state is State.HOLDS


def test_it_holds_from_the_year_the_bench_stands():
    line = garden(block("bench", 30.0, 5.6, from_="2028-03"))
    assert [judged(line, y, back=False, every=40).state for y in (2027, 2028)] == [State.FAILS, State.HOLDS]


def test_no_way_is_told_as_such_and_the_longest_piece_is_drawn():
    shut = Thing("wall", still(Stood((wall("wall", 30, -5, 30.3, 15),))))
    found = judged(garden(shut))
    assert found.because.startswith("There is no way from the kitchen door to the compost: ")
    drawn = [f for f in judged(garden()).evidence if isinstance(f, PathFigure)]
    assert any(f.arrow for f in drawn)
    assert any(f.dash for f in drawn)


def test_the_sentence_says_there_and_back_and_for_whom():
    words = Words({"door": "kitchen door", "heap": "compost"}, Style())
    assert must().sentence(words) == (
        "On the way from the kitchen door to the compost and back there is somewhere to sit down at least every 30 m."
    )
    assert " for a wheelchair " in must(walker="wheelchair").sentence(words)


def test_what_moves_elsewhere_leaves_the_verdict_and_a_seat_moved_does_not():
    def at(x: float, far: float) -> Timeline:
        return garden(block("bench", x, 5.6), block("pot", far, 9.0, 1.2))

    asked, was = must(back=False, every=40), at(30.0, 10.0)
    words = Words.of(was)
    verdict = asked.judge(was, 2027, words)
    assert asked.stands(verdict, was, at(30.0, 14.0), words)
    assert asked.judge(at(30.0, 14.0), 2027, words) == verdict
    assert not asked.stands(verdict, was, at(34.0, 10.0), words)
