"""A sentence names what decides: the highest crossings, not the first."""

from __future__ import annotations

from itertools import product

from shapely import box

from quincunx.garden import garden_from, timeline
from quincunx.intents._base import Words
from quincunx.intents._walking import (
    MOST_TOLD,
    _hardest,
    _in_nobodys_way,
    leak_figures,
    narrowest_between,
    zone_within,
)
from quincunx.review import review
from quincunx.scene import Spot
from quincunx.shapes import DimensionFigure, TextFigure
from quincunx.walk.crossings import Crossing
from quincunx.walk.reach import Walk
from quincunx.walk.rooms import Leak
from quincunx.walk.walkers import find_walker
from quincunx.walk.widths import widths_of
from tests.walk.grounds import known, scene, wall

WORLD = box(0, 0, 20, 20)


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


def test_the_narrowest_place_hangs_on_nothing_that_was_asked_before() -> None:
    """Whether wide or narrow places are looked for first is learnt from the last answer; the answer is not."""
    spots = (Spot("a", "a", (2.0, 10.0)), Spot("b", "b", (18.0, 10.0)))

    def gap(width_m: float | None) -> Walk:
        if width_m is None:
            return Walk(scene(WORLD, spots=spots), known("dog"))
        return Walk(
            scene(WORLD, solids=[wall("s", 9, -5, 11, 9), wall("n", 9, 9 + width_m, 11, 25)], spots=spots), known("dog")
        )

    walks = {w: gap(w) for w in (None, 0.0, 0.4, 1.2, 1.5, 1.6, 2.9, 3.0, 3.4)}
    told = set()
    for first, then in product(walks, repeat=2):
        for width in (first, then):
            walk = walks[width]
            a, b = walk.place("a"), walk.place("b")
            assert a is not None and b is not None  # noqa: PT018 - both stand
            found = narrowest_between(walk, a, b, 3.0)
            zones = zone_within(walk, a, 3.0), zone_within(walk, b, 3.0)
            half, whole = (widths_of(walk.free, m).between(*zones) for m in (1.5, 3.0))
            assert found == (half if half is None or half.width_m is not None else whole), (first, then)
            told.add(None if found is None else found.width_m and round(found.width_m, 6))
    assert told == {None, 0.4, 1.2, 1.5, 1.6, 2.9}
