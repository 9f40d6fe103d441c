"""Drip lines: the pressure they lose along a run, how long a run may be, and whether their tap gives enough.

References:
    Christiansen JE 1942. Irrigation by Sprinkling. University of California Bulletin 670: the factor F by which a pipe that
    gives water off all along loses less than one that carries it through; with the loss of Hazen and Williams as in
    Washington State University, Irrigation in the Pacific Northwest, *Pressure Loss with Outlets* (irrigation.wsu.edu; its
    method read, constants from memory).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from quincunx.scene import Scene
from quincunx.shapes import DripWork, Supply

EXPONENT = 1.852
"""Of the flow, in the formula of Hazen and Williams."""
SMOOTH = 130.0
"""Their coefficient for polyethylene tube this narrow (130 to 150 in handbooks; the least, from memory)."""
WORKS_AT_M = 10.0
"""Head behind a pressure reducer for drip tube [m of water] (1 bar; common practice, no source)."""
MAY_LOSE = 0.2
"""Share of that head that may be lost along a run: drippers whose flow goes by the root of the pressure then differ by a
tenth (0.8 ** 0.5 = 0.89: arithmetic)."""
MOST_M = 300.0


def outlets_factor(outlets: int) -> float:
    """Return Christiansen's F for equal outlets equally apart, the first a full distance from the start."""
    m = EXPONENT
    return 1 / (m + 1) + 1 / (2 * outlets) + math.sqrt(m - 1) / (6 * outlets**2)


def pipe_loss_m(flow_l_h: float, length_m: float, bore_m: float) -> float:
    """Return the head that plain pipe loses [m of water], by Hazen and Williams."""
    return float(10.67 * length_m * (flow_l_h / 3.6e6 / SMOOTH) ** EXPONENT / bore_m**4.8704)


def run_loss_m(length_m: float, between_m: float, litres_h: float, bore_m: float) -> float:
    """Return the head that one run of a drip line loses from its start to its end [m of water]."""
    outlets = max(int(length_m / between_m + 1e-6), 1)
    return outlets_factor(outlets) * pipe_loss_m(outlets * litres_h, length_m, bore_m)


def longest_run_m(between_m: float, litres_h: float, bore_m: float) -> float:
    """Return how long a run on level ground may be, for its last dripper to give nine tenths of its first [m].

    In whole distances of drippers, at most 300 m.
    """
    least, most = 1, max(int(MOST_M / between_m), 2)
    allowed = MAY_LOSE * WORKS_AT_M
    while most - least > 1:
        middle = (least + most) // 2
        if run_loss_m(middle * between_m, between_m, litres_h, bore_m) <= allowed:
            least = middle
        else:
            most = middle
    return least * between_m


@dataclass(frozen=True)
class Drip:
    """One drip line: its parts, what it hangs on, the head its longest run loses and how long one may be [m].

    ``apart_m`` is how far the first end of it lies from its tap or tank, as the crow flies.
    """

    work: DripWork
    supply: Supply | None
    loses_m: float
    longest_m: float
    apart_m: float | None

    @property
    def too_long(self) -> bool:
        """Return whether its longest run is longer than may be."""
        return self.work.longest_m > self.longest_m + 1e-6


def drips(scene: Scene) -> tuple[Drip, ...]:
    """Return the drip lines that lie in a garden, by id."""
    supplies = {s.owner: s for s in scene.supplies}
    found = []
    for work in sorted((w for w in scene.work if isinstance(w, DripWork)), key=lambda w: w.owner):
        supply, (x, y) = supplies.get(work.fed_from), work.runs[0].coords[0]
        apart = None if supply is None else math.dist(supply.at, (x, y))
        loses = run_loss_m(work.longest_m, work.between_m, work.litres_h, work.bore_m)
        may = longest_run_m(work.between_m, work.litres_h, work.bore_m)
        found.append(Drip(work, supply, loses, may, apart))
    return tuple(found)


def asked_l_min(lines: tuple[Drip, ...], owner: str) -> float:
    """Return what all drip lines on one tap or tank take when they run together [l/min]."""
    return sum(d.work.flow_l_h for d in lines if d.work.fed_from == owner) / 60.0
