"""Who pollinates whom: another variety of the same group, in flower at the same time, near enough.

Distances are memory of growers' handbooks: bees carry pollen well over 15 m and hardly over 30 m, the wind farther.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from shapely import MultiPoint, STRtree

from quincunx.grow.plantings import Planting
from quincunx.plants.varieties import apart, variety
from quincunx.scene._kept import Kept

NEAR_M, FAR_M, WIND_M = 15.0, 30.0, 60.0
"""Bees surely come as far; hardly farther; how far the wind carries pollen [m] (from memory)."""
SLACK_M = 0.001
"""What is looked at is a little more than what is in reach: how far it is decides [m]."""
MALE = "male"

State = Literal["none", "perhaps", "has"]


@dataclass(frozen=True, slots=True)
class Partner:
    """How a planting is pollinated: ``state``, by which owner and how far off [m], and a sentence why.

    ``needed`` is False for what sets fruit by itself but more with a partner.
    """

    state: State
    needed: bool
    by: str | None = None
    distance_m: float | None = None
    why: str = ""

    @property
    def sure(self) -> bool:
        """Return whether a crop may be counted on as far as pollen goes."""
        return self.state == "has" or not self.needed


def partners(standing: Sequence[Planting]) -> Mapping[str, Partner]:
    """Return how each planting that wants a partner is pollinated, by owner."""
    near = _Near(standing)
    return {one.owner: _partner(one, near.of(one)) for one in standing if one.plant.pollination in WANTS}


WANTS = ("partner", "sexes", "varies", "better")


class _Near:
    """The plantings of each group by where they stand, so that only those in reach of one another are looked at."""

    def __init__(self, standing: Sequence[Planting]) -> None:
        self._of: dict[str, list[Planting]] = {}
        for one in standing:
            if one.plant.kin:
                self._of.setdefault(one.plant.kin, []).append(one)
        self._trees = {kin: STRtree([_spots(p) for p in those]) for kin, those in self._of.items()}

    def of(self, one: Planting) -> list[Planting]:
        """Return those of its group that may be in reach of its pollen, in their order."""
        tree = self._trees.get(one.plant.kin)
        if tree is None:
            return []
        found = tree.query(_spots(one), predicate="dwithin", distance=_reach(one) + SLACK_M)
        return [self._of[one.plant.kin][i] for i in sorted(found.tolist())]


def _spots(one: Planting) -> MultiPoint:
    """Return where a planting is looked at [m]: the same object as long as it stands the same."""
    return _SPOTS.get((one.standing,), None, lambda: MultiPoint(_few(one)))


def _reach(one: Planting) -> float:
    return WIND_M if one.plant.by_wind else FAR_M


def _partner(one: Planting, standing: Sequence[Planting]) -> Partner:
    needed = one.plant.pollination in ("partner", "sexes")
    reach = _reach(one)
    sure = reach if one.plant.by_wind else NEAR_M
    best: Partner | None = None
    for other in standing:
        if other.plant.kin != one.plant.kin or not other.plant.kin:
            continue
        if other.owner == one.owner and one.standing.count < 2:
            continue
        apart = distance(one, other)
        if apart > reach or not _together(one, other):
            continue
        state, why = _suits(one, other)
        if state == "has" and apart > sure:
            state, why = "perhaps", "it stands rather far off"
        found = Partner(state, needed, other.owner, round(apart, 2), why)
        if best is None or _rank(found) > _rank(best):
            best = found
    return best or Partner("none", needed, why="no other of its group flowers near it")


def _rank(partner: Partner) -> tuple[int, float]:
    return (("none", "perhaps", "has").index(partner.state), -(partner.distance_m or 0.0))


def _together(one: Planting, other: Planting) -> bool:
    """Return whether both flower in some month; where no month is known, that is not held against them."""
    mine, theirs = set(one.plant.bloom_months), set(other.plant.bloom_months)
    return not mine or not theirs or bool(mine & theirs)


def _suits(one: Planting, other: Planting) -> tuple[State, str]:
    mine, theirs = one.standing.variety.strip().casefold(), other.standing.variety.strip().casefold()
    if one.plant.pollination == "sexes":
        if not mine or not theirs:
            return "perhaps", "say which are male and which female (in the variety)"
        if _male(mine) == _male(theirs):
            return "none", "both are of one sex"
        return "has", ""
    if other.plant.id != one.plant.id and other.plant.botanical.split("(")[0] != one.plant.botanical.split("(")[0]:
        return "has", ""  # another species of the group is another variety whatever it is called
    if not mine or not theirs:
        return "perhaps", "name the varieties: two of one variety don't help each other"
    return ("none", "both are the same variety") if mine == theirs else _flower_together(one, other)


def _flower_together(one: Planting, other: Planting) -> tuple[State, str]:
    """Return whether two named varieties of a group help each other, as far as their flowering groups are known."""
    mine, theirs = (variety(p.plant.kin, p.standing.variety) for p in (one, other))
    if theirs is not None and theirs.triploid:
        return "none", f"{theirs.name} is triploid and gives no useful pollen"
    if mine is None or theirs is None or apart(mine, theirs) <= 1:
        return "has", ""
    a, b = (" or ".join(map(str, v.groups)) for v in (mine, theirs))
    if apart(mine, theirs) == 2:
        return "perhaps", f"{mine.name} (flowering group {a}) and {theirs.name} ({b}) hardly flower together"
    return "none", f"{mine.name} (flowering group {a}) and {theirs.name} ({b}) don't flower together"


def _male(variety: str) -> bool:
    return MALE in variety.replace("female", "")


def distance(one: Planting, other: Planting) -> float:
    """Return how far the nearest plants of two plantings stand apart [m]; 0 within one of several plants."""
    if one.owner == other.owner:
        return 0.0
    return min(math.dist(a, b) for a in _few(one) for b in _few(other))


def _few(one: Planting) -> Sequence[tuple[float, float]]:
    at = one.standing.at
    return at if len(at) <= MOST else at[:: math.ceil(len(at) / MOST)]


_SPOTS: Kept[MultiPoint] = Kept(4096)
MOST = 40
"""Of long rows so many plants are looked at."""
