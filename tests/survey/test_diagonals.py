"""How near a diagonal must come: predicted from tapes and stakes, and what a thousand careful people would find."""

from __future__ import annotations

import math
import random

import pytest

from quincunx.survey import Control, Target, set_out, tape_sd_m, two_tapes
from quincunx.survey.marks import MILLIMETRES
from quincunx.survey.setout import Placed

XY = tuple[float, float]
LOOSE = (0.04**2, 0.0, 0.04**2)
"""Stakes whose own place is sure to 4 cm only (one standard deviation)."""


def stood(p: Placed, stakes: dict[str, XY], rng: random.Random) -> XY:
    """Where a point comes to stand when its two tapes are laid from the stakes as they really are."""
    lengths = [t.mark_m + rng.gauss(0.0, tape_sd_m(t.exact_m)) for t in p.ties]
    one, two = two_tapes(stakes[p.ties[0].stake], lengths[0], stakes[p.ties[1].stake], lengths[1])
    return one if p.side == "left" else two


@pytest.mark.parametrize("covariance", [(0.0, 0.0, 0.0), LOOSE])
def test_the_predicted_spread_of_diagonals_is_what_chance_gives(covariance: tuple[float, float, float]) -> None:
    """Monte Carlo within 10 in 100 of the prediction; the sample itself varies by 3."""
    at = {"a": (0.0, 0.0), "b": (18.0, 1.0), "c": (17.0, 14.0), "d": (-1.0, 13.0)}
    posts = {"p": (7.0, 5.0), "q": (10.0, 5.2), "r": (10.2, 8.0), "s": (7.1, 8.1)}
    found = set_out(
        [Target(i, xy) for i, xy in posts.items()],
        [Control(i, xy, covariance) for i, xy in at.items()],
        marks=MILLIMETRES,
    )
    by = {p.id: p for p in found.points}
    rng, spread = random.Random(5), {(d.start, d.end): list[float]() for d in found.diagonals}
    for _ in range(700):
        sd = math.sqrt(covariance[0])
        real = {i: (x + rng.gauss(0.0, sd), y + rng.gauss(0.0, sd)) for i, (x, y) in at.items()}
        there = {i: stood(p, real, rng) for i, p in by.items()}
        for (i, j), offs in spread.items():
            offs.append(math.dist(there[i], there[j]) - math.dist(posts[i], posts[j]))
    assert spread
    for d in found.diagonals:
        offs = spread[d.start, d.end]
        seen = math.sqrt(sum(o * o for o in offs) / len(offs))
        predicted = math.sqrt((d.within_m / 1.96) ** 2 - tape_sd_m(d.exact_m) ** 2 - MILLIMETRES.sd_m**2)
        assert seen == pytest.approx(predicted, rel=0.1)


def test_stakes_that_are_loose_but_shared_hardly_widen_a_diagonal() -> None:
    """Two posts from the same two stakes move together: the diagonal still shows a slip of 35 mm."""
    stakes = {"a": (0.0, 0.0), "b": (12.0, 0.0)}

    def within(covariance: tuple[float, float, float]) -> float:
        controls = [Control(i, xy, covariance) for i, xy in stakes.items()]
        found = set_out([Target("p", (5.0, 6.0)), Target("q", (7.0, 7.0))], controls, marks=MILLIMETRES)
        return found.diagonals[0].within_m

    tight, loose = within((0.0, 0.0, 0.0)), within(LOOSE)
    assert tight < loose < 0.035
    apart = 1.96 * math.hypot(0.04, 0.04)
    assert loose < apart / 2
