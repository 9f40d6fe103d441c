"""Ground walked round by compass and tape: by how much the legs miss, and where the stakes come out put right.

The legs are found among the readings: a bearing and a length between the same two stakes, one after another.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from quincunx.review.ground import Measured
from quincunx.shapes import XY
from quincunx.survey import (
    Bearing,
    Distance,
    Leg,
    Paced,
    Reading,
    SlopeDistance,
    Traverse,
    compass_rule,
    fit_plan_to_built,
)
from quincunx.survey._model import Row, rows_of
from quincunx.survey.accuracy import bearing_step_deg
from quincunx.survey.words import small, turn
from quincunx.units import Style, capital, format_length

LEAST_LEGS = 3
WHAT = ("bearing", "length")
HAND_DEG = 0.1
"""A compass held in the hand is read to no finer a part of a degree (common practice, no source)."""
SURE_OF_TWO = 1.73
"""A miss beyond this many times its expected size comes once in twenty by chance: sqrt(5.99 / 2), where the chance is
alike in all directions (chi-square with two degrees of freedom)."""


@dataclass(frozen=True, slots=True)
class Walked:
    """A round or a way walked: the stakes in order, the legs as read and put right, and by how much they missed.

    ``usual_m`` is what compass and tape miss by at most, 19 times in 20; ``apart_m`` how far at most the places put
    right lie from those found from all readings together (None where those are not known); ``step_deg`` how finely the
    finest bearing is written [deg]; ``ids`` the readings of each leg, its bearing and its length.
    """

    stakes: tuple[str, ...]
    read: tuple[Leg, ...]
    found: Traverse
    usual_m: float
    apart_m: float | None
    step_deg: float = 1.0
    ids: tuple[tuple[str, str], ...] = ()

    @property
    def round(self) -> bool:
        """Return whether it came back to where it began."""
        return self.stakes[0] == self.stakes[-1]


def walked(m: Measured) -> Walked | None:
    """Return the longest way of legs that ends where it began, or on a held stake; None where there is none."""
    legs = _legs(m)
    held = {s.id: (float(s.x), float(s.y)) for s in m.survey.stakes if s.held and s.x is not None and s.y is not None}
    best: Walked | None = None
    for first in dict.fromkeys(a for a, _ in legs):
        found = _closed(m, _follow(first, list(legs)), legs, held)
        if found is not None and (best is None or len(found.stakes) > len(best.stakes)):
            best = found
    return best


_Read = tuple[Bearing, Reading, bool]
"""A leg as read: its bearing, its length, and whether it was read from its end."""
_Legs = Mapping[tuple[str, str], _Read]


def _legs(m: Measured) -> dict[tuple[str, str], _Read]:
    """Return by (from, to), in the order read, each bearing with its length; the last says if it was read backwards."""
    bad = {s.reading for s in m.searched.suspects}
    lengths: dict[frozenset[str], Reading] = {}
    for r in m.survey.readings:
        if isinstance(r, (Distance, SlopeDistance, Paced)):
            lengths.setdefault(frozenset((r.start, r.end)), r)
    out: dict[tuple[str, str], _Read] = {}
    for r in m.survey.readings:
        pair = lengths.get(frozenset((r.start, r.end))) if isinstance(r, Bearing) else None
        if not isinstance(r, Bearing) or pair is None or (r.id in bad and pair.id in bad):
            continue
        out.setdefault((r.start, r.end), (r, pair, False))
    for (a, b), (bearing, length, _) in list(out.items()):
        out.setdefault((b, a), (bearing, length, True))
    return out


def _follow(first: str, pairs: Sequence[tuple[str, str]]) -> list[str]:
    """Return the stakes in the order walked from ``first``: no stake twice, but the first at the end."""
    names = [first]
    while True:
        here, before = names[-1], names[-2] if len(names) > 1 else ""
        onward = [b for a, b in pairs if a == here and b != before and (b not in names or b == first)]
        fresh = [b for b in onward if b not in names]
        if not onward:
            return names
        names.append(fresh[0] if fresh else first)
        if names[-1] == first:
            return names


def _closed(m: Measured, names: list[str], legs: _Legs, held: Mapping[str, XY]) -> Walked | None:
    while len(names) > 1 and names[-1] != names[0] and not (names[0] in held and names[-1] in held):
        names = names[:-1]
    if len(names) <= LEAST_LEGS:
        return None
    way = [legs[pair] for pair in pairwise(names)]
    read = [_leg(m, leg) for leg in way]
    start = held.get(names[0]) or m.places.get(names[0]) or (0.0, 0.0)
    found = compass_rule(read, start, start if names[0] == names[-1] else held[names[-1]])
    spread = sum(_spread_m2(m, leg) for leg in way)
    ids = tuple((leg[0].id, leg[1].id) for leg in way)
    step = min(bearing_step_deg(leg[0].typed) for leg in way)
    return Walked(tuple(names), tuple(read), found, SURE_OF_TWO * math.sqrt(spread), _apart(m, names, found), step, ids)


def _rows(m: Measured, leg: _Read) -> tuple[Row, Row]:
    """Return the bearing and the level length of one leg, each with its standard deviation, as the plan takes them."""
    stakes = {s: n for n, s in enumerate(sorted({leg[0].start, leg[0].end}))}
    tools = {t.id: t for t in m.survey.instruments}
    bearing, length = rows_of(leg[:2], stakes, tools, m.survey.declination_deg)
    return bearing, length


def _leg(m: Measured, leg: _Read) -> Leg:
    bearing, length = _rows(m, leg)
    return Leg((math.degrees(bearing.value) + (180.0 if leg[2] else 0.0)) % 360.0, length.value)


def _spread_m2(m: Measured, leg: _Read) -> float:
    """Return the expected square of what one leg adds to the miss [m2]."""
    bearing, length = _rows(m, leg)
    return (length.value * bearing.sd) ** 2 + length.sd**2


def _apart(m: Measured, names: Sequence[str], found: Traverse) -> float | None:
    """Return how far at most the places lie from those of all readings, laid on them as one piece [m]."""
    places = {n: p for n, p in zip(names, found.points, strict=True) if n in m.places}
    if len(places) < LEAST_LEGS:
        return None
    return max(fit_plan_to_built(places, {n: m.places[n] for n in places}).remains_m.values())


def walked_words(m: Measured, w: Walked) -> tuple[str, ...]:
    """Return in sentences what was walked, by how much it missed, and what to do about it."""
    style = m.style
    names = ", ".join(m.names[s] for s in (w.stakes[:-1] if w.round else w.stakes))
    whole, miss = format_length(w.found.length_m, style), _tiny(w.found.miss_m, style)
    to = f"and back to {m.names[w.stakes[0]]}" if w.round else f"to {m.names[w.stakes[-1]]}, whose place is given"
    share = f"1 in {_round(w.found.one_in, style)}" if w.found.one_in < 1e6 else "nothing that counts"
    out = [f"Round {names} {to}, by bearings and lengths: {whole} in {len(w.read)} legs. It misses by {miss}, {share}."]
    usual = _tiny(w.usual_m, style)
    tools = "a hand compass and a tape" if w.step_deg >= HAND_DEG else "bearings read so finely and a tape"
    if m.survey.declination_deg and any(isinstance(r, Bearing) and r.north == "magnetic" for r in m.survey.readings):
        out.append("The directions below are counted from true north.")
    if w.found.miss_m <= w.usual_m:
        out.append(f"{capital(tools)} may miss by up to {usual} on such a way: nothing need be walked again.")
    else:
        out.append(f"That is more than the {usual} that {tools} explain: read again {_leg_to_look_at(m, w)}.")
        return tuple(out)
    out.append("Each leg takes its share of the miss by its length (the compass rule).")
    if w.apart_m is not None:
        out.append(
            f"Put right so, the stakes lie within {_tiny(w.apart_m, style)} of where all readings together"
            " (least squares) put them; the plan uses those."
        )
    return tuple(out)


def _leg_to_look_at(m: Measured, w: Walked) -> str:
    """Name the leg a slip would most likely be in: one that alone explains the miss, the one along it, or the longest."""
    told = _alone(m, w)
    if told:
        return told
    east, north = w.found.closure_m
    miss = math.hypot(east, north) or 1.0
    along = [abs(leg.departure_m * east + leg.latitude_m * north) / (leg.length_m * miss) for leg in w.read]
    near = max(range(len(w.read)), key=lambda k: along[k])
    longest = max(range(len(w.read)), key=lambda k: w.read[k].length_m)
    a, b = (_pair(m, w, k) for k in (near, longest))
    if near == longest:
        return f"first the leg {a}"
    return f"first the length {a}, which lies along the miss, then the bearing {b}, the longest leg"


def _alone(m: Measured, w: Walked) -> str:
    """Name the one reading of the legs that doesn't fit, if with what the others say of it the way closes."""
    bad = {s.reading: s for s in m.searched.suspects}
    legs = [(k, n, bad[r]) for k, pair in enumerate(w.ids) for n, r in enumerate(pair) if r in bad]
    if len(legs) != 1:
        return ""
    ((k, n, one),) = legs
    leg, off = w.read[k], one.likely - one.value
    right = (
        Leg(leg.azimuth_deg + math.degrees(off), leg.length_m) if n == 0 else Leg(leg.azimuth_deg, leg.length_m + off)
    )
    east = w.found.closure_m[0] + right.departure_m - leg.departure_m
    north = w.found.closure_m[1] + right.latitude_m - leg.latitude_m
    return f"the {WHAT[n]} {_pair(m, w, k)}" if math.hypot(east, north) <= 2.0 * w.usual_m else ""


def _pair(m: Measured, w: Walked, k: int) -> str:
    return f"{m.names[w.stakes[k]]} to {m.names[w.stakes[k + 1]]}"


def _round(one_in: float, style: Style) -> str:
    """Write a ratio to three figures; who writes decimals with a comma gets a space between the thousands."""
    step = 10 ** max(0, math.floor(math.log10(one_in)) - 2)
    text = f"{round(one_in / step) * step:,}"
    return text if style.decimal_mark == "." else text.replace(",", "\N{NO-BREAK SPACE}")


def _tiny(metres: float, style: Style) -> str:
    return small(max(metres, 0.0254 / 8 if style.system == "feet" else 0.001), style)


def walked_rows(m: Measured, w: Walked) -> list[list[str]]:
    """Return a row a leg: from and to, direction and length as read, direction and length put right.

    Directions are written as finely as they were read; put right no coarser than to a tenth of a degree, and not at all
    where the miss is more than the tools explain: sharing a slip out puts nothing right.
    """
    rows, share = [], w.found.miss_m <= w.usual_m
    for k, (read, right) in enumerate(zip(w.read, w.found.legs, strict=True)):
        better = [
            _said(right.azimuth_deg, min(w.step_deg, 0.1), m.style),
            format_length(right.length_m, m.style, kind="tape"),
        ]
        rows.append([
            _pair(m, w, k), _said(read.azimuth_deg, w.step_deg, m.style), format_length(read.length_m, m.style, kind="tape"),
            *(better if share else ["", ""]),
        ])  # fmt: skip
    return rows


def _said(degrees: float, step_deg: float, style: Style) -> str:
    return turn(degrees, step_deg).replace(".", style.decimal_mark)
