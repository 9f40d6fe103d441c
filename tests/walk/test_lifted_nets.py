"""A net or a cage's side is lifted by a hand, so that a bed in it is worked from beside it; animals have no hands."""

from __future__ import annotations

from dataclasses import replace

import pytest
from shapely import box

from quincunx.scene import Spot
from quincunx.shapes import Cover, Surface
from quincunx.walk.reach import walk_of
from tests.walk.grounds import known, scene, wall

SIDES = [wall("cage", 4, 4, 6, 4.05, 0.6, gap_m=0.018), wall("cage", 4, 5.95, 6, 6, 0.6, gap_m=0.018),
         wall("cage", 4, 4, 4.05, 6, 0.6, gap_m=0.018), wall("cage", 5.95, 4, 6, 6, 0.6, gap_m=0.018)]  # fmt: skip
HERE = Spot("here", "here", (1.0, 1.0))
BED = Surface("bed", "", box(4.3, 4.3, 5.7, 5.7), "soil", planted=True)


@pytest.mark.parametrize(
    ("who", "netted", "walled"), [("person", True, False), ("barrow", True, False), ("rabbit", False, False)]
)
def test_who_has_hands_reaches_into_a_cage_but_not_through_a_wall(who, netted, walled):
    high = [replace(s, top=replace(s.top, value_m=2.2)) for s in SIDES]
    here = scene(box(0, 0, 10, 10), solids=high, surfaces=[BED], spots=[HERE])
    caged = replace(here, covers=(Cover("cage", box(4, 4, 6, 6), 0.018),))
    assert walk_of(caged, known(who)).reaches("here", "bed") is netted
    assert walk_of(here, known(who)).reaches("here", "bed") is walled


def test_a_net_stops_whoever_walks_all_the_same():
    here = scene(box(0, 0, 10, 10), solids=SIDES, surfaces=[BED], spots=[HERE])
    caged = replace(here, covers=(Cover("cage", box(4, 4, 6, 6), 0.018),))
    for who in ("person", "barrow", "toddler"):
        one, other = walk_of(here, known(who)), walk_of(caged, known(who))
        assert one.free.area.symmetric_difference(other.free.area).area == pytest.approx(0.0)
