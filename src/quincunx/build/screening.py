"""Screening for safety: never a design.

Each piece is held against a published table or formula and gets one of three answers; whatever the answer, the local
code and a licensed person decide.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from quincunx.build._answers import WORDS, Answer, Screened
from quincunx.build.ground_rules import Ground, both
from quincunx.build.permits import permit
from quincunx.build.runs import stands_on_a_strip
from quincunx.build.safe_places import drop, flight, glass, hut_permit, ramp, water
from quincunx.build.timber import (
    C16,
    IN_MM,
    PSI,
    WEAKEST_US,
    WET,
    beam_ec,
    fb_us,
    moment_uniform,
    overhang_uniform,
    post_ec,
    post_us,
    sag_ec,
    sag_uniform,
    section,
    shear_uniform,
)
from quincunx.build.weather import Bearing, roof_snow_eu, roof_snow_us
from quincunx.build.wind import FRICTION, LATERAL_KPA_M, on_open_roof
from quincunx.shapes import (
    AreaWork,
    DropWork,
    FlightWork,
    FrameWork,
    KitWork,
    LineWork,
    Member,
    RampWork,
    Roof,
    WaterWork,
    Work,
)
from quincunx.site.codes import Held, Kind, codes, held

SCOPE = (
    "This is a first look, not a design. It covers single pieces of sound, dry-graded softwood under their own weight and"
    " undrifted snow; it leaves out drifts, earthquakes, bracing, joints, decay and the soil's own tests."
)
__all__ = ["DEFERS", "SCOPE", "WORDS", "Answer", "Loads", "Screened", "roof_load", "screen"]
DEFERS = "Your local code and a licensed person decide. Don't build on these figures alone."
GAMMA = 9.80665
DENSITY = 500.0
"""Weight of timber in a roof [kg/m3] (common practice, no source)."""
BOARDS_KPA = 0.15
"""Weight of deck boards (common practice, no source) [kN/m2]."""
TIMBER = frozenset({"timber", "fence post"})
FLOOR_KPA = 40 * 0.04788026
"""Live load on a deck: 40 psf (AWC DCA 6, Table 2); Eurocode floors of houses ask for 2 kN/m2 or less."""
FENCE_LOCAL_M = 1.219
"""In the US some towns draw the line for fences at 4 ft (IRC R105.2): lower ones are spoken of only where a code has it lower."""
RETAIN_M, FOOTING_M = 1.219, 0.3
"""A wall that holds back more than 4 ft of earth, its footing counted, is for an engineer anywhere (IRC R404.4)."""
RETAIN_LOCAL_M = 0.61
DESIGNED = (
    "; that says nothing of whether it stands: over 4 ft (1.22 m) from the bottom of the footing have an engineer design it"
    " (IRC R404.4 of the United States)"
)
"""What is said of a high wall where the country's own code asks for no permit."""


@dataclass(frozen=True, slots=True)
class Loads:
    """What the site says: whose rules, snow on the ground and its edition, design wind [m/s], ground, bearing, country."""

    region: str = "other"
    snow_kpa: float | None = None
    snow_edition: str = ""
    wind_m_s: float | None = None
    ground: Ground = Ground()  # noqa: RUF009 - frozen
    bearing: Bearing = Bearing(None, "nobody has said what the soil is")  # noqa: RUF009 - frozen
    country: str | None = None

    @property
    def us(self) -> bool:
        """Return whether the US path is taken; elsewhere the Eurocodes are."""
        return self.region == "us"

    @property
    def where(self) -> str | None:
        """Return the country whose codes are shown; that of the US where its rules are taken and no country is known."""
        return self.country or ("US" if self.us else None)

    def by(self, kind: Kind, source: str = "") -> str:
        """Return by whose code structures are reckoned, or that part of it which ``source`` names.

        Where the garden's country has none in the table that is said, and by whose it is reckoned.
        """
        lent = codes()["US" if self.us else "EU", kind]
        return Held(kind, self.where, lent).cited(source)

    @property
    def path(self) -> str:
        """Return the editions behind the figures for timber and snow."""
        return self.by("timber")


def screen(works: Iterable[Work], loads: Loads) -> tuple[Screened, ...]:
    """Return what was looked up for some works, the gravest answers first."""
    found: list[Screened] = []
    for work in works:
        if isinstance(work, FrameWork):
            found += _frame(work, loads)
        elif isinstance(work, LineWork):
            found += _line(work, loads)
        elif isinstance(work, KitWork):
            found += _kit(work, loads)
        elif isinstance(work, FlightWork):
            found += flight(work, loads.where)
        elif isinstance(work, DropWork):
            found += drop(work, loads.where)
        elif isinstance(work, RampWork):
            found += ramp(work, loads.where)
        elif isinstance(work, WaterWork):
            found.append(water(work, loads.where))
        if isinstance(work, (AreaWork, LineWork)):
            found += glass(work, loads.where)
    rank = {"beyond": 0, "unknown": 1, "within": 2}
    return tuple(sorted(dict.fromkeys(found), key=lambda s: rank[s.answer]))


def roof_load(roof: Roof, loads: Loads) -> float | None:
    """Return the snow on a roof [kN/m2 in plan]; None where no snow load is written down."""
    if loads.snow_kpa is None:
        return None
    if loads.us:
        return roof_snow_us(loads.snow_kpa, roof.pitch_deg, slippery=roof.slippery)
    return roof_snow_eu(loads.snow_kpa, roof.pitch_deg)


def _frame(work: FrameWork, loads: Loads) -> Iterator[Screened]:
    for m in _worst(work.members):
        yield _bending(work, m, loads)
    if work.roof is None and not work.floor_m2:
        return
    posts = [m for m in work.members if m.support == "post"]
    if posts:
        yield _post(work, posts, loads)
        yield _bearing(work, len(posts), loads)
        yield _frost(work, loads)
    if posts and work.roof is not None:
        yield from _wind(work, len(posts), loads)
    yield from hut_permit(work, loads.where)
    yield Screened(
        "bracing against wind from the side", "unknown", None,
        "no table here covers a whole frame leaning: brace it both ways, or fix it to something that stands", "", work.owner,
    )  # fmt: skip


def _worst(members: Iterable[Member]) -> list[Member]:
    """Return, of the pieces that carry, the one of each name and section with the hardest span and strip."""
    found: dict[tuple[str, tuple[float, float]], Member] = {}
    for m in members:
        if m.carries == "none" or m.support == "post":
            continue
        key = (m.name, m.section_m)
        if key not in found or _span(m) ** 2 * m.strip_m > _span(found[key]) ** 2 * found[key].strip_m:
            found[key] = m
    return list(found.values())


def _span(m: Member) -> float:
    return math.dist(m.start[:2], m.end[:2]) if m.span_m is None else m.span_m


def _bending(work: FrameWork, m: Member, loads: Loads) -> Screened:
    """Hold a piece against bending, shear and sag under its strip of roof, slats or floor."""
    wide, deep = m.section_m
    span = _span(m)
    if m.material not in TIMBER:
        why = f"no table here covers {m.material}: ask its maker"
        return Screened(f"{m.name} of {m.material}", "unknown", None, why, "", work.owner)
    inches = f"{wide / 0.0254:.3g} × {deep / 0.0254:.3g} in"
    what = f"{m.name} {wide * 1000:.0f} × {deep * 1000:.0f} mm ({inches}) over {span:.2f} m ({span / 0.3048:.1f} ft)"
    if m.carries == "floor":
        live: float | None = FLOOR_KPA if work.live_kpa is None else work.live_kpa
    else:
        live = None if work.roof is None else roof_load(work.roof, loads)
    if live is None:
        return Screened(what, "unknown", None, "no snow load is written down for this place", loads.path, work.owner)
    dead = (work.roof.dead_kpa if work.roof else 0.25) * m.strip_m + wide * deep * DENSITY * GAMMA / 1000
    snow = live * m.strip_m
    if span <= 0.05:
        return Screened(what, "within", 0.0, "next to no span", loads.path, work.owner)
    used, limit = _use_us(m, span, dead, snow) if loads.us else _use_eu(m, span, dead, snow)
    answer: Answer = "within" if used <= 1 else "beyond"
    because = (
        f"{limit} uses {100 * used:.0f} in 100 of what the formula allows, under {live:.2f} kN/m² and its own weight"
    )
    if m.carries == "floor" and m.past_m > span / 4:
        # AWC DCA 6, Table 2, note 3: joists reach past their beam no more than a quarter of the span.
        answer, because = "beyond", f"it reaches {m.past_m:.2f} m past its support, more than a quarter of its span"
    edition = f"; snow from {loads.snow_edition}" if loads.snow_edition and m.carries != "floor" else ""
    return Screened(what, answer, used, because, loads.path + edition, work.owner)


def _use_us(m: Member, span_m: float, dead: float, live: float) -> tuple[float, str]:
    """Return the greatest share in use and what governs, by the NDS in N and mm; loads in kN/m."""
    b, d = (1000 * x for x in m.section_m)
    a, s, i = section(b, d)
    wet, snow = m.carries != "roof", m.carries != "floor"
    repeated = m.strip_m <= 0.62
    fb = fb_us(WEAKEST_US, d / IN_MM, duration="snow" if snow else "ten years", repetitive=repeated, wet=wet) * PSI
    fv = WEAKEST_US.fv * PSI * (1.15 if snow else 1.0) * (WET["fv"] if wet else 1.0)
    e = WEAKEST_US.e * PSI * (WET["e"] if wet else 1.0)
    span, w = span_m * 1000, dead + live
    uses = {
        "bending": moment_uniform(w, span) / s / fb,
        "the overhang": overhang_uniform(w, m.past_m * 1000) / s / fb,
        "shear": 1.5 * shear_uniform(w, span) / a / fv,
        "sag": sag_uniform(live, span, e, i) / (span / (240 if snow else 360)),
    }
    worst = max(uses, key=lambda k: uses[k])
    return uses[worst], worst


def _use_eu(m: Member, span_m: float, dead: float, live: float) -> tuple[float, str]:
    """Return the greatest share in use and what governs, by EN 1995-1-1 with C16; loads in kN/m."""
    b, d = (1000 * x for x in m.section_m)
    service = 2 if m.carries == "roof" else 3
    loaded = "medium" if m.carries == "floor" else "short"
    beam = beam_ec(C16, b, d, span_m * 1000, 1.35 * dead + 1.5 * live, loaded=loaded, service=service,
                   k_sys=1.1 if m.strip_m <= 0.62 else 1.0)  # fmt: skip
    sag = sag_ec(C16, b, d, span_m * 1000, dead, live, service=service, psi_2=0.3 if m.carries == "floor" else 0.0)
    over = overhang_uniform(1.35 * dead + 1.5 * live, m.past_m * 1000) / section(b, d)[1] / beam.f_m_d
    uses = {
        "bending": beam.bending,
        "the overhang": over,
        "shear": beam.shear,
        "sag": sag.final / (span_m * 1000 / 250),
    }
    worst = max(uses, key=lambda k: uses[k])
    return uses[worst], worst


def _weight_kn(work: FrameWork) -> float:
    """Return what the roof and its frame weigh [kN]."""
    timber = sum(math.dist(m.start, m.end) * m.count * m.section_m[0] * m.section_m[1] for m in work.members)
    steep = 1 / math.cos(math.radians(work.roof.pitch_deg)) if work.roof else 1.0
    return timber * DENSITY * GAMMA / 1000 + (work.roof.area_m2 * work.roof.dead_kpa * steep if work.roof else 0.0)


def _on_post(work: FrameWork, posts: int, loads: Loads) -> float | None:
    """Return the greatest share of roof, snow and frame on one post [kN]: twice the even share where there are few."""
    if work.roof is None:
        live = FLOOR_KPA if work.live_kpa is None else work.live_kpa
        even = (_weight_kn(work) + (live + BOARDS_KPA) * work.floor_m2) / posts
    else:
        snow = roof_load(work.roof, loads)
        if snow is None:
            return None
        even = (_weight_kn(work) + snow * work.roof.area_m2) / posts
    return even * (1.0 if posts <= 4 else 2.0 if posts < 8 else 1.5)


def _post(work: FrameWork, posts: list[Member], loads: Loads) -> Screened:
    tallest = max(posts, key=lambda m: math.dist(m.start, m.end))
    side, high = min(tallest.section_m), math.dist(tallest.start, tallest.end)
    what = f"post {side * 1000:.0f} mm ({side / 0.0254:.1f} in) square, {high:.2f} m ({high / 0.3048:.1f} ft) high"
    if tallest.material not in TIMBER:
        why = f"no table here covers {tallest.material}: ask its maker"
        return Screened(f"post of {tallest.material}", "unknown", None, why, "", work.owner)
    load = _on_post(work, len(posts), loads)
    if load is None:
        return Screened(what, "unknown", None, "no snow load is written down for this place", loads.path, work.owner)
    if loads.us:
        carries = post_us(WEAKEST_US, side / 0.0254, side / 0.0254, high / 0.0254) * 0.00444822
    else:
        carries = post_ec(C16, side * 1000, side * 1000, high * 1000, loaded="short", service=3) / 1000
    if carries <= 0:
        return Screened(
            what, "beyond", None, "more slender than the formula allows, its top taken as free", loads.path, work.owner
        )
    used = load * (1.0 if loads.us else 1.5) / carries
    because = f"carries about {load:.1f} kN of the {carries:.0f} kN the formula allows, its top taken as free to sway"
    return Screened(what, "within" if used <= 1 else "beyond", used, because, loads.path, work.owner)


def _bearing(work: FrameWork, posts: int, loads: Loads) -> Screened:
    what = f"pads {both(work.pad_m)} square under the posts"
    source = loads.bearing.source or held(loads.where, "bearing").cited()
    load = _on_post(work, posts, loads)
    if load is None or loads.bearing.kpa is None:
        why = loads.bearing.words if loads.bearing.kpa is None else "no snow load is written down for this place"
        return Screened(what, "unknown", None, why, source, work.owner)
    own = work.pad_m**2 * loads.ground.footing_depth_m * 24.0
    used = (load + own) / (loads.bearing.kpa * work.pad_m**2)
    because = f"{load + own:.1f} kN on soil taken as {loads.bearing.words}"
    return Screened(what, "within" if used <= 1 else "beyond", used, because, source, work.owner)


def _frost(work: FrameWork | LineWork, loads: Loads, what: str = "depth of the pads") -> Screened:
    code = held(loads.where, "footing")
    least = code.figures["least_m"]
    source = f"{least / 0.0254:.0f} in ({least * 100:.0f} cm) at least, and below the frost line: {code.cited()}"
    if not loads.ground.frost_known:
        return Screened(
            what,
            "unknown",
            None,
            "no frost depth is written down: the local building authority says it",
            source,
            work.owner,
        )
    return Screened(
        what,
        "within",
        None,
        f"{both(loads.ground.footing_depth_m)} deep, {loads.ground.why_so_deep}",
        source,
        work.owner,
    )


def _wind(work: FrameWork, posts: int, loads: Loads) -> Iterator[Screened]:
    """Hold lift and sideways push of the wind against what the structure and its pads weigh."""
    up, over = "uplift of the roof by wind", "sliding of the feet by wind"
    roof, source = work.roof, loads.by("wind", "ASCE 7-10 fig. 27.4-5" if loads.us else "EN 1991-1-4:2005 7.3")
    why = ""
    if roof is None or loads.wind_m_s is None:
        why = "no design wind is written down for this place"
    elif roof.closed_sides > 0.99:
        why = "closed on all sides: the tables for open roofs don't hold"
    found = None
    if roof is not None and loads.wind_m_s is not None and not why:
        solid = roof.area_m2 * (1 - roof.open_share)
        found = on_open_roof(
            loads.wind_m_s, solid, roof.pitch_deg, roof.ridge_m, roof.falls, _side_m2(work), blocked=roof.closed_sides > 0.3,
            us=loads.us,
        )  # fmt: skip
        why = why if found is not None else f"a slope of {roof.pitch_deg:g} degrees is steeper than the tables"
    if found is None:
        yield Screened(up, "unknown", None, why, source, work.owner)
        yield Screened(over, "unknown", None, why, source, work.owner)
        return
    keep, load = (0.6, 0.6) if loads.us else (0.9, 1.5)
    words = "0.6 D + 0.6 W" if loads.us else "0.9 G + 1.5 W"
    weight = _weight_kn(work) + posts * work.pad_m**2 * loads.ground.footing_depth_m * 23.5
    by = loads.by("wind", found.source)
    lift, weighs = load * found.lift, keep * weight
    because = f"{lift:.1f} kN up against {weighs:.1f} kN of its own weight and pads ({words}); every joint has to carry it down"
    yield Screened(up, "within" if lift <= weighs else "beyond", lift / weighs, because, by, work.owner)
    deep, soil = loads.ground.footing_depth_m, loads.bearing.kpa is not None
    beside = posts * LATERAL_KPA_M * deep**2 / 2 * work.pad_m if soil else 0.0
    push, grip = load * found.aside, FRICTION * max(keep * weight - lift, 0.0) + keep * beside
    counted = "the soil beside them" if soil else "not the soil, of which nothing is known"
    because = f"{push:.1f} kN aside against {grip:.1f} kN of friction under the pads and {counted} ({words})"
    answer: Answer = "within" if push <= grip else "beyond"
    used = push / grip if grip > 0 else None
    yield Screened(
        over,
        answer,
        used,
        because,
        f"{by}; friction and soil: IBC 2012 Table 1806.2{'' if loads.where == 'US' else ' of the United States'}",
        work.owner,
    )


def _side_m2(work: FrameWork) -> float:
    """Return the closed sides that may face the wind [m2]: the widest side up to the eaves, where any is closed."""
    if work.roof is None or work.roof.closed_sides <= 0:
        return 0.0
    xs, ys = ([m.start[k] for m in work.members] + [m.end[k] for m in work.members] for k in (0, 1))
    return max(max(xs) - min(xs), max(ys) - min(ys)) * work.roof.eaves_m


def _line(work: LineWork, loads: Loads) -> Iterator[Screened]:
    high, where = work.height_m, loads.where
    if stands_on_a_strip(work):
        yield _frost(work, loads, "depth of the strip footing")
    if work.material.startswith("retaining"):
        yield _retaining(work, held(where, "permit-wall"))
    elif not work.material.startswith(("drain", "duct", "guard", "raised bed", "edging")):
        rule = held(where, "permit-fence")
        if high <= rule.figures.get("from_m", FENCE_LOCAL_M) + 1e-9:
            return
        yield permit(f"fence or wall {high:.2f} m high", high / rule.figures.get("high_m", math.inf), work.owner, rule)


def _retaining(work: LineWork, rule: Held) -> Screened:
    """Hold a wall that holds back earth against the line above which it is designed, and what needs no permit."""
    high, us = work.height_m, rule.country == "US"
    footing = high + FOOTING_M
    what = f"wall that holds back {high:.2f} m of earth"
    if footing > RETAIN_M and (us or rule.row is None):
        why = "over 4 ft (1.22 m) from the bottom of the footing"
        source = rule.cited() if us else "IRC R404.4 of the United States; your local code decides"
        return Screened(what, "beyond", footing / RETAIN_M, why, source, work.owner)
    share = (high + rule.figures.get("footing_m", 0.0)) / rule.figures.get("high_m", math.inf)
    more = "; some towns draw the line at 2 ft (0.61 m)" if us and footing > RETAIN_LOCAL_M else ""
    if footing > RETAIN_M:
        more = DESIGNED
    return permit(what, share, work.owner, rule, more=more)


def _kit(work: KitWork, loads: Loads) -> Iterator[Screened]:
    if work.what and work.snow_limit_kpa is None and work.wind_limit_m_s is None:
        return  # a gate or a bench is bought whole: nothing lies on it
    for what, limit, there, unit in (
        ("snow on the kit", work.snow_limit_kpa, loads.snow_kpa, "kN/m²"),
        ("wind on the kit", work.wind_limit_m_s, loads.wind_m_s, "m/s"),
    ):
        if limit is None:
            yield Screened(what, "unknown", None, "its maker states no limit", "the maker", work.owner)
        elif there is None:
            yield Screened(
                what,
                "unknown",
                None,
                f"its maker states {limit:g} {unit}; nothing is written down for this place",
                "the maker",
                work.owner,
            )
        else:
            used = there / limit
            yield Screened(
                what,
                "within" if used <= 1 else "beyond",
                used,
                f"its maker states {limit:g} {unit}, the place has {there:.2f} {unit}",
                "the maker",
                work.owner,
            )
