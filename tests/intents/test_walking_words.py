"""A sentence names what decides: the highest crossings, not the first."""

from __future__ import annotations

from quincunx.garden import garden_from, timeline
from quincunx.intents._base import Words
from quincunx.intents._walking import MOST_TOLD, _hardest, _in_nobodys_way, leak_figures
from quincunx.review import review
from quincunx.shapes import DimensionFigure, TextFigure
from quincunx.walk.crossings import Crossing
from quincunx.walk.rooms import Leak
from quincunx.walk.walkers import find_walker


def over(owner: str, size_m: float) -> Crossing:
    return Crossing(owner, "over", (0.0, 0.0), size_m)


def test_the_high_fence_is_named_among_low_things() -> None:
    deer = find_walker("white-tail")
    assert deer is not None
    met = [over("edging", 0.03), over("bed", 0.3), over("fence", 2.1), over("frame", 0.25), over("hedge", 1.2)]
    told = _hardest(met, deer)
    assert [c.owner for c in told] == ["bed", "fence", "hedge"]
    assert len(told) == MOST_TOLD


def test_few_crossings_are_all_named_in_order() -> None:
    deer = find_walker("white-tail")
    assert deer is not None
    met = [over("edging", 0.03), over("fence", 2.1)]
    assert _hardest(met, deer) == met


def low(room: str, at: tuple[float, float], size_m: float = 0.5, owner: str = "hedge") -> Leak:
    return Leak(room, "low", at, size_m, (owner,), "")


def drawn(*found: Leak) -> list[tuple[tuple[float, float], str]]:
    return [(f.at, f.text) for f in leak_figures(found, Words({})) if isinstance(f, TextFigure)]


def test_what_a_hedge_lets_through_to_both_its_sides_is_drawn_once() -> None:
    assert drawn(low("green", (3.0, 4.9)), low("lawn", (3.0, 5.5))) == [((3.0, 4.9), "only 0.50 m high")]


def test_leaks_far_apart_are_all_drawn() -> None:
    assert [at for at, _ in drawn(low("a", (0.0, 0.0)), low("b", (9.0, 0.0)))] == [(0.0, 0.0), (9.0, 0.0)]


def test_words_on_two_leaks_at_one_place_never_lie_over_each_other() -> None:
    found = drawn(low("a", (0.0, 0.0)), low("b", (0.0, 0.1), 0.4), low("c", (0.0, 0.2), 0.5, "fence"))
    assert found == [((0.0, 0.0), "only 0.50 m high; only 0.40 m high")]


def test_a_gap_is_a_measured_line_and_a_missing_wall_says_so() -> None:
    line = ((0.0, 0.0), (0.4, 0.0))
    gap, none = Leak("a", "gap", (0.2, 0.0), 0.4, ("h", "w"), "", line), Leak("a", "open", (5.0, 5.0), None, (), "")
    one, other = leak_figures([gap, none], Words({}))
    assert isinstance(one, DimensionFigure)
    assert isinstance(other, TextFigure)
    assert other.text == "no wall on this side"


def test_a_bench_on_the_way_is_no_part_of_a_barrier() -> None:
    """A toddler climbs over it and creeps under it: what is to be said is that nothing stands in the way."""
    pond = {
        "kind": "pond",
        "id": "burn",
        "name": "Burn",
        "outline": [[-9, 0], [19, 0], [19, 1], [-9, 1]],
        "there_from": "start",
    }
    bench = {"kind": "seat", "id": "bench", "at": [5, 5], "facing_deg": 90, "there_from": "start"}
    must = {"kind": "cant-reach", "id": "kid", "walker": "toddler", "start": "door", "end": "burn"}
    data = {
        "format": "quincunx/1", "boundary": [[-9, 0], [19, 0], [19, 12], [-9, 12]], "features": [pond, bench],
        "spots": [{"id": "door", "name": "Door", "at": [5, 9]}], "intents": [must], "means": {"years": 1},
    }  # fmt: skip
    garden = garden_from(data)
    (told,) = review(garden, timeline(garden)).musts
    assert told.verdicts[0].because == "A toddler reaches Burn: nothing stands in the way."


def test_what_is_crossed_over_here_and_under_far_off_is_told() -> None:
    here = Crossing("fence", "over", (0.0, 0.0), 0.4)
    near, far = Crossing("fence", "under", (0.5, 0.0), 0.4), Crossing("fence", "under", (9.0, 0.0), 0.4)
    assert _in_nobodys_way([here, near]) == {"fence"}
    assert _in_nobodys_way([here, far]) == set()
    assert _in_nobodys_way([here, Crossing("other", "under", (0.0, 0.0), 0.4)]) == set()
