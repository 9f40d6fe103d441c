"""Folded plans: large sparse nets find their shape, and what fits as well on the other hand is asked, never guessed."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from quincunx.survey import Offset, Seen, adjust, find_misreadings
from quincunx.survey._fold import unfolded
from quincunx.survey._gauge import chi2_at, relax
from quincunx.survey._hinges import Leaf, bracing, joined, leaves, turned_over
from quincunx.survey._net import Net, net_of, never
from quincunx.survey._spread import WAYS, spread_out
from quincunx.survey.misread import _other_hand, _set_aside
from quincunx.survey.words import suspect
from quincunx.units.fields import Length
from quincunx.units.style import Style
from tests.survey.made import nets, survey, tapes

# Two squares that share the side bc, and a tape from a to f across both: folded over bc, f would lie on d.
BOOK = {
    "a": (0.0, 0.0),
    "b": (0.0, 8.0),
    "c": (6.0, 8.0),
    "d": (6.0, 0.0),
    "e": (0.0, 15.0),
    "f": (7.0, 14.0),
}
LEAVES = "ab bc cd da ac bd be ef fc bf ce"


def fit_of_truth(net: Net, truth: dict[str, tuple[float, float]]) -> float:
    """Least squares from the true places, turned into the frame of the net."""
    xy = np.array([truth[i] for i in net.ids])
    xy = xy - xy[next(iter(net.gauge.fixed))]
    assert net.gauge.toward is not None
    x, y = xy[net.gauge.toward]
    turn = math.atan2(*net.gauge.direction) - math.atan2(x, y)
    c, s = math.cos(turn), math.sin(turn)
    xy = np.stack([xy[:, 0] * c + xy[:, 1] * s, xy[:, 1] * c - xy[:, 0] * s], axis=1)
    return relax(net.rows, net.gauge.settle(xy), net.gauge)[1]


# Which of them took the wrong shape before stakes were spread out all at once: 1, 3, 4, 13, 14 and 15 of the first 17.
@pytest.mark.parametrize(
    "seed", [0, 3, 4, 14, *(pytest.param(s, marks=pytest.mark.slow) for s in (1, 2, *range(5, 14)))]
)
def test_large_sparse_nets_fit_as_well_as_the_truth(seed: int) -> None:
    data, truth = nets().network(seed, 60, 210, 50.0)
    net = net_of(data)
    assert net.chi2 <= fit_of_truth(net, truth) + 1.0


def test_a_wing_on_two_tapes_is_told_to_swing_and_given_no_place() -> None:
    """Five stakes that hang on the rest by one tape each from two of them can move: nothing is guessed."""
    data, truth = nets().network(11, 60, 210, 50.0)
    found = adjust(data)
    wing = {"s03", "s20", "s26", "s29", "s36"}
    assert set(truth) - set(found.positions) == wing
    (swing,) = found.swings
    assert swing.stake in wing


def test_a_leaf_told_wrong_by_one_tape_is_turned_back() -> None:
    net = net_of(survey(BOOK, tapes(BOOK, LEAVES + " af"), toward="b"))
    b, c, e, f = (net.number[k] for k in "bcef")
    folded = turned_over(net.xy, Leaf(b, c, (e, f)))
    assert chi2_at(net.rows, folded) > 1000.0
    assert unfolded(net.rows, folded, net.gauge) == pytest.approx(net.xy, abs=0.01)
    assert unfolded(net.rows, net.xy, net.gauge) is net.xy


def test_a_leaf_whose_hand_one_offset_tells_is_turned_to_it() -> None:
    """Begun on the wrong hand, the one reading that tells the hand is set aside; turned over, nothing need be."""
    right = Seen(id="s1", start="a", end="b", point="c", side="right")
    hand = Offset(id="o", start="b", end="c", along=Length(7.0), side="left", offset=Length(6.0), point="f")
    net = net_of(survey(BOOK, [*tapes(BOOK, LEAVES), hand, right], toward="b"))
    b, c, e, f = (net.number[k] for k in "bcef")
    folded = turned_over(net.xy, Leaf(b, c, (e, f)))
    wrong = replace(net, shape=folded, xy=folded)
    found, result = _set_aside(wrong, 4, never)
    assert [s.reading for s in found] == ["o"]
    assert "on the right" in suspect(found[0], {"o": hand}, {}, Style())
    other = _other_hand(wrong, result)
    assert other is not None
    assert other.xy == pytest.approx(net.xy, abs=0.01)
    assert not _set_aside(other, 4, never)[0]
    assert _other_hand(net, result) is None


@pytest.mark.slow
def test_a_thin_net_begun_on_the_wrong_hand_comes_out_right() -> None:
    data, truth = nets().network(19, 60, 210, 50.0)
    found = find_misreadings(data)
    assert not found.suspects
    assert found.adjusted.chi2 <= fit_of_truth(found.adjusted.net, truth) + 1.0


def test_what_hangs_on_one_line_of_many_stakes_is_asked() -> None:
    """Beyond a wall with three corners taped to it, everything could lie on either side: told once it is known."""
    truth = BOOK | {"g": (3.0, 8.0)}
    data = survey(truth, [*tapes(truth, LEAVES + " bg gc ag gd eg gf")], toward="b")
    asked = adjust(data).questions
    assert {"e", "f"} in [set(q.moves) for q in asked]
    whole = Seen(id="s1", start="a", end="b", point="c", side="right")
    question = next(q for q in adjust(data.changed(readings=(*data.readings, whole))).questions if "f" in q.moves)
    assert {"b", "c"} == {question.start, question.end}
    far = Seen(id="s2", start="b", end="c", point="f", side="left")
    told = adjust(data.changed(readings=(*data.readings, whole, far)))
    assert not told.questions
    at = told.positions
    assert math.dist((at["a"].x_m, at["a"].y_m), (at["f"].x_m, at["f"].y_m)) == pytest.approx(
        math.dist(BOOK["a"], BOOK["f"]), abs=0.01
    )


def test_leaves_are_the_parts_beyond_a_line() -> None:
    net = net_of(survey(BOOK, tapes(BOOK, LEAVES), toward="b"))
    b, c, e, f = (net.number[k] for k in "bcef")
    near, everyone = joined(net.rows.listed, net.gauge), list(range(6))
    found = leaves(near, net.xy, everyone, [(b, c), (b, f)], 0.1)
    assert Leaf(b, c, (e, f)) in found
    assert not [leaf for leaf in found if {leaf.a, leaf.b} == {b, f} and len(leaf.part) > 1]
    assert leaves(near, net.xy, everyone, [], 0.1) == []


@pytest.mark.parametrize(
    ("pairs", "p", "q", "ties"),
    [
        ("ab", "a", "b", 0),
        ("ab ac cb", "a", "b", 1),
        ("ac cd db ad bc", "a", "b", 2),
        (LEAVES, "a", "f", 3),  # f has three tapes
        (LEAVES + " df de", "a", "f", 3),  # a has three tapes
        (LEAVES + " df de ae", "a", "f", 4),
    ],
)
def test_ties_between_two_stakes_are_counted(pairs: str, p: str, q: str, ties: int) -> None:
    """A stake on one tape each way is one tie; the tape between the two themselves doesn't count."""
    net = net_of(survey(BOOK, tapes(BOOK, pairs)))
    number = {s: i for i, s in enumerate(net.ids)}
    near = np.eye(len(BOOK), dtype=np.float32)
    for pair in pairs.split():
        i, j = number[pair[0]], number[pair[1]]
        near[i, j] = near[j, i] = 1.0
    assert bracing(near, number[p], number[q], 9) == ties


def test_spread_from_all_distances_is_exact() -> None:
    """Classical scaling of all true distances gives the shape back exactly (Torgerson 1952)."""
    pairs = " ".join(a + b for a in BOOK for b in BOOK if a < b)
    net = net_of(survey(BOOK, tapes(BOOK, pairs)))
    xy = spread_out(net.rows.listed, len(net.ids), *WAYS[0])
    assert xy is not None
    for i, a in enumerate(net.ids):
        for j, b in enumerate(net.ids):
            assert math.dist(xy[i], xy[j]) == pytest.approx(math.dist(BOOK[a], BOOK[b]), abs=0.002)
    assert spread_out([], 4, *WAYS[0]) is None


@pytest.mark.parametrize("count", [3, 6])
def test_several_misreadings_in_a_large_net_are_all_found(count: int) -> None:
    data, _ = nets().network(3, 60, 250, 45.0)
    choice = nets().qualifying(adjust(data))
    bad = [choice[k * len(choice) // count] for k in range(count)]
    for reading, unit in bad:
        data = nets().with_error(data, reading, 20.0 * unit + 0.5)
    assert {s.reading for s in find_misreadings(data).suspects} == {reading for reading, _ in bad}


def test_a_stake_that_no_good_reading_holds_is_a_part_of_its_own() -> None:
    """A triangle 0 1 2 and, beyond the line 0 1, a stake 3 whose readings all lie far out: the search ends."""
    near = np.zeros((4, 4), dtype=np.float32)
    near[np.ix_([0, 1, 2], [0, 1, 2])] = 1.0
    xy = np.array([(0.0, 0.0), (10.0, 0.0), (5.0, 4.0), (5.0, -4.0)])
    found = leaves(near, xy, [0, 1, 2, 3], [(0, 1)], 0.3)
    assert {leaf.part for leaf in found} >= {(3,)}
