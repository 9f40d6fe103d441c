"""Drip lines to parts (which parts: common practice, no source)."""

from __future__ import annotations

import math

from quincunx.build.amounts import Line, TakeOff, Task
from quincunx.shapes import DripWork

SPARE = 1.05
"""5 in 100 over for cuts and bends (common practice, no source)."""
PEG_EVERY_M = 1.0
SHOP = "garden supplier"


def drip_take_off(work: DripWork) -> TakeOff:
    """Return what a drip line comes to: tube, plain pipe, ends and joints, pegs, and what belongs between it and the tap."""
    tube, runs = work.tube_m, len(work.runs)
    plain = work.header_m + (work.feed_m or 0.0)
    pegs = sum(math.ceil(run.length / PEG_EVERY_M - 1e-6) + 1 for run in work.runs)
    words = f"drip tube {work.bore_m * 1000:.0f} mm inside, a dripper of {work.litres_h:g} l/h every {work.between_m * 100:.0f} cm"
    how = f"{work.drippers} drippers, {work.flow_l_h:.0f} l/h in all; 5 in 100 over"
    lines = (
        Line("drip-tube", words, "m", tube, tube * SPARE, SHOP, tube * 0.06, how),
        Line("drip-pipe", "plain pipe for the drip line", "m", plain, plain * SPARE, SHOP, plain * 0.06),
        Line("drip-end", "end stops", "each", runs, runs, SHOP, runs * 0.01),
        Line("drip-joint", "tees, elbows and joints", "each", runs + 1, runs + 1, SHOP, (runs + 1) * 0.02),
        Line("drip-peg", "pegs for tube", "each", pegs, pegs, SHOP, pegs * 0.02),
        Line("drip-head", "non-return valve, filter and pressure reducer (1 bar)", "each", 1, 1, SHOP, 0.5),
    )
    notes = [
        "taps on the mains want a non-return valve before anything lies on the ground: local rules say which",
        "drained or taken up before frost",
    ]
    if work.feed_m is None:
        notes.append("plain pipe from its tap is not counted: nobody has said how much it takes")
    return TakeOff(lines, tasks=(Task("lay-drip", tube + plain),), notes=tuple(notes))
