"""The cautions that belong to a job: what was noticed about it, and what its work, height, glass or water ask for."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import shapely

from quincunx.build.prices import Bought
from quincunx.garden.safety import FREE_CALL, HOLE_M, LOCATE, LOCATING, dug_ground, in_place, looked_up
from quincunx.review._looked_up import REMEDY
from quincunx.review._roots import AMONG
from quincunx.scene import Stood
from quincunx.shapes import AreaWork, FrameWork, KitWork, LineWork, Severity, Work
from quincunx.sheets._bring import all_norms
from quincunx.sheets._building import piece_kg
from quincunx.sheets._hazards import CEMENT, DUST, ENGINES, OLD, SAWDUST, by_hand, taken_down
from quincunx.sheets._lifted import lifting
from quincunx.sheets._outdoors import Made
from quincunx.sheets._set import Set
from quincunx.sheets.book import Block
from quincunx.units import format_length, format_mass, own_units

NEAR_LINE_M = 3.0
"""Buried lines drawn no farther than this are named [m] (our own choice: well past any hand-dig zone, ``safety.NEAR_M``)."""
OVERHEAD_M = 2.0
"""Work above this is done from a ladder [m] (common practice, no source)."""
NEAR_FOOD_M = 1.5
"""Treated timber no farther than this from what is planted deserves a thought [m] (common practice, no source)."""
CROSSES_M = 0.05
"""A line drawn no farther than this from what is dug is said to cross it [m] (our own choice: what a plan is drawn to)."""
TREATED = ("timber", "boards", "board", "sleeper", "pickets", "hurdles")
HEAVY_KG = 25.0
"""One piece heavier than this is for two (the filter for lifting at knuckle height of HSE leaflet INDG143; from memory) [kg].

What is awkward to hold is for two from less on: sheets, ``_sheet_cuts.ONE_CARRIES_KG``."""
MOST_HEAVY = 3
"""Heavy pieces named in one job, the heaviest first."""
WET = ("concrete", "mortar")
LAID_IN_MORTAR = ("brick", "block", "mortared stone")
STRAINED = ("mesh", "wire")
STRAINING = "Wire under strain whips back when it slips: glasses and gloves, and nobody in line with it."
"""Common practice, no source."""
WEIGHS = re.compile(r"\d ?(?:kg|lb)\b")
"""A name that says itself what it weighs."""
LIFTING = "Heavy in one piece (which, is said at the job): two people or a sack truck; knees bent, back straight."
MAINS = "Mains electricity: switched off and proved dead before anybody digs or drills near it; only somebody qualified wires it."
"""Common practice, no source; local rules say who is qualified."""
HANGING = (
    "A gate pulls at what it hangs on, more when swung on: have somebody who knows walls say whether that carries it."
)
"""Common practice, no source."""
BY_NATURE = {"mains": MAINS, "hung": HANGING}
DIGGING = (
    f"Before anything goes into the ground, have buried lines located and marked ({FREE_CALL});"
    " close to a mark dig by hand."
)
AS_DRAWN = "That is the plan, not a find: marks and local code decide."
"""What the distance to a buried line covers: what the plan has; lines nobody drew are not among them."""
OVERHEAD = "Work overhead: a sound ladder on firm ground, three points of contact, somebody with you."
GLASS = "Glass: gloves and glasses, carry panes on edge, two people, no wind."
SAWING = (
    "A saw: the piece held fast, both hands clear of the cut, eyes and ears covered, no dust breathed; no power on while a"
    " blade is touched."
)
"""Common practice, no source, as are the two before it."""
TWO = 2
"""What is noticed of more things than these asks for the same in each of their jobs."""
MORE = "There is more to take care of in this job: read its lines on the page “Take care” before you begin."
COVERS = (
    "The ties say where points go, from readings that may be wrong: if a check doesn't read, stop and look for the slip."
    " They don't say whether ground, posts or footings carry: your local code and a licensed person decide that."
)


def locates(text: str) -> bool:
    """Return whether a text is the care with lines that are drawn near what is dug."""
    return text.startswith(LOCATING)


@dataclass(frozen=True)
class Caution:
    """What to take care of: the words that any job may share, and what is so in this one; either may be empty.

    ``after``: the shared words are the remedy of what is so, and stand after it.
    """

    general: str = ""
    own: str = ""
    after: bool = False

    @property
    def words(self) -> str:
        """Return both as they stand on a job's own page."""
        both = (self.own, self.general) if self.after or locates(self.general) else (self.general, self.own)
        return " ".join(part for part in both if part)


def cautions(of: Set, plan: Made, *, hurts: bool = False) -> list[Caution]:
    """Return what to take care of in a job, what can hurt somebody first, each once; with ``hurts`` no more than that."""
    hurting = _hurting(of, plan)
    rest = () if hurts else (c for c in _noticed(of, plan, hurts=False) if c.own not in {h.own for h in hurting})
    return list(dict.fromkeys((*hurting, *rest)))


def care_at(of: Set, plan: Made, *, sawn: bool) -> dict[str, str]:
    """Return what to take care of right before the steps that are dangerous themselves: digging, high up, glass, a saw, cement.

    The words are those of the job's own cautions; of a job with nothing of the kind there are none.
    """
    every = cautions(of, plan, hurts=True)
    digging = {own_units(in_place(words, of.garden), of.garden.style) for words in (DIGGING, LOCATE)}
    dug = [c.words for c in every if c.general in digging]
    dug += _among_roots(of, plan) if dug else []
    said = {c.general for c in every}
    told = {
        "dig": " ".join(dict.fromkeys(dug)),
        "high": OVERHEAD if OVERHEAD in said else "",
        "glass": GLASS if GLASS in said else "",
        "cement": CEMENT if CEMENT in said else "",
        "dust": DUST if DUST in said else "",
        "engine": ENGINES if ENGINES in said else "",
        "treated": SAWDUST if SAWDUST in said else "",
        "lift": next((c.words for c in every if c.general == LIFTING), ""),
    }
    return {what: words for what, words in (told | {"saw": SAWING if sawn else ""}).items() if words}


def _hurting(of: Set, plan: Made) -> list[Caution]:
    plan, places = _with_choices(of, plan)
    noticed = [*_noticed(of, plan, hurts=True), *places]
    lines = [] if any(locates(c.general) for c in noticed) else _lines(of, plan)
    general = (
        Caution(words) for words in (*_made(plan), *_food(plan), *_materials_care(of, plan), *_by_nature(of, plan))
    )
    style, every = of.garden.style, (*noticed, *lines, *general)
    told = [replace(c, general=own_units(c.general, style), own=own_units(c.own, style)) for c in every]
    return list(dict.fromkeys([*told, *_heavy(of, plan)]))  # what is heavy is written as the person writes already


def first_cautions(of: Set, plan: Made, most: int) -> list[Block]:
    """Return the gravest cautions of a job for its own page in one box; where there are more, the last line says where."""
    care = [c.words for c in _once(cautions(of, plan))]
    if len(care) > most:
        care = [*care[: most - 1], MORE]
    return [{"t": "caution", "s": "\n".join(care)}] if care else []


def _once(every: Sequence[Caution]) -> list[Caution]:
    """Return the cautions with what several share said once, after or before what is so of each."""
    shared: dict[str, list[str]] = {}
    for one in every:
        if one.general:
            shared.setdefault(one.general, []).append(one.own)
    out = [replace(c, own=" ".join(w for w in shared[c.general] if w)) if c.general else c for c in every]
    return list(dict.fromkeys(out))


def _with_choices(of: Set, plan: Made) -> tuple[Made, list[Caution]]:
    """Return the job with all that may stand in its places still held open, and what of it is beyond the tables."""
    stood, beyond = dict[str, Stood](plan.stood), list[Caution]()
    for owner in plan.stood:
        feature = next((f for f in of.garden.features if f.id == owner), None)
        place = None if feature is None else feature.held_place()
        if place is None or place.chosen is not None:
            continue
        may = " or ".join(words for _, words, _ in place.shortlist)
        told = f"what is told here is for all it may be: {may}" if may else "what it asks for is told here once it is"
        beyond.append(
            Caution(in_place(DIGGING, of.garden), f"What will stand at {of.words.the(owner)} isn’t chosen yet: {told}.")
        )
        for id_, words, choice in place.shortlist:
            stood[f"{owner}/{id_}"] = there = of.timeline.as_made(choice)
            why = [f"{s.what}: {s.because}" for s in looked_up(of.garden, there.work) if s.answer == "beyond"]
            if why:
                said = f"If it becomes {words}, it goes beyond the published tables ({'; '.join(why[:3])})."
                beyond.append(Caution(own=f"{said} {REMEDY}"))
    return replace(plan, stood=stood), beyond


def _noticed(of: Set, plan: Made, *, hurts: bool) -> Iterator[Caution]:
    for finding in of.review.findings:
        asked = finding.can_hurt if hurts else finding.severity in (Severity.DANGER, Severity.CARE)
        if asked and set(finding.about) & set(plan.owners):
            alike = locates(finding.remedy) or len(finding.about) > TWO
            yield (
                Caution(finding.remedy, finding.words, after=True)
                if alike
                else Caution(own=f"{finding.words} {finding.remedy}")
            )


def _among_roots(of: Set, plan: Made) -> list[str]:
    """Return what is noticed of a job's digging among the roots of old trees."""
    found = (f for f in of.review.findings if f.id.startswith(AMONG) and set(f.about) & set(plan.owners))
    return [own_units(f"{f.words} {f.remedy}", of.garden.style) for f in found]


def _works(plan: Made) -> list[Work]:
    return [w for s in plan.stood.values() for w in s.work]


def _lines(of: Set, plan: Made) -> Iterator[Caution]:
    """Yield the general care of digging, with the buried lines that are drawn near."""
    digs = [w for w in _works(plan) if not isinstance(w, KitWork)]
    digs += [x.work for x in lifting(of, plan)]
    if not digs:
        return
    dug = [shape for work in digs for shape in dug_ground(work)]
    dug += [shapely.points(at).buffer(HOLE_M) for s in plan.stood.values() for p in s.plants for at in p.at]
    dug += [shapely.points(m.at) for m in plan.marks.values()]
    near, style = [], of.garden.style
    for line in plan.before.buried:
        far = min((line.line.distance(shape) for shape in dug), default=NEAR_LINE_M + 1)
        if far <= NEAR_LINE_M:
            where = "crosses it" if far < CROSSES_M else f"about {format_length(far, style)} away"
            sure = f" ± {format_length(line.sure_to_m, style)}" if line.sure_to_m else ""
            near.append(f"{of.words.the(line.owner)} ({line.carries}) {where}{sure}")
    yield Caution(in_place(DIGGING, of.garden), f"Drawn near: {'; '.join(near)}. {AS_DRAWN}" if near else "")


def _made(plan: Made) -> Iterator[str]:
    works = _works(plan)
    solids = [s for stood in plan.stood.values() for s in stood.solids if not s.grown]
    tops = [s.top.above_ground_m(plan.before.ground_z_m(*_middle(s.footprint))) for s in solids]
    if any(top > OVERHEAD_M for top in tops) and any(isinstance(w, (FrameWork, KitWork)) for w in works):
        yield OVERHEAD
    if any("glass" in m for m in _materials(works)):
        yield GLASS
    if any(s.water_depth_m > 0 for stood in plan.stood.values() for s in stood.surfaces):
        yield "Open water: a small child can drown in a few centimetres. Cover or fence the hole from the first hour; no barrier replaces watching."
    if any(m.startswith("retaining") for m in _materials(works)):
        yield "What holds back earth can fall: heights, footings and drains are for your local code and a licensed person."
    kits = [w.people for w in works if isinstance(w, KitWork) and (w.people or 0) > 1]
    if kits:
        yield f"The maker wants {max(k or 0 for k in kits)} people to put it up."


def _materials_care(of: Set, plan: Made) -> Iterator[str]:
    """Yield the care with what is mixed, cut, strained and taken down."""
    works, materials = _works(plan), _materials(_works(plan))
    footed = any(isinstance(w, FrameWork) and w.footings for w in works)
    if footed or any(m.removeprefix("retaining ") in LAID_IN_MORTAR or any(x in m for x in WET) for m in materials):
        yield CEMENT
    if any(isinstance(w, LineWork) and w.material in STRAINED for w in works):
        yield STRAINING
    yield from by_hand(all_norms(of, plan))
    if taken_down(of.timeline, plan.job):
        yield OLD


def _by_nature(of: Set, plan: Made) -> Iterator[str]:
    """Yield the care that what is made asks for by what it is: fed from the mains, hung on a wall."""
    words = {word for owner, word in of.timeline.frame.cautions if owner in plan.owners}
    yield from (care for word, care in BY_NATURE.items() if word in words)


def _heavy(of: Set, plan: Made) -> Iterator[Caution]:
    """Yield the pieces of a job that one person should not lift alone."""
    bill: tuple[Bought, ...] = next((c.reckoned.bill for c in of.costed if c.job.id == plan.job.id), ())
    heavy = sorted({(kg, b.words) for b in bill if (kg := piece_kg(b)) > HEAVY_KG}, reverse=True)[:MOST_HEAVY]
    if heavy:
        named = ", ".join(
            words if WEIGHS.search(words) else f"{words} (about {format_mass(kg, of.garden.style)})"
            for kg, words in heavy
        )
        yield Caution(LIFTING, f"Heavy: {named}.")


def _food(plan: Made) -> Iterator[str]:
    """Yield the care with timber beside what is planted."""
    timber = [s for o, s in plan.stood.items() if any(t in m for m in _materials(s.work) for t in TREATED)]
    shapes = [x.footprint for s in timber for x in s.solids]
    plants = [p for stood in plan.stood.values() for p in stood.plants] + list(plan.before.plants)
    roots = [shapely.points(at) for p in plants for at in p.at]
    beds = any(x.planted for s in timber for x in s.surfaces)
    close = any(shape.distance(root) < NEAR_FOOD_M for shape in shapes for root in roots)
    if beds or close:
        yield (
            "Timber beside what you will eat: no old sleepers, no old paint, nothing whose treatment nobody knows."
            " Sawdust of treated timber is not for the soil, and offcuts are not for burning."
        )


def _materials(works: Sequence[Work]) -> list[str]:
    out: list[str] = []
    for w in works:
        if isinstance(w, LineWork):
            out.append(w.material)
        elif isinstance(w, AreaWork):
            out += [layer.material for layer in w.layers]
        elif isinstance(w, FrameWork):
            out += [m.material for m in w.members]
    return out


def _middle(shape: shapely.Polygon) -> tuple[float, float]:
    p = shape.representative_point()
    return (float(p.x), float(p.y))
