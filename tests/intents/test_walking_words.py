"""A sentence names what decides: the highest crossings, not the first."""

from __future__ import annotations

from quincunx.intents._walking import MOST_TOLD, _hardest
from quincunx.walk.crossings import Crossing
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
