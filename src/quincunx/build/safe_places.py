"""Steps, drops, water, glass and sizes that ask for a permit, each held against a published rule.

One published rule is not the law of every place: whatever the answer, the local authority decides.  Nothing here ever
calls water or a drop safe.
"""

from __future__ import annotations

from collections.abc import Iterator

from quincunx.build._answers import Screened
from quincunx.build.permits import LOCAL, permit
from quincunx.shapes import AreaWork, DropWork, FlightWork, FrameWork, LineWork, WaterWork

IN_M, FT2_M2 = 0.0254, 0.3048**2
RISER_US_M, TREAD_US_M = 7.75 * IN_M, 10 * IN_M
"""A house's stair: risers up to 7 3/4 in, treads from 10 in (IRC R311.7; read)."""
RULE_EU_M, RISER_EU_M, TREAD_EU_M = (0.55, 0.70), 0.22, 0.22
"""Two risers and a tread 550 to 700 mm, risers up to 220, treads from 220 (Approved Document K; from memory)."""
HANDRAIL_FROM = 4
"""Four risers or more ask for a handrail 34 to 38 in high (IRC R311.7.8; height read, the four from memory)."""
GUARD_FROM_US_M, GUARD_US_M, GAP_US_M = 30 * IN_M, 36 * IN_M, 4 * IN_M
"""Guards where the drop is 30 in or more, 36 in high, no hole that lets a 4 in ball through (IRC R312)."""
GUARD_FROM_EU_M, GUARD_EU_M, GAP_EU_M = 0.6, 1.1, 0.1
"""Guards where the drop is over 600 mm, 1,100 mm high, no hole for a 100 mm ball (Approved Document K; from memory)."""
WATER_M = 24 * IN_M
"""Barriers are commonly asked for round water deeper than 24 in (US CPSC Pub. 362: 48 in high)."""
HUT_M2, HUT_LOCAL_M2 = 200 * FT2_M2, 120 * FT2_M2
"""Sheds up to 200 ft2 need no permit by the model code; some towns draw the line at 120 ft2 (IRC R105.2)."""
DECK_M2, DECK_UP_M = 200 * FT2_M2, 30 * IN_M
"""Decks up to 200 ft2, at most 30 in above the ground and not fixed to a house need no permit (IRC R105.2)."""
GLAZED = ("glass",)


def flight(work: FlightWork, *, us: bool) -> Iterator[Screened]:
    """Yield how steep a flight is, whether it asks for a handrail, and what the drop beside it asks for."""
    rise, going = work.rise_m, work.going_m
    what = f"steps of {_cm(rise)} with treads of {_cm(going)}"
    if us:
        used, source = max(rise / RISER_US_M, TREAD_US_M / going), "IRC R311.7"
        why = "risers up to 7 3/4 in and treads from 10 in, as for a house's stair"
    else:
        rule = 2 * rise + going
        used = max(rise / RISER_EU_M, TREAD_EU_M / going, rule / RULE_EU_M[1], RULE_EU_M[0] / rule)
        source = "Approved Document K (from memory)"
        why = f"two risers and a tread make {_cm(rule)}; 55 to 70 cm, risers up to 22 cm"
        if rule > RULE_EU_M[1] and rise <= RISER_EU_M:
            # Long shallow treads in a garden walk well: the rule is for stairs.
            used, why = rise / RISER_EU_M, f"{why}; longer treads are steps on a slope, not a stair"
    yield Screened(what, "within" if used <= 1 + 1e-9 else "beyond", used, why, source, work.owner)
    if work.count >= HANDRAIL_FROM:
        asks = "the model code asks for" if us else "codes commonly ask for"
        why = f"{work.count} risers: from {HANDRAIL_FROM} on {asks} a handrail 34 to 38 in (86 to 97 cm) high; none is drawn"
        yield Screened("handrail at the steps", "unknown", None, why, "IRC R311.7.8" if us else LOCAL, work.owner)
    drop_m, least = work.count * rise, GUARD_FROM_US_M if us else GUARD_FROM_EU_M
    if drop_m > least:
        why = f"the flight climbs {_cm(drop_m)}: where the ground beside it lies more than {_cm(least)} lower, a guard is asked for"
        yield Screened("drop beside the steps", "unknown", None, why, _guard_source(us=us), work.owner)


def drop(work: DropWork, *, us: bool) -> Iterator[Screened]:
    """Yield whether a drop asks for a guard and whether it has one, and whether the floor's size asks for a permit."""
    least, high, gap = (GUARD_FROM_US_M, GUARD_US_M, GAP_US_M) if us else (GUARD_FROM_EU_M, GUARD_EU_M, GAP_EU_M)
    what = f"drop of {_cm(work.drop_m)} beside {work.words}"
    if work.drop_m < least:
        why = f"guards are asked for from {_cm(least)} on; a lower fall still hurts: mark the edge"
        yield Screened(what, "within", work.drop_m / least, why, _guard_source(us=us), work.owner)
    else:
        fine = work.guard_m >= high - 1e-6 and work.gap_m < gap + 1e-6
        there = (
            f"the guard is {_cm(work.guard_m)} high with holes of {_cm(work.gap_m)}"
            if work.guard_m
            else "there is no guard"
        )
        why = f"{there}; from {_cm(least)} on it is to be {_cm(high)} high with holes under {_cm(gap)}, and strong: have its posts designed"
        yield Screened(what, "within" if fine else "beyond", None, why, _guard_source(us=us), work.owner)
    if work.area_m2:
        asks = work.area_m2 > DECK_M2 or work.drop_m > DECK_UP_M or work.touches_house
        why = "up to 200 ft2 (18.6 m²), 30 in (76 cm) above the ground and apart from the house the model code asks for no permit"
        what = f"floor of {work.area_m2:.1f} m² ({work.area_m2 / FT2_M2:.0f} ft2), permit"
        yield permit(what, why, None, work.owner, fine=not asks, us=us)


def water(work: WaterWork) -> Screened:
    """Return what deep water asks for: no depth is ever called safe."""
    what, source = f"water {_cm(work.deep_m)} deep", "US CPSC Pub. 362"
    if work.deep_m > WATER_M + 1e-3:
        why = "over 24 in (61 cm) a barrier 48 in (122 cm) high with a gate that shuts itself is commonly asked for"
        return Screened(what, "beyond", work.deep_m / WATER_M, why, source, work.owner)
    why = "barriers are commonly asked for from 24 in (61 cm) on, but small children drown in a few inches: no table covers that"
    return Screened(what, "unknown", None, why, source, work.owner)


def glass(work: AreaWork | LineWork, *, us: bool) -> Iterator[Screened]:
    """Yield what glass within reach asks for."""
    found = work.material if isinstance(work, LineWork) else work.layers[0].material if work.layers else ""
    if found in GLAZED:
        why = "toughened or laminated glass where people can fall against it or stand below it; nothing here says which glass is bought"
        yield Screened(
            "glass within reach", "unknown", None, why, "IRC R308.4 (from memory)" if us else LOCAL, work.owner
        )


def hut_permit(work: FrameWork, *, us: bool) -> Iterator[Screened]:
    """Yield whether a roofed thing is larger than what commonly needs no permit."""
    roof = work.roof
    if roof is None or roof.open_share > 0:
        return
    local = "; some towns draw the line at 120 ft2 (11.1 m²)" if roof.area_m2 > HUT_LOCAL_M2 else ""
    why = f"up to 200 ft2 (18.6 m²) the model code asks for no permit{local}; distance from boundaries may count too"
    what = f"roof over {roof.area_m2:.1f} m² ({roof.area_m2 / FT2_M2:.0f} ft2), permit"
    yield permit(what, why, None, work.owner, fine=roof.area_m2 <= HUT_M2, us=us)


def _guard_source(*, us: bool) -> str:
    return "IRC R312" if us else "Approved Document K (from memory)"


def _cm(metres: float) -> str:
    return f"{metres * 100:.0f} cm ({metres / IN_M:.1f} in)"
