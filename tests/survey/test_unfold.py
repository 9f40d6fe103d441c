"""A wing of a net that a growth laid down folded over is turned back; what lies right is left alone."""

from __future__ import annotations

import math

import numpy as np

from quincunx.survey._gauge import capped_at
from quincunx.survey._net import net_of
from quincunx.survey._unfold import pieces, turn_over, unfolded
from quincunx.survey.readings import Distance, Stake, Survey
from quincunx.units.fields import Length

PLACES = [(0, 0), (6, 0), (3, 5), (9, 5), (12, 1), (15, 6), (18, 2), (2, -5), (8, -5)]
TAPES = [
    (0, 1),
    (0, 2),
    (1, 2),
    (1, 3),
    (2, 3),
    (3, 4),
    (1, 4),
    (3, 5),
    (4, 5),
    (5, 6),
    (4, 6),
    (0, 7),
    (1, 7),
    (7, 8),
    (1, 8),
    (4, 8),
    (2, 7),
]
"""Two triangles are the middle; stakes 5 and 6 are a wing that hangs on 3 and 4, tied back by one tape more."""


def survey(tied: list[tuple[int, int]]) -> Survey:
    tapes = [*TAPES, *tied]
    readings = tuple(
        Distance(id=f"t{n}", start=f"s{a}", end=f"s{b}", length=Length(math.dist(PLACES[a], PLACES[b])))
        for n, (a, b) in enumerate(tapes)
    )
    stakes = tuple(Stake(id=f"s{i}", name=f"S{i}") for i in range(len(PLACES)))
    return Survey(stakes=stakes, readings=readings, datum="s0", toward="s1")


def test_a_wing_that_lies_folded_is_turned_back():
    net = net_of(survey([(1, 6), (2, 5), (8, 6)]))
    folded = turn_over(net.xy, 3, 4, (5, 6))
    assert np.abs(folded - net.xy).max() > 1.0
    found = unfolded(net.rows, folded, capped_at(net.rows, folded), [(3, 4), (0, 1)], net.gauge)
    assert np.abs(found - net.xy).max() < 0.001


def test_what_lies_right_stays():
    net = net_of(survey([(1, 6), (2, 5)]))
    found = unfolded(net.rows, net.xy, capped_at(net.rows, net.xy), [(3, 4), (0, 1)], net.gauge)
    assert np.array_equal(found, net.xy)


def test_turning_over_twice_is_as_before_and_keeps_every_tape_within():
    xy = np.array(PLACES, dtype=float)
    image = turn_over(xy, 3, 4, (5, 6))
    assert np.allclose(turn_over(image, 3, 4, (5, 6)), xy)
    for a, b in [(3, 5), (4, 5), (4, 6), (5, 6)]:
        assert np.isclose(math.dist(image[a], image[b]), math.dist(PLACES[a], PLACES[b]))


def test_pieces_hang_together():
    near = {0: {0, 1}, 1: {0, 1, 2}, 2: {1, 2}, 3: {3}}
    assert pieces(near, {0, 1, 2, 3}) == [(0, 1, 2), (3,)]
    assert pieces(near, {0, 2, 3}) == [(0,), (2,), (3,)]
