"""Steps, drops, water, glass and sizes that ask for a permit, each held against a rule published where the garden is.

One published rule is not the law of every place: whatever the answer, the local authority decides.  Nothing here ever
calls water or a drop safe.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from quincunx.build._answers import Screened
from quincunx.build.permits import permit
from quincunx.shapes import AreaWork, DropWork, FlightWork, FrameWork, LineWork, RampWork, WaterWork
from quincunx.site.codes import ASK, Held, held

IN_M, FT2_M2 = 0.0254, 0.3048**2
HAIR_M = 0.003
"""Heights nearer than this are the same: codes print inches and rounded centimetres [m]."""
HUT_LOCAL_M2 = 120 * FT2_M2
"""In the US some towns draw the line for sheds at 120 ft2 (IRC R105.2)."""
ADA, ADA_RISE_M = {"g1": 1 / 20, "g2": 1 / 12, "width_m": 36 * IN_M}, 30 * IN_M
"""2010 ADA Standards 402, 405.2, 405.5; 405.6: 30 in of rise at most between landings, however gentle the ramp."""
ADA_SOURCE = "2010 ADA Standards 405"
GLAZED = ("glass",)
STAIR = "as for a house's stair"


def flight(work: FlightWork, where: str | None) -> Iterator[Screened]:
    """Yield how steep a flight is, whether it asks for a handrail, and what the drop beside it asks for, by country."""
    yield _steepness(work, held(where, "steps"))
    yield from _handrail(work, held(where, "handrail"))
    guard = held(where, "guard")
    drop_m, least = work.count * work.rise_m, guard.figures["drop_m"]
    if drop_m > least:
        why = f"the flight climbs {_cm(drop_m)}: where the ground beside it lies more than {_cm(least)} lower, a guard is asked for"
        yield Screened("drop beside the steps", "unknown", None, why, guard.cited(), work.owner)


def _steepness(work: FlightWork, code: Held) -> Screened:
    """Hold a flight against what a country's code asks of a house's stair."""
    rise, going, asks = work.rise_m, work.going_m, code.figures
    most, least = asks.get("riser_m", math.inf), asks.get("going_m", 0.0)
    shares, told = [rise / most, least / going], _limits(most, least)
    longer = False
    if "rule_most_m" in asks:
        low, high, rule = asks["rule_least_m"], asks["rule_most_m"], 2 * rise + going
        # Long shallow treads in a garden walk well: the rule is for stairs. Without a riser of its own it gives one.
        highest = min(most, (high - least) / 2)
        longer = rule > high and rise <= highest
        shares = [rise / highest] if longer else [*shares, rule / high, low / rule]
        told = f"two risers and a tread make {_cm(rule)}; {low * 100:g} to {high * 100:g} cm, {told}"
    used = max(shares)
    why = (code.row.words if code.row is not None else "") or f"{told}, {STAIR}"
    why += "; longer treads are steps on a slope, not a stair" if longer else ""
    what = f"steps of {_cm(rise)} with treads of {_cm(going)}"
    return Screened(what, "within" if used <= 1 + 1e-9 else "beyond", used, why, code.cited(), work.owner)


def _limits(riser_m: float, going_m: float) -> str:
    """Say what risers and treads may be, as far as the code says it."""
    said = [f"risers up to {_exact(riser_m)}"] if math.isfinite(riser_m) else []
    return " and ".join([*said, *([f"treads from {_exact(going_m)}"] if going_m else [])])


def _handrail(work: FlightWork, code: Held) -> Iterator[Screened]:
    """Yield whether a flight that asks for a handrail has one drawn, and how high."""
    asks, climbs = code.figures, work.count * work.rise_m
    by_rise = "rise_m" in asks
    if climbs < asks["rise_m"] - 1e-9 if by_rise else work.count < asks["risers"]:
        return
    low, high = asks.get("low_m"), asks.get("high_m")
    tall = "" if low is None else f" {_cm(low)} high" if high is None else f" {_cm(low)} to {_cm(high)} high"
    start = f"from a climb of {_cm(asks['rise_m'])} on" if by_rise else f"from {asks['risers']:.0f} on"
    told = (code.row.words if code.row is not None else "") or f"{start} the code asks for a handrail{tall}"
    fits = (low or 0.0) - HAIR_M <= work.rail_m <= (high or math.inf) + HAIR_M
    drawn = f"{('', 'one is', 'two are')[work.rails]} drawn {_cm(work.rail_m)} high" if work.rails else "none is drawn"
    yield Screened(
        "handrail at the steps",
        "unknown" if not work.rails else "within" if fits else "beyond",
        None,
        f"{work.count} risers: {told}; {drawn}",
        code.cited(),
        work.owner,
    )


@dataclass(frozen=True, slots=True)
class Wheels:
    """What a country asks of ways for wheels: its ``figures``, their ``source``, and the slopes out of them.

    ``slopes`` are (rise over run, how long a way may be steeper than that [m]); ``by_rise`` tells that the length is
    limited by how far it climbs, not by the slope.
    """

    figures: Mapping[str, float]
    source: str
    by_rise: bool

    @property
    def slopes(self) -> tuple[tuple[float, float], ...]:
        """Each slope with the length a way may be steeper than it [m]."""
        asks = self.figures
        return tuple((asks[f"g{k}"], asks.get(f"l{k}", math.inf)) for k in range(1, 9) if f"g{k}" in asks)

    @property
    def steepest(self) -> float:
        """The slope no ramp for wheels exceeds, rise over run."""
        return max(grade for grade, _ in self.slopes)


def wheels(where: str | None) -> Wheels:
    """Return what is asked of ways for wheels in a country: its own row, else the figures of the United States, said as such."""
    code = held(where, "ramp")
    if code.row is not None:
        return Wheels(code.figures, code.cited(), by_rise=False)
    source = ADA_SOURCE if where == "US" else f"{ADA_SOURCE}: figures of the United States; {code.none}: {ASK}"
    return Wheels(ADA, source, by_rise=True)


def ramp(work: RampWork, where: str | None) -> Iterator[Screened]:
    """Yield whether a ramp is gentle, short and wide enough for wheels by the garden's country; landings are not drawn."""
    code, grade = wheels(where), work.rise_m / work.run_m
    asks, source, grades = code.figures, code.source, code.slopes
    steepest, level = code.steepest, min(g for g, _ in grades)
    what = f"ramp of {_slope(grade)} over {_long(work.run_m)}"
    if grade <= level + 1e-4:
        yield Screened(
            what, "within", grade / steepest, f"not steeper than {_slope(level)}: a way, not a ramp", source, work.owner
        )
        return
    most = ADA_RISE_M / grade if code.by_rise else min(long for g, long in grades if grade > g + 1e-4)
    said = []
    if grade > steepest + 1e-4:
        long = work.rise_m / steepest
        said.append(
            f"steeper than {_slope(steepest)}, the most for wheels: it would be {_long(long)} long; a barrow is pushed up steeper ones"
        )
    elif work.run_m > most + 1e-3:
        said.append(f"so steep a run is no longer than {_long(most)} without a level landing, and none is drawn")
    if work.width_m < asks["width_m"] - 1e-3:
        said.append(f"{_cm(work.width_m)} wide, and {_cm(asks['width_m'])} is the least for wheels")
    why = "; ".join(said) or f"up to {_slope(steepest)} a ramp is for wheels, with a level landing at foot and head"
    yield Screened(what, "unknown" if said else "within", None, why, source, work.owner)


def _long(metres: float) -> str:
    return f"{metres:.2f} m ({metres / 0.3048:.1f} ft)"


def _slope(grade: float) -> str:
    return f"1 in {1 / grade:.3g}"


def drop(work: DropWork, where: str | None) -> Iterator[Screened]:
    """Yield whether a drop asks for a guard and whether it has one, and whether the floor's size asks for a permit."""
    code = held(where, "guard")
    asks, high = code.figures, guard_height_m(code, work.drop_m)
    least, gap = asks["drop_m"], asks["gap_m"]
    what = f"drop of {_cm(work.drop_m)} beside {work.words}"
    if work.drop_m < least:
        why = f"guards are asked for from {_cm(least)} on; a lower fall still hurts: mark the edge"
        yield Screened(what, "within", work.drop_m / least, why, code.cited(), work.owner)
    else:
        fine = work.guard_m >= high - 1e-6 and work.gap_m < gap + 1e-6
        there = (
            f"the guard is {_cm(work.guard_m)} high with holes of {_cm(work.gap_m)}"
            if work.guard_m
            else "there is no guard"
        )
        why = f"{there}; from {_cm(least)} on it is to be {_cm(high)} high with holes under {_exact(gap)}, and strong: have its posts designed"
        yield Screened(what, "within" if fine else "beyond", None, why, code.cited(), work.owner)
    if work.area_m2:
        rule = held(where, "permit-deck")
        most = rule.figures.get("area_m2", math.inf)
        shares = max(work.area_m2 / most, work.drop_m / rule.figures.get("up_m", math.inf))
        what = f"floor of {work.area_m2:.1f} m² ({work.area_m2 / FT2_M2:.0f} ft2), permit"
        fine = shares <= 1 and not (work.touches_house and math.isfinite(most))
        yield permit(what, None, work.owner, rule, fine=fine)


def guard_height_m(code: Held, drop_m: float) -> float:
    """Return how high a guard beside a drop is to be [m]: some codes ask for more beside a higher one."""
    asks = code.figures
    return asks["high_height_m"] if drop_m > asks.get("high_drop_m", math.inf) else asks["height_m"]


def water(work: WaterWork, where: str | None) -> Screened:
    """Return what deep water asks for: no depth is ever called safe."""
    code = held(where, "pool")
    deep, high = code.figures["depth_m"], code.figures["height_m"]
    what, whose = f"water {_cm(work.deep_m)} deep", "asked for" if code.own else "commonly asked for"
    if work.deep_m > deep + 1e-3:
        why = f"over {_cm(deep)} a barrier {_cm(high)} high with a gate that shuts itself is {whose} round pools; ask whether round a pond"
        return Screened(what, "beyond", work.deep_m / deep, why, code.cited(), work.owner)
    why = f"barriers are {whose} from {_cm(deep)} on, but small children drown in a few inches: no table covers that"
    return Screened(what, "unknown", None, why, code.cited(), work.owner)


def glass(work: AreaWork | LineWork, where: str | None) -> Iterator[Screened]:
    """Yield what glass within reach asks for."""
    found = work.material if isinstance(work, LineWork) else work.layers[0].material if work.layers else ""
    if found in GLAZED:
        why = "toughened or laminated glass where people can fall against it or stand below it; nothing here says which glass is bought"
        yield Screened("glass within reach", "unknown", None, why, held(where, "glass").cited(), work.owner)


def hut_permit(work: FrameWork, where: str | None) -> Iterator[Screened]:
    """Yield whether a roofed thing is larger than what commonly needs no permit."""
    roof = work.roof
    if roof is None or roof.open_share > 0:
        return
    rule = held(where, "permit-hut")
    local = where == "US" and roof.area_m2 > HUT_LOCAL_M2
    what = f"roof over {roof.area_m2:.1f} m² ({roof.area_m2 / FT2_M2:.0f} ft2), permit"
    fine = roof.area_m2 <= rule.figures.get("area_m2", math.inf)
    more = "; some towns draw the line at 120 ft2 (11.1 m²)" if local else ""
    yield permit(what, None, work.owner, rule, more=more, fine=fine)


def _cm(metres: float) -> str:
    return f"{metres * 100:.0f} cm ({metres / IN_M:.1f} in)"


def _exact(metres: float) -> str:
    """Write a limit without rounding it: ``18.8 cm (7.4 in)``."""
    return f"{metres * 100:.4g} cm ({metres / IN_M:.3g} in)"
