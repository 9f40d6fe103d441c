"""Drip lines that hang on nothing, run too long, or ask more than their tap gives."""

from __future__ import annotations

from collections.abc import Iterator

from quincunx.review._view import View
from quincunx.shapes import XY, Finding, Severity
from quincunx.units import capital

SOURCE = (
    "Christiansen 1942, Bulletin 670 (University of California), with the loss of Hazen and Williams, as Washington State "
    "University sets it out (Pressure Loss with Outlets); level ground, drippers whose flow goes by the root of the pressure"
)
SHARE = 0.9
"""So much of a tap's flow may be asked: filters clog and other taps are opened (common practice, no source)."""


def check(view: View) -> Iterator[Finding]:
    """Yield what is wrong with each drip line, in the last year of the plan."""
    from quincunx.water.drip import Drip, asked_l_min, drips

    through = view.timeline
    scene = through.at(through.leaf_date(through.years[-1]))
    lines = drips(scene)

    def told(one: Drip, what: str, grave: Severity, words: str, remedy: str) -> Finding:
        x, y = one.work.runs[0].coords[0]
        at: XY = (float(x), float(y))
        about = (one.work.owner, *([one.work.fed_from] if one.supply is not None else []))
        return Finding(
            f"drip-{what}-{one.work.owner}", grave, capital(words), remedy, SOURCE, about, at, through.years[-1]
        )

    called, length = view.words.the, view.words.distance
    for one in lines:
        work, supply = one.work, one.supply
        name = called(work.owner)
        if supply is None and work.fed_from:
            words = f"{name} is to hang on {called(work.fed_from)}, which gives no water then."
            yield told(
                one, "dry", Severity.FAULT, words, "Choose a tap or a tank that stands by then, at the drip line."
            )
        elif supply is None:
            words = f"nobody has said which tap or tank {name} hangs on."
            yield told(one, "loose", Severity.HINT, words, "Write it at the drip line, and its flow is reckoned with.")
        elif supply.litres is not None:
            words = (
                f"{name} hangs on {called(supply.owner)}, which gives a tenth of a bar for each metre it stands higher."
            )
            remedy = "Use drippers made for so little pressure, or a pump; or hang it on a tap."
            yield told(one, "weak", Severity.CARE, words, remedy)
        if one.too_long:
            words = (
                f"a run of {name} is {length(work.longest_m)} long; beyond {length(one.longest_m)} its last drippers give"
                " less than nine tenths of its first."
            )
            remedy = "Feed it in the middle or in two runs, or take wider tube or drippers that give less."
            yield told(one, "long", Severity.CARE, words, remedy)
        if one.apart_m is not None and work.feed_m is not None and work.feed_m < one.apart_m - 0.05:
            words = f"{name} begins {length(one.apart_m)} from its tap, and {length(work.feed_m)} of pipe is counted."
            yield told(one, "feed", Severity.CARE, words, "Write how much plain pipe it takes along its way.")
    for owner in dict.fromkeys(one.work.fed_from for one in lines if one.supply is not None):
        mine = [one for one in lines if one.work.fed_from == owner]
        flow, asked = mine[0].supply.flow_l_min if mine[0].supply else None, asked_l_min(lines, owner)
        if flow is not None and asked > SHARE * flow:
            those = view.words.both(tuple(one.work.owner for one in mine))
            words = f"{those} together ask {view.words.water(60 * asked)} an hour of {called(owner)}, which gives {view.words.water(60 * flow)}."
            yield told(
                mine[0], "flow", Severity.FAULT, words, "Water them one after another, or use drippers that give less."
            )
