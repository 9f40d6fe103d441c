"""Flowering groups of named varieties of fruit: which flower together, and whose pollen is of no use."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from quincunx.plants.tables import rows_of


@dataclass(frozen=True, slots=True)
class Variety:
    """A named variety: its flowering groups (several where sources differ), whether it is triploid, and the sources."""

    name: str
    groups: tuple[int, ...]
    triploid: bool
    source: str


@cache
def _varieties() -> Mapping[tuple[str, str], Variety]:
    return {
        (r["kin"], _plain(r["variety"])): Variety(
            r["variety"], tuple(int(g) for g in r["groups"].split()), r["triploid"] == "yes", r["source"]
        )
        for r in rows_of("varieties.csv")
    }


def _plain(text: str) -> str:
    return re.sub(r"[^a-z]+", "", text.casefold())


def variety(kin: str, name: str) -> Variety | None:
    """Return what is known of a variety of a pollination group by its name; None where nothing is."""
    return _varieties().get((kin, _plain(name)))


def varieties() -> tuple[tuple[str, Variety], ...]:
    """Return every variety with the group of plants it belongs to."""
    return tuple((kin, one) for (kin, _), one in _varieties().items())


def apart(one: Variety, other: Variety) -> int:
    """Return how many groups lie between the flowering of two varieties: 0 and 1 flower together, by the nearest groups."""
    return min(abs(a - b) for a in one.groups for b in other.groups)
