"""Young plants raised at home: cuttings, suckers, layers, runners, divisions, seed; a nursery row.

Ways, seasons, losses and years are from memory of handbooks (common practice, no source).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Literal

from quincunx.plants.catalogue import Plant
from quincunx.plants.tables import rows_of

Raised = Literal["bought", "own", "nursery row"]
"""Where young plants come from: bought, raised at home and set at once, raised at home and grown on first."""
OWN_START_M = 0.15
"""Height of a rooted cutting, layer or seedling when it is set out at once [m] (common practice, no source)."""
OWN_STOCK: Mapping[str, str] = {"own": "own young plants", "nursery row": "own plants from a nursery row"}
"""What is planted, in words, where it isn't bought."""
GRAFTED = ("Malus", "Pyrus", "Prunus", "Cydonia", "Mespilus")
"""Genera whose fruit trees are grafted: what is raised from them is not the same variety."""


@dataclass(frozen=True, slots=True)
class Way:
    """A way to raise a plant: ``way`` in a word, northern months, the share that takes, years until it is as bought."""

    id: str
    way: str
    of: frozenset[str]
    months: tuple[int, ...]
    takes: float
    years: float
    words: str

    def begun(self, count: int) -> int:
        """Return how many are begun so that ``count`` are to be hoped for."""
        return math.ceil(count / self.takes - 1e-9)


@cache
def ways() -> tuple[Way, ...]:
    """Return every way there is."""
    return tuple(
        Way(
            r["id"], r["way"], frozenset(r["of"].split()), tuple(int(m) for m in r["months"].split()), float(r["takes"]),
            float(r["years"]), r["words"],
        )
        for r in rows_of("raising.csv")
    )  # fmt: skip


def way_of(plant: Plant) -> Way | None:
    """Return how a plant is raised at home; None for what is sown each year, grafted, or nobody has said."""
    genus = plant.botanical.split(" ")[0]
    if plant.annual:
        return None
    named = next((w for w in ways() if plant.id in w.of), None)
    if named is not None:
        return named
    if genus in GRAFTED and plant.edible:
        return None
    return next((w for w in ways() if genus in w.of or f"@{plant.form}" in w.of), None)


def behind_years(raised: Raised, plant: Plant) -> float:
    """Return how many years what is planted lies behind a usual young plant: those a nursery row would have taken."""
    way = way_of(plant) if raised == "own" else None
    return 0.0 if way is None else way.years


def stock_of(raised: Raised, usual: str) -> str:
    """Return what is planted: ``usual`` if it is bought."""
    return OWN_STOCK.get(raised, usual)


def start_m(raised: Raised, usual_m: float) -> float:
    """Return the height of what is planted [m]: small where it is raised at home and set out at once."""
    return min(usual_m, OWN_START_M) if raised == "own" else usual_m
